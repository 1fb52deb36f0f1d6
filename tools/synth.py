"""Make speech, rooms and noise to try the hearing on: the same command gives the same sound, bit for bit.

    python tools/synth.py talk.txt talk.ogg --voice low --speed 1.1 --noise plant --snr 12 --seed 3
    python tools/synth.py --invent 7 talk.txt          # write an invented narration instead
    python tools/synth.py --noise engine --seconds 600 engine.ogg   # noise without a word

The voice is hibari-tts's (Apache-2.0, a development tool only); further voices are made of it by moving pitch and
formants together, which is what a longer or shorter throat does. Noise is made here from random numbers and tones.
"""

from __future__ import annotations

import argparse
import functools
import random
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

RATE = 24_000
Samples = NDArray[np.float32]

VOICES: dict[str, tuple[float, float]] = {
    "heart": (1.0, 1.0),
    "low": (0.86, 1.0),
    "deep": (0.78, 0.97),
    "high": (1.12, 1.0),
    "quick": (0.93, 1.22),
    "slow": (1.05, 0.85),
}
"""Voice: factor on pitch and formants, factor on pace."""
NOISES = ("pink", "plant", "wind", "engine", "forklift", "music")


@functools.lru_cache
def _speaker() -> Any:
    from hibari import Hibari

    return Hibari()


def say(text: str, *, voice: str = "heart", speed: float = 1.0, seed: int = 0) -> Samples:
    """One utterance at 24 kHz."""
    pitch, pace = VOICES[voice]
    sound = np.asarray(_speaker()(text, speed=float(np.clip(pace * speed / pitch, 0.5, 2.0)), seed=seed), np.float32)
    return resample(sound, 1 / pitch) if pitch != 1.0 else sound


def resample(sound: Samples, factor: float) -> Samples:
    """The sound stretched by a factor, its pitch falling by it."""
    n = max(1, round(len(sound) * factor))
    spectrum = np.fft.rfft(sound)
    size = n // 2 + 1
    fitted = np.zeros(size, spectrum.dtype)
    take = min(size, len(spectrum))
    fitted[:take] = spectrum[:take]
    return (np.fft.irfft(fitted, n) * (n / len(sound))).astype(np.float32)


def lines_of(text: str) -> list[str]:
    """The lines of a narration without their stamps and comments."""
    return [re.sub(r"^\[[\d:.]+\]\s*", "", s) for s in text.splitlines() if s.strip() and not s.startswith("#")]


def narrate(
    lines: Sequence[str], *, voice: str = "heart", speed: float = 1.0, seed: int = 0, pause: float = 0.7
) -> tuple[Samples, list[float]]:
    """All lines one after the other with pauses between them, and the second where each begins."""
    dice = np.random.default_rng(seed)
    parts: list[Samples] = [np.zeros(int(0.4 * RATE), np.float32)]
    starts: list[float] = []
    at = len(parts[0])
    for i, line in enumerate(lines):
        starts.append(at / RATE)
        gap = np.zeros(int(RATE * pause * dice.uniform(0.5, 1.8)), np.float32)
        for part in (say(line, voice=voice, speed=speed * dice.uniform(0.95, 1.06), seed=seed * 1000 + i), gap):
            parts.append(part)
            at += len(part)
    return np.concatenate(parts), starts


def room(sound: Samples, *, seed: int = 0, decay: float = 0.45, wet: float = 0.35) -> Samples:
    """A hall with hard walls: a few early reflections and a tail of noise that has died away after decay seconds."""
    dice = np.random.default_rng(seed)
    n = int(decay * RATE)
    tail = dice.standard_normal(n).astype(np.float32) * np.exp(-6.9 * np.arange(n) / n).astype(np.float32)
    tail[: int(0.012 * RATE)] = 0
    for delay in dice.uniform(0.005, 0.045, 6):
        tail[int(delay * RATE)] += dice.uniform(2.0, 6.0)
    tail /= np.sqrt((tail**2).sum())
    return (sound + wet * _convolve(sound, tail)).astype(np.float32)


def _convolve(a: Samples, b: Samples) -> Samples:
    size = 1 << (len(a) + len(b) - 1).bit_length()
    return np.fft.irfft(np.fft.rfft(a, size) * np.fft.rfft(b, size), size)[: len(a)].astype(np.float32)


