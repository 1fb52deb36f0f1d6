"""Maker, model, serial, year, kind, controls and location of the whole, as spoken."""

from __future__ import annotations

from functools import lru_cache

from extractors.locations import location
from extractors.mentions import IdentityMention, ThingMention, Tokens
from extractors.noun_phrase import Phrase
from extractors.noun_tables import names_of
from extractors.open_nouns import is_agent
from extractors.ownership import whole_plates
from extractors.phrases import Finder, clause_end, clause_start, said_text, sentence_bounds, singular, span_of, text_of
from extractors.scene import Scene, scene
from extractors.unit_words import unit_table
from extractors.word_classes import classes_of
from vocab import Vocabulary

OPENINGS = tuple((tuple(words.split()), strength) for words, strength in (
    ("machine is", 4), ("equipment is", 4), ("plant is", 3),
    ("it 's", 4), ("this here 's", 5), ("this one is", 4), ("this one 's", 4), ("got is", 4), ("have is", 4),
    ("have here is", 4), ("got here is", 4),
    ("what you see is", 4), ("what we see is", 4), ("what i have here is", 4), ("you see here", 3),
    ("we see here", 3), ("it is", 4), ("this is", 4), ("she 's", 4), ("what we have is", 4), ("what we got here is", 5),
    ("what we 've got here is", 5), ("what you got is", 4), ("here we have", 4), ("here 's", 3), ("here is", 3),
    ("we have here", 3), ("looking at", 3), ("walk through of", 3), ("walkthrough of", 3), ("walk around of", 3),
    ("look at", 2), ("tour of", 3), ("inspection of", 3), ("down the", 2), ("recording of", 3), ("from the", 2),
    ("at the", 1), ("recording from", 3), ("standing at", 2), ("in front of", 4), ("we 've got", 2),
    ("we got", 2), ("i 've got here", 4),
    ("you 've got here", 3), ("we have got", 2), ("i 've got", 1),
    ("so the", 1), ("around the", 1), ("for the", 1),
    ("on the", 1), ("of the", 1),
))  # fmt: skip
"""Words before a phrase that name what the walk is about, and how strongly."""
OPENING_SENTENCES = 10
BEGINNINGS = 3
"""Sentences of which one may be the name alone."""
AFTER_A_NAME = frozenset("then here first behind at by".split())
THE_ONE = frozenset("thing machine one item unit lot job equipment kit".split())
TELLERS = frozenset("i we you you've i've we've they he she".split())
LONGEST = 6
"""Words of a name that no table has, at most."""
OPENING_WORDS = 6
"""Words of greeting before the name that a talk begins with."""
TURNING = frozenset("right so okay ok well now this here alright hello hi good morning afternoon".split())
SCREENS = frozenset(
    {
        "touch screen",
        "touchscreen",
        "touch panel",
        "operator panel",
        "operator screen",
        "hmi",
        "colour panel",
        "color panel",
        "colour display",
        "color display",
    }
)
LINES = frozenset({"line", "cell", "lane", "press", "unit", "furnace", "oven", "boiler", "compressor", "train"})
"""Words that with a number or a letter behind them are the name of a whole."""
WEAK = SCREENS | {
    "chart recorder",
    "digital readout",
    "two axis readout",
    "three axis readout",
    "pressure switch",
    "thermostat",
    "temperature controller",
    "temperature controllers",
    "wye delta starter",
    "foot pedal",
    "soft starter",
    "relay",
    "relays",
    "contactors",
    "computer",
    "pc",
    "keypad",
    "levers",
    "push button",
}
"""Words for controls that stand only where no stronger one was said, or beside one."""

TAKEN_OUT = frozenset("gone removed scrapped stripped out pulled ripped disconnected dead".split())
CASES = frozenset("cabinet panel system box rack board".split())
"""Words for what controls sit in, that may stand behind them."""
CHANGED = frozenset("changed upgraded replaced converted switched updated".split())
CONTROL_HEADS = frozenset(
    "panel recorder controller readout programmer timer computer terminal console system pendant display indicator "
    "dcs box".split()
)
"""What a machine may be controlled by, in words of no table of controls."""
NEARBY = frozenset("at by before to beside".split())
HERE = frozenset("i i'm we standing stand stood moving on onto now us stop stopped come".split())
"""Words of a clause that tells where the speaker is."""
OF_THE_TALK = frozenset(
    "version recording report file record tour overview story list survey appraisal video clip note file "
    "entry page item walk walkaround walkthrough valuation round job visit plate nameplate tag label sticker".split()
)
"""What the talk itself is, "this is the fast version", and what a talk reads from: "Name plate. Kelbray, type 40"."""


