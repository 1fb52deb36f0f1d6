"""What the words around two figures of one name say of their being of two things after all.

Subjects are those of the sentence; a place, a side or another machine told with a figure narrows it without a name.
"""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.checks.nearby import lead, parted
from pipeline.checks.subjects import words
from pipeline.walk import Quantity
from vocab import Vocabulary

_PLACE = re.compile(
    r"\b(?:under|underneath|behind|near|towards?|above|below|around|next to|against|beside|inside|at|on|in|over) "
    r"(?:the|each|every|both) (?:\w+ ){1,2}?(?:it is|it's|they are|they're|is|are)?\s*$"
)
"""Words right before a figure that put it in one place of the thing: "under the tyres it is forty"."""
_OTHERS = re.compile(
    r"\b(?:my|our|his|their) (?:old|last|other)\b|\bthe (?:one|ones) (?:at|in|from)\b|\bused to (?:have|run)\b|"
    r"\bback (?:home|at)\b|\bwhere i worked\b"
)
"""Words of a sentence about a machine elsewhere."""
_ASPECT = re.compile(
    r"^\W*(?:inch|inches|foot|feet|millimetres?|mil)?\W*(bore|hub|chuck|to the top|to the ridge|neck|eye|face)\b"
)
"""Words right behind a figure that tell what of the thing it is."""
_RIGHT = re.compile(r"^\W*(?:is|are|was) (?:right|correct|fine|good)\b")


def of_another(vocabulary: Vocabulary, a: Quantity, b: Quantity) -> bool:
    """Whether two figures of one property and name are none of one thing by the words around them."""
    if _material(vocabulary, a.subject):
        return True  # "six millimetres in mild steel": what a machine takes, each time another
    if _OTHERS.search(a.around or "") or _OTHERS.search(b.around or ""):
        return True
    if any(_RIGHT.match(parted(q)[1]) for q in (a, b)):
        return True  # "and the five feet is right": of the figure told before
    if _aspect(a) != _aspect(b):
        return True
    return _place(a) != _place(b)


def _place(q: Quantity) -> str:
    found = _PLACE.search(" ".join(lead(q)[-7:]))
    return found.group(0).strip() if found is not None else ""


def _aspect(q: Quantity) -> str:
    found = _ASPECT.match(parted(q)[1])
    return found.group(1) if found is not None else ""


@lru_cache(maxsize=512)
def _material(vocabulary: Vocabulary, subject: str) -> bool:
    """Whether a subject names nothing but what something is made of."""
    own = words(subject)
    return bool(own) and any(own == words(form) for row in vocabulary["materials"].rows for form in row["said"])
