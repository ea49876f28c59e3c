"""Interpolated raws against LibRaw's own balanced interpolation, and odd sensors against what was put into them."""

from pathlib import Path

import cv2
import numpy as np
import pytest
import rawpy
from numpy.typing import NDArray

from plateside.files.originals.pixels import linear_and_levels, linear_picture
from plateside.files.originals.raws import developed
from plateside.ground.srgb import to_linear
from tests.photographs import photograph
from tests.synthetic.dng import NEUTRAL, camera_of_srgb, write_dng
from tests.unit.originals.sample_files import BAYER, X_TRANS, counts_of, write_counts

WARM = np.array([0.45, 0.36, 0.12])


def _zone_plate() -> NDArray[np.float64]:
    y, x = np.mgrid[:240, :320]
    rings = 0.5 + 0.45 * np.cos(np.pi * ((x - 160) ** 2 + (y - 120) ** 2) / 340)
    return np.repeat(rings[..., None], 3, axis=2)


def _coffee() -> NDArray[np.float64]:
    return np.asarray(to_linear(photograph("coffee")[:240, 100:420] / 255.0), float)


def _psnr_db(got: NDArray[np.floating], wanted: NDArray[np.floating]) -> float:
    inner = np.s_[8:-8, 8:-8]
    return float(-10 * np.log10(np.mean((got[inner] - wanted[inner]) ** 2)))


@pytest.mark.parametrize("scene", [_zone_plate, _coffee])
def test_interpolated_no_worse_than_by_libraw_with_the_balance_first(scene: object, tmp_path: Path) -> None:
    # ruler: LibRaw's AHD on the as-shot balance, the same algorithm
    assert callable(scene)
    gain, path = 0.95, tmp_path / "a.dng"
    light = scene()
    write_dng(path, light, gain=gain, preview=False)
    wanted = light @ camera_of_srgb().T * gain
    ours = linear_picture(path, half=False)
    with rawpy.imread(str(path)) as raw:
        ruler = raw.postprocess(
            use_camera_wb=True, output_color=rawpy.ColorSpace.raw, gamma=(1, 1), no_auto_bright=True, output_bps=16,
            adjust_maximum_thr=0.0,
        )  # fmt: skip
    got = _psnr_db(ours.rgb * np.asarray(ours.white_balance), wanted)
    assert got >= _psnr_db(ruler / 65535, wanted) - 1e-4


def test_nothing_is_clipped_that_the_sensor_did_not_clip(tmp_path: Path) -> None:
    # red at 0.9 of saturation with a multiplier of 2: balanced first and cut at white it would come back as 0.5
    camera = np.tile([0.9, 0.3, 0.5], (32, 48, 1))
    path = write_counts(tmp_path / "a.dng", counts_of(camera, BAYER))
    assert np.allclose(linear_picture(path, half=False).rgb[8:-8, 8:-8], [0.9, 0.3, 0.5], atol=1e-3)


@pytest.mark.parametrize("neutral", [None, (0.0, 1.0, 0.6), NEUTRAL, (0.9, 1.0, 0.3), (0.4, 1.0, 0.02)])
def test_camera_values_come_back_whatever_balance_is_stated(
    neutral: tuple[float, ...] | None, tmp_path: Path
) -> None:
    path = write_counts(tmp_path / "a.dng", counts_of(np.tile(WARM, (32, 48, 1)), BAYER), neutral=neutral)
    picture = linear_picture(path, half=False)
    assert np.allclose(picture.rgb[8:-8, 8:-8], WARM, atol=1.5e-3)
    assert np.allclose(picture.saturation, 1)
    assert all(np.isfinite(picture.white_balance)) and min(picture.white_balance) > 0


def test_each_channel_s_own_black_and_where_it_clips(tmp_path: Path) -> None:
    black = (400, 520, 560, 700)
    blacks = np.tile(np.reshape(black, (2, 2)), (16, 24)).astype(float)
    ramp = np.tile(WARM, (32, 48, 1)) * np.linspace(0.1, 1, 48)[:, None]
    path = write_counts(tmp_path / "a.dng", counts_of(ramp, BAYER, blacks), black=black)
    half, _ = linear_and_levels(path)
    whole = linear_picture(path, half=False)
    at = np.asarray(whole.saturation)
    assert np.allclose((whole.rgb / at)[8:-8, 8:-8], ramp[8:-8, 8:-8], atol=6e-3)
    assert np.allclose(
        half.rgb[4:-4, 4:-4].mean(axis=0),
        ramp[8:-8:2, 8:-8].reshape(8, 16, 2, 3).mean(axis=(0, 2)),
        atol=6e-3,
    )
    path = write_counts(tmp_path / "b.dng", np.full((32, 48), 15800, np.uint16), black=black)
    white = linear_picture(path, half=False)
    assert np.allclose(white.rgb[8:-8, 8:-8] / white.saturation, 1, atol=3e-3)


