from pipeline.walk import Quantity, Source, Walk, from_dict, to_dict
from vocab import builtin


def test_walk_survives_json() -> None:
    walk = Walk(Source("a.wav", "0" * 64, "audio", 1.0), quantities=(Quantity("q1", "tank", "length", 6, "foot"),))
    assert from_dict(to_dict(walk)) == walk


def test_tables_load() -> None:
    assert builtin()["units"].rows
