"""What a numbered place does or is for, told by a verb: "goes to the air handlers", "rinses", "takes the smalls"."""

from __future__ import annotations

from extractors.noun_phrase import PREPOSITIONS
from extractors.phrases import clause_end, is_plural, singular
from extractors.roles import COPULAS, DONE_SO, HAVING, PERSONS, STOPS, TELLING, Role, Roles
from extractors.word_classes import ORDINALS

GOING = frozenset("goes feeds serves supplies leads runs".split())
"""Verbs of a place that lets something through to where it is needed."""
AWAY = frozenset(
    "parts spares show safety now scrap auction buyer landlord yard skip sale lot bank lease lessor seller".split()
)
"""Where a thing goes that is disposed of."""
SORTS = frozenset("takes gets handles does runs packs collects".split())
"""Verbs of a place into which one sort goes."""
FAULTY = frozenset(
    (
        "leaks sticks squeals rattles smokes jams trips hums knocks vibrates wobbles drips slips overheats whines "
        "binds wanders floats sags weeps spits pulses hunts bangs squeaks drags rubs clicks ticks stalls shakes creaks "
        "fails faults alarms rusts cracks clogs plugs blocks seizes idles counts matters exists helps differs"
    ).split()
)
"""Verbs that say what is wrong with a place, or how it is."""
BURDEN = frozenset("load weight most heat brunt strain wear abuse lead rest same job work space room time".split())
"""What a place takes without being for it."""
HOLDING = frozenset("run hold take get do handle carry keep".split())
PLACING = frozenset("on in of from at along by here there over right down up".split())
SIZED = frozenset("small medium large big jumbo".split())
THEM = frozenset({"it", "them", "'em"})


