"""Windows, seams, coverage and the guard against invented words: pure functions, no recogniser."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extractors.words import Word
from pipeline.coverage import (
    WHY_GUESSED,
    Hearing,
    disbelieved,
    doubting,
    guessed,
    longest_said,
    not_understood,
    repeats_a_guess,
    unworded,
    without_echoes,
)
from pipeline.hearing_plan import (
    FRAME,
    HeardWord,
    PlanOptions,
    Span,
    Window,
    in_order,
    join_windows,
    plan,
    speech_spans,
)
from pipeline.muffled import Tone
from pipeline.second_hearing import choose, doubtful, judged, rightness, spots

OPTIONS = PlanOptions()


def voice(*spans: tuple[float, float], seconds: float) -> np.ndarray:
    activity = np.zeros(int(seconds / FRAME), np.float32)
    for a, b in spans:
        activity[int(a / FRAME) : int(b / FRAME)] = 0.95
    return activity


def word(text: str, start: float, end: float, p: float = 0.95, floor: float | None = None) -> HeardWord:
    return HeardWord(text, start, end, p, floor=p if floor is None else floor)


def test_no_window_is_longer_than_the_recogniser_hears_and_all_speech_is_in_one() -> None:
    activity = voice((1, 50), (51, 130), seconds=140)
    windows = plan(activity, OPTIONS, duration=140.0)
    assert all(w.heard.length <= 30.0 for w in windows)
    for span in speech_spans(activity, OPTIONS, duration=140.0):
        inside = [w for w in windows if w.own.start < span.end]
        covered = sum(min(w.own.end, span.end) - max(w.own.start, span.start) for w in inside)
        assert covered == pytest.approx(span.length, abs=0.01)


def test_windows_end_in_pauses() -> None:
    activity = voice((0.5, 19.5), (20.3, 40), seconds=41)
    first = plan(activity, OPTIONS, duration=41.0)[0]
    assert 19.5 < first.own.end < 20.3


def test_silence_has_no_windows() -> None:
    assert plan(np.zeros(2000, np.float32), OPTIONS, duration=64.0) == ()


@settings(max_examples=150, deadline=None)
@given(st.lists(st.floats(0.12, 0.7), min_size=8, max_size=120), st.integers(0, 2**16), st.data())
def test_a_seam_neither_doubles_nor_drops_a_word(lengths: list[float], seed: int, data: st.DataObject) -> None:
    """Windows cut at random places over one row of words, heard with a little error in the times, give that row."""
    dice = np.random.default_rng(seed)
    starts = np.cumsum([0.0, *lengths])
    row = [Word(f"w{i}", float(a), float(b)) for i, (a, b) in enumerate(itertools.pairwise(starts))]
    total = float(starts[-1])
    cuts = sorted(data.draw(st.lists(st.floats(3.0, max(3.1, total - 3.0)), max_size=4)))
    edges = [0.0]
    for c in cuts:
        if c - edges[-1] >= 4.0 and total - c >= 4.0:
            edges.append(c)
    edges.append(total)
    windows, heard = [], []
    for a, b in itertools.pairwise(edges):
        span = Span(max(0.0, a - OPTIONS.overlap), min(total, b + OPTIONS.overlap))
        windows.append(Window(Span(a, b), span))
        inside = [w for w in row if w.start >= span.start - 1e-9 and w.end <= span.end + 1e-9]
        off = dice.uniform(-0.06, 0.06, len(inside)).tolist()
        heard.append([Word(w.text, max(0, w.start + e), w.end + e) for w, e in zip(inside, off, strict=True)])
    assert [w.text for w in join_windows(windows, heard)] == [w.text for w in row]


def test_words_that_take_no_time_are_no_words() -> None:
    """As the decoder made it of one sentence in a short window: said once, written twice."""
    said = [word(t, i * 0.3, i * 0.3 + 0.3) for i, t in enumerate("the shell is half inch stainless.".split())]
    again = [word(w.text, 1.88, 1.88) for w in said]
    assert [w.text for w in without_echoes(Hearing((*said, *again))).words] == [w.text for w in said]
    assert without_echoes(Hearing(tuple(said))).words == tuple(said)


@pytest.mark.parametrize(
    ("words", "activity", "hearing"),
    [
        ("Thank you.", voice(seconds=10), {"no_speech": 0.5}),
        ("a b c d e f g h i j k l", voice((0, 0.5), seconds=10), {}),
        ("the the the the the the the the", voice((0, 8), seconds=10), {}),
        ("five feet long", voice((0, 8), seconds=10), {"no_speech": 0.9, "score": -1.4}),
    ],
)
def test_what_a_recogniser_makes_of_noise_is_not_believed(
    words: str, activity: np.ndarray, hearing: dict[str, float]
) -> None:
    made = Hearing(tuple(word(t, i * 0.4, i * 0.4 + 0.3) for i, t in enumerate(words.split())), **hearing)
    assert disbelieved(made, activity, Span(0, 10)) is not None


def test_plain_speech_is_believed() -> None:
    said = "the tank is six feet long and holds ninety gallons".split()
    made = Hearing(tuple(word(t, i * 0.4, i * 0.4 + 0.3) for i, t in enumerate(said)), score=-0.3, no_speech=0.02)
    assert disbelieved(made, voice((0, 4), seconds=10), Span(0, 10)) is None


def test_speech_without_words_is_listed() -> None:
    activity = voice((1, 3), (6, 9), seconds=12)
    (gap,) = unworded(activity, [word("hello", 1.0, 3.0)], OPTIONS)
    assert gap.start == pytest.approx(6, abs=0.1)
    assert gap.end == pytest.approx(9, abs=0.1)
    said = [word("transformers", 1, 3), *(word("of", t, t + 1) for t in (6.0, 7.0, 8.0))]
    assert unworded(activity, said, OPTIONS) == ()


def test_only_unsure_figures_and_their_units_are_heard_again() -> None:
    sure = [("the", 0.3), ("60", 0.4), ("volts", 0.5), ("pump", 0.4), ("12", 0.95)]
    row = [word(text, i, i + 1, p) for i, (text, p) in enumerate(sure)]
    assert doubtful(row, frozenset({"volts"})) == (1, 2)
    (window,) = spots(row, [1, 2], (), voice((0, 5), seconds=10), duration=10.0)
    assert window.heard.start <= 1 <= 3 <= window.heard.end


@pytest.mark.parametrize(
    ("said", "again"),
    [("480 volts, amps full load", [2]), ("400 volts phases 50", [2]), ("480 volts, 12 amps full load", []),
     ("it is three feet, inches count", [4]), ("gallons a minute, the", []), ("a few feet long", [])],
)  # fmt: skip
def test_a_unit_that_lost_its_figure_is_heard_again(said: str, again: list[int]) -> None:
    """As two clean recordings had it: every word surely heard, and one figure gone."""
    row = [word(text, i, i + 1, 0.99) for i, text in enumerate(said.split())]
    units = frozenset("volts amps phases feet inches gallons minute a".split())
    assert list(doubtful(row, units)) == again


def test_the_figure_that_the_first_hearing_swallowed_is_taken() -> None:
    heard = {"480": 0.0, "volts,": 0.5, "amps": 1.6, "full": 2.0, "load": 2.4}
    first = [word(text, at, at + 0.4) for text, at in heard.items()]
    second = [*first[:2], word("12", 1.1, 1.5, 0.95), *first[2:]]
    (window,) = spots(first, doubtful(first, frozenset({"volts", "amps"})), (), voice((0, 3), seconds=3), duration=3.0)
    assert [w.text for w in choose(first, [window], [second]).words] == "480 volts, 12 amps full load".split()


def _pair() -> tuple[list[HeardWord], Window]:
    first = [word("motor", 0, 0.5), word("for", 0.5, 0.7, 0.4), word("60", 0.7, 1.1, 0.4), word("volts", 1.1, 1.5)]
    return first, Window(Span(0.4, 1.2), Span(0.0, 2.0))


def test_the_surer_hearing_of_a_figure_is_taken_and_the_other_kept_beside_it() -> None:
    first, window = _pair()
    second = [word("motor", 0, 0.5), word("460", 0.5, 1.1, 0.9), word("volts", 1.1, 1.5)]
    choice = choose(first, [window], [second])
    assert [w.text for w in choice.words] == ["motor", "460", "volts"]
    assert choice.words[1].alternatives == ("for 60",)
    assert "taken" in choice.log[0]


def test_a_hearing_no_surer_changes_nothing_but_is_kept_as_alternative() -> None:
    first, window = _pair()
    second = [word("motor", 0, 0.5), word("460", 0.5, 1.1, 0.45), word("volts", 1.1, 1.5)]
    choice = choose(first, [window], [second])
    assert [w.text for w in choice.words] == [w.text for w in first]
    assert choice.words[2].alternatives == ("460",)
    assert judged(choice.words)[2].doubt is not None


def test_agreement_and_probability_raise_trust() -> None:
    context = [word("it", 0, 1), word("is", 1, 2)]
    weak, agreed = word("60", 2, 3, 0.6), HeardWord("60", 2, 3, 0.6, floor=0.6, agreed=1)
    denied = HeardWord("60", 2, 3, 0.6, floor=0.6, agreed=-1)
    scores = [rightness([*context, w], 2) for w in (denied, weak, agreed, word("60", 2, 3, 0.99))]
    assert scores == sorted(scores)
    assert judged([*context, denied])[2].doubt is not None
    assert judged([*context, word("60", 2, 3, 0.99)])[2].doubt is None


def test_speech_that_the_first_hearing_skipped_is_filled_from_the_second() -> None:
    first = [word("good", 0, 0.5), word("to", 0.5, 1), word("psi", 9, 9.5)]
    skipped = [word(t, 2 + i, 2.6 + i) for i, t in enumerate("two hundred and fifty".split())]
    second = [word("to", 0.5, 1), *skipped, first[2]]
    window = Window(Span(1.5, 7), Span(0.2, 9.8))
    assert [w.text for w in choose(first, [window], [second]).words] == "good to two hundred and fifty psi".split()


def test_writing_is_no_disagreement_of_two_hearings() -> None:
    first = [word("a", 0, 0.3), word("15", 0.3, 0.6, 0.4), word("horse", 0.6, 0.9), word("gear", 0.9, 1.2, 0.5)]
    second = [word("a", 0, 0.3), word("fifteen-horse", 0.3, 0.9, 0.9), word("skier", 0.9, 1.2, 0.9)]
    choice = choose(first, [Window(Span(0.2, 1.0), Span(0, 1.5))], [second])
    assert [w.text for w in choice.words] == ["a", "15", "horse", "gear"]
    assert [getattr(w, "agreed", 0) for w in choice.words] == [0, 1, 0, 0]


@given(st.lists(st.integers(0, 9), min_size=4, max_size=10), st.data())
def test_a_figure_that_a_seam_cuts_is_written_once(digits: list[int], data: st.DataObject) -> None:
    """The left window wrote the number whole, the right one began within it and wrote its end (or the other way)."""
    number = "".join(map(str, digits))
    k = data.draw(st.integers(1, len(number) - 2))
    left = [word("call", 8.0, 8.4), word(number, 8.5, 11.0)]
    right = [word(number[k:], 8.5 + 2.5 * k / len(number), 11.0), word("after", 11.3, 11.6), word("eight", 11.6, 11.9)]
    windows = [Window(Span(0, 10), Span(0, 11.6)), Window(Span(10, 20), Span(8.4, 20))]
    assert [w.text for w in join_windows(windows, [left, right])] == ["call", number, "after", "eight"]


def test_long_speech_without_words_is_heard_again_in_pieces() -> None:
    activity = voice((0, 60), seconds=60)
    windows = spots([], [], unworded(activity, [], OPTIONS), activity, duration=60.0)
    assert len(windows) > 2
    assert all(w.heard.length < 29 for w in windows)


UNKNOWN = Tone(np.zeros(600, np.float32), np.zeros((0, 2), np.float32))
"""A sound of which nothing was measured."""


def run_of(text: str, probability: float, *, at: float = 0.0) -> list[Word]:
    return [Word(w, at + 0.3 * i, at + 0.3 * i + 0.25, probability) for i, w in enumerate(text.split())]


def test_a_sentence_of_guesses_is_told_and_its_words_doubted() -> None:
    """What the recogniser wrote of a sentence without all above 450 Hz, with its own probabilities (mean 0.46)."""
    text = "When you see the target's target in the head go to the air"
    sure = run_of("and the tank is ten feet long", 0.95, at=10.0)
    words = [*run_of(text, 0.46), *sure]
    assert guessed(words) == ((0, 13),)
    assert [w.doubt is not None for w in doubting(words)] == [True] * 13 + [False] * 7
    (place,) = not_understood(UNKNOWN, words, PlanOptions())
    assert (place.start, place.why) == (0.0, WHY_GUESSED)


def test_two_guessed_sentences_with_a_pause_between_them_are_told_one_by_one() -> None:
    """Seen in a browser: the second was told as the rest of the first, eight seconds of quiet between them."""
    first_said, then = "you can do whatever you want to do", "you can go there and tell them"
    words = [*run_of(first_said, 0.4), *run_of(then, 0.3, at=10.0)]
    assert guessed(words) == ((0, 8), (8, 15))
    first, second = not_understood(UNKNOWN, words, PlanOptions())
    assert (first.end, second.start) == (words[7].end, 10.0)


def test_one_badly_heard_word_makes_no_guessed_sentence() -> None:
    words = run_of("the rectifier gives ten volts at two hundred amps", 0.9)
    words[1:2] = [Word("wrecked", 0.3, 0.5, 0.1), Word("a", 0.5, 0.55, 0.2)]
    assert guessed(words) == ()
    assert guessed(run_of("thank you", 0.2)) == (), "two words say too little"


def timed(*words: tuple[str, float, float, float]) -> list[Word]:
    return [Word(*w) for w in words]


OVER_AND_OVER = [
    # "oh, oh, oh." for a muffled sentence of four seconds, seen in a browser; its probabilities are of the same kind as
    # those of the measured rows below
    timed(("Oh,", 1.0, 2.4, 0.25), ("oh,", 2.5, 3.7, 0.8), ("oh.", 3.8, 5.0, 0.9)),
    timed(("Oh,", 1.0, 2.7, 0.25), ("oh.", 2.8, 4.5, 0.7)),
    # of the kind the base model wrote for sentences without all above 300 and 450 Hz, drawn out and surer at the end
    timed(("Hmm", 1.0, 2.2, 0.01), ("hmm", 2.2, 2.6, 0.79), ("hmm.", 2.6, 3.8, 0.99)),
    timed(("Right", 1.0, 2.1, 0.2), ("here.", 2.1, 3.0, 0.4), ("Right", 3.1, 3.9, 0.99), ("here.", 3.9, 5.0, 0.99)),
]
REPEATED = [
    # the base model's own words, times and probabilities for these sentences, clean and in noise at 6 dB
    timed(("2", 1.4, 2.0, 0.81), ("by", 2.0, 2.2, 0.3), ("2", 2.2, 2.4, 1), ("by", 2.4, 2.6, 0.95), ("2", 2.6, 2.9, 1)),
    timed(("Okay,", 0.2, 2.0, 0.4), ("okay.", 2.2, 2.5, 0.94)),
    timed(("okay,", 0.2, 2.0, 0.21), ("okay", 2.2, 2.4, 0.89)),
    timed(("Okay,", 1.3, 2.0, 0.31), ("okay,", 2.3, 2.5, 0.92), ("okay", 2.8, 3.1, 0.99)),
    timed(("30,", 0.8, 2.1, 0.9), ("30,", 2.3, 2.6, 0.98), ("30", 2.6, 3.1, 1)),
    timed(("Same", 1.1, 2.0, 0.51), ("again,", 2.0, 2.4, 0.99), ("same", 2.5, 2.8, 0.98), ("again,", 2.8, 3.2, 1)),
    # counted aloud, drawn out, and surely heard; the same word on and on with more behind it (from memory)
    timed(("Five,", 1.0, 2.4, 0.93), ("five,", 2.6, 4.0, 0.97), ("five.", 4.2, 5.6, 0.98)),
    timed(("No,", 1.2, 1.9, 0.5), ("no,", 2.0, 2.1, 0.95), ("no,", 2.3, 2.5, 0.97), ("sorry,", 2.6, 2.8, 0.9),
          ("it's", 3.0, 3.2, 0.98), ("five.", 3.2, 3.5, 0.7)),
    timed(("No,", 1.0, 2.7, 0.5), ("no,", 2.8, 4.4, 0.9), ("no,", 4.5, 6.0, 0.9), ("it's", 6.1, 6.3, 0.9)),
]  # fmt: skip


@pytest.mark.parametrize("words", OVER_AND_OVER, ids=lambda ws: " ".join(w.text for w in ws))
def test_a_phrase_over_and_over_that_fills_a_sentence_is_a_guess(words: list[Word]) -> None:
    before, after = run_of("we start over here", 0.95, at=-5.0), run_of("and the tank is ten feet long", 0.95, at=9.0)
    row = [*before, *words, *after]
    assert guessed(row) == ((4, 4 + len(words)),)
    assert [w.doubt is not None for w in doubting(row)] == [False] * 4 + [True] * len(words) + [False] * 7
    (place,) = not_understood(UNKNOWN, row, PlanOptions())
    assert (place.start, place.end, place.why) == (words[0].start, words[-1].end, WHY_GUESSED)


@pytest.mark.parametrize("words", REPEATED, ids=lambda ws: " ".join(w.text for w in ws))
def test_what_people_say_more_than_once_is_no_guess(words: list[Word]) -> None:
    assert guessed(words) == ()


@given(
    st.lists(st.sampled_from("oh no five okay that valve left right".split()), min_size=1, max_size=4, unique=True),
    st.integers(2, 5), st.floats(0.05, 0.6), st.floats(0.0, 0.59), st.floats(0.0, 1.0), st.booleans(),
)  # fmt: skip
def test_repeated_speech_of_any_phrase_at_a_pace_people_speak_is_no_guess(
    phrase: list[str], times: int, pause: float, gap: float, sure: float, drawn: bool
) -> None:
    """Said as long as words take at most: the whole counts once, so that only longer than that can be a guess."""
    said, at = [], 0.0
    for text in phrase * times:
        length = longest_said(text) / times if drawn else min(pause, longest_said(text) / times)
        said.append(Word(text, at, at + length, sure))
        at += length + gap
    assert not repeats_a_guess(said)
    stretched = [Word(w.text, 4 * w.start, 4 * w.start + longest_said(w.text) + 1.6, sure) for w in said]
    assert repeats_a_guess(stretched) == (sure < 0.8)
    assert not repeats_a_guess([*stretched, Word("pump", at + 50, at + 51, sure)]), "something else is said"


def test_words_stretched_over_speech_do_not_cover_it() -> None:
    """Four words drawn out over six seconds of voice: alignment gives them the time of what was not heard."""
    drawn = [Word("Thank", 1.0, 2.5), Word("you", 2.5, 4.0), Word("so", 4.0, 5.5), Word("much.", 5.5, 7.0)]
    voice = np.ones(int(8 / FRAME), np.float32)
    assert unworded(voice, drawn, PlanOptions(), shortest=0.4)
    figure = [Word("$1,250,000", 0.6, 4.2)]
    assert not unworded(voice[: int(4.6 / FRAME)], figure, PlanOptions()), "a long figure takes its time"


def test_one_or_two_guesses_alone_hide_no_speech() -> None:
    """Behind a mumbled sentence of which the voice detector found one second: "wonderful." (0.27)."""
    mumbled = voice((5.0, 6.2), seconds=10)
    assert unworded(mumbled, [word("wonderful.", 4.7, 5.5, 0.27)], OPTIONS)
    assert unworded(mumbled, [word("Thank", 4.7, 5.0, 0.3), word("you.", 5.0, 5.6, 0.4)], OPTIONS)
    assert not unworded(mumbled, [word("wonderful.", 5.0, 5.9, 0.8)], OPTIONS)
    short = voice((5.0, 5.5), seconds=10)
    assert not unworded(short, [word("okay,", 4.7, 5.5, 0.21)], OPTIONS), "clear, and as unsure as that"
    sentence = [word("it", 5.0, 5.2, 0.3), word("is", 5.3, 5.5, 0.3), word("new", 5.6, 6.0, 0.3)]
    assert not unworded(mumbled, sentence, OPTIONS), "three words are told as guesses, not as speech without words"


def test_a_voice_that_wavers_is_one_stretch_of_speech() -> None:
    """Frames of the voice detector for the end of "The drain runs along the wall and then under the floor to the pit."
    without all above 450 Hz, through a browser's microphone: above 0.5 for half a second of two."""
    heard = """15 43 59 56 52 43 45 39 41 44 61 68 51 43 37 45 33 53 44 32 20 21 59 68 65 64 66 72 58 57 59 55 47 38 31
    29 30 23""".split()
    wavering = np.zeros(300, np.float32)
    wavering[100 : 100 + len(heard)] = [int(x) / 100 for x in heard]
    (place,) = unworded(wavering, [], OPTIONS)
    assert 1.0 <= place.end - place.start <= 1.2
    assert not unworded(np.minimum(wavering, 0.49), [], OPTIONS), "nowhere sure: noise"


def test_a_word_timed_before_its_neighbour_can_be_read_again() -> None:
    """Seen where two windows of a noisy recording meet: settling, adding and explaining all refused that walk."""
    from extractors.words import Transcript
    from pipeline.errors import BadTranscript
    from pipeline.timed_text import read_json, to_json
    from pipeline.walk import Source

    def again(words: tuple[Word, ...]) -> tuple[Word, ...]:
        source = Source("a.ogg", "0" * 64, "audio", 260.0)
        return read_json(to_json(Transcript(words, duration=260.0), source), "a.json").words

    words = (Word("line", 258.5, 258.9), Word("and", 258.93, 259.05), Word("the", 258.78, 259.16))
    with pytest.raises(BadTranscript, match="stands after a later one"):
        again(words)
    ordered = in_order(words)
    assert [w.text for w in again(ordered)] == ["line", "and", "the"]
    assert [(w.start, w.end) for w in ordered] == [(258.5, 258.9), (258.93, 259.05), (258.93, 259.16)]
    assert in_order(ordered) == ordered
