"""Pictures for the report: the sharpest, best-exposed key frame near the words, and the user's own photos.

Only key frames are decoded: a phone writes one or more in a second, and a whole decode would take a quarter of the
film's length. What is written holds no data about place, time or camera: every picture is encoded anew.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.printed import clean, clock
from pipeline.report import Picture
from pipeline.walk import Walk

if TYPE_CHECKING:
    from PIL.Image import Image

MOST = 40
"""Pictures of one walk."""
WIDEST = 960
"""Pixels of the longer side in a document."""
BEFORE, AFTER = 2.0, 4.0
"""Seconds around the words in which the camera is likely still on the thing. Chosen, no source."""
ALIKE = 6
"""Bits of 64 in which the hashes of two pictures of one view may differ. Common practice, no source."""
FILMS = {".mp4", ".mov", ".m4v", ".mkv", ".webm", ".3gp"}
PHOTOS = {".jpg", ".jpeg", ".png", ".webp"}
LARGEST_PHOTO = 30 << 20


def pictures(walk: Walk, recording: Path | None, photos: Path) -> tuple[tuple[Picture, ...], tuple[str, ...]]:
    """Pictures in order of the recording, then photos by name; and what could not be used, with why."""
    found: list[Picture] = []
    faults: list[str] = []
    if recording is not None and recording.suffix.lower() in FILMS and recording.is_file():
        try:
            found += _from_film(recording, subjects(walk))
        except Exception as error:  # a broken film costs its pictures, not the report
            faults.append(f"pictures of {recording.name}: {error}"[:200])
    for path in sorted(photos.iterdir()) if photos.is_dir() else ():
        if path.suffix.lower() in PHOTOS and len(found) < MOST:
            try:
                if path.stat().st_size > LARGEST_PHOTO:
                    raise ValueError("larger than 30 MB")
                from PIL import Image, ImageOps

                with Image.open(path) as photo:
                    if photo.width * photo.height > 100_000_000:
                        raise ValueError("more than 100 megapixels")
                    # turned as its camera says; the saying itself, and the place, are not kept
                    upright = ImageOps.exif_transpose(photo)
                    found.append(Picture(clean(path.stem.replace("_", " "), 80), _jpeg(upright)))
            except Exception as error:
                faults.append(f"picture {path.name}: {error}"[:200])
    return tuple(found), tuple(faults)


def subjects(walk: Walk) -> list[tuple[float, float, str]]:
    """Start, end and caption of what deserves a picture: stations and components, in order of time."""
    out = [
        (x.evidence[0].start, x.evidence[0].end, f"{clean(s.station_word, 30)} {clean(x.number, 20)}: "
         f"{clean(x.role, 60)}")
        for s in walk.sequences for x in s.stations
        if x.status != "withdrawn" and x.evidence and x.evidence[0].recording is None
    ]  # fmt: skip
    out += [(c.evidence[0].start, c.evidence[0].end, clean(c.name, 80)) for c in walk.present
            if c.evidence and c.evidence[0].recording is None]  # fmt: skip
    return sorted(out)[:MOST]


def _from_film(recording: Path, wanted: list[tuple[float, float, str]]) -> Iterator[Picture]:
    import av
    import imagehash

    seen: list[imagehash.ImageHash] = []
    with av.open(str(recording)) as film:
        if not film.streams.video:
            return
        stream = film.streams.video[0]
        stream.codec_context.skip_frame = "NONKEY"
        for start, end, caption in wanted:
            near: list[tuple[float, float, Any, Image]] = []
            film.seek(int(max(0.0, start - BEFORE) * av.time_base))
            for frame in film.decode(stream):
                if frame.time is None or frame.time > end + AFTER or len(near) == 8:
                    break
                small = frame.reformat(width=320, height=max(2, 320 * frame.height // frame.width)).to_image()
                near.append((_worth(small), frame.time, frame, small))
            if not near:
                continue
            _, time, frame, small = max(near, key=lambda n: n[0])
            print_of = imagehash.phash(small)
            if any(print_of - other <= ALIKE for other in seen):
                continue
            seen.append(print_of)
            yield Picture(f"{caption} ({clock(time)})", _jpeg(frame.to_image()), time)


def _worth(picture: Image) -> float:
    """Sharpness (variance of the Laplacian), less where much is black or white."""
    import numpy as np

    grey = np.asarray(picture.convert("L"), dtype=np.float32)
    edges = 4 * grey[1:-1, 1:-1] - grey[:-2, 1:-1] - grey[2:, 1:-1] - grey[1:-1, :-2] - grey[1:-1, 2:]
    lost = float(((grey < 8) | (grey > 247)).mean())
    return float(edges.var()) * (1 - lost)


def _jpeg(picture: Image) -> bytes:
    small = picture.convert("RGB")
    small.thumbnail((WIDEST, WIDEST))
    small.info.clear()
    stream = io.BytesIO()
    small.save(stream, "JPEG", quality=82)
    return stream.getvalue()
