"""Samples to a Transcript: the one plan of listening. Only this module imports faster_whisper."""

from __future__ import annotations

import hashlib
import math
import os
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from extractors.words import Stretch, Transcript, Word
from pipeline import coverage, hearing_plan, media, second_hearing, weights
from pipeline.coverage import Hearing
from pipeline.errors import EngineError
from pipeline.heard_cache import HeardCache, key_of
from pipeline.hearing_plan import HeardWord, PlanOptions, Window
from pipeline.media import RATE, Samples, Sound
from pipeline.muffled import Tone, band_power
from pipeline.settings import Settings
from pipeline.views import high_passed

Progress = Callable[[str, float, float], None]
BATCH = 2
"""Windows to a batch: on two cores four are no faster (16.8 and 17.3 s of processor for five minutes) and take 215 MB
more (834 and 1,048 MB)."""
MANY_CORES = 6
"""Processors from which four workers hear a window each. Ten minutes of plant noise on eight: 14.8 s and 832 MB, where
two workers of four threads take 19.0 s and 809 MB, and four of two windows each 14.3 s and 1,276 MB. On four, two
workers of two threads take 17.6 s and 832 MB, four of one 17.0 s and 1,307 MB."""
TAIL = 100
"""Frames of 10 ms of silence after the longest sound of a batch. Without it the decoder sees no end."""
NOISY = 20.0
"""Speech to noise in dB below which the first hearing is of the sound without its rumble, the second of the other view.
On noisy sets that lost 149 figures instead of 156, on clean ones 84 instead of 77: hence the switch."""
BEAM, NOISY_BEAM = 5, 8
"""Hypotheses that the first hearing keeps. In noise (24 recordings of six voices, 8,564 words) eight leave 8.89 %
errors and 44 figures not found where five leave 9.22 % and 45, for a tenth more time; twelve are no better (8.92 %).
Without noise more gain nothing: 3.01 and 3.03 %."""
RUMBLE = 150.0
"""Hz below which a voice at arm's length has little and plants have much."""


class Ear(Protocol):
    """A recogniser: WhisperEar is the real one; tests put in others that crash, hear nothing or invent."""

    name: str

    def hear(
        self, sounds: Sequence[Samples], *, language: str = "en", prompt: str = "", beam: int = 5
    ) -> list[Hearing]:
        """One hearing for each sound, with times from the sound's own start."""
        ...

    def language(self, sounds: Sequence[Samples]) -> tuple[str, float]:
        """The language spoken, and its probability."""
        ...

    def activity(self) -> Callable[[Samples], NDArray[np.float32]]:
        """A function that is fed pieces in order and gives the voice activity of each full frame."""
        ...


@dataclass(frozen=True, slots=True)
class Compute:
    """What the recogniser runs on."""

    device: str
    compute_type: str
    workers: int
    threads: int
    batch: int = BATCH
    """Windows that a worker hears at once."""


