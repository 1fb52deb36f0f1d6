"""Timed transcripts: what is read, what is refused, and that our own forms come back whole."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extractors.words import Stretch, Transcript, Word
from pipeline.errors import BadTranscript, InputError
from pipeline.timed_text import read_captions, read_json, read_stamped, read_timed_text, to_json, to_stamped, to_vtt
from pipeline.walk import Source

SOURCE = Source("a.wav", "0" * 64, "audio", 9.0)
SRT = """1
00:00:01,000 --> 00:00:03,000
Tank one is the <i>rinse</i>

2
00:00:04,500 --> 00:00:06,000
five pumps &amp; a hoist
"""


def test_subrip_and_webvtt_give_the_same_words() -> None:
    vtt = "WEBVTT\n\n" + SRT.replace(",", ".").replace("1\n00", "00", 1).replace("2\n00", "00", 1)
    a, b = read_captions(SRT, "a.srt", "srt"), read_captions(vtt, "a.vtt", "vtt")
    assert [w.text for w in a.words] == ["Tank", "one", "is", "the", "rinse", "five", "pumps", "&", "a", "hoist"]
    assert [w.text for w in a.words] == [w.text for w in b.words]
    assert a.words[0].start == 1.0
    assert a.words[5].start == 4.5
    assert a.words[-1].end <= 6.0
    assert a.breaks == (0, 5)


def test_stamped_lines_and_their_continuation() -> None:
    t = read_stamped("[0:02] one two\nthree\n[1:00:05] four", "a.txt")
    assert [w.text for w in t.words] == ["one", "two", "three", "four"]
    assert t.words[3].start == 3605.0
    assert all(a.end <= b.start + 1e-6 for a, b in zip(t.words, t.words[1:], strict=False))


def test_a_recognisers_json() -> None:
    data = {
        "language": "en",
        "segments": [
            {"start": 0, "end": 2, "text": " six foot", "words": [
                {"word": " six", "start": 0.1, "end": 0.4, "probability": 0.5},
                {"word": " foot", "start": 0.5, "end": 0.9, "probability": 0.9}]},
            {"start": 3, "end": 4, "text": "no word times"},
        ],
    }  # fmt: skip
    t = read_json(json.dumps(data), "a.json")
    assert [w.text for w in t.words] == ["six", "foot", "no", "word", "times"]
    assert t.words[0].probability == 0.5
    assert t.words[2].start == 3.0


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a.txt", "[0:10] one\n[0:05] two"),
        ("a.txt", "no time at all"),
        ("a.srt", "1\n00:00:05,000 --> 00:00:04,000\nbackwards\n"),
        ("a.srt", SRT.replace("00:00:04,500 --> 00:00:06,000", "00:00:00,500 --> 00:00:00,900")),
        ("a.json", "{"),
        ("a.json", "[]"),
        ("a.json", '{"segments": 3}'),
        ("a.json", '{"words": [{"word": "x", "start": 2, "end": 1}]}'),
        ("a.json", '{"words": [{"word": "x", "start": NaN, "end": 1}]}'),
        ("a.json", '{"words": [{"word": "x", "start": 5, "end": 6}, {"word": "y", "start": 1, "end": 2}]}'),
        ("a.json", "[" * 100_000),
        ("a.txt", "   \n"),
    ],
)
def test_what_cannot_be_used_is_named(tmp_path: Path, name: str, text: str) -> None:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as error:
        read_timed_text(path)
    assert name in str(error.value)


def test_bytes_that_are_no_text(tmp_path: Path) -> None:
    path = tmp_path / "a.srt"
    path.write_bytes(b"\xff\xff\x00bad")
    with pytest.raises(InputError, match="UTF-8"):
        read_timed_text(path)


def test_backwards_times_have_their_own_code(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_text("[0:10] one\n[0:05] two", encoding="utf-8")
    with pytest.raises(BadTranscript, match="line 2"):
        read_timed_text(path)


texts = st.text(st.characters(exclude_categories=("Cs", "Cc", "Zs", "Zl", "Zp")), min_size=1, max_size=12)


@given(st.lists(st.tuples(texts, st.floats(0, 5), st.floats(0, 2), st.floats(0, 1)), max_size=40))
def test_json_comes_back_whole(rows: list[tuple[str, float, float, float]]) -> None:
    words, at = [], 0.0
    for text, gap, length, p in rows:
        if text.strip() != text or not text.split():
            continue
        words.append(Word(text, at + gap, at + gap + length, p, ("alt",), "weak" if p < 0.5 else None))
        at += gap + length
    t = Transcript(
        tuple(words),
        (0,) if words else (),
        duration=at,
        model="base",
        unheard=(Stretch(0, 1, "wind"),),
        listening=("x",),
    )
    assert read_json(to_json(t, SOURCE), "t.json") == t


def test_markup_in_words_stays_text_in_vtt() -> None:
    t = Transcript((Word("<script>x</script>", 0, 1), Word("-->", 1, 2), Word("\x1b[31m", 2, 3)), duration=3)
    vtt = to_vtt(t)
    assert "<script>" not in vtt
    assert vtt.count("-->") == 1
    assert "\x1b" not in vtt
    assert "\x1b" not in to_stamped(t)


def test_stamped_text_reads_back_the_same_words() -> None:
    t = read_captions(SRT, "a.srt", "srt")
    assert [w.text for w in read_stamped(to_stamped(t), "x").words] == [w.text for w in t.words]