@pytest.mark.parametrize("black", [(600, 600, 300, 600), (600, 300, 600, 600), (300, 900, 500, 700)])
def test_both_greens_have_one_scale_whatever_their_blacks(black: tuple[int, ...], tmp_path: Path) -> None:
    blacks = np.tile(np.reshape(black, (2, 2)), (16, 24)).astype(float)
    level = np.array(WARM) * 0.98 / np.max(WARM)
    path = write_counts(
        tmp_path / "a.dng", counts_of(np.tile(level, (32, 48, 1)), BAYER, blacks), black=black
    )
    whole = linear_picture(path, half=False)
    got = (whole.rgb / whole.saturation)[8:-8, 8:-8]
    assert np.allclose(got, level, atol=1e-3)


def test_a_sensor_without_colours_is_grey(tmp_path: Path) -> None:
    ramp = np.repeat(np.linspace(0.05, 0.9, 48)[None], 32, axis=0)
    path = write_counts(tmp_path / "a.dng", counts_of(ramp[..., None], ((0,),)), pattern=((0,),))
    picture = linear_picture(path, half=False)
    assert picture.rgb.shape == (32, 48, 3)
    assert np.allclose(picture.rgb, ramp[..., None], atol=2e-3)
    small, levels = linear_and_levels(path)
    assert small.rgb.shape == (16, 24, 3) and levels.clipped == (0, 0, 0)


def test_six_by_six_cells(tmp_path: Path) -> None:
    # LibRaw interpolates this pattern from 512 px on
    ramp = np.tile(WARM, (540, 576, 1)) * np.linspace(0.3, 1, 576)[:, None]
    path = write_counts(tmp_path / "a.dng", counts_of(ramp, X_TRANS), pattern=X_TRANS)
    got = linear_picture(path, half=False).rgb
    assert np.allclose(got[12:-12, 12:-12], ramp[12:-12, 12:-12], atol=5e-3)


@pytest.mark.parametrize("corner", [(0, 0), (2, 4), (3, 2)])
def test_six_by_six_cells_in_half_size_beside_a_dark_corner(corner: tuple[int, int], tmp_path: Path) -> None:
    """LibRaw's own half size takes photosites without light for a colour that the cell lacks."""
    lit = np.tile(WARM, (540, 576, 1)) * np.linspace(0.3, 1, 576)[:, None]
    lit[:30, :40] = 0
    lit[400, 500] = 1.2
    counts = counts_of(lit, X_TRANS)
    counts[:30, :40] += np.random.default_rng(1).integers(0, 2, (30, 40)).astype(np.uint16)
    top, left = corner
    path = write_counts(
        tmp_path / "a.dng",
        np.pad(counts, ((top, 0), (left, 0))),
        pattern=X_TRANS,
        active=(top, left, 540 + top, 576 + left),
    )
    wanted = lit.reshape(270, 2, 288, 2, 3).mean(axis=(1, 3))
    half, levels = linear_and_levels(path)
    flat = np.s_[18:190, 2:-2]
    assert np.allclose(half.rgb[flat], wanted[flat], atol=4e-3)
    assert sum(levels.clipped) == 1 and sum(levels.pixels) == 540 * 576
    shown = developed(path).astype(float)
    whole = cv2.resize(developed(path, half=False), (288, 270), interpolation=cv2.INTER_AREA)
    assert np.abs(shown - whole)[flat].max() <= 4


def test_a_picture_that_begins_on_an_odd_row_and_column(tmp_path: Path) -> None:
    # DNG 1.4: the pattern begins where the active area does
    turned = ((2, 1), (1, 0))
    path = write_counts(
        tmp_path / "a.dng", counts_of(np.tile(WARM, (64, 96, 1)), turned), active=(3, 5, 61, 93)
    )
    for half in (False, True):
        got = linear_picture(path, half).rgb
        assert np.allclose(got[8:-8, 8:-8], WARM, atol=2e-3)


def test_four_colours_give_a_picture(tmp_path: Path) -> None:
    cells = ((0, 1), (3, 2))
    camera = np.tile([0.3, 0.4, 0.2, 0.35], (32, 48, 1))
    path = write_counts(
        tmp_path / "a.dng", counts_of(camera, cells), pattern=cells, plane_colours=(0, 1, 2, 3), neutral=None
    )
    for half in (False, True):
        got = linear_picture(path, half).rgb
        assert got.shape[2] == 3 and np.isfinite(got).all() and got[4:-4, 4:-4].std(axis=(0, 1)).max() < 0.01
