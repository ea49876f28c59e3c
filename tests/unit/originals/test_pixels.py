"""Decoding: orientation, light, raw numbers against what was written."""

import io
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import (
    display_picture,
    embedded_preview,
    linear_and_levels,
    linear_picture,
)
from plateside.files.originals.raws import raw_size
from plateside.files.originals.upright import upright
from plateside.files.originals.whole import check_whole
from plateside.ground.srgb import to_display
from plateside.model.errors import InputError
from tests.synthetic.dng import BLACK, NEUTRAL, WHITE, append_preview, camera_of_srgb, mosaic_of, write_dng
from tests.unit.originals.sample_files import gradient, write_jpeg


@pytest.mark.parametrize("orientation", range(1, 9))
def test_orientation_as_pillow_turns_it(orientation: int, tmp_path: Path) -> None:
    # Pillow's exif_transpose is the outside authority for tag 274 (Exif 2.32, table 6)
    from PIL import Image, ImageOps

    path = write_jpeg(tmp_path / "a.jpg", tag_274=orientation)
    with Image.open(path) as image:
        wanted = np.asarray(ImageOps.exif_transpose(image))
    got = display_picture(path, 3000)
    assert got.shape == wanted.shape
    assert np.abs(got.astype(int) - wanted).max() <= 1


def test_upright_and_back() -> None:
    picture = gradient(7, 5)
    inverse = {1: 1, 2: 2, 3: 3, 4: 4, 5: 5, 6: 8, 7: 7, 8: 6}
    for turn, back in inverse.items():
        assert np.array_equal(upright(upright(picture, turn), back), picture)


def test_scaling_keeps_the_picture(tmp_path: Path) -> None:
    path = write_jpeg(tmp_path / "a.jpg", gradient(1600, 1200))
    got = display_picture(path, 400)
    assert got.shape == (300, 400, 3)
    assert got[150, 300, 0] == pytest.approx(255 * 0.75, abs=4)
    assert got[75, 200, 1] == pytest.approx(255 * 0.25, abs=4)


def test_jpeg_light_is_the_srgb_curve(tmp_path: Path) -> None:
    # IEC 61966-2-1: 118 of 255 is 18 % grey
    path = write_jpeg(tmp_path / "a.jpg", np.full((64, 64, 3), 118, np.uint8))
    assert linear_picture(path).rgb.mean() == pytest.approx(0.18, abs=0.002)


def test_raw_levels_to_a_hundredth_of_a_stop(tmp_path: Path) -> None:
    grey = np.full((64, 96, 3), 0.18, np.float32)
    write_dng(tmp_path / "a.dng", grey)
    _, levels = linear_and_levels(tmp_path / "a.dng")
    wanted = [-np.log2(0.18 * n) for n in NEUTRAL]
    assert np.allclose(levels.headroom_stops, wanted, atol=0.01)
    assert levels.clipped == (0, 0, 0)
    assert levels.pixels == (1536, 3072, 1536)


