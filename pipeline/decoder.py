"""A child process that turns an untrusted recording into plain samples, under limits. Run as a script, never imported.

Standard output carries frames: one byte of kind (`J` a JSON object, `P` samples), four bytes of length, the payload.
Samples are 16 kHz mono signed 16-bit little-endian. The first frame is a J with what the file says about itself; the
last is a J with "end", or with "error" (a class name of pipeline.errors) and "message". It stands alone: only PyAV
and NumPy, so that whatever a crafted file does to the decoder happens here, without the parent's memory or files.
"""

from __future__ import annotations

import json
import os
import struct
import sys
from typing import Any

RATE = 16_000
FORMATS = (
    "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,ogg,wav,w64,flac,mp3,amr,amrnb,amrwb,aac,caf,aiff,au,avi,asf,mpegts,mpeg"
)
"""Container formats that may be opened; playlists, concat scripts and network protocols are not among them."""
MEMORY = 2 << 30
"""Bytes of address space. FFmpeg with its threads maps some 700 MB before the first frame."""
GAP_KEPT = 0.10
"""Seconds by which a packet may come late before silence is put in its place; phones jitter by less."""
DEAD = 10 ** (-25 / 20)
"""A channel this far below the other carries no voice: a broken microphone or an unplugged cable."""
MAX_RATE = 768_000
MAX_CHANNELS = 64


def main() -> int:
    """Arguments: path, probe or decode, the longest recording in seconds, CPU seconds."""
    path, task, longest, cpu = sys.argv[1], sys.argv[2], float(sys.argv[3]), int(sys.argv[4])
    limit(cpu)
    try:
        import av

        av.logging.set_level(av.logging.PANIC)
        run(av, path, task == "probe", longest)
    except MemoryError:
        tell(error="EngineError", message="it needs more memory than a recording may use")
    except Refused as refused:
        tell(error=refused.kind, message=str(refused))
    except BrokenPipeError:
        return 1
    return 0


class Refused(Exception):
    """The file cannot be used; kind is a class name of pipeline.errors."""

    def __init__(self, kind: str, message: str) -> None:
        super().__init__(message)
        self.kind = kind


def limit(cpu: int) -> None:
    """What this process may use at most; on systems without rlimits the parent's clock alone guards."""
    try:
        import resource
    except ImportError:
        return
    for what, most in (
        (resource.RLIMIT_AS, MEMORY),
        (resource.RLIMIT_CPU, cpu),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_CORE, 0),
    ):
        try:
            resource.setrlimit(what, (most, most))
        except (ValueError, OSError):
            continue


def send(kind: bytes, payload: bytes) -> None:
    sys.stdout.buffer.write(kind + struct.pack("<I", len(payload)) + payload)


def tell(**what: Any) -> None:
    send(b"J", json.dumps(what).encode())
    sys.stdout.buffer.flush()


def run(av: Any, path: str, probe_only: bool, longest: float) -> None:
    """Open, describe, decode."""
    try:
        container = av.open(
            path,
            options={"format_whitelist": FORMATS, "protocol_whitelist": "file", "max_streams": "64"},
            **({"metadata_errors": "replace"} if int(av.__version__.split(".")[0]) < 19 else {}),
        )
    except (av.FFmpegError, ValueError, OSError) as error:
        raise Refused("NotMedia", f"this is no recording that can be read ({reason(error)})") from error
    with container:
        stream = next(iter(container.streams.audio), None)
        pictures = [s for s in container.streams.video if not (s.disposition & av.stream.Disposition.attached_pic)]
        if stream is None:
            raise Refused("NoAudio", "it has no sound track")
        rate, channels = stream.codec_context.sample_rate, stream.codec_context.channels
        if not 0 < rate <= MAX_RATE or not 0 < channels <= MAX_CHANNELS:
            raise Refused("NotMedia", f"its sound track claims {channels} channels at {rate} Hz")
        duration = declared(av, container, stream)
        if duration > longest:
            raise Refused(
                "InputError", f"it is {duration / 3600:.1f} hours long; at most {longest / 3600:.0f} are heard"
            )
        tell(
            kind="video" if pictures else "audio",
            duration=duration,
            codec=stream.codec_context.name,
            rate=rate,
            channels=channels,
            recorded=str(container.metadata.get("creation_time", ""))[:40],
        )
        if not probe_only:
            decode(av, container, stream, longest, duration)


def declared(av: Any, container: Any, stream: Any) -> float:
    """Seconds that the file claims; 0 where it does not say."""
    if stream.duration is not None and stream.time_base:
        return max(0.0, float(stream.duration * stream.time_base))
    if container.duration is not None:
        return max(0.0, float(container.duration / av.time_base))
    return 0.0