class Purposes(Roles):
    """Reads roles of one transcript, those told by a verb as well."""

    def behind(self, i: int, *, due: bool = False) -> Role | None:
        """The role behind a reference that ends at i, or what the place does where its number is due."""
        role = super().behind(i, due=due) or (self.purpose(i) or self._named_alone(i) if due else None)
        role = role or self._past_figure(i)
        past = self.past_place(i, due=due) or self._past_saying(i) if role is None else None
        return super().behind(past, due=due) if past is not None else role

    def past_place(self, i: int, *, due: bool) -> int | None:
        """The verb behind a place within which the number counts: "number one on the block is the rinser", "tank eight
        here by the door is oil"."""
        atoms = self.atoms
        if i + 2 >= len(atoms) or atoms[i - 1].after or atoms[i].lower not in PLACING:
            return None
        for k in range(i + 1, min(i + 8, len(atoms) - 1)):
            if atoms[k - 1].after or k in self.numbers | self.measured:
                return None
            if atoms[k].lower in COPULAS and k > i + 1:
                return k if due or atoms[k + 1].lower in ("the", "a", "an", "your") or self.known(k + 1) else None
        return None

    def _past_figure(self, i: int) -> Role | None:
        """The name behind a figure: "zone two's 220, the main boil-off", "zone one is 200, that's only the warm-up"."""
        atoms = self.atoms
        if i + 1 >= len(atoms) or atoms[i - 1].after or atoms[i].lower not in COPULAS:
            return None
        if i + 1 not in self.numbers | self.measured:
            return None
        k = clause_end(atoms, i)
        if k + 1 >= len(atoms) or atoms[k - 1].after != "," or atoms[k].sentence != atoms[i].sentence:
            return None
        k += 2 if atoms[k].lower in ("that", "it") and atoms[k + 1].lower in COPULAS else 0
        k += k < len(atoms) and atoms[k].lower in ("only", "just")
        if k + 1 >= len(atoms) or atoms[k].lower not in ("the", "a"):
            return None
        role = self.phrase(k + 1)
        return role if role is not None and self._alone(role) else None

    def _past_saying(self, i: int) -> int | None:
        """The verb behind words of opinion: "zone one I'd say is the preheat"."""
        atoms = self.atoms
        if i + 2 >= len(atoms) or atoms[i - 1].after or atoms[i].lower not in ("i", "you", "they"):
            return None
        said = {a.lower for a in atoms[i + 1 : i + 3]} & {
            "say",
            "think",
            "believe",
            "guess",
            "reckon",
            "suppose",
            "tell",
        }
        end = next((k for k in range(i + 2, min(i + 6, len(atoms))) if atoms[k].lower in COPULAS), None)
        return end if said and end is not None and not any(a.after for a in atoms[i:end]) else None

    def _named_alone(self, i: int) -> Role | None:
        """The name right behind a number that is due, with nothing between: "and unit seven buffing."."""
        if i >= len(self.atoms) or self.atoms[i - 1].after or self.atoms[i].sentence != self.atoms[i - 1].sentence:
            return None
        role = self.phrase(i)
        if role is None or not self._alone(role) or is_plural(role.last_word):
            return None  # "two idlers" counts
        return role if role.vocabulary or role.last_word.endswith("ing") else None

    def purpose(self, i: int) -> Role | None:
        """What a place does, at i."""
        atoms = self.atoms
        if i >= len(atoms) or i == 0 or atoms[i - 1].after or atoms[i].sentence != atoms[i - 1].sentence:
            return None
        return self.does(i) or self._sort(i) or self._works(i) or self._several(i)

    def _several(self, i: int) -> Role | None:
        """What goes to several places: "all run large", "hold the base whites"."""
        k = i + (self.atoms[i].lower in ("all", "both", "each"))
        if k + 1 >= len(self.atoms) or self.atoms[k].lower not in HOLDING or self.atoms[k].after:
            return None
        return self._grade(k + 1)

    def does(self, i: int) -> Role | None:
        """What a place does, at i: what it lets through goes by where it is needed."""
        return self._goes_to(i) or super().does(i)

    def _goes_to(self, i: int) -> Role | None:
        """ "Goes to the air handlers", "feeds the snow melt", "is for the reds"."""
        atoms, word = self.atoms, self.atoms[i].lower
        nxt = atoms[i + 1].lower if i + 1 < len(atoms) else ""
        led = nxt in ("to", "for", "into", "out")
        if (word == "for" and self._worded(i)) or (word in COPULAS and nxt == "for"):
            return self._grade(i + 1 + (word != "for"))
        elif word in GOING and (led or word not in ("goes", "leads", "runs")):
            k = i + 1 + led + (nxt == "out")
        else:
            return None
        if k + 1 >= len(atoms) or atoms[k].lower not in ("the", "your", "our"):
            return None
        role = self.phrase(k + 1)
        return role if role is not None and role.last_word not in AWAY and self._alone(role) else None

    def _grade(self, k: int) -> Role | None:
        """The sort that a place is for, at k: "for the reds", "for large"."""
        k += k < len(self.atoms) and self.atoms[k].lower in ("the", "your", "all")
        if k >= len(self.atoms):
            return None
        if self.atoms[k].lower in SIZED and (self.atoms[k].after or k + 1 == len(self.atoms)):
            return Role(k, k + 1, self.atoms[k].said, False, self.atoms[k].lower)
        role = self.phrase(k)
        return role if role is not None and self._alone(role) and role.last_word not in AWAY else None

    def _sort(self, i: int) -> Role | None:
        """ "Takes the smalls", "does whites", "runs DI": the one sort that goes there."""
        atoms = self.atoms
        if atoms[i].lower not in SORTS or atoms[i].after or i + 1 >= len(atoms):
            return None
        k = i + 1 + (atoms[i + 1].lower in ("the", "all", "your"))
        k += k < len(atoms) and atoms[k].lower == "the"
        role = self.phrase(k)
        if role is None or not self._alone(role):
            return None
        plural = is_plural(role.last_word) and not role.last_word.endswith("ss")
        code = atoms[role.end - 1].said.isupper() and len(atoms[role.end - 1].said) > 1
        sized = role.last_word in SIZED
        one = (
            atoms[i + 1].lower == "the"
            and atoms[i].lower in ("takes", "does", "handles")
            and role.last_word not in BURDEN
        )
        return role if role.vocabulary or plural or sized or one or (code and atoms[i].lower != "gets") else None

    def _works(self, i: int) -> Role | None:
        """ "Rinses", "steps it down": one verb that says what is done there."""
        atoms, word = self.atoms, self.atoms[i].lower
        end = clause_end(atoms, i)
        on_it = i + 1 < end and atoms[i + 1].lower in THEM
        further = atoms[i + 2].lower if on_it and i + 2 < end else ""
        if further and further not in STOPS | DONE_SO | PREPOSITIONS:
            return None  # "zone four lets it warm up"
        if word in TELLING | FAULTY or i in self.numbers | self.measured or not word.isalpha() or len(word) < 4:
            return None
        if self.classes.of(word) not in ("content", "acts") or word in COPULAS | HAVING | PERSONS | STOPS:
            return None
        alone = i + 1 == end or on_it
        verb = word.endswith("s") and not word.endswith("ss")
        if not alone or not (verb or (on_it and atoms[i - 1].lower not in THEM)):
            return None
        named = self._named_then(end)
        if named is not None:
            return named
        if not (on_it or self.known(i) or self._told_apart(i)):
            return None  # "two idlers, both worn" counts
        text = singular(word) if verb else word
        return Role(i, i + 1 + on_it, text, self.known(i), word)

    def _worded(self, i: int) -> bool:
        """Whether the numbers before i are of a word for places: "lanes two and three", not "and two for salt"."""
        k = i - 1
        while k > 0 and (k in self.numbers or self.atoms[k].lower in ("and", "to", "through")):
            k -= 1
        return self.places.at(self.atoms, k) is not None

    def _told_apart(self, i: int) -> bool:
        """Whether the number before i can only point at one place: "unit four", "the fourth one"."""
        atoms, one = self.atoms, i - 1 - (self.atoms[i - 1].lower == "one")
        return atoms[one].lower in ORDINALS or (i > 1 and self.places.at(atoms, i - 2) is not None)

    def _named_then(self, end: int) -> Role | None:
        """The name behind what is done: "one and two heat it up, they're the preheat"."""
        atoms = self.atoms
        if end + 1 >= len(atoms) or atoms[end - 1].after != "," or atoms[end].sentence != atoms[end - 1].sentence:
            return None
        told = atoms[end].lower in ("it", "that", "they", "those", "these") and atoms[end + 1].lower in COPULAS
        role = self.after_article(end + 2) if told else None
        return role if role is not None and (role.vocabulary or self._alone(role)) else None