def find_identity(
    tokens: Tokens, things: tuple[ThingMention, ...], vocabulary: Vocabulary
) -> tuple[IdentityMention, ...]:
    """At most one mention for each field that was said."""
    if not tokens:
        return ()
    view = scene(tokens, (), vocabulary)
    out = []
    kind = _kind(view, vocabulary)
    mine = whole_plates(view, view.phrases)
    if kind is not None:
        makers = {
            k for n in mine if view.plates[n].field == "maker" for k in range(view.plates[n].first, view.plates[n].last)
        }
        first = next((k for k in range(kind.name, kind.last) if k not in makers), kind.name)
        sized = view.atoms[first].lower in unit_table(vocabulary).forms and any(
            end == first for end, *_ in view.numbers.values()
        )
        if sized and first < kind.last - 1:
            first += 1  # "a 10,000 gallon tank" is a tank, "the bar feeder" stays one
        text = kind.text if first == kind.name else text_of(view.atoms, first, kind.last)
        out.append(IdentityMention(span_of(view.atoms, tokens, kind.first, kind.last), "kind", text))
    begun = _begun(view, vocabulary)
    if begun is not None and (kind is None or view.atoms[kind.name].sentence > view.atoms[begun[0]].sentence):
        first, last = begun
        out = [IdentityMention(span_of(view.atoms, tokens, first, last), "kind", text_of(view.atoms, first, last))]
    for n in mine:
        plate = view.plates[n]
        out.append(
            IdentityMention(
                span_of(view.atoms, tokens, plate.first, plate.last),
                plate.field,
                plate.value,
                "hedged" if plate.hedged else "stated",
                plate.doubt,
            )
        )
    for mention in (_name(view, vocabulary), _controls(view, vocabulary), location(view, vocabulary)):
        if mention is not None:
            out.append(mention)
    return tuple(out)


def _kind(view: Scene, vocabulary: Vocabulary) -> Phrase | None:
    """The phrase that says what the whole is."""
    wholes, parts = _wholes(vocabulary), _words(vocabulary, "part", nouns=True)
    best: tuple[float, Phrase] | None = None
    opening = view.atoms[0].sentence + OPENING_SENTENCES
    for p in view.phrases:
        if view.atoms[p.name].sentence > opening or p.negated or p.indexed:
            continue
        whole = singular(p.heads[-1]) in wholes or p.known in wholes
        if not whole and p.grade not in ("machine", "open"):
            continue
        if (p.grade == "generic" and not p.modifiers) or p.heads[-1] in OF_THE_TALK or _of_a_place(view, p):
            continue
        late = view.atoms[p.name].sentence - view.atoms[0].sentence
        strength = max((w for words, w in OPENINGS if _ends(words, p, view)), default=0)
        stood_at = late <= 1 and _stood_at(view, p)
        strength = max(strength, 4) if stood_at or _what_is(view, p) else strength
        part = parts.at(view.atoms, p.head) is not None or p.plural or p.last - p.name < 2
        if strength == 0 and late > 1 and not (whole and p.modifiers) and (part or not _heads(view, p)):
            continue  # "the oil pump has 1.5": told of while the whole is long known
        strength -= 1 if p.led and not stood_at else 0
        first = 2.5 if best is None and (stood_at or not p.led) else 0
        if _opens(view, p):
            strength = max(strength, 4)
        rank = strength + first + (1.5 if whole else 0) + 0.3 * min(3, len(p.modifiers)) - 0.12 * late
        if p.led and p.heads[-1] in ("plant", "works") and view.atoms[p.first - 1].lower in ("at", "in", "inside"):
            rank -= 3  # "I'm at the box plant": where it stands
        if (p.count is not None and p.count > 1) or p.article == "that":
            rank -= 3  # "this is that granola plant": known to both, and where it stands
        if best is None or rank > best[0]:
            best = (rank, p)
    return _in_full(view, best[1]) if best else None


def _in_full(view: Scene, kind: Phrase) -> Phrase:
    """A mere "line" as it was called in the opening before it: "through the bread line"."""
    if len(kind.heads) > 1 or kind.modifiers:
        return kind
    opening = view.atoms[0].sentence + OPENING_SENTENCES
    same = (p for p in view.phrases if p.heads[-1] == kind.heads[-1] and view.atoms[p.name].sentence <= opening)
    fuller = (p for p in same if not (p.negated or p.plural or p.indexed) and p.article in ("the", "this", "our"))
    return next((p for p in fuller if p.last - p.name > 1), kind)


