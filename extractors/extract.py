"""The order of reading: each extractor once, overlaps settled here and nowhere else."""

from __future__ import annotations

from extractors.asides import mark_asides
from extractors.components import find_things
from extractors.filing import file_measures
from extractors.identity import find_identity
from extractors.mentions import Mentions
from extractors.normalise import tokenise
from extractors.quantities import find_measures
from extractors.repairs import find_repairs, without
from extractors.sequences import find_sequences
from extractors.standing import find_remarks
from extractors.words import Transcript
from vocab import Vocabulary


def extract(transcript: Transcript, vocabulary: Vocabulary) -> Mentions:
    """Everything that the transcript says of a machine, each mention with the span of words it stands on."""
    tokens, misheard = tokenise(transcript, vocabulary)
    repairs = find_repairs(tokens, vocabulary)
    clear = mark_asides(without(tokens, repairs), vocabulary)
    measures = find_measures(clear, vocabulary)
    sequences = find_sequences(clear, measures, vocabulary)
    things = find_things(clear, measures, sequences, vocabulary)
    identity = find_identity(clear, things, vocabulary)
    quantities = file_measures(clear, measures, things, sequences, vocabulary)
    things, quantities, remarks = find_remarks(clear, things, quantities, vocabulary)
    return Mentions(
        tokens=clear,
        quantities=quantities,
        things=things,
        sequences=sequences,
        identity=identity,
        repairs=(*repairs, *misheard),
        remarks=remarks,
    )
