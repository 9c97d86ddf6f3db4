"""Photographs: kept to the byte; files that lie, climb or explode do not pass."""

import hashlib
import io
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image

from vestige.graph.errors import BadValue
from vestige.ui.page.photo import keep, kept_file, read_photo, small_copy


def jpeg(size: tuple[int, int] = (60, 40), turn: int = 1, taken: str = "") -> bytes:
    """A photograph, red at its left; *turn* is Exif's Orientation (0x0112)."""
    picture = Image.new("RGB", size, "white")
    picture.paste((255, 0, 0), (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[0x0112] = turn
    if taken:
        exif.get_ifd(0x8769)[36867] = taken
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=exif, quality=95)
    return out.getvalue()


def png_that_says(width: int, height: int) -> bytes:
    """A PNG of a few bytes whose head says any size (PNG, third edition, 11.2.1 IHDR)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        whole = kind + data
        return struct.pack(">I", len(data)) + whole + struct.pack(">I", zlib.crc32(whole))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = zlib.compress(b"\0" * 100)
    chunks = chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + chunks


def test_the_original_is_kept_to_the_byte_under_its_checksum(tmp_path: Path) -> None:
    data = jpeg(turn=6)
    photo = read_photo(data)
    name = keep(tmp_path, photo)
    assert keep(tmp_path, photo) == name
    assert photo.checksum == hashlib.sha256(data).hexdigest()
    [file] = (tmp_path / "pictures").iterdir()
    assert file.read_bytes() == data
    assert name == f"{photo.checksum[:24]}.jpg"


def test_the_small_copy_stands_the_right_way_up(tmp_path: Path) -> None:
    """Orientation 6: the stored picture is turned by 90 degrees clockwise to be seen
    (Exif 2.32, table 6: row 0 is the right side), so its left becomes its top."""
    file = tmp_path / "a.jpg"
    file.write_bytes(jpeg((60, 40), turn=6))
    small = small_copy(file)
    assert small is not None
    seen = Image.open(io.BytesIO(small)).convert("RGB")
    assert seen.size == (40, 60)
    top, bottom = seen.getpixel((20, 5)), seen.getpixel((20, 55))
    assert isinstance(top, tuple)
    assert isinstance(bottom, tuple)
    assert top[1] < 60
    assert bottom[1] > 200


@pytest.mark.parametrize(
    ("said", "day"),
    [("2019:07:03 10:12:00", "2019-07-03"), ("0000:00:00 00:00:00", None), ("", None)],
)
def test_the_day_is_the_camera_s(said: str, day: str | None) -> None:
    assert read_photo(jpeg(taken=said)).taken == day


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"not a picture",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"\xff\xd8\xff\xe0 broken",
        b"%PDF-1.7",
        b"GIF89a\x01\x00\x01\x00\x00\x00\x00;",
    ],
)
def test_a_file_that_lies_about_its_kind_is_refused(data: bytes) -> None:
    with pytest.raises(BadValue, match="no picture that can be kept"):
        read_photo(data)


def test_a_picture_that_explodes_is_refused_by_its_head() -> None:
    with pytest.raises(BadValue, match="more pixels"):
        read_photo(png_that_says(60_000, 60_000))


def test_a_large_or_broken_picture_is_kept_and_not_shown(tmp_path: Path) -> None:
    for size in ((12_000, 12_000), (50, 50)):
        photo = read_photo(png_that_says(*size))
        file = kept_file(tmp_path, keep(tmp_path, photo))
        assert file is not None
        assert small_copy(file) is None


@pytest.mark.parametrize(
    "name",
    ["../secret.jpg", "/etc/hosts", "a/../../secret.jpg", "..", "", "\0", "none.jpg"],
)
def test_a_name_that_climbs_is_no_picture(tmp_path: Path, name: str) -> None:
    (tmp_path / "secret.jpg").write_bytes(jpeg())
    (tmp_path / "pictures").mkdir()
    assert kept_file(tmp_path, name) is None
