"""Samples to a Transcript: the one plan of listening. Only this module imports faster_whisper."""

from __future__ import annotations

import math
import os
import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from extractors.words import Stretch, Transcript, Word
from pipeline import coverage, hearing_plan, media, weights
from pipeline.coverage import Hearing
from pipeline.errors import EngineError
from pipeline.hearing_plan import PlanOptions, Span, Window
from pipeline.media import RATE, Samples, Sound
from pipeline.settings import Settings

Progress = Callable[[str, float, float], None]
BATCH = 4
"""Windows to a batch: on two cores eight are no faster and take more memory."""


class Ear(Protocol):
    """A recogniser: the real one is WhisperEar; tests put in ones that crash, hear nothing or invent."""

    name: str

    def hear(self, sounds: Sequence[Samples], *, prompt: str = "", beam: int = 5) -> list[Hearing]:
        """One hearing for each sound, with times from the sound's own start."""
        ...

    def language(self, sounds: Sequence[Samples]) -> tuple[str, float]:
        """The language spoken, and its probability; later hearings are in that language."""
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


def choose_compute(device: str, threads: int, *, gpus: int, cores: int) -> Compute:
    """float16 on a GPU, int8 on processors; one worker for each two cores at most, so that batches run side by side.

    Two workers of one thread each hear faster than one of two: a decoding step is too small to share.
    """
    if device == "cuda" and not gpus:
        raise EngineError("no CUDA device was found", remedy="Use --device cpu, or auto.")
    if device == "cuda" or (device == "auto" and gpus):
        return Compute("cuda", "float16", 1, 1)
    total = threads or max(1, cores)
    workers = max(1, min(4, total))
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
        self._features = threading.local()
        self._spoken = "en"
        self._tokenizers: dict[str, Any] = {}
        self._suppressed: dict[str, list[int]] = {}

    def _tokenizer(self) -> Any:
        if self._spoken not in self._tokenizers:
            made = self._tokenizer_class(
                self._whisper.hf_tokenizer, self._model.is_multilingual, task="transcribe", language=self._spoken
            )
            no = {made.transcribe, made.translate, made.sot, made.sot_prev, made.sot_lm, made.no_speech}
            self._suppressed[self._spoken] = sorted({*made.non_speech_tokens, *no})
            self._tokenizers[self._spoken] = made
        return self._tokenizers[self._spoken]

    def _encode(self, sounds: Sequence[Samples]) -> tuple[Any, list[int]]:
        """Encoder output of a batch, padded to its longest sound and not to half a minute; frames of each."""
        frames = [max(1, len(s) // 160) for s in sounds]
        most = min(3000, 100 * math.ceil((max(frames) + 200) / 100))
        batch = np.stack([log_mel(s, most, self._whisper.feature_extractor) for s in sounds])
        return self._whisper.encode(batch), frames

    def language(self, sounds: Sequence[Samples]) -> tuple[str, float]:
        if not self._model.is_multilingual:
            return "en", 1.0
        output, _ = self._encode(sounds)
        total: dict[str, float] = {}
        for found in self._model.detect_language(output):
            for token, p in found:
                total[token[2:-2]] = total.get(token[2:-2], 0.0) + p / len(sounds)
        self._spoken = max(total, key=lambda name: total[name])
        return self._spoken, total[self._spoken]

    def hear(self, sounds: Sequence[Samples], *, prompt: str = "", beam: int = 5) -> list[Hearing]:
        tokenizer = self._tokenizer()
        before = tokenizer.encode(" " + prompt.strip())[-200:] if prompt.strip() else []
        start = self._whisper.get_prompt(tokenizer, before, without_timestamps=True)
        longest = max(len(s) for s in sounds) / RATE
        room = min(self._whisper.max_length, len(start) + 24 + int(9 * longest))
        output, frames = self._encode(sounds)
        results = self._model.generate(
            output, [list(start)] * len(sounds), beam_size=beam, max_length=room, return_scores=True,
            return_no_speech_prob=True, suppress_blank=True, suppress_tokens=self._suppressed[self._spoken],
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
    words: list[Word] = []
    floors: list[float] = []
    for text, first, last in zip(texts, edges[:-1], edges[1:], strict=True):
        start = float(times[min(first, len(times) - 1)])
        end = float(times[min(last, len(times) - 1)])
        p = probabilities[first:last]
        mean, floor = (float(p.mean()), float(p.min())) if len(p) else (0.0, 0.0)
        glued = words and not text.startswith(" ")
        if glued or not text.strip():
            if words:
                before = words[-1]
                if _is_mark(text):
                    words[-1] = Word(before.text + text.strip(), before.start, before.end, before.probability)
                else:
                    words[-1] = Word(before.text + text.strip(), before.start, end, min(before.probability, mean))
                    floors[-1] = min(floors[-1], floor)
            continue
        words.append(Word(text.strip(), start, min(seconds, max(start, end)), mean))
        floors.append(floor)
    return Hearing(_plausible_lengths(words), score, float(result.no_speech_prob), tuple(floors))


def _is_mark(text: str) -> bool:
    return not any(c.isalnum() for c in text)


def _plausible_lengths(words: list[Word]) -> tuple[Word, ...]:
    """Words that the alignment stretched over a pause are shortened from the side of the pause."""
    lengths = sorted(w.end - w.start for w in words if w.end > w.start)
    usual = min(0.7, lengths[len(lengths) // 2]) if lengths else 0.3
    longest = max(0.6, 2.5 * usual)
    kept: list[Word] = []
    for i, w in enumerate(words):
        start, end = w.start, w.end
        if end - start > longest:
            after_pause = i == 0 or words[i - 1].text[-1:] in ".,?!;:"
            if after_pause:
                start = end - longest
            else:
                end = start + longest
        kept.append(Word(w.text, round(start, 2), round(end, 2), round(min(1.0, w.probability), 4)))
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
    """The recogniser for these settings; loaded once in a process and shared."""
    found = weights.find_weights(settings.model, allow_download=settings.allow_download)
    key = (str(found.folder), settings.device, settings.threads)
    with _EARS_LOCK:
        if key not in _EARS:
            gpus = 0
            if settings.device != "cpu":
                import ctranslate2

                gpus = int(ctranslate2.get_cuda_device_count())
            compute = choose_compute(settings.device, settings.threads, gpus=gpus, cores=cores())
            _EARS[key] = WhisperEar(found.folder, found.name, compute)
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

    A recording without words gives a Transcript without words; so does one whose noise was not believed.
    """
    tell = progress or (lambda stage, done, whole: None)
    with ThreadPoolExecutor(1, thread_name_prefix="load") as loader:
        loading = loader.submit((lambda: ear) if ear is not None else (lambda: ear_for(settings)))
        pieces: list[Samples] = []
        with media.decode(path, heard=None) as sound:
            del pieces
            tell("loading", 0.0, sound.seconds)
            ready: Ear = loading.result()
            return hear_sound(sound, ready, settings=settings, progress=tell)


def hear_sound(sound: Sound, ear: Ear, *, settings: Settings, progress: Progress) -> Transcript:
    """The plan of listening on decoded sound."""
    options = PlanOptions()
    feed = ear.activity()
    activity = np.concatenate(
        [np.zeros(0, np.float32), *(feed(sound.read(at, at + 60.0)) for at in np.arange(0.0, sound.seconds, 60.0))]
    )
    windows = hearing_plan.plan(activity, options, duration=sound.seconds)
    if not windows:
        return Transcript((), duration=round(sound.seconds, 2), model=ear.name)
    sounds = [sound.read(w.heard.start, w.heard.end) for w in windows[:4]]
    language, sure = ear.language(sounds)
    log = list(sound.notes)
    heard = hear_windows(sound, ear, windows, progress=progress)
    believed: list[tuple[Word, ...]] = []
    for window, hearing in zip(windows, (coverage.without_echoes(h) for h in heard), strict=True):
        why = coverage.disbelieved(hearing, activity, window.heard)
        if why:
            text = " ".join(w.text for w in hearing.words)[:80]
            log.append(f"{window.own.start:.1f}–{window.own.end:.1f} s: {text!r} not believed: {why}")
        believed.append(() if why else hearing.words)
    words = hearing_plan.join_windows(windows, believed)
    unheard = list(coverage.unworded(activity, words, options))
    if sound.broken_at is not None:
        unheard.append(Stretch(round(sound.broken_at, 2), round(sound.claimed, 2), "skipped: the file is damaged here"))
    words = tuple(_moved(w, sound.offset) for w in words)
    return Transcript(
        words, breaks_of(words), round(sound.offset + sound.seconds, 2), language, round(sure, 4), ear.name,
        tuple(unheard), tuple(log),
    )  # fmt: skip


def hear_windows(
    sound: Sound, ear: Ear, windows: Sequence[Window], *, progress: Progress, beam: int = 5
) -> list[Hearing]:
    """First hearing of all windows, in batches that run side by side; times are those of the recording."""
    workers = getattr(getattr(ear, "compute", None), "workers", 1)
    order = sorted(range(len(windows)), key=lambda i: -windows[i].heard.length)
    batches = [order[i : i + BATCH] for i in range(0, len(order), BATCH)]
    results: dict[int, Hearing] = {}
    done = 0.0

    def one(batch: list[int]) -> list[Hearing]:
        return ear.hear([sound.read(windows[i].heard.start, windows[i].heard.end) for i in batch], beam=beam)

    with ThreadPoolExecutor(workers, thread_name_prefix="hear") as pool:
        for batch, found in zip(batches, pool.map(one, batches), strict=True):
            for i, hearing in zip(batch, found, strict=True):
                at = windows[i].heard.start
                results[i] = Hearing(
                    tuple(_moved(w, at) for w in hearing.words), hearing.score, hearing.no_speech, hearing.floors
                )
                done += windows[i].own.length
            progress("listening", done, sum(w.own.length for w in windows))
    return [results[i] for i in range(len(windows))]


def _moved(word: Word, by: float) -> Word:
    if not by:
        return word
    return Word(
        word.text, round(word.start + by, 2), round(word.end + by, 2), word.probability, word.alternatives, word.doubt
    )


def breaks_of(words: Sequence[Word], *, pause: float = 1.0) -> tuple[int, ...]:
    """Where paragraphs begin: the first word, and words after a pause of over a second."""
    return tuple(i for i, w in enumerate(words) if i == 0 or w.start - words[i - 1].end > pause)
