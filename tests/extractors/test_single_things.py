"""Things that are one by their article. Expectations are the plain sense of the sentences, no outside source."""

from __future__ import annotations

from typing import Any

import pytest

from tests.extractors.readings import cases, things


@pytest.mark.parametrize("case", cases("single_things"), ids=lambda c: c["why"])
def test_single_things_as_said(case: dict[str, Any]) -> None:
    assert sorted(t.name for t in things(case["said"]) if t.single) == sorted(case["ones"])
