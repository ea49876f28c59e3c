"""Retouched files in other spaces: against colour-science's published primaries, by scikit-image's CIEDE2000."""

import struct
import warnings
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import pyvips
import tifffile
from numpy.typing import NDArray
from PIL import Image
from skimage.color import rgb2lab

from plateside.files.colour_profiles import DAMAGED, OF_PRINT
from plateside.files.originals.pixels import display_picture
from plateside.files.pictures import encode, read_picture, write_tiff_16
from plateside.finish.icc import profile_of_primaries, srgb_profile
from plateside.model.errors import InputError
from tests.photographs import delta_e_ciede2000, photograph

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it says that it cannot draw
    import colour

WIDE = (0.64, 0.33, 0.21, 0.71, 0.15, 0.06, 0.3127, 0.3290)
ROMM = (0.7347, 0.2653, 0.1596, 0.8404, 0.0366, 0.0001, 0.3457, 0.3585)
SPACES = {"Display P3": None, "Adobe RGB (1998)": (WIDE, 563 / 256), "ProPhoto RGB": (ROMM, 1.8)}
# colours that sRGB holds: a yolk, a leaf, beetroot, cream, a plate, slate
COLOURS = np.array(
    [
        [0.93, 0.70, 0.24],
        [0.33, 0.52, 0.25],
        [0.52, 0.13, 0.29],
        [0.96, 0.91, 0.80],
        [0.8, 0.8, 0.8],
        [0.2, 0.22, 0.25],
    ]
)


def _profile(space: str) -> bytes:
    made = SPACES[space]
    if made is None:  # the one that libvips carries
        return bytes(pyvips.Image.profile_load("p3"))
    return profile_of_primaries(*made)


def _codes(space: str, depth: int) -> NDArray[Any]:
    """The colours as a file of that space holds them, 40 px each."""
    theirs = colour.RGB_to_RGB(
        COLOURS, "sRGB", space, "Bradford", apply_cctf_decoding=True, apply_cctf_encoding=True
    )
    row = np.repeat(np.rint(np.clip(theirs, 0, 1) * (2**depth - 1)), 40, axis=0)
    return np.tile(row, (40, 1, 1)).astype(np.uint8 if depth == 8 else np.uint16)


def _apart(got: NDArray[Any]) -> float:
    """The largest CIEDE2000 in the middles of the patches."""
    middles = got[20, 20::40] / np.iinfo(got.dtype).max
    return float(delta_e_ciede2000(rgb2lab(middles), rgb2lab(COLOURS)).max())


@pytest.mark.parametrize("space", SPACES)
@pytest.mark.parametrize("depth", [8, 16])
def test_a_retouched_tiff_is_read_in_the_space_of_its_profile(space: str, depth: int, tmp_path: Path) -> None:
    path = tmp_path / "a.tif"
    tifffile.imwrite(path, _codes(space, depth), photometric="rgb", iccprofile=_profile(space))
    got = read_picture(path)
    assert got.pixels.dtype == (np.uint16 if depth == 16 else np.uint8)
    assert _apart(got.pixels) < (0.2 if depth == 16 else 1.0)
    assert not got.remark
    if depth == 16:
        # 16 bits all the way: neighbouring codes stay apart
        ramp = np.repeat(np.arange(30_000, 30_400, dtype=np.uint16)[None, :, None], 3, axis=2)
        tifffile.imwrite(path, np.repeat(ramp, 16, axis=0), photometric="rgb", iccprofile=_profile(space))
        assert len(np.unique(read_picture(path).pixels[0, :, 1])) > 200


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_retouched_jpeg_or_png_too_and_a_frame(kind: str, tmp_path: Path) -> None:
    path = tmp_path / f"a.{kind.lower()}"
    Image.fromarray(_codes("Display P3", 8)).save(
        path, kind, icc_profile=_profile("Display P3"), quality=98, subsampling=0
    )
    assert _apart(read_picture(path).pixels) < 2.5
    if kind == "JPEG":
        path = path.rename(tmp_path / "a.jpg")
        assert _apart(display_picture(path)) < 2.5


def test_the_wide_option_of_a_camera_without_profile_is_known_by_its_exif(tmp_path: Path) -> None:
    # DCF 2.0 optional colour space: interoperability index R03, ColorSpace 65535
    exif = Image.Exif()
    exif.get_ifd(0x8769)[40961] = 65535
    exif.get_ifd(0x8769)[0xA005] = {1: "R03"}
    path = tmp_path / "a.jpg"
    Image.fromarray(_codes("Adobe RGB (1998)", 8)).save(path, "JPEG", exif=exif, quality=98, subsampling=0)
    assert _apart(display_picture(path)) < 2.5
    assert _apart(read_picture(path).pixels) < 2.5


def _png(codes: NDArray[np.uint8], *chunks: tuple[bytes, bytes]) -> bytes:
    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    height, width = codes.shape[:2]
    rows = b"".join(b"\0" + row.tobytes() for row in codes)
    parts = [
        (b"IHDR", struct.pack(">2I5B", width, height, 8, 2, 0, 0, 0)),
        *chunks,
        (b"IDAT", zlib.compress(rows)),
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunk(*part) for part in (*parts, (b"IEND", b"")))