def _of_a_place(view: Scene, p: Phrase) -> bool:
    """Whether a phrase has the name of a place: "in building two at the Cobbler Creek mill"."""
    atoms = view.atoms
    named = [k for k in range(p.name, p.last - 1) if atoms[k].capital and k and not atoms[k - 1].after]
    return p.led and len(named) > 1 and p.article == "the" and atoms[p.first - 1].lower in ("at", "in", "inside")


def _opens(view: Scene, p: Phrase) -> bool:
    """Whether the talk begins with the name alone: "Tissue rewinder. I'm at the end.", "Right, press,"."""
    atoms = view.atoms
    if atoms[p.name].sentence - atoms[0].sentence > 1 or p.led or p.article not in ("", "a", "an"):
        return False
    start = clause_start(atoms, p.first)
    if start > OPENING_WORDS or any(a.lower not in TURNING for a in atoms[start : p.first]):
        return False
    behind = atoms[p.last].lower if p.last < len(atoms) and not atoms[p.last - 1].after else "then"
    return behind in ("then", "here", "now", "first", "today", "at", "in", "on", "out", "down")


def _heads(view: Scene, p: Phrase) -> bool:
    """Whether a name stands alone at the head of its sentence: "Stenter frame, pin and clip combined"."""
    alone = p.last >= len(view.atoms) or bool(view.atoms[p.last - 1].after)
    first = sentence_bounds(view.atoms, p.first)[0]
    begun = clause_start(view.atoms, p.first) == p.first
    return alone and begun and p.first - first <= 3


def _begun(view: Scene, vocabulary: Vocabulary) -> tuple[int, int] | None:
    """Atoms of a name that no table has, where the talk begins with nothing else: "Potato harvester, then."."""
    k = 0
    for _ in range(BEGINNINGS):
        found = _named_at(view, vocabulary, k)
        _, k = sentence_bounds(view.atoms, k)
        if found is not None or k >= len(view.atoms):
            return found
    return None


def _named_at(view: Scene, vocabulary: Vocabulary, k: int) -> tuple[int, int] | None:
    """Atoms of the name that the sentence at k begins with and that nothing is said of."""
    atoms, classes = view.atoms, classes_of(vocabulary)
    _, last = sentence_bounds(atoms, k)
    while k < last and (atoms[k].lower in TURNING or atoms[k].lower in ("the", "a", "an", "your")):
        k += 1
    first = k
    while k < last and k - first < LONGEST and k not in view.measured and not atoms[k].aside:
        joins = atoms[k].lower in ("in", "on", "of", "and") and k > first and k + 1 < last and not atoms[k].after
        if not joins and classes.of(atoms[k].lower) not in ("content", "describes", "name", "number", "acts"):
            break
        k += 1
        if atoms[k - 1].after:
            break
    if k == first or _words(vocabulary, "place", nouns=True).at(atoms, k - 1) is not None:
        return None
    if _words(vocabulary, "greeting").at(atoms, first) is not None or _introduced(view, k):
        return None  # "Namaste ji, Ravi this side", "Sandor Vale, this is Ines"
    ends = (k < last and (bool(atoms[k - 1].after) or atoms[k].lower in AFTER_A_NAME)) or k == last
    stem = singular(atoms[k - 1].lower)
    if (
        not ends
        or k - first < 2
        or stem != atoms[k - 1].lower
        or classes.of(stem) != "content"
        or k - 1 in view.numbers
    ):
        return None
    known = names_of(vocabulary).at(atoms, k - 1)
    if (
        stem in OF_THE_TALK
        or (known is not None and known[1][1] == "never" and stem != "rig")
        or stem.endswith(("tion", "ment", "ness", "ity"))
    ):
        return None
    plain = classes.of(atoms[first].lower) != "number" and not atoms[first].lower.endswith("ly")
    agent = is_agent(stem) or known is not None
    opens = atoms[first].sentence == atoms[0].sentence
    return (first, k) if (agent and classes.of(stem) != "name") or (opens and plain and k - first <= 4) else None