def decode(av: Any, container: Any, stream: Any, longest: float, claimed: float) -> None:
    """Send all samples of the first sound track; what breaks off midway is said, not thrown away."""
    mixer = Mixer()
    layout = "mono" if stream.codec_context.channels == 1 else "stereo"
    resampler = av.AudioResampler(format="fltp", layout=layout, rate=RATE)
    stream.thread_type = "NONE"
    written = 0
    begun: float | None = None
    broken = ""
    failures = 0
    packets = container.demux(stream)
    while True:
        try:
            packet = next(packets)
            frames = packet.decode()
            failures = 0
        except StopIteration:
            break
        except MemoryError:
            raise
        except av.FFmpegError as error:
            broken = broken or reason(error)
            failures += 1
            if failures > 50 or isinstance(error, av.EOFError):
                break
            continue
        for frame in frames:
            if frame.pts is not None and frame.time_base:
                at = float(frame.pts * frame.time_base)
                begun = at if begun is None else begun
                late = at - begun - written / RATE
                if late > GAP_KEPT:
                    if written / RATE + late > longest:
                        broken = broken or "its time stamps leap by hours"
                    else:
                        written += mixer.silence(int(late * RATE))
            for piece in resampler.resample(frame):
                written += mixer.push(piece.to_ndarray())
            if written / RATE > longest:
                raise Refused("InputError", f"it goes on beyond {longest / 3600:.0f} hours")
    try:
        for piece in resampler.resample(None):
            written += mixer.push(piece.to_ndarray())
    except (av.FFmpegError, ValueError):
        pass
    mixer.flush()
    if not written:
        raise Refused("NotMedia", f"no sound could be decoded ({broken or 'the track is empty'})")
    offset = max(0.0, begun or 0.0) if stream.start_time is not None else 0.0
    tell(end=True, broken=broken, claimed=claimed, offset=min(offset, longest), dead=mixer.dead, clipped=mixer.clipped)


class Mixer:
    """Stereo to mono by blocks of half a second: a dead channel is left out, opposed channels are not cancelled."""

    def __init__(self) -> None:
        import numpy as np

        self.np = np
        self.block = RATE // 2
        self.waiting: list[Any] = []
        self.held = 0
        self.weights: Any = None
        self.dead = 0.0
        self.clipped = 0

    def push(self, samples: Any) -> int:
        """Take (channels, n) floats; returns n."""
        self.waiting.append(samples)
        self.held += samples.shape[1]
        if self.held >= 8 * self.block:
            self.flush()
        return int(samples.shape[1])

    def silence(self, n: int) -> int:
        self.flush()
        zeros = bytes(2 * self.block)
        left = n
        while left > 0:
            send(b"P", zeros[: 2 * min(left, self.block)])
            left -= self.block
        return n

    def flush(self) -> None:
        np = self.np
        if not self.waiting:
            return
        samples = np.concatenate(self.waiting, axis=1)
        self.waiting, self.held = [], 0
        samples = np.nan_to_num(samples, nan=0.0, posinf=1.0, neginf=-1.0)
        for at in range(0, samples.shape[1], self.block):
            mono = self.mix(samples[:, at : at + self.block])
            self.clipped += int(np.count_nonzero(np.abs(mono) >= 0.999))
            send(b"P", (np.clip(mono, -1.0, 1.0) * 32767.0).astype("<i2").tobytes())

    def mix(self, block: Any) -> Any:
        np = self.np
        if block.shape[0] == 1:
            return block[0]
        power = np.sqrt((block.astype("float64") ** 2).mean(axis=1)) + 1e-9
        if power.min() < DEAD * power.max():
            target = (power == power.max()).astype("float64")
            self.dead += block.shape[1] / RATE
        elif float((block[0] * block[1]).mean()) < -0.5 * float(power[0] * power[1]):
            target = np.array([1.0, 0.0])
        else:
            target = np.array([0.5, 0.5])
        before = target if self.weights is None else self.weights
        self.weights = target
        ramp = np.linspace(0.0, 1.0, block.shape[1], endpoint=False)
        weights = before[:, None] * (1 - ramp) + target[:, None] * ramp
        return (block * weights).sum(axis=0)


def reason(error: BaseException) -> str:
    """An error in a few words without the path."""
    text = getattr(error, "strerror", None) or str(error) or type(error).__name__
    return str(text).split(":")[0][:120]


if __name__ == "__main__":
    code = main()
    sys.stdout.flush()
    os._exit(code)
