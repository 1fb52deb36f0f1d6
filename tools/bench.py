"""What `make bench` runs: how fast and how right the hearing is, beside faster-whisper alone in the same run.

    python tools/bench.py [RECORDING ...]     default: the demo, then ../shared/eval/dev/*.ogg if there

A recording's script is the .txt of its name up to the first full stop. Both calls take turns on the same threads; what
is printed are ratios, raw figures beside them. On a busy machine ratios waver; run it on an idle one.
"""

from __future__ import annotations

import argparse
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parent.parent), str(Path(__file__).parent)]

import figures  # noqa: E402
import synth  # noqa: E402

from pipeline import speech, weights  # noqa: E402
from pipeline.settings import Settings  # noqa: E402

ROOT = Path(__file__).parent.parent
SET = ROOT.parent / "shared" / "eval" / "dev"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("recordings", nargs="*", type=Path)
    parser.add_argument("--noise-minutes", type=float, default=4.0, help="minutes of each of five noises")
    parser.add_argument("--skip-noise", action="store_true")
    args = parser.parse_args()
    recordings = args.recordings or [ROOT / "demo_audio" / "tunnel_washer.ogg", *sorted(SET.glob("*.ogg"))]
    start_up()
    whole_run(ROOT / "demo_audio" / "tunnel_washer.ogg")
    listening(recordings)
    memory_and_growth(ROOT / "demo_audio" / "tunnel_washer.ogg")
    if not args.skip_noise:
        wordless(args.noise_minutes)


def start_up() -> None:
    """`--help`, the cheapest of five."""
    times = []
    for _ in range(5):
        began = time.perf_counter()
        subprocess.run([sys.executable, "-m", "pipeline", "--help"], cwd=ROOT, capture_output=True, check=True)
        times.append(time.perf_counter() - began)
    print(f"start-up of --help: {min(times):.2f} s (bar 0.35)")


def whole_run(recording: Path) -> None:
    """A report in a fresh process against the listening stage alone in another."""
    with tempfile.TemporaryDirectory() as folder:
        began = time.perf_counter()
        command = [sys.executable, "-m", "pipeline", "report", str(recording), "-o", folder, "--fresh", "--quiet"]
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
        whole = time.perf_counter() - began
        code = (
            "import sys,time,pathlib\nfrom pipeline import speech\nfrom pipeline.settings import Settings\n"
            "t=time.perf_counter()\nspeech.listen(pathlib.Path(sys.argv[1]),settings=Settings(fresh=True))\n"
            "print(time.perf_counter()-t)\n"
        )
        command = [sys.executable, "-c", code, str(recording)]
        alone = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    listen = float(alone.stdout)
    print(
        f"whole run {whole:.1f} s (exit {done.returncode}), listening {listen:.1f} s, all else {whole - listen:.1f} s "
        f"= {100 * (whole - listen) / whole:.0f} % (bar 12 % at 5 minutes, 4 s)"
    )


def listening(recordings: list[Path]) -> None:
    """The listening stage against faster-whisper's default call: time, words, figures, by set."""
    from faster_whisper import WhisperModel

    model = WhisperModel(
        str(weights.find_weights("base").folder), device="cpu", compute_type="int8", cpu_threads=speech.cores()
    )
    speech.ear_for(Settings())
    ratios: dict[str, list[float]] = {}
    scores: dict[tuple[str, str], figures.Score] = {}
    with tempfile.TemporaryDirectory() as cache:
        settings = Settings(fresh=True, cache=Path(cache))
        for recording in recordings:
            kind = "clean" if ".clean" in recording.name else "noise"
            began = time.perf_counter()
            segments, _ = model.transcribe(str(recording), beam_size=5, word_timestamps=True, vad_filter=True)
            alone_text = "".join(s.text for s in segments)
            alone = time.perf_counter() - began
            began = time.perf_counter()
            heard = speech.listen(recording, settings=settings)
            ours = time.perf_counter() - began
            ratios.setdefault(kind, []).append(ours / alone)
            print(f"{recording.name}: {ours:.1f} s against {alone:.1f} s, ratio {ours / alone:.2f}", flush=True)
            script = recording.parent / (recording.name.split(".")[0] + ".txt")
            if not script.is_file():
                continue
            said = figures.script_of(script.read_text(encoding="utf-8"))
            for who, text in (("default", alone_text), ("tallywalk", " ".join(w.text for w in heard.words))):
                scores[kind, who] = scores.get((kind, who), figures.Score()) + figures.score(said, text)
            blank = sum(s.end - s.start for s in heard.unheard)
            doubts = sum(w.doubt is not None for w in heard.words)
            print(f"   speech listed as not understood {blank:.1f} s, doubtful words {doubts}")
    for kind, values in ratios.items():
        bar = 0.58 if kind == "clean" else 0.65
        print(f"{kind}: median ratio {statistics.median(values):.2f} (bar {bar})")
        for who in ("default", "tallywalk"):
            print(f"   {who:10} {scores.get((kind, who), figures.Score())}")


def memory_and_growth(recording: Path) -> None:
    """Time and peak memory of listening to the demo said 2, 4 and 8 times over, each in a process of its own."""
    code = (
        "import sys,time,pathlib,resource\n"
        "from pipeline import speech\n"
        "from pipeline.settings import Settings\n"
        "t=time.perf_counter()\n"
        "h=speech.listen(pathlib.Path(sys.argv[1]),settings=Settings(fresh=True,cache=pathlib.Path(sys.argv[2])))\n"
        "print(h.duration,time.perf_counter()-t,resource.getrusage(resource.RUSAGE_SELF).ru_maxrss/1024)\n"
    )
    from pipeline import media

    with tempfile.TemporaryDirectory() as folder, media.decode(recording) as sound:
        once = synth.resample(sound.read(0.0, sound.seconds), synth.RATE / media.RATE)
        for times in (2, 4, 8):
            path = Path(folder) / f"{times}.ogg"
            synth.save(path, np.tile(once, times))
            command = [sys.executable, "-c", code, str(path), folder]
            done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
            seconds, took, peak = map(float, done.stdout.split())
            pace = took / seconds
            print(f"{seconds / 60:.1f} min: {took:.1f} s ({pace:.3f} of real time), peak {peak:.0f} MB (bar 1000)")


def wordless(minutes: float) -> None:
    """Silence and noises without a word: what was heard in them."""
    with tempfile.TemporaryDirectory() as folder:
        for kind in ("silence", "pink", "music", "engine", "wind"):
            seconds = 60 * minutes
            made = np.zeros(int(seconds * synth.RATE), np.float32)
            if kind != "silence":
                made = 0.1 * synth.noise(kind, seconds, seed=9)
            path = Path(folder) / f"{kind}.ogg"
            synth.save(path, made)
            heard = speech.listen(path, settings=Settings(fresh=True, cache=Path(folder)))
            text = " ".join(w.text for w in heard.words)
            print(f"{kind}, {minutes:.0f} min: {len(heard.words)} words {text[:100]!r}")


if __name__ == "__main__":
    os.environ.setdefault("OMP_NUM_THREADS", str(speech.cores()))
    main()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak of this process with both recognisers: {peak:.0f} MB")
