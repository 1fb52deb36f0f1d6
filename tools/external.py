"""Read the public test sets and write predictions for their scorer:

    python tools/external.py DIR_OF_SETS OUT [SET ...]

Each line of OUT/NAME.jsonl answers the item in the same line of DIR_OF_SETS/NAME.jsonl; null where nothing was read.
The sets are items of NeMo text processing, Recognizers-Text and Disfl-QA; their own notes say what a line holds.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from extractors.mentions import Tokens
from extractors.normalise import tokenise
from extractors.quantities import find_measures
from extractors.repairs import repaired_text
from extractors.spoken_numbers import find_numbers
from extractors.words import Transcript, Word
from vocab import builtin


def tokens_of(text: str) -> Tokens:
    """Reading units of a written sentence; a third of a second for each word."""
    words = tuple(Word(w, i / 3, (i + 1) / 3) for i, w in enumerate(text.split()))
    return tokenise(Transcript(words), builtin())[0]


def measure(item: dict[str, Any]) -> Any:
    found = find_measures(tokens_of(item["text"]), builtin())
    return {"value": found[0].value, "unit": found[0].unit} if len(found) == 1 else None


def number(item: dict[str, Any]) -> Any:
    """The number of the text, its sign included; a unit behind it is read with its number and left out."""
    tokens = tokens_of(item["text"])
    found = find_numbers(tokens, builtin())
    if not found:
        return None
    first = found[0]
    signed = first.first > 0 and tokens[first.first - 1].lower in ("minus", "negative")
    return {"value": -first.value if signed else first.value}


def year(item: dict[str, Any]) -> Any:
    """The year of a date: the last number that can be one ("the fifteenth of july two thousand twelve")."""
    for n in reversed(find_numbers(tokens_of(item["text"]), builtin())):
        if n.form != "ordinal" and 1000 <= n.value <= 2999 and n.value == int(n.value):
            return {"year": int(n.value)}
    return None


def dimension(item: dict[str, Any]) -> Any:
    """Every figure with its unit; signs set apart by the sets' makers ("10 , 000", "68 - ounce") are joined first."""
    text = re.sub(r"(?<=\d) , (?=\d{3}\b)", ",", item["text"])
    found = find_measures(tokens_of(text), builtin())
    return [
        {"value": m.value, "unit": m.unit, **({"value_max": m.value_max} if m.value_max is not None else {})}
        for m in found
        if m.dimension != "money"  # prices are no dimension; the set holds none
    ]


def repaired(item: dict[str, Any]) -> Any:
    return {"repaired": repaired_text(item.get("disfluent", item.get("text", "")))}


READERS: dict[str, Callable[[dict[str, Any]], Any]] = {
    "itn_measure": measure,
    "itn_number": number,
    "itn_ordinal": number,
    "itn_year": year,
    "dimension": dimension,
    "repairs": repaired,
    "fluent": repaired,
}


def main(sets: str, out: str, *names: str) -> None:
    Path(out).mkdir(parents=True, exist_ok=True)
    for name, reader in READERS.items():
        path = Path(sets) / f"{name}.jsonl"
        if (names and name not in names) or not path.exists():
            continue
        items = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]
        lines = [json.dumps(reader(item), ensure_ascii=False) for item in items]
        (Path(out) / f"{name}.jsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    main(*sys.argv[1:])
