"""Every container that README names, written by PyAV's own encoders and read back by ours: the same sound comes out.

Outside check: the muxers and encoders are FFmpeg's, as PyAV brings them; phones write these containers with others.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from pipeline import media

RATE = 16_000
SECONDS = 6.0
DEMO = Path(__file__).parents[2] / "demo_audio" / "tunnel_washer.ogg"

CONTAINERS = [
    ("walk.wav", "pcm_s16le", 48_000, None), ("walk.mp3", "libmp3lame", 44_100, None),
    ("walk.flac", "flac", 48_000, None), ("walk.m4a", "aac", 44_100, None),
    ("walk.ogg", "libopus", 48_000, None), ("walk.opus", "libopus", 48_000, None),
    ("walk.amr", "libopencore_amrnb", 8_000, None), ("walk.mp4", "aac", 44_100, "mpeg4"),
    ("walk.mov", "aac", 44_100, "mpeg4"), ("walk.mkv", "libopus", 48_000, "mpeg4"),
    ("walk.webm", "libopus", 48_000, "libvpx"), ("walk.3gp", "aac", 44_100, "mpeg4"),
]  # fmt: skip


@pytest.fixture(scope="module")
def spoken() -> np.ndarray:
    """The first seconds of the demo, 16 kHz mono."""
    with media.decode(DEMO) as sound:
        return sound.read(0.0, SECONDS)


def write(path: Path, samples: np.ndarray, codec: str, rate: int, pictures: str | None) -> Path:
    """The samples in the container that the name's ending asks for, with plain pictures beside them where asked."""
    av = pytest.importorskip("av")
    if codec not in av.codecs_available:
        pytest.skip(f"PyAV here has no encoder {codec}")
    with av.open(str(path), "w") as out:
        video = out.add_stream(pictures, rate=10) if pictures else None
        if video is not None:
            video.width, video.height, video.pix_fmt = 160, 120, "yuv420p"
        audio = out.add_stream(codec, rate=rate)
        audio.layout = "mono"
        if codec == "libopencore_amrnb":
            audio.bit_rate = 12_200
        form = audio.format.name if audio.format else "s16"
        # an encoder that takes only whole frames of its own length is fed such; before it is opened it says 0
        size = 160 if codec == "libopencore_amrnb" else 960 if codec == "libopus" else 1152 if "mp3" in codec else 1024
        resampler = av.AudioResampler(form, "mono", rate, frame_size=size)
        for packet in _pictures(av, video):
            out.mux(packet)
        frame = av.AudioFrame.from_ndarray((samples * 32767).astype("<i2")[None, :], format="s16", layout="mono")
        frame.sample_rate = RATE
        for piece in [*resampler.resample(frame), *resampler.resample(None)]:
            out.mux(audio.encode(piece))
        out.mux(audio.encode(None))
    return path


def _pictures(av: object, stream: object) -> Iterator[object]:
    if stream is None:
        return
    for i in range(int(SECONDS * 10)):
        picture = np.full((120, 160, 3), (40 + 2 * i) % 255, dtype=np.uint8)
        yield from stream.encode(av.VideoFrame.from_ndarray(picture, format="rgb24"))  # type: ignore[attr-defined]
    yield from stream.encode(None)  # type: ignore[attr-defined]


def loudness(samples: np.ndarray) -> np.ndarray:
    """The envelope in steps of 10 ms: a codec moves samples, not syllables."""
    step = RATE // 100
    n = len(samples) // step
    return np.sqrt((samples[: n * step].reshape(n, step) ** 2).mean(axis=1))


def alike(one: np.ndarray, other: np.ndarray) -> float:
    """The best correlation of two envelopes within 50 ms: AAC puts 23 ms of its own before the sound."""
    n = min(len(one), len(other)) - 5
    return max(float(np.corrcoef(one[:n], other[lag : n + lag])[0, 1]) for lag in range(6))


@pytest.mark.parametrize(("name", "codec", "rate", "pictures"), CONTAINERS, ids=[c[0] for c in CONTAINERS])
def test_the_same_sound_comes_out_of_every_container(
    tmp_path: Path, spoken: np.ndarray, name: str, codec: str, rate: int, pictures: str | None
) -> None:
    path = write(tmp_path / name, spoken, codec, rate, pictures)
    assert media.probe(path).kind == ("video" if pictures else "audio")
    with media.decode(path) as sound:
        assert sound.seconds == pytest.approx(SECONDS, abs=0.25)
        assert sound.broken_at is None
        heard = loudness(sound.read(0.0, SECONDS))
    assert alike(loudness(spoken), heard) > 0.95


def test_an_envelope_of_other_sound_would_not_pass(spoken: np.ndarray) -> None:
    said = loudness(spoken)
    assert alike(said, said[::-1]) < 0.8