def coloured(n: int, slope: float, dice: np.random.Generator) -> Samples:
    """Noise whose power falls with frequency to the power of slope (1: pink, 2: brown), unit power."""
    spectrum = np.fft.rfft(dice.standard_normal(n))
    f = np.fft.rfftfreq(n, 1 / RATE)
    spectrum *= np.maximum(f, 30.0) ** (-slope / 2)
    spectrum[f < 25] = 0
    made = np.fft.irfft(spectrum, n)
    return (made / (made.std() + 1e-12)).astype(np.float32)


def noise(kind: str, seconds: float, *, seed: int = 0) -> Samples:
    """Noise of a kind, unit power. Raises KeyError for one that is unknown."""
    dice = np.random.default_rng(seed)
    n = round(seconds * RATE)
    t = np.arange(n) / RATE
    if kind == "pink":
        made = coloured(n, 1.0, dice)
    elif kind == "plant":
        hum = sum(
            dice.uniform(0.1, 0.5) * np.sin(2 * np.pi * f * t + dice.uniform(0, 6)) for f in (60, 120, 180, 240, 1740)
        )
        made = coloured(n, 0.8, dice) * (1 + 0.25 * np.sin(2 * np.pi * 0.23 * t)) + 0.5 * hum + 2.5 * _clanks(n, dice)
    elif kind == "wind":
        gusts = np.interp(
            t,
            np.arange(0, seconds + 2, 0.8),
            dice.gamma(1.2, 1.0, int((seconds + 2) / 0.8) + 1)[: len(np.arange(0, seconds + 2, 0.8))],
        )
        made = coloured(n, 2.2, dice) * gusts
    elif kind == "engine":
        beat = 2 * np.pi * np.cumsum(24 + 2 * np.sin(2 * np.pi * 0.05 * t)) / RATE
        made = 0.6 * coloured(n, 1.2, dice) + sum(np.sin(k * beat + k) / k for k in range(1, 14))
    elif kind == "forklift":
        beeps = (np.sin(2 * np.pi * 1250 * t) * ((t % 1.0) < 0.5) * ((t % 17) < 5)).astype(np.float32)
        made = coloured(n, 1.0, dice) + 0.8 * beeps + 1.5 * _clanks(n, dice)
    elif kind == "music":
        made = _music(n, dice)
    else:
        raise KeyError(kind)
    made = np.asarray(made, np.float64)
    return (made / (made.std() + 1e-12)).astype(np.float32)


def _clanks(n: int, dice: np.random.Generator) -> Samples:
    """Metal on metal, every few seconds."""
    made = np.zeros(n, np.float32)
    at = 0
    while (at := at + int(dice.exponential(3.5) * RATE) + 1) < n - RATE:
        length = int(dice.uniform(0.05, 0.4) * RATE)
        s = np.arange(length) / RATE
        for f in dice.uniform(500, 5000, 4):
            made[at : at + length] += np.float32(dice.uniform(0.3, 1)) * (
                np.sin(2 * np.pi * f * s) * np.exp(-9 * s / s[-1])
            ).astype(np.float32)
    return made