def choose_compute(device: str, threads: int, *, gpus: int, cores: int) -> Compute:
    """float16 on a GPU, int8 on processors; as many workers as stay within a gigabyte, for batches side by side.

    Two workers of one thread each hear faster than one of two: a decoding step is too small to share.
    """
    if device == "cuda" and not gpus:
        raise EngineError("no CUDA device was found", remedy="Use --device cpu, or auto.")
    if device == "cuda" or (device == "auto" and gpus):
        return Compute("cuda", "float16", 2, 1, batch=8)  # 150 times real time on one H100; one worker of two 91
    total = threads or max(1, cores)
    if total >= MANY_CORES:
        return Compute("cpu", "int8", 4, total // 4, batch=1)
    workers = max(1, min(2, total))
    return Compute("cpu", "int8", workers, max(1, total // workers))


def cores() -> int:
    """Processors that this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:
        return os.cpu_count() or 1


class WhisperEar:
    """The real recogniser. Thread-safe: several recordings at once share one model."""

    def __init__(self, folder: Path, name: str, compute: Compute) -> None:
        from faster_whisper import WhisperModel
        from faster_whisper.tokenizer import Tokenizer

        self.name = name
        self.compute = compute
        self._tokenizer_class: Any = Tokenizer
        try:
            self._whisper: Any = WhisperModel(
                str(folder), device=compute.device, compute_type=compute.compute_type,
                cpu_threads=compute.threads, num_workers=compute.workers, local_files_only=True,
            )  # fmt: skip
        except (RuntimeError, ValueError, OSError) as error:
            raise EngineError(f"the model in {folder} cannot be loaded ({error})") from error
        self._model = self._whisper.model
        self._tokenizers: dict[str, Any] = {}
        self._suppressed: list[int] = []
        self._lock = threading.Lock()

    def _tokenizer(self, language: str) -> Any:
        with self._lock:
            if language not in self._tokenizers:
                made = self._tokenizer_class(
                    self._whisper.hf_tokenizer, self._model.is_multilingual, task="transcribe", language=language
                )
                no = {made.transcribe, made.translate, made.sot, made.sot_prev, made.sot_lm, made.no_speech}
                self._suppressed = sorted({*made.non_speech_tokens, *no})
                self._tokenizers[language] = made
            return self._tokenizers[language]

    def _encode(self, sounds: Sequence[Samples]) -> tuple[Any, list[int]]:
        """Encoder output of a batch, padded to its longest sound and not to half a minute; frames of each."""
        frames = [max(1, len(s) // 160) for s in sounds]
        most = min(3000, 100 * math.ceil((max(frames) + TAIL) / 100))
        batch = np.stack([log_mel(s, most, self._whisper.feature_extractor) for s in sounds])
        return self._whisper.encode(batch), frames

    def works(self) -> bool:
        """Whether the device can compute at all: CUDA's libraries are looked for with the first window only."""
        try:
            self._encode([np.zeros(RATE, np.float32)])
        except RuntimeError:
            return False
        return True

    def language(self, sounds: Sequence[Samples]) -> tuple[str, float]:
        if not self._model.is_multilingual:
            return "en", 1.0
        output, _ = self._encode(sounds)
        total: dict[str, float] = {}
        for found in self._model.detect_language(output):
            for token, p in found:
                total[token[2:-2]] = total.get(token[2:-2], 0.0) + p / len(sounds)
        spoken = max(total, key=lambda name: total[name])
        return spoken, total[spoken]

    def hear(
        self, sounds: Sequence[Samples], *, language: str = "en", prompt: str = "", beam: int = 5
    ) -> list[Hearing]:
        tokenizer = self._tokenizer(language)
        before = tokenizer.encode(" " + prompt.strip())[-200:] if prompt.strip() else []
        start = self._whisper.get_prompt(tokenizer, before, without_timestamps=True)
        longest = max(len(s) for s in sounds) / RATE
        room = min(self._whisper.max_length, len(start) + 24 + int(9 * longest))
        output, frames = self._encode(sounds)
        results = self._model.generate(
            output, [list(start)] * len(sounds), beam_size=beam, max_length=room, return_scores=True,
            return_no_speech_prob=True, suppress_blank=True, suppress_tokens=self._suppressed,
        )  # fmt: skip
        tokens = [[t for t in r.sequences_ids[0] if t < tokenizer.eot] for r in results]
        aligned = self._model.align(output, tokenizer.sot_sequence, tokens, frames)
        return [
            _hearing(tokenizer, t, a, r, len(s) / RATE)
            for s, r, t, a in zip(sounds, results, tokens, aligned, strict=True)
        ]

    def activity(self) -> Callable[[Samples], NDArray[np.float32]]:
        return voice_activity()


def log_mel(sound: Samples, frames: int, extractor: Any) -> NDArray[np.float32]:
    """The recogniser's log-mel features of a sound, padded with silence to a number of frames of 10 ms.

    The same numbers as faster_whisper's extractor gives (tested), in single precision and without copies.
    """
    padded = np.zeros(frames * 160 + 400, dtype=np.float32)
    take = min(len(sound), frames * 160)
    padded[200 : 200 + take] = sound[:take]
    padded[:200] = padded[400:200:-1]
    window = np.hanning(401)[:-1].astype(np.float32)
    strided = np.lib.stride_tricks.sliding_window_view(padded, 400)[::160][:frames]
    spectrum = np.fft.rfft(strided * window, axis=1)
    power = (spectrum.real**2 + spectrum.imag**2).astype(np.float32)
    mel = np.log10(np.maximum(extractor.mel_filters @ power.T, 1e-10))
    mel = np.maximum(mel, mel.max() - 8.0)
    return np.ascontiguousarray((mel + 4.0) / 4.0, dtype=np.float32)


def _hearing(tokenizer: Any, tokens: list[int], aligned: Any, result: Any, seconds: float) -> Hearing:
    """Words with times and probabilities from the tokens of one window and their alignment."""
    score = float(result.scores[0]) if result.scores else 0.0
    texts, parts = tokenizer.split_to_word_tokens([*tokens, tokenizer.eot])
    texts, parts = texts[:-1], parts[:-1]
    if not parts:
        return Hearing((), score, float(result.no_speech_prob))
    pairs = np.array(aligned.alignments)
    jumps = np.pad(np.diff(pairs[:, 0]), (1, 0), constant_values=1).astype(bool)
    times = pairs[jumps, 1] * 0.02
    edges = np.cumsum([0, *(len(p) for p in parts)])
    probabilities = np.array(aligned.text_token_probs, dtype=np.float64)
    words: list[HeardWord] = []
    for text, first, last in zip(texts, edges[:-1], edges[1:], strict=True):
        start = float(times[min(first, len(times) - 1)])
        end = float(times[min(last, len(times) - 1)])
        p = probabilities[first:last]
        mean, floor = (float(p.mean()), float(p.min())) if len(p) else (0.0, 0.0)
        glued = words and not text.startswith(" ")
        if glued or not text.strip():
            if words:
                before = words[-1]
                joined = before.text + text.strip()
                if _is_mark(text):
                    words[-1] = replace(before, text=joined)
                else:
                    words[-1] = replace(
                        before, text=joined, end=max(before.end, end), probability=min(before.probability, mean),
                        floor=min(before.floor, floor),
                    )  # fmt: skip
            continue
        words.append(HeardWord(text.strip(), start, min(seconds, max(start, end)), mean, floor=floor))
    return Hearing(_plausible_lengths(words), score, float(result.no_speech_prob))


def _is_mark(text: str) -> bool:
    return not any(c.isalnum() for c in text)


PER_SIGN = 0.45
"""Seconds that a digit or a spelt letter may take within one written word: "555-0174" is eight spoken ones."""


def _signs(text: str) -> int:
    """Digits and letters that are said one by one."""
    return sum(c.isdigit() for c in text) + sum(len(part) == 1 and part.isalpha() for part in text.split("-")[1:])


def _plausible_lengths(words: list[HeardWord]) -> tuple[HeardWord, ...]:
    """Words that the alignment stretched over a pause are shortened from the side of the pause."""
    lengths = sorted(w.end - w.start for w in words if w.end > w.start)
    usual = min(0.7, lengths[len(lengths) // 2]) if lengths else 0.3
    longest = max(0.6, 2.5 * usual)
    kept: list[HeardWord] = []
    for i, w in enumerate(words):
        start, end = w.start, w.end
        most = max(longest, PER_SIGN * _signs(w.text))
        if end - start > most:
            after_pause = i == 0 or words[i - 1].text[-1:] in ".,?!;:"
            if after_pause:
                start = end - most
            else:
                end = start + most
        kept.append(replace(w, start=round(start, 2), end=round(end, 2), probability=round(min(1.0, w.probability), 4)))
    return tuple(kept)


def voice_activity() -> Callable[[Samples], NDArray[np.float32]]:
    """Silero's voice activity as faster_whisper brings it, fed in pieces: its state is carried from piece to piece."""
    from faster_whisper.vad import get_vad_model

    session: Any = get_vad_model().session
    state = {"h": np.zeros((1, 1, 128), np.float32), "c": np.zeros((1, 1, 128), np.float32)}
    rest = np.zeros(0, np.float32)
    context = np.zeros(64, np.float32)

    def feed(piece: Samples) -> NDArray[np.float32]:
        nonlocal rest, context
        rest = np.concatenate([rest, piece])
        n = len(rest) // 512
        if not n:
            return np.zeros(0, np.float32)
        frames, rest = rest[: n * 512].reshape(n, 512), rest[n * 512 :]
        before = np.concatenate([context[None, :], frames[:-1, -64:]])
        context = frames[-1, -64:].copy()
        out, state["h"], state["c"] = session.run(
            None, {"input": np.concatenate([before, frames], axis=1).astype(np.float32), **state}
        )
        return np.asarray(out, dtype=np.float32).reshape(-1)

    return feed


_EARS: dict[tuple[str, str, int], WhisperEar] = {}
_EARS_LOCK = threading.Lock()


def ear_for(settings: Settings) -> WhisperEar:
    """The recogniser for these settings; loaded once in a process and shared by all recordings."""
    return _load(weights.find_weights(settings.model, allow_download=settings.allow_download), settings)


def _load(found: weights.Weights, settings: Settings) -> WhisperEar:
    key = (str(found.folder), settings.device, settings.threads)
    with _EARS_LOCK:
        if key not in _EARS:
            gpus = 0
            if settings.device != "cpu":
                import ctranslate2

                gpus = int(ctranslate2.get_cuda_device_count())
            compute = choose_compute(settings.device, settings.threads, gpus=gpus, cores=cores())
            ear = WhisperEar(found.folder, found.name, compute)
            if compute.device == "cuda" and settings.device == "auto" and not ear.works():
                # seen on a machine with a GPU and without CUDA's libraries: the model loads and the first window fails
                compute = choose_compute("cpu", settings.threads, gpus=0, cores=cores())
                ear = WhisperEar(found.folder, found.name, compute)
            _EARS[key] = ear
        return _EARS[key]


def listen(
    path: Path,
    *,
    settings: Settings,
    prompt_words: tuple[str, ...] = (),
    progress: Progress | None = None,
    ear: Ear | None = None,
) -> Transcript:
    """The words of a recording. Raises NotMedia, NoAudio, NotFound, InputError, WeightsError, EngineError, OutputError.

    A recording without words, or with noise whose words were not believed, gives a Transcript without words. What was
    heard before is taken from the cache; of a run that was killed, the finished windows.
    """
    tell = progress or (lambda stage, done, whole: None)
    if not path.is_file():
        media.probe(path)  # raises with the right words
    found = weights.find_weights(settings.model, allow_download=settings.allow_download) if ear is None else None
    cache = HeardCache(settings.cache or weights.user_cache())
    plan = (repr(PlanOptions()), f"{BEAM} {NOISY_BEAM}")
    choices = (settings.device, str(settings.second_hearing), *plan, *prompt_words)
    name = found.identity if found else f"{ear.name if ear else ''}:{settings.model}"
    key = key_of(_sha256(path), model=name, settings=choices)
    if settings.fresh:
        cache.forget_part(key)
    elif (kept := cache.get(key)) is not None:
        return kept
    with ThreadPoolExecutor(1, thread_name_prefix="load") as loader:
        loading = loader.submit(_load, found, settings) if found else None
        gauge = Gauge(ear.activity() if ear else voice_activity())
        with media.decode(path, heard=gauge.feed) as sound:
            tell("loading", 0.0, sound.seconds)
            ready: Ear = loading.result() if loading else ear  # type: ignore[assignment]
            task = Listening(sound, gauge, ready, settings=settings, prompt_words=prompt_words, progress=tell)
            transcript = task.run(cache, key)
    cache.put(key, transcript)
    return transcript


def _sha256(path: Path) -> str:
    total = hashlib.sha256()
    with path.open("rb") as file:
        while piece := file.read(1 << 20):
            total.update(piece)
    return total.hexdigest()


class Gauge:
    """Fed the sound as it is decoded: voice activity, loudness and the power of two bands of every frame of 32 ms."""

    def __init__(self, activity: Callable[[Samples], NDArray[np.float32]]) -> None:
        self._activity = activity
        self._parts: list[NDArray[np.float32]] = []
        self._power: list[NDArray[np.float32]] = []
        self._bands: list[NDArray[np.float32]] = []
        self._rest = np.zeros(0, np.float32)
        self._peak = 0.0

    def feed(self, piece: Samples) -> None:
        """The next piece. A faint recording is made louder first: the voice filter goes by loudness, too."""
        self._rest = np.concatenate([self._rest, piece])
        n = len(self._rest) // 512
        if n < 31:
            return
        self._take(n)

    def _take(self, n: int) -> None:
        frames, self._rest = self._rest[: 512 * n], self._rest[512 * n :]
        self._power.append((frames.reshape(n, 512) ** 2).mean(axis=1))
        self._bands.append(band_power(frames.reshape(n, 512)))
        self._peak = max(0.995 * self._peak, float(np.abs(frames).max(initial=0.0)))
        gain = min(30.0, 0.3 / self._peak) if 0 < self._peak < 0.1 else 1.0
        self._parts.append(self._activity((frames * np.float32(gain)).astype(np.float32)))

    def finish(self) -> tuple[Tone, float]:
        """What was measured of all frames, and the ratio of speech to noise in dB (99 where there is no noise)."""
        if len(self._rest):
            self._rest = np.concatenate([self._rest, np.zeros(-len(self._rest) % 512, np.float32)])
            self._take(len(self._rest) // 512)
        if not self._parts:
            return Tone(np.zeros(0, np.float32), np.zeros((0, 2), np.float32)), 99.0
        activity, power = np.concatenate(self._parts), np.concatenate(self._power)
        n = min(len(activity), len(power))
        tone = Tone(activity, np.concatenate(self._bands))
        loud, still = power[:n][activity[:n] >= 0.6], power[:n][activity[:n] < 0.1]
        if not len(loud) or not len(still):
            return tone, 99.0
        noise = float(np.median(still)) + 1e-12
        return tone, float(10 * np.log10(max(1e-12, float(loud.mean()) - noise) / noise))


class Listening:
    """The plan of listening to one recording, step by step."""

    def __init__(
        self, sound: Sound, gauge: Gauge, ear: Ear, *, settings: Settings, prompt_words: tuple[str, ...] = (),
        progress: Progress,
    ) -> None:  # fmt: skip
        self.sound, self.ear, self.settings, self.progress = sound, ear, settings, progress
        self.prompt_words = prompt_words
        self.options = PlanOptions()
        self.tone, self.ratio = gauge.finish()
        self.activity = self.tone.activity
        noisy = self.ratio < NOISY
        self.beam = NOISY_BEAM if noisy else BEAM
        self.cutoff: float | None = RUMBLE if noisy else None
        self.other_cutoff: float | None = None if noisy else RUMBLE
        self.units = spoken_units()
        self.log = list(sound.notes)
        self.language = "en"
        compute = getattr(ear, "compute", None)
        self.workers = compute.workers if isinstance(compute, Compute) else 1
        self.batch = compute.batch if isinstance(compute, Compute) else BATCH

    def run(self, cache: HeardCache, key: str) -> Transcript:
        """All of it: first hearing, what is not believed, second hearing, what stays without words."""
        sound = self.sound
        windows = hearing_plan.plan(self.activity, self.options, duration=sound.seconds)
        if not windows:
            return self._transcript((), 1.0)
        sure = self._language(windows)
        heard = self._hear(windows, cutoff=self.cutoff, beam=self.beam, cache=cache, key=key, share=(0.0, 0.85))
        words: Sequence[Word] = hearing_plan.join_windows(windows, self._believed(windows, heard))
        if self.settings.second_hearing:
            words = self._second(words, cache, key)
        return self._transcript(coverage.doubting(second_hearing.judged(words, self.units), self.tone), sure)

    def _language(self, windows: Sequence[Window]) -> float:
        """The language from the longest window, from more of them where that is not clear."""
        longest = sorted(windows, key=lambda w: -w.own.length)[:4]
        cuts = [self.sound.read(w.own.start, min(w.own.end, w.own.start + 10.0)) for w in longest]
        found: tuple[str, float] = self._guard(lambda: self.ear.language(cuts[:1]))
        if found[1] < 0.8 and len(cuts) > 1:
            found = self._guard(lambda: self.ear.language(cuts))
        self.language = found[0]
        return found[1]

    def _second(self, words: Sequence[Word], cache: HeardCache, key: str) -> Sequence[Word]:
        """Hear the seconds again that hold an unsure figure, or speech without words."""
        weak = second_hearing.doubtful(words, self.units)
        blank = coverage.unworded(self.activity, words, self.options)
        windows = second_hearing.spots(words, weak, blank, self.activity, duration=self.sound.seconds)
        if not windows:
            return words
        prompt = conditioning_prompt(self.prompt_words, words)
        heard = self._hear(
            windows, cutoff=self.other_cutoff, beam=3, cache=cache, key=f"{key}-2", share=(0.85, 1.0), prompt=prompt
        )
        choice = second_hearing.choose(words, windows, self._believed(windows, heard))
        self.log.extend(choice.log)
        return choice.words

    def _hear(
        self, windows: Sequence[Window], *, cutoff: float | None, beam: int, cache: HeardCache, key: str,
        share: tuple[float, float], prompt: str = "",
    ) -> list[Hearing]:  # fmt: skip
        """One hearing of each window, in batches side by side; times are those of the recording.

        Raises EngineError; what was finished is kept.
        """
        kept = cache.part(key)
        results = {i: kept[at] for i, w in enumerate(windows) if (at := (w.heard.start, w.heard.end)) in kept}
        order = sorted((i for i in range(len(windows)) if i not in results), key=lambda i: -windows[i].heard.length)
        size = max(1, min(self.batch, math.ceil(len(order) / self.workers)))
        batches = [order[i : i + size] for i in range(0, len(order), size)]
        total = sum(w.own.length for w in windows)
        done = sum(windows[i].own.length for i in results)

        def one(batch: list[int]) -> list[Hearing]:
            sounds = [self.sound.read(windows[i].heard.start, windows[i].heard.end) for i in batch]
            if cutoff is not None:
                sounds = [high_passed(s, cutoff) for s in sounds]
            return self.ear.hear(sounds, language=self.language, prompt=prompt, beam=beam)

        with ThreadPoolExecutor(self.workers, thread_name_prefix="hear") as pool:
            waiting = [pool.submit(one, batch) for batch in batches]
            try:
                for batch, future in zip(batches, waiting, strict=True):
                    for i, hearing in zip(batch, self._guard(future.result), strict=True):
                        begin = windows[i].heard.start
                        results[i] = replace(hearing, words=tuple(_moved(w, begin) for w in hearing.words))
                        cache.add(key, windows[i], results[i])
                        done += windows[i].own.length
                    low, high = share
                    part = low + (high - low) * done / total
                    self.progress("listening", self.sound.seconds * part, self.sound.seconds)
            finally:
                for future in waiting:
                    future.cancel()
        return [results[i] for i in range(len(windows))]

    def _guard(self, work: Callable[[], Any]) -> Any:
        """Errors of the recogniser as ours."""
        try:
            return work()
        except (RuntimeError, ValueError, IndexError, MemoryError) as error:
            raise EngineError(f"the recogniser failed ({str(error)[:200]}); what was finished is kept") from error

    def _believed(self, windows: Sequence[Window], heard: Sequence[Hearing]) -> list[tuple[Word, ...]]:
        """The words of each window that can be believed."""
        believed: list[tuple[Word, ...]] = []
        for window, raw in zip(windows, heard, strict=True):
            hearing = coverage.without_echoes(raw)
            why = coverage.disbelieved(hearing, self.activity, window.heard)
            if why:
                text = " ".join(w.text for w in hearing.words)[:80]
                self.log.append(f"{window.own.start:.1f}–{window.own.end:.1f} s: {text!r} not believed: {why}")
            believed.append(() if why else hearing.words)
        return believed

    def _transcript(self, words: Sequence[Word], sure: float) -> Transcript:
        sound = self.sound
        unheard = list(coverage.not_understood(self.tone, words, self.options))
        if sound.broken_at is not None:
            why = "skipped: the file is damaged here"
            unheard.append(Stretch(round(sound.broken_at, 2), round(sound.claimed, 2), why))
        moved = tuple(_moved(w, sound.offset) for w in hearing_plan.in_order(words))
        later = tuple(Stretch(round(s.start + sound.offset, 2), round(s.end + sound.offset, 2), s.why) for s in unheard)
        return Transcript(
            moved, breaks_of(moved), duration=round(sound.offset + sound.seconds, 2), language=self.language,
            language_probability=round(sure, 4), model=self.ear.name, unheard=later, listening=tuple(self.log),
        )  # fmt: skip


def spoken_units() -> frozenset[str]:
    """Single words that name a unit, from the vocabulary."""
    from vocab import builtin

    forms = (form for row in builtin()["units"] for form in row["spoken"])
    return frozenset(hearing_plan.key(form) for form in forms if " " not in form)


def conditioning_prompt(vocabulary: Sequence[str], words: Sequence[Word], *, most: int = 24) -> str:
    """Terms of the vocabulary to remind the recogniser of: those that share a word with what was heard so far.

    A term that nothing in the recording points to is left out, so that it cannot be planted.
    """
    heard = {hearing_plan.key(w.text) for w in words if len(w.text) > 3 and w.probability > 0.5}
    chosen = [term for term in vocabulary if any(hearing_plan.key(part) in heard for part in term.split())]
    return ", ".join(chosen[:most])


def _moved(word: Word, by: float) -> Word:
    return replace(word, start=round(word.start + by, 2), end=round(word.end + by, 2)) if by else word


def breaks_of(words: Sequence[Word], *, pause: float = 1.0) -> tuple[int, ...]:
    """Where paragraphs begin: the first word, and words after a pause of over a second."""
    return tuple(i for i, w in enumerate(words) if i == 0 or w.start - words[i - 1].end > pause)
