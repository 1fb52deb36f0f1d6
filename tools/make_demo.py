"""Make the recordings in demo_audio/ from their scripts: the spoken walk, and a short video of drawn frames.

    python tools/make_demo.py

The voice is hibari-tts's, the hall and the machine noise come from tools/synth.py; the frames are plain shapes drawn by
Pillow. The stamps of the script are rewritten to where its lines begin in the sound.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np
import synth
from PIL import Image, ImageDraw

HERE = Path(__file__).parent.parent / "demo_audio"
VIDEO_LINES = (3, 9, 10, 14, 16)
"""Lines of the script that the short video says, each over one drawing."""
RATE = 5
"""Frames a second."""
SIZE = (640, 360)


def main() -> None:
    script = HERE / "tunnel_washer.txt"
    text = script.read_text(encoding="utf-8")
    lines = synth.lines_of(text)
    sound, starts = synth.narrate(lines, seed=41, speed=0.9, pause=1.2)
    script.write_text(stamped(text, starts), encoding="utf-8")
    sound = synth.room(sound, seed=41, wet=0.3, decay=0.5)
    sound = synth.mix(sound, synth.noise("plant", len(sound) / synth.RATE + 1, seed=41), 14.0)
    synth.save(HERE / "tunnel_washer.ogg", sound, bitrate=20_000)
    video(HERE / "tunnel_washer_short.mp4", [lines[i] for i in VIDEO_LINES])


def stamped(text: str, starts: list[float]) -> str:
    """The script with each line's stamp at the second where it begins."""
    times = iter(starts)

    def stamp(match: re.Match[str]) -> str:
        at = int(next(times))
        return f"[{at // 60}:{at % 60:02d}]"

    return re.sub(r"^\[[\d:]+\]", stamp, text, flags=re.MULTILINE)


def video(path: Path, lines: list[str]) -> None:
    """A short walk: every line said over its own drawing, the view drifting as a hand does."""
    import av

    sound, starts = synth.narrate(lines, seed=42, pause=1.0)
    sound = synth.mix(
        synth.room(sound, seed=42, wet=0.25), synth.noise("plant", len(sound) / synth.RATE + 1, seed=42), 16
    )
    seconds = len(sound) / synth.RATE
    with av.open(str(path), "w") as container:
        pictures: Any = container.add_stream("libx264", rate=RATE)
        pictures.width, pictures.height, pictures.pix_fmt, pictures.bit_rate = *SIZE, "yuv420p", 90_000
        voice: Any = container.add_stream("aac", rate=synth.RATE)
        voice.layout, voice.bit_rate = "mono", 32_000
        for k in range(int(seconds * RATE)):
            scene = sum(s <= k / RATE for s in starts[1:])
            frame = av.VideoFrame.from_image(draw(scene, k))
            container.mux(pictures.encode(frame))
        container.mux(pictures.encode(None))
        pcm = np.clip(sound, -1, 1).astype(np.float32)
        for at in range(0, len(pcm), 1024):
            piece = pcm[None, at : at + 1024]
            frame = av.AudioFrame.from_ndarray(np.ascontiguousarray(piece), format="fltp", layout="mono")
            frame.sample_rate, frame.pts = synth.RATE, at
            container.mux(voice.encode(frame))
        container.mux(voice.encode(None))


def draw(scene: int, frame: int) -> Image.Image:
    """One frame of a scene: what the line speaks of, in plain shapes."""
    image = Image.new("RGB", SIZE, (196, 200, 204))
    pen = ImageDraw.Draw(image)
    dx, dy = int(6 * np.sin(frame / 7)), int(3 * np.sin(frame / 5 + 1))
    pen.rectangle((0, 270 + dy, 640, 360), fill=(120, 122, 120))

    def box(x0: int, y0: int, x1: int, y1: int, colour: tuple[int, int, int]) -> None:
        pen.rectangle((x0 + dx, y0 + dy, x1 + dx, y1 + dy), fill=colour, outline=(40, 40, 40), width=2)

    def disc(x: int, y: int, r: int, colour: tuple[int, int, int]) -> None:
        pen.ellipse((x - r + dx, y - r + dy, x + r + dx, y + r + dy), fill=colour, outline=(40, 40, 40), width=2)

    if scene == 0:
        for k in range(9):
            box(40 + 62 * k, 120, 98 + 62 * k, 270, (168, 182, 190))
            disc(69 + 62 * k, 195, 20, (140, 152, 160))
        pen.polygon(
            [(40 + dx, 120 + dy), (120 + dx, 120 + dy), (100 + dx, 50 + dy), (20 + dx, 50 + dy)], fill=(150, 160, 168)
        )
    elif scene in (1, 2):
        box(180, 150, 420, 260, (70, 100, 140))
        box(420, 190, 470, 220, (120, 120, 120))
        disc(510, 205, 44, (170, 170, 170))
        for k in range(8):
            box(196 + 28 * k, 160, 210 + 28 * k, 250, (60, 88, 126))
        if scene == 2:
            box(0, 60, 640, 92, (150, 60, 50))
    elif scene == 3:
        box(220, 40, 420, 130, (90, 96, 104))
        box(290, 130, 350, 190, (150, 156, 160))
        box(200, 190, 440, 270, (168, 182, 190))
    else:
        for k in range(3):
            box(60 + 190 * k, 100, 220 + 190 * k, 270, (186, 178, 160))
            disc(140 + 190 * k, 185, 54, (110, 116, 124))
    return image


if __name__ == "__main__":
    main()