def _music(n: int, dice: np.random.Generator) -> Samples:
    """Chords with a beat and a tune over them."""
    made = np.zeros(n, np.float32)
    step = int(0.4 * RATE)
    s = np.arange(step) / RATE
    root = 0
    for k, at in enumerate(range(0, n - step, step)):
        if k % 4 == 0:
            root = int(dice.choice([0, 5, 7, 9]))
        tune = root + int(dice.choice([12, 14, 16, 19, 21]))
        for note, loud in ((root, 0.5), (root + 4, 0.4), (root + 7, 0.4), (tune, 0.8)):
            f = 130.8 * 2 ** (note / 12)
            made[at : at + step] += (
                loud * sum(np.sin(2 * np.pi * f * h * s) / h for h in (1, 2, 3, 4)) * np.exp(-2.5 * s)
            ).astype(np.float32)
        made[at : at + step // 8] += 0.7 * dice.standard_normal(step // 8).astype(np.float32)
    return made


def mix(sound: Samples, other: Samples, snr: float) -> Samples:
    """Speech with noise at a ratio in dB, measured over the seconds that hold speech; peak 0.9 at most."""
    frames = sound[: len(sound) // 480 * 480].reshape(-1, 480)
    power = (frames.astype(np.float64) ** 2).mean(axis=1)
    loud = power[power > 0.03 * power.max()].mean()
    both = sound + np.float32(np.sqrt(loud / 10 ** (snr / 10))) * other[: len(sound)]
    return (both / max(1.0, float(np.abs(both).max()) / 0.9)).astype(np.float32)


def save(path: Path, sound: Samples, *, bitrate: int = 24_000) -> None:
    """Write a sound file; .ogg and .opus are opus, .wav is 16-bit."""
    import av

    opus = path.suffix in {".ogg", ".opus"}
    with av.open(str(path), "w", format="ogg" if opus else None) as container:
        stream: Any = container.add_stream("libopus" if opus else "pcm_s16le", rate=48_000 if opus else RATE)
        stream.layout = "mono"
        if opus:
            stream.bit_rate = bitrate
        pcm = (np.clip(sound, -1, 1) * 32767).astype(np.int16)
        resampler = av.AudioResampler(format="s16", layout="mono", rate=stream.rate, frame_size=960 if opus else 4096)
        for at in [*range(0, len(pcm), RATE), None]:
            frame = None
            if at is not None:
                frame = av.AudioFrame.from_ndarray(pcm[None, at : at + RATE], format="s16", layout="mono")
                frame.sample_rate, frame.pts = RATE, None
            for piece in resampler.resample(frame):
                container.mux(stream.encode(piece))
        container.mux(stream.encode(None))


# ---- invented narrations: other equipment and other words than any set has, all figures from dice ------------------

ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen"
).split()
TENS = "zero ten twenty thirty forty fifty sixty seventy eighty ninety".split()


def in_words(n: int) -> str:
    """A whole number as it is said."""
    if n < 20:
        return ONES[n]
    if n < 100:
        return TENS[n // 10] + (" " + ONES[n % 10] if n % 10 else "")
    if n < 1000:
        return ONES[n // 100] + " hundred" + (" and " + in_words(n % 100) if n % 100 else "")
    if n < 1_000_000:
        return in_words(n // 1000) + " thousand" + (" " + in_words(n % 1000) if n % 1000 else "")
    return in_words(n // 1_000_000) + " million" + (" " + in_words(n % 1_000_000) if n % 1_000_000 else "")


MACHINES = (
    "ribbon blender", "paddle dryer", "belt press", "plate and frame filter", "pillow pack machine", "case erector",
    "shrink tunnel", "hammer mill", "roller mill", "jaw crusher", "cone crusher", "vibrating screen", "bucket elevator",
    "screw conveyor", "drum granulator", "fluid bed dryer", "spray dryer", "batch pasteurizer", "homogenizer",
    "centrifuge", "falling film evaporator", "cooling tower", "chiller", "steam boiler", "thermal oxidizer",
    "baghouse", "cyclone", "shot blast cabinet", "vibratory finisher", "parts washer", "broaching machine",
    "surface grinder", "boring mill", "turret punch", "press brake", "plate rolls", "wire drawing bench",
    "annealing furnace", "quench tank", "extruder", "injection press", "blow molder", "granulator", "palletizer",
    "band saw", "edge bander", "kiln", "debarker", "log splitter", "generator set", "switchgear lineup", "transformer",
)  # fmt: skip
PARTS = (
    "main motor", "gearbox", "feed pump",
    "vacuum pump", "blower", "agitator", "hopper", "discharge gate", "heat exchanger",
    "control cabinet", "hydraulic unit", "lube pump", "dust collector", "feed conveyor", "rotary valve", "surge tank",
    "condenser", "burner", "flame arrestor", "load cell", "inverter", "soft starter", "spare rotor", "die set",
)  # fmt: skip
SENTENCES = (
    "The {part} is a {n2} horsepower, {volt} volt, three phase.", "It's {n2} foot {n1} long and {n1} foot wide.",
    "We run it at {n3} degrees Fahrenheit, about {n2} psi.", "The {part} pulls {n2} amps at full load.",
    "She'll do {n3} pounds an hour on a good day.",
    "The tank holds {n3} gallons.",
    "There's {n1} of those {part}s on the back side.",
    "Flow is {n3} gallons a minute, the plate says {n3}.", "It was rebuilt in {year}.", "Serial number is {digits}.",
    "Weight is about {thousand} pounds empty.", "The {part} does not go, that stays with the building.",
    "Bearings are {n2} millimeter, both ends.", "I'd call it {n2} and a half inches across.", "It turns {n3} rpm.",
    "Station {n1} is the rinse, station {n1} is the drain.", "Head pressure was {n2} point {n1} bar this morning.",
    "Now the {part}, that's {n2} kilowatts, and the motor tag says {n2} hertz.",
    "Somebody put a new {part} on it last spring.",
    "You've got {n1} doors, {n1} of them have been welded.", "The belt is {n2} inches wide by {n2} foot centers.",
    "Cycle time is {n2} seconds, call it {n2} an hour.",
    "Hours on the meter, {thousand}.",
    "It holds {n2}, no, {n2} gallons of oil.",
    "The shell is {frac} inch stainless.",
    "Inside diameter is {n2} inches, {n2} on the outside.",
    "I don't know about the {part}, ask Rosalind.",
    "Dwell is {n2} minutes in the first zone and {n1} in the second.",
    "There's a little rust under the {part}, nothing bad.",
    "Asking price is {thousand} dollars.", "It's a {n1} pass cooler, {n3} tubes.", "The drum is {n1} foot in diameter.",
)  # fmt: skip
LINKS = ("Okay so", "Now", "Uh,", "And", "Over here,", "So", "All right,", "Then", "Let's see,", "", "", "", "")


def invent(seed: int, *, lines: int = 30) -> str:
    """A narration that makes sense sentence by sentence; every figure from the dice."""
    dice = random.Random(seed)
    machine = dice.choice(MACHINES)
    made = [
        f"This is the {machine}, it's an {in_words(dice.choice([19, 20]))} {TENS[dice.randint(3, 9)]} model I think."
    ]
    for _ in range(lines):
        said = []
        for _ in range(dice.choice([1, 2, 2, 3])):
            sentence = dice.choice(SENTENCES)
            sentence = re.sub(r"\{(\w+)\}", lambda m: _fill(m.group(1), dice), sentence)
            link = dice.choice(LINKS)
            said.append(f"{link} {sentence[0].lower()}{sentence[1:]}" if link else sentence)
        made.append(" ".join(said))
    return "\n".join(made) + "\n"


def _fill(kind: str, dice: random.Random) -> str:
    if kind == "part":
        return dice.choice(PARTS)
    if kind == "n1":
        return in_words(dice.randint(2, 12))
    if kind == "n2":
        return in_words(dice.randint(11, 99))
    if kind == "n3":
        return in_words(dice.choice([dice.randint(100, 999), 10 * dice.randint(10, 99), 100 * dice.randint(1, 40)]))
    if kind == "thousand":
        return in_words(100 * dice.randint(11, 900))
    if kind == "volt":
        return dice.choice(
            ["two thirty", "four sixty", "four eighty", "five seventy five", "two oh eight", "two forty"]
        )
    if kind == "year":
        return dice.choice(
            [
                "nineteen ninety " + ONES[dice.randint(1, 9)],
                "two thousand " + ONES[dice.randint(1, 9)],
                "twenty " + ONES[dice.randint(10, 19)],
            ]
        )
    if kind == "digits":
        return " ".join(ONES[dice.randint(0, 9)] for _ in range(6))
    return dice.choice(["quarter", "three eighths", "half", "five eighths", "three quarter", "three sixteenths"])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument(
        "paths", nargs="+", type=Path, help="narration and sound file; one file with --invent or for noise"
    )
    parser.add_argument("--voice", choices=VOICES, default="heart")
    parser.add_argument("--speed", type=float, default=1.0)
    parser.add_argument("--noise", choices=NOISES)
    parser.add_argument("--snr", type=float, default=12.0)
    parser.add_argument("--echo", type=float, default=0.35, help="how much of the room is heard; 0 for none")
    parser.add_argument("--seconds", type=float, help="length of noise without speech")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--invent", type=int, metavar="SEED", help="write an invented narration")
    args = parser.parse_args()
    if args.invent is not None:
        args.paths[0].write_text(invent(args.invent), encoding="utf-8")
        return
    if args.seconds:
        save(args.paths[0], 0.1 * noise(args.noise or "pink", args.seconds, seed=args.seed))
        return
    sound, _ = narrate(
        lines_of(args.paths[0].read_text(encoding="utf-8")), voice=args.voice, speed=args.speed, seed=args.seed
    )
    if args.echo:
        sound = room(sound, seed=args.seed, wet=args.echo)
    if args.noise:
        sound = mix(sound, noise(args.noise, len(sound) / RATE + 1, seed=args.seed), args.snr)
    save(args.paths[1], sound)


if __name__ == "__main__":
    main()
