"""Every pixel of an original, and its clipped ones: against LibRaw's own counts (rawpy), and arithmetic for JPEG."""

from pathlib import Path

import numpy as np
import pytest
import pyvips
import rawpy
from PIL import Image

from plateside.files.originals import jpegs
from plateside.files.originals.heifs import decode
from plateside.files.originals.upright import upright
from plateside.files.originals.whole_picture import clipping, whole_picture
from plateside.frames.clipped import BIT
from plateside.model.errors import InputError
from tests.synthetic.dng import BLACK, NEUTRAL, WHITE, append_preview, write_dng

HEIC = Path(__file__).resolve().parents[2] / "heic"


def scene() -> np.ndarray:
    """A grey slope from dark to three stops over, and a red patch that clips in one channel alone."""
    grey = np.linspace(0.01, 8.0, 240)[None, :, None] * np.ones((160, 1, 3))
    grey[40:90, 20:80] = (3.0, 0.02, 0.02)
    return grey


@pytest.mark.parametrize("orientation", [1, 6, 3])
def test_a_raws_mask_is_its_own_photosites(tmp_path: Path, orientation: int) -> None:
    path = tmp_path / "a.dng"
    write_dng(path, scene(), gain=0.6, orientation=orientation)
    with rawpy.imread(str(path)) as raw:
        counts, colours = raw.raw_image_visible.astype(float), raw.raw_colors_visible
        level = (counts - BLACK) / (WHITE - BLACK)
    over = level >= 0.99
    expected = np.zeros((80, 120), np.uint8)
    for colour, bit in enumerate((1, 2, 4, 2)):
        at = over & (colours == colour)
        expected |= np.where(at.reshape(80, 2, 120, 2).any(axis=(1, 3)), np.uint8(bit), np.uint8(0))
    found = clipping(path)
    assert found.kind == "raw"
    assert np.array_equal(found.mask, upright(expected, orientation))
    # one channel alone, and all three
    assert {BIT["green"], 7} <= set(np.unique(found.mask).tolist())
    assert found.levels.clipped == tuple(
        int(np.count_nonzero(over & np.isin(colours, of))) for of in ((0,), (1, 3), (2,))
    )
    assert [h.counts[-1] for h in found.histograms] == list(found.levels.clipped)


def test_headroom_of_a_raw_is_what_the_brightest_lacks_to_white(tmp_path: Path) -> None:
    path = tmp_path / "a.dng"
    write_dng(path, np.full((120, 160, 3), 0.5))
    # grey of 0.5: the sensor gives NEUTRAL of it; stops below saturation are log2 of that
    expected = [float(-np.log2(0.5 * part)) for part in NEUTRAL]
    assert clipping(path).levels.headroom_stops == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize("preview", [True, False], ids=["whole preview", "developed"])
def test_a_raw_is_seen_with_every_pixel(tmp_path: Path, preview: bool) -> None:
    path = tmp_path / "a.dng"
    write_dng(path, scene(), orientation=6, preview=preview)
    assert whole_picture(path).shape == (240, 160, 3)


def test_a_small_preview_does_not_stand_for_the_raw(tmp_path: Path) -> None:
    path = tmp_path / "a.dng"
    write_dng(path, scene(), preview=False)
    shown = tmp_path / "preview.jpg"
    Image.fromarray(np.full((80, 120, 3), 90, np.uint8)).save(shown)
    append_preview(path, shown.read_bytes())
    assert whole_picture(path).shape == (160, 240, 3)


def test_a_jpegs_levels_are_the_files_own_whatever_its_colour_space(tmp_path: Path) -> None:
    """A full red of a wide space lies beyond sRGB: converted, it would be clipped; in the file it is not."""
    pixels = np.full((64, 64, 3), (235, 40, 30), np.uint8)
    path = tmp_path / "wide.jpg"
    # Display P3, as libvips has it
    wide = pyvips.Image.black(8, 8, bands=3).copy(interpretation="srgb").icc_export(output_profile="p3")
    Image.fromarray(pixels).save(path, quality=98, subsampling=0, icc_profile=wide.get("icc-profile-data"))
    assert jpegs.decode(path.read_bytes(), "", None)[32, 32, 0] == 255, "beyond sRGB"
    found = clipping(path)
    assert found.kind == "JPEG"
    assert not found.mask.any()
    assert found.levels.headroom_stops[0] == pytest.approx(
        -np.log2(((235 / 255 + 0.055) / 1.055) ** 2.4), abs=0.06
    )


def test_a_jpegs_clipped_pixels_are_found_one_by_one(tmp_path: Path) -> None:
    pixels = np.full((64, 96, 3), 120, np.uint8)
    pixels[16:24, 32:48] = 255
    path = tmp_path / "a.jpg"
    Image.fromarray(pixels).save(path, quality=100, subsampling=0)
    found = clipping(path).mask
    assert np.all(found[17:23, 33:47] == sum(BIT.values()))
    assert np.count_nonzero(found) <= 8 * 16 + 60


def test_a_heic_is_read_by_its_content_and_in_its_own_codes(tmp_path: Path) -> None:
    named = tmp_path / "phone.jpg"
    named.write_bytes((HEIC / "p3-codes.heic").read_bytes())
    assert clipping(named).kind == "HEIC"
    assert whole_picture(named).shape == (192, 256, 3)
    stored, shown = (decode(named, None, as_stored=s) for s in (True, False))
    assert not np.array_equal(stored, shown), "P3's codes are not sRGB's"


def test_what_is_no_picture_is_refused_in_words(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(b"no picture")
    for asked in (whole_picture, clipping):
        with pytest.raises(InputError):
            asked(path)