def test_a_lossless_compressed_raw_is_the_uncompressed_one(tmp_path: Path) -> None:
    # ITU T.81 process 14, by our own encoder and LibRaw's decoder; wider and higher than a tile, black to clipped
    ramp = np.linspace(0, 1.3, 300)[None, :, None] * np.ones((270, 1, 3))
    for name, lossless in (("a.dng", False), ("b.dng", True)):
        write_dng(tmp_path / name, ramp, seed=4, lossless=lossless)
    (first, levels), (second, same_levels) = (linear_and_levels(tmp_path / n) for n in ("a.dng", "b.dng"))
    assert np.array_equal(first.rgb, second.rgb)
    assert levels == same_levels
    assert check_whole(tmp_path / "b.dng") == "raw"
    whole = (tmp_path / "b.dng").read_bytes()
    (tmp_path / "b.dng").write_bytes(whole[: len(whole) // 2])
    with pytest.raises(InputError):
        check_whole(tmp_path / "b.dng")


def test_clipped_photosites_are_counted(tmp_path: Path) -> None:
    picture = np.full((64, 96, 3), 0.1, np.float32)
    picture[:16] = 3.0
    write_dng(tmp_path / "a.dng", picture)
    _, levels = linear_and_levels(tmp_path / "a.dng")
    assert levels.clipped_share == pytest.approx((0.25, 0.25, 0.25))
    assert min(levels.headroom_stops) == 0


def test_raw_light_and_colour_come_back(tmp_path: Path) -> None:
    patches = np.array([[0.5, 0.5, 0.5], [0.4, 0.2, 0.1], [0.1, 0.3, 0.2], [0.2, 0.2, 0.4]], np.float32)
    picture = np.repeat(np.repeat(patches[None], 32, axis=0), 16, axis=1).reshape(32, 64, 3)
    write_dng(tmp_path / "a.dng", picture)
    got, _ = linear_and_levels(tmp_path / "a.dng")
    assert got.is_raw
    assert got.white_balance == pytest.approx((1 / NEUTRAL[0], 1.0, 1 / NEUTRAL[2]), rel=1e-4)
    assert np.allclose(np.array(got.to_srgb), np.linalg.inv(camera_of_srgb()), atol=2e-3)
    srgb = (got.rgb * np.array(got.white_balance)) @ np.array(got.to_srgb).T
    for i, patch in enumerate(patches):
        assert np.allclose(srgb[8, i * 8 + 4], patch, atol=2e-3)


def test_full_and_half_size_agree(tmp_path: Path) -> None:
    ramp = np.repeat(np.linspace(0.05, 0.6, 128, dtype=np.float32)[None, :, None], 96, axis=0).repeat(
        3, axis=2
    )
    write_dng(tmp_path / "a.dng", ramp)
    half, full = linear_picture(tmp_path / "a.dng"), linear_picture(tmp_path / "a.dng", half=False)
    assert (half.rgb.shape, full.rgb.shape) == ((48, 64, 3), (96, 128, 3))
    small = full.rgb.reshape(48, 2, 64, 2, 3).mean(axis=(1, 3))
    assert np.allclose(small[4:-4, 4:-4], half.rgb[4:-4, 4:-4], atol=0.004)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_raw_lies_the_same_way_small_and_whole(orientation: int, tmp_path: Path) -> None:
    """Mirrored ones as well (upright() is held against Pillow above)."""
    y, x = np.mgrid[0:64, 0:96] / 96
    picture = np.stack([0.1 + x, 0.1 + y, 0.4 + 0 * x], axis=2) / 2
    for name, turned in (("stored", 1), ("turned", orientation)):
        write_dng(tmp_path / f"{name}.dng", picture, orientation=turned, preview=False)
    stored = upright(linear_picture(tmp_path / "stored.dng", half=False).rgb, orientation)
    whole = linear_picture(tmp_path / "turned.dng", half=False).rgb
    small = linear_picture(tmp_path / "turned.dng", half=True).rgb
    np.testing.assert_allclose(whole[4:-4, 4:-4], stored[4:-4, 4:-4], atol=0.02)
    halves = whole.reshape(small.shape[0], 2, small.shape[1], 2, 3).mean(axis=(1, 3))
    np.testing.assert_allclose(small[4:-4, 4:-4], halves[4:-4, 4:-4], atol=0.02)
    assert raw_size(tmp_path / "turned.dng") == whole.shape[1::-1]


def test_raw_turned_by_its_orientation(tmp_path: Path) -> None:
    picture = np.full((64, 96, 3), 0.1, np.float32)
    picture[:, 48:] = 0.4
    write_dng(
        tmp_path / "a.dng", picture, orientation=6
    )  # shown turned a quarter clockwise: the right goes down
    for got in (
        linear_picture(tmp_path / "a.dng").rgb,
        display_picture(tmp_path / "a.dng").astype(np.float32),
    ):
        assert got.shape[0] > got.shape[1]
        rows = got[..., 1].mean(axis=1)
        assert rows[-4] > 2 * rows[3] * 0.7


def test_a_preview_that_is_stored_upright_is_not_turned_again(tmp_path: Path) -> None:
    stored = np.full((64, 96, 3), 0.05, np.float32)
    stored[:, 64:] = 0.5
    write_dng(tmp_path / "a.dng", stored, orientation=6, preview=False)
    upright_now = to_display(np.rot90(stored, -1))
    Image.fromarray((upright_now * 255).astype(np.uint8)).save(file := io.BytesIO(), "jpeg")
    append_preview(tmp_path / "a.dng", file.getvalue())
    shown = embedded_preview(tmp_path / "a.dng", 96)
    assert shown is not None
    assert np.abs(shown - upright_now * 255)[..., 1].mean() < 4


@pytest.mark.skipif(shutil.which("exiftool") is None, reason="exiftool is not installed")
def test_the_made_raw_is_a_dng_to_others(tmp_path: Path) -> None:
    write_dng(tmp_path / "a.dng", np.full((64, 96, 3), 0.2, np.float32))
    said = subprocess.run(
        ["exiftool", "-s3", "-DNGVersion", "-BlackLevel", "-WhiteLevel", "-ExposureTime", str(tmp_path / "a.dng")],
        check=True, capture_output=True, text=True,
    ).stdout.split()  # fmt: skip
    assert said[:3] == ["1.4.0.0", str(BLACK), str(WHITE)]
    assert read_settings(tmp_path / "a.dng").exposure_s == pytest.approx(1 / 3, abs=1e-4)


def test_the_mosaic_has_the_pattern_it_states() -> None:
    red = np.zeros((4, 4, 3), np.float32)
    red[..., 0] = 0.5
    counts = mosaic_of(red).astype(int) - BLACK
    seen = camera_of_srgb()[:, 0].clip(0) * 0.5 * NEUTRAL * (WHITE - BLACK)
    assert counts[0, 0] == pytest.approx(seen[0], abs=1)
    assert counts[0, 1] == counts[1, 0] == pytest.approx(seen[1], abs=1)
    assert counts[1, 1] == pytest.approx(seen[2], abs=1)


def test_damage_inside_is_told(tmp_path: Path) -> None:
    whole = write_jpeg(tmp_path / "a.jpg", gradient(800, 600)).read_bytes()
    (tmp_path / "a.jpg").write_bytes(whole[: len(whole) // 2])
    with pytest.raises(InputError, match=r"a\.jpg is damaged"):
        display_picture(tmp_path / "a.jpg")
    (tmp_path / "b.tif").write_bytes(b"II*\0")
    with pytest.raises(InputError, match="neither a JPEG nor a raw"):
        display_picture(tmp_path / "b.tif")


def test_a_wide_colour_profile_is_brought_to_srgb(tmp_path: Path) -> None:
    from PIL import Image, ImageCms

    # with a profile of another white the numbers must change; with sRGB they must not
    lab = ImageCms.createProfile("sRGB")
    picture = Image.fromarray(np.full((64, 64, 3), (200, 120, 60), np.uint8))
    picture.save(tmp_path / "a.jpg", quality=95, icc_profile=ImageCms.ImageCmsProfile(lab).tobytes())
    assert np.abs(display_picture(tmp_path / "a.jpg").mean(axis=(0, 1)) - (200, 120, 60)).max() < 2