def _introduced(view: Scene, k: int) -> bool:
    """Whether the speaker says at k who he is, so that the words before were a greeting."""
    atoms = view.atoms
    if k >= len(atoms) or not atoms[k - 1].after:
        return False
    words = [a.lower for a in atoms[k : k + 4]]
    named = atoms[k].capital and words[1:2] in (["here"], ["speaking"])
    sided = atoms[k].capital and words[1:3] == ["this", "side"]
    this_is = words[:2] in (["this", "is"], ["it", "'s"]) and len(atoms) > k + 2 and atoms[k + 2].capital
    return named or sided or (this_is and bool(atoms[k + 2].after)) or words[:1] in (["hello"], ["hi"])


def _stood_at(view: Scene, p: Phrase) -> bool:
    """Whether the speaker stands or walks up there: "I am standing at the churn", "on to the baler"."""
    atoms = view.atoms
    k = p.first - 1
    if k < 1 or atoms[k].lower not in NEARBY or atoms[k].after or p.article not in ("the", "this", "a", "an"):
        return False
    before = {a.lower for a in atoms[clause_start(atoms, k) : k]}
    behind = bool(atoms[p.last - 1].after) or p.last >= len(atoms)
    return behind and bool(before & HERE) and not before & {"go", "going"} and p.grade in ("machine", "open")


def _what_is(view: Scene, p: Phrase) -> bool:
    """ "What we're looking at, folks, is a keg washing line", "the thing you asked me to see is a boiler"."""
    atoms, k = view.atoms, p.first - 1
    while k > 0 and (atoms[k].glue == "-" or atoms[k - 1].glue == "-") and not atoms[k].after:
        k -= 1  # "is a stand-up pouch line"
    k -= k < p.first - 1 and k > 0 and atoms[k].lower in ("a", "an", "the")
    if k < 1 or atoms[k].lower not in ("is", "'s"):
        return False
    for first in (sentence_bounds(atoms, k)[0], clause_start(atoms, k)):
        while first < k and atoms[first].lower in TURNING | {"and"}:
            first += 1
        named = atoms[first].lower == "the" and atoms[first + 1].lower in THE_ONE
        told = first + 1 + named
        asks = (named or atoms[first].lower == "what") and atoms[told].lower in TELLERS
        if asks and first < k < first + 10:
            return True
    return False


def _ends(words: tuple[str, ...], p: Phrase, view: Scene) -> bool:
    """Whether the opening words stand right before the phrase, its article left out."""
    k = p.first - 1 - len(words)
    if words[0] == "it" and k >= 0 and not view.atoms[k].after and view.atoms[k].lower.endswith("ing"):
        return False  # "feeding it is a grizzly"
    tail = tuple(a.lower for a in view.atoms[max(0, p.first - 6) : p.name])
    while tail and tail[-1] in ("a", "an", "the", "one", "your", "our", "old", "new", "small", "big", "little", "uh"):
        tail = tail[:-1]
        if tail[-len(words) :] == words:
            return True
    full = tuple(a.lower for a in view.atoms[max(0, p.first - 6) : p.name])
    return tail[-len(words) :] == words or full[-len(words) :] == words


def _controls(view: Scene, vocabulary: Vocabulary) -> IdentityMention | None:
    """What it is controlled by: the first word for controls that is not denied, with its screen."""
    finder = _words(vocabulary, "controls")
    found: list[tuple[int, int, str]] = []
    i = 0
    while i < len(view.atoms):
        hit = None if view.atoms[i].aside else finder.at(view.atoms, i)
        if hit is None:
            i += 1
            continue
        start = clause_start(view.atoms, i)
        if not any(
            a.lower in ("no", "not", "without", "isn't", "never", "ain't") and not a.after
            for a in view.atoms[max(start, i - 3) : i]
        ):
            found.append((i, hit[0], hit[1]))
        i = hit[0]
    found = [f for f in found if not _gone(view, f[1])] or found
    if not found:
        return _controls_told(view)
    named = [
        f
        for f in found
        if any(a.lower in ("controls", "control") for a in view.atoms[max(0, f[0] - 4) : f[0]]) and f[2] not in SCREENS
    ]
    strong = [f for f in found if f[2] not in WEAK]
    newer = [f for f in strong if _exchanged(view, f[1])]
    screens = [f for f in found if f[2] in SCREENS]
    first = (newer or named or strong or screens or found)[0]
    text = text_of(view.atoms, first[0], first[1])
    last = first[1]
    if first[2] not in SCREENS and first[2] not in WEAK:
        near = [
            f
            for f in found
            if f[2] in SCREENS
            and abs(view.atoms[f[0]].sentence - view.atoms[first[0]].sentence) <= 1
            and f[0] > first[0]
        ]
        if near:
            text += " with " + text_of(view.atoms, near[0][0], near[0][1])
            last = near[0][1] if view.atoms[near[0][0]].sentence == view.atoms[first[0]].sentence else last
    return IdentityMention(span_of(view.atoms, view.tokens, first[0], last), "controls", text)


