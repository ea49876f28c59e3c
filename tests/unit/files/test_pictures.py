"""Picture files: exact where the format is, read by other decoders, whole or not at all."""

import errno
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import pyvips
import tifffile
from PIL import Image

from plateside.deliver.sizes import ssim
from plateside.files import pictures
from plateside.files.pictures import (
    ENDINGS,
    QUALITY,
    decode,
    encode,
    fill_tiff_16,
    picture_size,
    read_picture,
    write_picture,
    write_tiff_16,
)
from plateside.finish.icc import srgb_profile
from plateside.model.errors import CouldNotError, InputError
from tests.photographs import photograph

COFFEE = photograph("coffee")


def test_a_16_bit_tiff_comes_back_exactly_by_another_reader(tmp_path: Path) -> None:
    pixels = np.random.default_rng(0).integers(0, 65536, (61, 83, 3)).astype(np.uint16)
    write_tiff_16(tmp_path / "a.tif", pixels)
    with tifffile.TiffFile(tmp_path / "a.tif") as tiff:
        page = tiff.pages[0]
        np.testing.assert_array_equal(tiff.asarray(), pixels)
        assert isinstance(page, tifffile.TiffPage)
        assert bytes(page.tags[34675].value) == srgb_profile()
        assert page.tags["BitsPerSample"].value == (16, 16, 16)


@pytest.mark.parametrize("kind", ["jpeg", "webp", "avif", "png"])
def test_pillow_reads_what_was_written_with_profile_and_without_exif(tmp_path: Path, kind: str) -> None:
    path = tmp_path / f"ü x{ENDINGS[kind]}"
    write_picture(path, COFFEE, kind, QUALITY[kind])
    with Image.open(path) as image:
        assert image.format == kind.upper()
        assert image.size == (600, 400)
        assert image.info["icc_profile"] == srgb_profile()
        assert not image.getexif()
        assert ssim(np.asarray(image.convert("RGB")), COFFEE) > 0.93


def test_png_loses_nothing() -> None:
    np.testing.assert_array_equal(decode(encode(COFFEE, "png", 1)), COFFEE)


@pytest.mark.parametrize("kind", ["jpeg", "webp", "avif"])
def test_more_quality_is_more_bytes_and_more_likeness(kind: str) -> None:
    small = COFFEE[:160, :160]
    low, high = encode(small, kind, 30), encode(small, kind, 90)
    assert len(low) < len(high)
    assert ssim(decode(low), small) < ssim(decode(high), small)


def test_the_same_picture_gives_the_same_bytes() -> None:
    assert encode(COFFEE, "jpeg", 80, b"<x/>") == encode(COFFEE, "jpeg", 80, b"<x/>")


@pytest.mark.parametrize("kind", ["tiff", "jpeg", "png"])
def test_a_file_made_anew_under_the_same_name_is_read_anew(tmp_path: Path, kind: str) -> None:
    path = tmp_path / f"a{ENDINGS[kind]}"
    write_picture(path, np.full((30, 40, 3), 10, np.uint8), kind)
    assert picture_size(path) == (40, 30)
    assert abs(int(read_picture(path).pixels[0, 0, 0]) - 10) <= 2
    write_picture(path, np.full((50, 20, 3), 200, np.uint8), kind)
    assert picture_size(path) == (20, 50)
    assert abs(int(read_picture(path).pixels[0, 0, 0]) - 200) <= 2
    assert picture_size(tmp_path / "none.tif") is None


def test_an_unknown_format_is_refused_with_those_allowed() -> None:
    with pytest.raises(InputError, match="jpeg, webp, avif, png or tiff"):
        encode(COFFEE, "bmp", 80)


def test_a_damaged_file_is_told_with_the_mend(tmp_path: Path) -> None:
    (tmp_path / "a.tif").write_bytes(b"II*\0garbage")
    with pytest.raises(InputError, match="plateside finish"):
        read_picture(tmp_path / "a.tif")


def test_a_full_disk_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.jpg"
    write_picture(path, COFFEE[:50, :50], "jpeg")
    before = path.read_bytes()

    def full(self: Path, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(CouldNotError, match="disk is full"):
        write_picture(path, COFFEE, "jpeg")
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["a.jpg"]


def test_a_tiff_that_cannot_be_written_whole_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(pixels: Any, xmp: bytes) -> Any:
        class Image:
            def tiffsave(self, path: str, **options: Any) -> None:
                Path(path).write_bytes(b"half")
                raise pyvips.Error("unable to write", "No space left on device")

        return Image()

    monkeypatch.setattr(pictures, "_image", broken)
    with pytest.raises(CouldNotError) as refused:
        write_tiff_16(tmp_path / "a.tif", np.zeros((4, 4, 3), np.uint16))
    assert refused.value.__cause__.errno == errno.ENOSPC  # type: ignore[union-attr]
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_tiff_on_a_full_disk_is_said_to_be_that(tmp_path: Path) -> None:
    """full(4): every write there is refused as on a full disk."""
    noise = np.random.default_rng(0).integers(0, 65536, (300, 300, 3)).astype(np.uint16)
    with pytest.raises(CouldNotError) as refused:
        fill_tiff_16(Path("/dev/full"), noise, path=tmp_path / "a.tif")
    assert refused.value.__cause__.errno == errno.ENOSPC  # type: ignore[union-attr]
    assert str(tmp_path / "a.tif") in str(refused.value)
