"""A child process that takes pictures out of an untrusted film or photo, under limits. Run as a script, never imported.

Standard input: one JSON object, {"film": path, "wanted": [[start, end], ..]} or {"photos": [path, ..]}. Standard output
carries frames as decoder.py's do: a `J` object that names the picture (index and time, or why there is none), and a
`P` with its JPEG. Every picture is encoded anew: nothing about place or camera comes through; a photo's time is told.
"""

from __future__ import annotations

import io
import json
import os
import struct
import sys
from collections.abc import Iterator
from typing import Any

WIDEST = 960
"""Pixels of the longer side in a document."""
BEFORE, AFTER = 2.0, 4.0
"""Seconds around the words in which the camera is likely still on the thing. Chosen, no source."""
APART = 0.45
"""Seconds between frames that are looked at: a film may consist of key frames alone."""
GROUP = 40.0
"""Seconds of film whose frames are held at once."""
ALIKE = 6
"""Bits of 64 in which the hashes of two pictures of one view may differ. Common practice, no source."""
MEMORY = 3 << 30
LARGEST_PHOTO = 30 << 20
MOST_PIXELS = 100_000_000
FORMATS = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi,mpegts"
"""Container formats that may be opened; playlists and network protocols are not among them."""


def main() -> int:
    """Argument: CPU seconds."""
    limit(int(sys.argv[1]))
    task = json.load(sys.stdin)
    if "film" in task:
        try:
            wanted = [(float(a), float(b)) for a, b in task["wanted"]]
            for index, time, worth, jpeg in from_film(task["film"], wanted):
                send(jpeg, index=index, time=time, worth=worth)
        except Exception as error:
            tell(fault=f"{type(error).__name__}: {error}"[:200])
    for index, path in enumerate(task.get("photos", ())):
        try:
            taken, jpeg = from_photo(path)
            send(jpeg, index=index, taken=taken)
        except Exception as error:
            tell(index=index, fault=str(error)[:200])
    tell(end=True)
    return 0


def limit(cpu: int) -> None:
    """What this process may use at most; on systems without rlimits the parent's clock alone guards."""
    try:
        import resource
    except ImportError:
        return
    for what, most in ((resource.RLIMIT_AS, MEMORY), (resource.RLIMIT_CPU, cpu), (resource.RLIMIT_FSIZE, 0),
                       (resource.RLIMIT_CORE, 0)):  # fmt: skip
        try:
            resource.setrlimit(what, (most, most))
        except (ValueError, OSError):
            continue


def tell(**what: Any) -> None:
    write(b"J", json.dumps(what).encode())
    sys.stdout.buffer.flush()


def send(jpeg: bytes, **what: Any) -> None:
    tell(**what)
    write(b"P", jpeg)
    sys.stdout.buffer.flush()


def write(kind: bytes, payload: bytes) -> None:
    sys.stdout.buffer.write(kind + struct.pack("<I", len(payload)) + payload)


def from_film(path: str, wanted: list[tuple[float, float]]) -> Iterator[tuple[int, float, float, bytes]]:
    """Index, second, worth and JPEG of the best frame near each of the wanted times (sorted); no view twice."""
    import av
    import imagehash

    av.logging.set_level(av.logging.PANIC)
    seen: list[Any] = []
    chosen: set[float] = set()
    with av.open(path, options={"format_whitelist": FORMATS, "protocol_whitelist": "file"}) as film:
        if not film.streams.video:
            return
        stream = film.streams.video[0]
        stream.thread_type = "NONE"
        for group in groups(wanted):
            held = list(looked_at(av, film, stream, group[0][1] - BEFORE, max(g[2] for g in group) + AFTER))
            for index, start, end in group:
                near = [h for h in held if start - BEFORE <= h[1] <= end + AFTER]
                # where key frames are far apart, the last one before the words is the nearest view
                near = near or [h for h in held if h[1] <= end + AFTER][-1:]
                if not near:
                    continue
                worth, time, picture = max(near, key=lambda h: h[0])
                if time in chosen:
                    continue  # the same frame is the same view
                chosen.add(time)
                view = imagehash.phash(picture)
                if all(view - other > ALIKE for other in seen):
                    seen.append(view)
                    yield index, time, worth, jpeg_of(picture)


