"""The order of reading: each extractor once, overlaps settled here and nowhere else."""

from __future__ import annotations

from dataclasses import replace

from extractors.answers import find_answers
from extractors.asides import mark_asides
from extractors.at_once import find_at_once
from extractors.breakdowns import find_breakdowns, find_sums
from extractors.components import find_things_and_fates
from extractors.filing import file_measures
from extractors.identity import find_identity
from extractors.loose_numbers import find_loose
from extractors.mentions import Mentions, RepairMention, Tokens
from extractors.normalise import tokenise
from extractors.one_each import find_one_each
from extractors.poles import find_poles
from extractors.quantities import find_measures
from extractors.repairs import before_repair, find_repairs, reported, without
from extractors.sequences import find_sequences
from extractors.settle import Reading, settle
from extractors.settle_earlier import sides_of
from extractors.spoken_numbers import find_numbers
from extractors.standing import find_remarks
from extractors.stopped import find_stopped
from extractors.unsure import listen_again, stations_doubted, things_doubted
from extractors.weighed_doubts import doubted
from extractors.words import Transcript
from vocab import Vocabulary

MOST = 10_000
"""Things of one kind that a recording counts, at most; chosen, no source."""


def extract(transcript: Transcript, vocabulary: Vocabulary) -> Mentions:
    """Everything that the transcript says of a machine, each mention with the span of words it stands on."""
    read_so_far = undoubted(transcript, vocabulary)
    return replace(read_so_far, quantities=doubted(read_so_far.quantities, read_so_far.tokens, vocabulary))


def undoubted(transcript: Transcript, vocabulary: Vocabulary) -> Mentions:
    """The same before figures are doubted for how they were said."""
    tokens, misheard = tokenise(transcript, vocabulary)
    repairs = find_repairs(tokens, vocabulary)
    clear = mark_asides(without(tokens, repairs), vocabulary)
    before = mark_asides(before_repair(tokens, repairs), vocabulary)
    counts = bare_counts(tokens, repairs, vocabulary)
    sides = sides_of(tokens, repairs, vocabulary)
    reading = settle(read(clear, vocabulary), read(before, vocabulary), repairs, counts, sides)
    things, quantities, remarks = find_remarks(clear, reading.things, reading.quantities, vocabulary)
    numbers = find_numbers(clear, vocabulary)
    return Mentions(
        tokens=clear,
        quantities=quantities,
        things=things_doubted(things, clear),
        sequences=stations_doubted(reading.sequences, clear),
        identity=reading.identity,
        repairs=(*reported(repairs), *reading.fates, *misheard),
        remarks=(*remarks, *listen_again(clear, vocabulary)),
        breakdowns=(*find_breakdowns(clear, numbers, things, quantities, vocabulary), *find_one_each(clear, numbers)),
        answers=find_answers(clear, vocabulary),
        sums=find_sums(clear, numbers, quantities),
        stopped=find_stopped(clear, numbers),
        at_once=find_at_once(clear, numbers),
        loose=find_loose(clear, numbers, quantities),
    )


def bare_counts(
    tokens: Tokens, repairs: tuple[RepairMention, ...], vocabulary: Vocabulary
) -> dict[RepairMention, tuple[int, int]]:
    """Of late corrections the two whole numbers, withdrawn and kept, where each side has one."""
    out = {}
    for repair in repairs:
        if not repair.late or repair.withdrawn is None or repair.kept is None:
            continue
        sides = [tuple(t for t in tokens if a <= t.word < b) for a, b in (repair.withdrawn, repair.kept)]
        values = [[n.value for n in find_numbers(side, vocabulary) if n.value_max is None] for side in sides]
        if all(len(v) == 1 and v[0] == int(v[0]) and 0 < v[0] < MOST for v in values):
            out[repair] = int(values[0][0]), int(values[1][0])
    return out


def read(tokens: Tokens, vocabulary: Vocabulary) -> Reading:
    """One pass over a token stream, in the order in which the extractors build on one another."""
    measures = find_measures(tokens, vocabulary)
    sequences = find_sequences(tokens, measures, vocabulary)
    things, fates = find_things_and_fates(tokens, measures, sequences, vocabulary)
    identity = find_identity(tokens, things, vocabulary)
    whole = next((str(i.value) for i in identity if i.field == "kind" and i.status != "withdrawn"), "")
    quantities = file_measures(tokens, measures, things, sequences, vocabulary, whole=whole)
    return Reading((*quantities, *find_poles(tokens, vocabulary)), things, sequences, identity, fates)
