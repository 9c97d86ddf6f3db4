"""Photographs: checked by what is in them, kept as they came, shown as a small copy.

The original is written once, under its checksum, and never touched. What a file's name
says of its kind is not believed; a picture that would fill the memory is kept and not
shown.
"""

import hashlib
import io
import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from vestige.graph.collection import PICTURES
from vestige.graph.errors import BadValue, VestigeError
from vestige.graph.record import Edtf

from . import words_refusal

if TYPE_CHECKING:
    from PIL import Image

ENDINGS = {"JPEG": "jpg", "PNG": "png", "TIFF": "tif", "WEBP": "webp", "MPO": "jpg"}
"""Kinds of file that are taken, as they are in truth, and the ending each is kept under."""
MOST_SHOWN = 120_000_000
"""A picture of more is kept and not shown: its small copy would take about 0.5 GB."""
SIDE = 1200
TAKEN = 36867
"""DateTimeOriginal (Exif 2.32, tag 0x9003); it has no time zone."""
EXIF = 0x8769


@dataclass(frozen=True, slots=True)
class Photo:
    """A photograph that was checked.

    Attributes:
        data: the file as it came.
        checksum: SHA-256 of it, hex.
        ending: ending that fits what is in it.
        taken: day on which the camera says it was taken; None where it says none.
        size: width and height in pixels, as stored.
    """

    data: bytes
    checksum: str
    ending: str
    taken: str | None
    size: tuple[int, int]

    @property
    def name(self) -> str:
        """Name under which it is kept."""
        return f"{self.checksum[:24]}.{self.ending}"


def read_photo(data: bytes) -> Photo:
    """Check a photograph by its content; only its head is read, no pixel is decoded.

    Raises:
        BadValue: where it is no picture of a kind that is taken, or too large.
    """
    from PIL import Image, UnidentifiedImageError

    kinds = ", ".join(sorted(set(ENDINGS.values())))
    wrong = words_refusal.NO_PICTURE.format(kinds=kinds)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # size is judged below, by our own limit
            picture = Image.open(io.BytesIO(data))
            kind, size = picture.format, picture.size
            taken = _taken(picture)
    except Image.DecompressionBombError:  # Pillow's own limit, 179 million
        raise BadValue(words_refusal.TOO_MANY_PIXELS) from None
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError):
        raise BadValue(wrong) from None
    if kind not in ENDINGS:
        raise BadValue(wrong)
    checksum = hashlib.sha256(data).hexdigest()
    return Photo(data, checksum, ENDINGS[kind], taken, size)


def _taken(picture: "Image.Image") -> str | None:
    """The camera's "2019:07:03 10:12:00" as a day; None where it is none.

    Not asked of a PNG: Pillow would decode all of it to look.
    """
    if picture.format == "PNG":
        return None
    told = picture.getexif().get_ifd(EXIF).get(TAKEN)
    day = str(told or "")[:10].replace(":", "-")
    try:
        return str(Edtf.parse(day)) if day else None
    except VestigeError:
        return None


def keep(folder: Path, photo: Photo) -> str:
    """Write the original beside the record, once; the name that it is kept under."""
    home = folder / PICTURES
    home.mkdir(exist_ok=True)
    file = home / photo.name
    if not file.exists():
        part = file.with_suffix(".part")
        part.write_bytes(photo.data)
        part.rename(file)
    return photo.name


def kept_file(folder: Path, name: str | None) -> Path | None:
    """The file of a picture; None where there is none, or its name leads elsewhere.

    Names come from sheets as well: one that climbs out of the folder is no picture's.
    """
    if not name or "\0" in name:
        return None
    home = (folder / PICTURES).resolve()
    file = (home / name).resolve()
    return file if file.is_relative_to(home) and file.is_file() else None


def small_copy(file: Path) -> bytes | None:
    """A small copy the right way up; None where the picture is too large or broken."""
    from PIL import Image, ImageOps

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(file) as picture:
                if picture.size[0] * picture.size[1] > MOST_SHOWN:
                    return None
                picture.draft("RGB", (SIDE, SIDE))
                small = ImageOps.exif_transpose(picture).convert("RGB")
    except (Image.DecompressionBombError, OSError, ValueError, SyntaxError):
        return None
    small.thumbnail((SIDE, SIDE))
    out = io.BytesIO()
    small.save(out, "JPEG", quality=85)
    return out.getvalue()
