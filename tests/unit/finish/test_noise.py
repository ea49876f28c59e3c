"""Noise against a known truth: PSNR by arithmetic, the sensor's numbers those with which the raws were made."""

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import linear_picture
from plateside.finish.develop import develop
from plateside.finish.noise import Scale, strength
from plateside.ground.srgb import to_linear
from plateside.model.pixels import LinearPicture
from tests.photographs import photograph
from tests.synthetic import dng
from tests.synthetic.detailed import detailed
from tests.synthetic.dng import write_dng
from tests.synthetic.noisy import (
    READ,
    WELL,
    banded,
    contrast,
    developed,
    psnr_db,
    share_kept,
    textured,
    written,
)
from tests.unit.originals.sample_files import X_TRANS, counts_of, write_counts

LARGE = cv2.resize(photograph("coffee"), (1200, 800), interpolation=cv2.INTER_CUBIC)[250:650, 300:900]
SCENE = np.asarray(to_linear(np.asarray(LARGE, np.float64) / 255) * 0.5)


@pytest.mark.parametrize(("iso", "least_db"), [(100, -0.2), (1600, 2.0), (3200, 2.5)])
def test_noise_goes_and_base_iso_is_left_alone(tmp_path: Path, iso: int, least_db: float) -> None:
    written(tmp_path / "clean.dng", SCENE, None)
    clean = develop(replace(linear_picture(tmp_path / "clean.dng", half=False), noise=None))
    written(tmp_path / "a.dng", SCENE, iso)
    mine, plain, _ = developed(tmp_path / "a.dng")
    gained = psnr_db(mine, clean) - psnr_db(plain, clean)
    assert gained >= least_db
    if iso == 100:
        assert abs(gained) < 0.2


@pytest.mark.parametrize("degrees", [0, 20, 45])
def test_a_fine_texture_stays_although_nothing_in_the_frame_is_flat(tmp_path: Path, degrees: float) -> None:
    for iso in (100, 1600, 3200):
        written(tmp_path / "a.dng", textured(degrees=degrees), iso)
        mine, plain, _ = developed(tmp_path / "a.dng")
        assert contrast(mine, degrees) >= 0.9 * contrast(plain, degrees)


def test_the_noise_of_a_frame_is_read_from_it(tmp_path: Path) -> None:
    """Variance of x: x / well of photons, read noise squared over the well's square."""
    ramp = np.repeat(np.tile(np.linspace(0.02, 0.9, 600), (400, 1))[..., None], 3, axis=2)
    for iso in (100, 1600):
        written(tmp_path / "a.dng", ramp, iso)
        noise = linear_picture(tmp_path / "a.dng", half=False).noise
        assert noise is not None
        well = WELL * 100 / iso
        for slope, floor in noise:
            at = 0.2
            assert slope * at + floor == pytest.approx(at / well + (READ / well) ** 2, rel=0.25)


def test_what_a_dng_says_of_its_noise_is_followed(tmp_path: Path) -> None:
    """DNG 1.3 NoiseProfile: one pair stands for all colours."""
    write_dng(tmp_path / "a.dng", SCENE, preview=False, noise_profile=(4e-4, 1e-6))
    assert read_settings(tmp_path / "a.dng").noise_profile == ((4e-4, 1e-6),) * 3
    picture = linear_picture(tmp_path / "a.dng", half=False)
    assert picture.noise == ((4e-4, 1e-6),) * 3
    assert strength(picture) == 1
    assert strength(replace(picture, is_raw=False, noise=None)) == 0


@pytest.mark.parametrize("iso", [1600, 3200])
@pytest.mark.parametrize(("kind", "least_db"), [("linear", 6.0), ("six by six", 2.0)])
def test_noise_stated_by_other_raws_goes_and_a_weak_texture_stays(
    tmp_path: Path, kind: str, least_db: float, iso: int
) -> None:
    """A linear DNG, and a mosaic of 6 x 6 (which LibRaw interpolates from 512 px on): noise is each pixel's own."""
    well = WELL * 100 / iso

    def picture(scene: np.ndarray, seed: int | None) -> LinearPicture:
        camera = scene @ dng.camera_of_srgb().T * dng.NEUTRAL
        if seed is not None:
            rng = np.random.default_rng(seed)
            camera = (rng.poisson(camera * well) + rng.normal(0, READ, camera.shape)) / well
        counts = counts_of(camera, X_TRANS)
        if kind == "linear":
            counts = np.stack([counts_of(camera, ((n,),)) for n in range(3)], axis=-1)
        path = tmp_path / "a.dng"
        write_counts(path, counts, pattern=X_TRANS, noise_profile=(1 / well, (READ / well) ** 2))
        return linear_picture(path, half=False)

    scene = np.pad(SCENE, ((0, 140), (0, 0), (0, 0)), mode="reflect")
    clean, noisy = develop(replace(picture(scene, None), noise=None)), picture(scene, 5)
    mine, plain = develop(noisy), develop(replace(noisy, noise=None))
    assert psnr_db(mine, clean) - psnr_db(plain, clean) >= least_db
    weak = banded(11, 540, 576)
    noisy = picture(weak, 6)
    assert share_kept(develop(noisy), develop(replace(noisy, noise=None)), weak) >= 0.9


def test_the_scale_of_even_noise_goes_there_and_back() -> None:
    scale = Scale(4e-4, 1e-6)
    light = np.linspace(-0.05, 3, 1001).astype(np.float32)
    np.testing.assert_allclose(scale.linear(scale.even(light)), light, atol=2e-5)
    # noise there is one, whatever the level: slope times the standard deviation (Anscombe 1948)
    low, high = scale.even(np.array([0.299, 0.301], np.float32))
    slope = float(high - low) / 2e-3
    assert slope * (4e-4 * 0.3 + 1e-6) ** 0.5 == pytest.approx(1, rel=0.02)


@pytest.mark.parametrize("kind", ["crumbs", "linen", "herbs"])
def test_a_frame_that_is_fine_detail_all_over_is_not_taken_for_noise(tmp_path: Path, kind: str) -> None:
    scene = detailed(kind, 5, 256, 320)
    written(tmp_path / "clean.dng", scene, None)
    clean = develop(replace(linear_picture(tmp_path / "clean.dng", half=False), noise=None))
    for iso in (100, 3200):
        written(tmp_path / "a.dng", scene, iso)
        mine, plain, _ = developed(tmp_path / "a.dng")
        gained = psnr_db(mine, clean) - psnr_db(plain, clean)
        assert gained > -0.1
        if iso == 100:
            assert abs(gained) < 0.2


@pytest.mark.parametrize(("iso", "seed"), [(1600, 3), (3200, 3), (3200, 8)])
def test_a_weak_texture_in_all_directions_stays(tmp_path: Path, iso: int, seed: int) -> None:
    """A tenth of contrast at a quarter of a cycle per pixel: nine tenths of it, as of one in one direction."""
    scene = banded(seed)
    written(tmp_path / "a.dng", scene, iso)
    mine, plain, _ = developed(tmp_path / "a.dng")
    assert share_kept(mine, plain, scene) >= 0.9


def test_a_frame_without_any_noise_is_left_alone(tmp_path: Path) -> None:
    write_dng(tmp_path / "a.dng", np.full((64, 96, 3), 0.2), preview=False)
    assert strength(linear_picture(tmp_path / "a.dng", half=False)) == 0
