"""Names in one and in many, as findings and questions write them."""

from __future__ import annotations

import pytest

from extractors.phrases import many_of, plural

NAMES = [
    ("pump", "pumps"), ("tooth", "teeth"), ("axis", "axes"), ("die", "dies"), ("knife", "knives"), ("box", "boxes"),
    ("hopper", "hoppers"), ("set of dies", "sets of dies"), ("press", "presses"), ("assembly", "assemblies"),
    ("tray", "trays"), ("switch", "switches"), ("bus", "buses"), ("gas", "gases"), ("lens", "lenses"),
    ("chassis", "chassis"), ("series", "series"), ("PLC", "PLCs"), ("holder with tools in", "holders with tools in"),
    ("control axis", "control axes"), ("person", "people"), ("figure to check", "figures to check"),
]  # fmt: skip
"""English usage; common practice, no source."""


@pytest.mark.parametrize(("one", "many"), NAMES)
def test_plural_of_one_and_of_many_is_the_same(one: str, many: str) -> None:
    assert plural(one) == plural(many) == many


@pytest.mark.parametrize(("one", "many"), NAMES)
def test_so_many_of_a_thing(one: str, many: str) -> None:
    assert many_of(3, one) == many_of(3, many) == f"3 {many}"
    assert many_of(1, one) == f"1 {one}"


@pytest.mark.parametrize("many", ["pumps", "boxes", "knives", "sets of dies", "teeth"])
def test_one_is_never_many(many: str) -> None:
    assert many_of(1, many).split()[1] != many.split()[0]