def test_what_a_png_says_of_its_colours(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    # ITU-T H.273: 12 is P3 with D65, 13 the curve of sRGB
    p3 = _codes("Display P3", 8)
    path.write_bytes(_png(p3, (b"cICP", bytes((12, 13, 0, 1)))))
    assert _apart(read_picture(path).pixels) < 1.0
    xy = struct.pack(">8I", *(round(v * 100_000) for v in (*WIDE[6:], *WIDE[:6])))
    gamma = struct.pack(">I", round(100_000 * 256 / 563))
    path.write_bytes(_png(_codes("Adobe RGB (1998)", 8), (b"gAMA", gamma), (b"cHRM", xy)))
    assert _apart(read_picture(path).pixels) < 1.0
    codes = _codes("sRGB", 8)
    for chunks in ([], [(b"sRGB", b"\0")], [(b"gAMA", struct.pack(">I", 45455))]):
        path.write_bytes(_png(codes, *chunks))
        np.testing.assert_array_equal(read_picture(path).pixels, codes)
    path.write_bytes(_png(codes, (b"cICP", bytes((9, 16, 0, 1)))))
    with pytest.raises(InputError):
        read_picture(path)


def test_srgb_is_left_alone_to_the_bit(tmp_path: Path) -> None:
    codes = np.random.default_rng(0).integers(0, 65536, (40, 60, 3)).astype(np.uint16)
    for profile in (srgb_profile(), bytes(pyvips.Image.profile_load("srgb")), None):
        tifffile.imwrite(tmp_path / "a.tif", codes, photometric="rgb", iccprofile=profile)
        np.testing.assert_array_equal(read_picture(tmp_path / "a.tif").pixels, codes)
    write_tiff_16(tmp_path / "b.tif", codes)
    np.testing.assert_array_equal(read_picture(tmp_path / "b.tif").pixels, codes)
    (tmp_path / "c.png").write_bytes(encode(photograph("coffee"), "png", 1))
    np.testing.assert_array_equal(read_picture(tmp_path / "c.png").pixels, photograph("coffee"))


def test_a_profile_that_only_calls_itself_srgb_is_followed(tmp_path: Path) -> None:
    # the description is text, the colours are what counts
    named = profile_of_primaries(WIDE, 563 / 256, "not sRGB")
    path = tmp_path / "a.jpg"
    Image.fromarray(_codes("Adobe RGB (1998)", 8)).save(
        path, "JPEG", icc_profile=named, quality=98, subsampling=0
    )
    assert _apart(display_picture(path)) < 2.5


@pytest.mark.parametrize("profile", [b"no profile at all", srgb_profile()[:300], b"\0" * 500])
def test_a_damaged_profile_is_said_and_read_as_srgb(profile: bytes, tmp_path: Path) -> None:
    codes = _codes("sRGB", 16)
    tifffile.imwrite(tmp_path / "a.tif", codes, photometric="rgb", iccprofile=profile)
    got = read_picture(tmp_path / "a.tif")
    np.testing.assert_array_equal(got.pixels, codes)
    assert got.remark == DAMAGED
    Image.fromarray(_codes("sRGB", 8)).save(
        tmp_path / "a.jpg", icc_profile=profile, quality=98, subsampling=0
    )
    assert _apart(display_picture(tmp_path / "a.jpg")) < 2.5


@pytest.mark.parametrize("depth", [8, 16])
def test_grey_alone_with_transparency_and_by_a_profile(depth: int, tmp_path: Path) -> None:
    kind = np.uint8 if depth == 8 else np.uint16
    ramp = np.tile(np.linspace(0, 2**depth - 1, 60), (40, 1)).astype(kind)
    tifffile.imwrite(tmp_path / "a.tif", ramp, photometric="minisblack")
    got = read_picture(tmp_path / "a.tif").pixels
    np.testing.assert_array_equal(got, np.repeat(ramp[..., None], 3, axis=2))
    rgba = np.dstack([_codes("Display P3", depth), np.full((40, 240), 2**depth - 1, kind)])
    tifffile.imwrite(
        tmp_path / "b.tif",
        rgba,
        photometric="rgb",
        extrasamples=["unassalpha"],
        iccprofile=_profile("Display P3"),
    )
    assert _apart(read_picture(tmp_path / "b.tif").pixels) < 1.0


def test_print_colours_are_converted_by_their_profile_or_refused(tmp_path: Path) -> None:
    inks = np.zeros((40, 60, 4), np.uint8)
    inks[..., 1] = 200
    path = tmp_path / "a.tif"
    tifffile.imwrite(path, inks, photometric="separated")
    with pytest.raises(InputError):
        read_picture(path)
    tifffile.imwrite(path, inks, photometric="separated", iccprofile=bytes(pyvips.Image.profile_load("cmyk")))
    got = read_picture(path)
    red, green, blue = got.pixels[20, 30]
    assert green < red and green < blue
    assert got.remark == OF_PRINT
