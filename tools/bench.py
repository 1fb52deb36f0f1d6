"""What `make bench` runs: how fast and how right the hearing is, beside faster-whisper alone in the same run.

    python tools/bench.py [RECORDING ...]     default: the demo alone; a few minutes

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

from pipeline import hearing_plan, media, speech, weights  # noqa: E402
from pipeline.settings import Settings  # noqa: E402
from vocab import builtin  # noqa: E402

ROOT = Path(__file__).parent.parent


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("recordings", nargs="*", type=Path)
    parser.add_argument("--noise-minutes", type=float, default=1.0, help="of each of five noises; 12 make an hour")
    parser.add_argument("--skip-noise", action="store_true")
    parser.add_argument("--times", type=int, nargs="*", default=[2], help="how often the demo is said over, for growth")
    args = parser.parse_args()
    recordings = args.recordings or [ROOT / "demo_audio" / "tunnel_washer.ogg"]
    start_up()
    whole_run(ROOT / "demo_audio" / "tunnel_washer.ogg")
    listening(recordings)
    memory_and_growth(ROOT / "demo_audio" / "tunnel_washer.ogg", args.times)
    if not args.skip_noise:
        wordless(args.noise_minutes)
    real_speech(ROOT / "tests" / "recorded" / "librivox")
    planted(
        [ROOT / "demo_audio" / "tunnel_washer.ogg", *sorted((ROOT / "tests" / "recorded" / "librivox").glob("*.flac"))]
    )


def start_up() -> None:
    """`--help`, the cheapest of five."""
    times = []
    for _ in range(5):
        began = time.perf_counter()
        subprocess.run([sys.executable, "-m", "pipeline", "--help"], cwd=ROOT, capture_output=True, check=True)
        times.append(time.perf_counter() - began)
    print(f"start-up of --help: {min(times):.2f} s (bar 0.35)")


def measured(command: list[str]) -> tuple[float, float, float, int, str]:
    """Wall seconds, CPU seconds (its children's, too), peak MB, exit code and output of a command."""
    began = time.perf_counter()
    with tempfile.TemporaryFile("w+") as out:
        process = subprocess.Popen(command, cwd=ROOT, stdout=out)
        _, status, used = os.wait4(process.pid, 0)
        wall = time.perf_counter() - began
        process.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        text = out.read()
    return wall, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, process.returncode, text


def whole_run(recording: Path, rounds: int = 3) -> None:
    """A report in a fresh process against the listening stage alone in another, in turn; the median of the rounds."""
    code = (
        "import sys,time,pathlib\nfrom pipeline import speech\nfrom pipeline.settings import Settings\n"
        "t=time.perf_counter()\nspeech.listen(pathlib.Path(sys.argv[1]),settings=Settings(fresh=True))\n"
        "print(time.perf_counter()-t)\n"
    )
    rest, rest_cpu, whole, peaks = [], [], [], []
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(rounds):
            command = [sys.executable, "-m", "pipeline", "--quiet", "report", str(recording), "-o", folder, "--fresh"]
            wall, cpu, peak, exit_code, _ = measured(command)
            if exit_code:
                raise SystemExit(f"tallywalk report failed on {recording.name} with exit code {exit_code}")
            _, alone_cpu, _, failed, text = measured([sys.executable, "-c", code, str(recording)])
            if failed:
                raise SystemExit(f"listening alone failed on {recording.name} with exit code {failed}")
            whole.append(wall)
            rest.append(wall - float(text))
            rest_cpu.append(cpu - alone_cpu)
            peaks.append(peak)
    share = 100 * statistics.median(r / w for r, w in zip(rest, whole, strict=True))
    print(
        f"whole run {statistics.median(whole):.1f} s; all but listening {statistics.median(rest):.1f} s "
        f"= {share:.0f} % (bars 4 s; 12 % at 5 minutes), CPU {statistics.median(rest_cpu):.1f} s; "
        f"peak {max(peaks):.0f} MB (bar 1100)",
        flush=True,
    )


def cpu_now() -> float:
    """CPU seconds of this process and of its children that have ended."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(u.ru_utime + u.ru_stime for u in used)


def listening(recordings: list[Path], rounds: int = 3) -> None:
    """The listening stage against faster-whisper's default call, in turn: time, words, figures, by set."""
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
            walls, cpus = [], []
            for turn in range(rounds if len(recordings) == 1 else 1):
                began, began_cpu = time.perf_counter(), cpu_now()
                segments, _ = model.transcribe(str(recording), beam_size=5, word_timestamps=True, vad_filter=True)
                alone_text = "".join(s.text for s in segments)
                alone, alone_cpu = time.perf_counter() - began, cpu_now() - began_cpu
                began, began_cpu = time.perf_counter(), cpu_now()
                heard = speech.listen(recording, settings=settings)
                ours, ours_cpu = time.perf_counter() - began, cpu_now() - began_cpu
                walls.append(ours / alone)
                cpus.append(ours_cpu / alone_cpu)
                print(
                    f"{recording.name}, turn {turn + 1}: {ours:.1f} s against {alone:.1f} s, ratio {walls[-1]:.2f}; "
                    f"CPU {ours_cpu:.1f} s against {alone_cpu:.1f} s, ratio {cpus[-1]:.2f}",
                    flush=True,
                )
            ratios.setdefault(kind, []).append(statistics.median(walls))
            blank = sum(s.end - s.start for s in heard.unheard)
            doubts = sum(w.doubt is not None for w in heard.words)
            print(f"   speech listed as not understood {blank:.1f} s, doubtful words {doubts}")
            script = recording.parent / (recording.name.split(".")[0] + ".txt")
            if not script.is_file():
                continue
            said = figures.script_of(script.read_text(encoding="utf-8"))
            for who, text in (("default", alone_text), ("tallywalk", " ".join(w.text for w in heard.words))):
                scores[kind, who] = scores.get((kind, who), figures.Score()) + figures.score(said, text)
    for kind, values in ratios.items():
        bar = 0.58 if kind == "clean" else 0.65
        print(f"{kind}: median ratio {statistics.median(values):.2f} (bar {bar})")
        for who in ("default", "tallywalk"):
            print(f"   {who:10} {scores.get((kind, who), figures.Score())}")


def memory_and_growth(recording: Path, often: list[int]) -> None:
    """Time and peak memory of listening to the demo said over so many times, each in a process of its own.

    The peak is the kernel's VmHWM: ru_maxrss of a new process begins with that of the process that started it.
    """
    code = (
        "import sys,time,pathlib\n"
        "from pipeline import speech\n"
        "from pipeline.settings import Settings\n"
        "t=time.perf_counter()\n"
        "h=speech.listen(pathlib.Path(sys.argv[1]),settings=Settings(fresh=True,cache=pathlib.Path(sys.argv[2])))\n"
        "took=time.perf_counter()-t\n"
        "peak=next(int(x.split()[1]) for x in open('/proc/self/status') if x.startswith('VmHWM'))/1024\n"
        "print(h.duration,took,peak)\n"
    )
    from pipeline import media

    with tempfile.TemporaryDirectory() as folder, media.decode(recording) as sound:
        once = synth.resample(sound.read(0.0, sound.seconds), synth.RATE / media.RATE)
        for times in often:
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


def real_speech(folder: Path) -> None:
    """Clips of a person reading, each with its published transcript: the default call and ours."""
    from faster_whisper import WhisperModel

    model = WhisperModel(
        str(weights.find_weights("base").folder), device="cpu", compute_type="int8", cpu_threads=speech.cores()
    )
    scores = {who: figures.Score() for who in ("default", "tallywalk")}
    with tempfile.TemporaryDirectory() as cache:
        for clip in sorted(folder.glob("*.flac")):
            said = clip.with_suffix(".txt").read_text(encoding="utf-8")
            segments, _ = model.transcribe(str(clip), beam_size=5, word_timestamps=True, vad_filter=True)
            ours = speech.listen(clip, settings=Settings(fresh=True, cache=Path(cache)))
            texts = {"default": "".join(s.text for s in segments), "tallywalk": " ".join(w.text for w in ours.words)}
            for who, text in texts.items():
                scores[who] += figures.score(said, text)
                print(f"   {clip.name} {who:10}{text.strip()!r}")
    print(f"a person's voice ({folder.name}):")
    for who, score in scores.items():
        print(f"   {who:10} {score}", flush=True)


def planted(recordings: list[Path], *, terms: int = 24) -> None:
    """Words of a prompt that a hearing gave and nobody said.

    Two prompts of the vocabulary's names of things: some of which the script has no word (the program would never
    give these), and those that the program would choose of all of them. A word counts as planted where it stands in
    the prompt, not in the script, and not in what the same sound gives without a prompt.
    """
    ear = speech.ear_for(Settings(second_hearing=False))
    names = sorted({name for row in builtin()["components"] for name in row["names"]})
    names = list(np.random.default_rng(1).permutation(names))
    counts = {"strangers": 0, "chosen": 0}
    changed = dict(counts)
    windows = 0
    for recording in recordings:
        script = recording.parent / (recording.name.split(".")[0] + ".txt")
        said = keys_of(figures.script_of(script.read_text(encoding="utf-8")))
        strangers = [name for name in names if not keys_of(name) & said]
        with media.decode(recording) as sound:
            cuts = [sound.read(t, min(t + 12.0, sound.seconds)) for t in np.arange(0.0, sound.seconds - 1.0, 12.0)]
        plain = [ear.hear([cut], beam=3)[0].words for cut in cuts]
        chosen = speech.conditioning_prompt(names, [w for words in plain for w in words], most=terms)
        for k, cut in enumerate(cuts):
            windows += 1
            some = ", ".join(strangers[(k * terms + i) % len(strangers)] for i in range(terms))
            for kind, prompt in (("strangers", some), ("chosen", chosen)):
                heard = ear.hear([cut], beam=3, prompt=prompt)[0].words
                before = keys_of(" ".join(w.text for w in plain[k]))
                now = keys_of(" ".join(w.text for w in heard))
                found = (now & keys_of(prompt.replace(",", ""))) - said - before
                counts[kind] += len(found)
                changed[kind] += now != before
                if found:
                    print(f"   {recording.name} {12 * k} s, {kind}: {sorted(found)}")
    print(
        f"words that a prompt planted, in {windows} windows: {counts}; windows with other words than without: {changed}"
    )


def keys_of(text: str) -> set[str]:
    """The words of a text as they are compared."""
    return {hearing_plan.key(word) for word in text.replace("-", " ").split()}


if __name__ == "__main__":
    os.environ.setdefault("OMP_NUM_THREADS", str(speech.cores()))
    main()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak of this process with both recognisers: {peak:.0f} MB")