def groups(wanted: list[tuple[float, float]]) -> list[list[tuple[int, float, float]]]:
    """Neighbours whose frames are looked at in one go: index, start, end."""
    out: list[list[tuple[int, float, float]]] = []
    for index, (start, end) in enumerate(wanted):
        last = out[-1] if out else None
        if last and start - BEFORE <= last[-1][2] + AFTER and end - last[0][1] <= GROUP:
            last.append((index, start, end))
        else:
            out.append([(index, start, end)])
    return out


def looked_at(av: Any, film: Any, stream: Any, start: float, end: float) -> Iterator[tuple[float, float, Any]]:
    """Worth, second and picture of key frames from the last one before start to end; others are never decoded."""
    film.seek(int(max(0.0, start) * av.time_base))
    stream.codec_context.flush_buffers()
    last = -APART
    for packet in film.demux(stream):
        time = None if packet.pts is None else float(packet.pts * packet.time_base)
        if packet.dts is None or (time is not None and time > end):
            break
        if not packet.is_keyframe or time is None or time - last < APART:
            continue
        last = time
        yield from map(judged, stream.codec_context.decode(packet))
    yield from map(judged, stream.codec_context.decode(None))


def judged(frame: Any) -> tuple[float, float, Any]:
    import numpy as np

    share = min(1.0, WIDEST / max(frame.width, frame.height))
    picture = frame.reformat(width=max(2, int(frame.width * share)), height=max(2, int(frame.height * share)),
                             format="rgb24").to_image()  # fmt: skip
    if getattr(frame, "rotation", 0):
        picture = picture.rotate(frame.rotation, expand=True)
    small = picture.convert("L")
    small.thumbnail((320, 320))
    grey = np.asarray(small, dtype=np.float32)
    # variance of the Laplacian, less where much is black or white
    edges = 4 * grey[1:-1, 1:-1] - grey[:-2, 1:-1] - grey[2:, 1:-1] - grey[1:-1, :-2] - grey[1:-1, 2:]
    lost = float(((grey < 8) | (grey > 247)).mean())
    return float(edges.var()) * (1 - lost), float(frame.time or 0.0), picture


def from_photo(path: str) -> tuple[str, bytes]:
    """When the photo says that it was taken (ISO 8601 or ""), and its JPEG, turned upright."""
    from PIL import Image, ImageOps

    if os.path.getsize(path) > LARGEST_PHOTO:
        raise ValueError("larger than 30 MB")
    with Image.open(path, formats=("JPEG", "PNG", "WEBP")) as photo:
        if photo.width * photo.height > MOST_PIXELS:
            raise ValueError("more than 100 megapixels")
        exif = photo.getexif()
        # tags of Exif 2.32: DateTimeOriginal and its offset in the Exif part, DateTime in the first
        more = exif.get_ifd(0x8769)
        said, zone = str(more.get(0x9003) or exif.get(0x0132) or ""), str(more.get(0x9011) or "")
        taken = ""
        if len(said) >= 19 and said[4] == ":":
            taken = f"{said[:4]}-{said[5:7]}-{said[8:10]}T{said[11:19]}{zone.strip()}"
        return taken, jpeg_of(ImageOps.exif_transpose(photo))


def jpeg_of(picture: Any) -> bytes:
    small = picture.convert("RGB")
    small.thumbnail((WIDEST, WIDEST))
    small.info.clear()
    stream = io.BytesIO()
    small.save(stream, "JPEG", quality=82)
    return stream.getvalue()


if __name__ == "__main__":
    code = main()
    sys.stdout.flush()
    os._exit(code)