def _gone(view: Scene, end: int) -> bool:
    """Whether the words behind controls say that they are there no more: "the old relay cabinet is gone"."""
    words = [a.lower for a in view.atoms[end : min(end + 3, clause_end(view.atoms, end - 1))]]
    while words and words[0] in CASES:
        words = words[1:]
    return len(words) > 1 and words[0] in ("is", "'s", "was", "are", "were", "has", "got") and words[1] in TAKEN_OUT


def _controls_told(view: Scene) -> IdentityMention | None:
    """ "The control's a Hartnoll panel", "controls were changed to a big recorder": what no table names."""
    atoms = view.atoms
    for i in range(len(atoms) - 3):
        if atoms[i].lower not in ("control", "controls", "controller") or atoms[i].after or atoms[i].aside:
            continue
        k = i + 1 + (atoms[i + 1].lower == "system")
        if atoms[k].lower not in ("is", "'s", "was", "were", "are"):
            continue
        changed = next((n + 1 for n in range(k + 1, min(k + 4, len(atoms))) if atoms[n].lower == "to"), k + 1)
        k = changed if atoms[k + 1].lower in CHANGED else k + 1
        if k + 1 >= len(atoms) or atoms[k].lower not in ("a", "an"):
            continue
        end = clause_end(atoms, k)
        heads = [n for n in range(k + 1, end) if singular(atoms[n].lower) in CONTROL_HEADS]
        if heads and heads[0] - k <= LONGEST:
            last = heads[0] + 1
            return IdentityMention(span_of(atoms, view.tokens, k + 1, last), "controls", said_text(atoms, k + 1, last))
    return None


def _exchanged(view: Scene, end: int) -> bool:
    """Whether the words behind controls say that they came later: "PLC swapped in 2017"."""
    words = [a.lower for a in view.atoms[end : clause_end(view.atoms, end - 1)]]
    return bool({"swapped", "retrofitted", "retrofit", "upgraded", "fitted", "since"} & set(words[:4]))


def _name(view: Scene, vocabulary: Vocabulary) -> IdentityMention | None:
    """What people call the whole: "we call it line two", "this is line four", "asset name Big Bertha"."""
    atoms, cues = view.atoms, _words(vocabulary, "name")
    for i in range(len(atoms)):
        if atoms[i].sentence > atoms[0].sentence + OPENING_SENTENCES:
            return None
        hit = None if atoms[i].aside else cues.at(atoms, i)
        if hit is None or hit[0] >= len(atoms) or atoms[hit[0] - 1].after:
            continue
        first = hit[0] + (atoms[hit[0]].lower == "the")
        end = clause_end(atoms, first)
        numbered = _numbered(view, first)
        if hit[1] in ("this is", "here is", "here 's", "it 's", "we 're at", "i 'm at", "standing at"):
            end = numbered  # "this is line four"
        else:
            end = numbered or next(
                (k for k in range(first, end) if k - first >= 4 or atoms[k].lower in ("and", "in", "at", "which")), end
            )
        if end > first and first not in view.numbers:  # "they call it 1,700 gallons" is a figure
            return IdentityMention(span_of(atoms, view.tokens, first, end), "name", said_text(atoms, first, end))
    return None


def _numbered(view: Scene, k: int) -> int:
    """End of a name such as "line four", "cell B" at k; 0 where none begins."""
    atoms = view.atoms
    if k + 1 >= len(atoms) or atoms[k].lower not in LINES or atoms[k].after:
        return 0
    if k + 1 in view.numbers and view.numbers[k + 1][3] in ("cardinal", "digits"):
        return view.numbers[k + 1][0]
    return k + 2 if len(atoms[k + 1].said) == 1 and atoms[k + 1].said.isupper() else 0


@lru_cache(maxsize=16)
def _wholes(vocabulary: Vocabulary) -> frozenset[str]:
    return frozenset(n for row in vocabulary["wholes"] for n in row["names"])


@lru_cache(maxsize=32)
def _words(vocabulary: Vocabulary, field: str, *, nouns: bool = False) -> Finder[str]:
    return Finder([(s, s) for r in vocabulary["identity"] if r["field"] == field for s in r["spoken"]], nouns=nouns)
