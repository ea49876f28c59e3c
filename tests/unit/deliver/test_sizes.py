"""Ladder, likeness and the search for a file that fits: against scikit-image's SSIM and by plain search."""

import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.deliver.sizes import LOWEST_QUALITY, SSIM_FLOOR, fit, ladder, resized, ssim
from plateside.ground.srgb import to_display, to_linear
from tests.photographs import photograph, structural_similarity

Picture = NDArray[np.uint8]


def luma(picture: Picture) -> NDArray[np.float64]:
    return np.asarray(picture.astype(np.float64) @ np.array([0.2125, 0.7154, 0.0721]))


@pytest.mark.parametrize("noise", [2, 12, 40])
def test_likeness_is_scikit_image_s(noise: int) -> None:
    # Wang et al. 2004's own settings, as scikit-image documents them
    one = photograph("coffee")[:200, :240]
    rng = np.random.default_rng(noise)
    two = np.clip(one + rng.normal(0, noise, one.shape), 0, 255).astype(np.uint8)
    theirs = structural_similarity(
        luma(one), luma(two), gaussian_weights=True, sigma=1.5, use_sample_covariance=False, data_range=255
    )
    assert ssim(one, two) == pytest.approx(float(theirs), abs=2e-4)


def test_likeness_of_the_same_is_one_and_is_the_same_both_ways() -> None:
    one = photograph("coffee")[:100, :100]
    two = one[::-1].copy()
    assert ssim(one, one) == pytest.approx(1.0, abs=1e-12)
    assert ssim(one, two) == pytest.approx(ssim(two, one), abs=1e-12)


@pytest.mark.parametrize(
    ("width", "wanted"),
    [(1600, (480, 800, 1200, 1600)), (1080, (480, 800, 1080)), (500, (500,)), (300, (300,)),
     (3000, (480, 800, 1200, 1600, 2400, 3000))],
)  # fmt: skip
def test_ladder_of_widths(width: int, wanted: tuple[int, ...]) -> None:
    assert ladder(width) == wanted


def made_encoder(bytes_at: dict[int, int]) -> tuple[object, list[int]]:
    asked: list[int] = []

    def encode(quality: int) -> bytes:
        asked.append(quality)
        return bytes(bytes_at[quality])

    return encode, asked


def test_without_a_limit_there_is_one_encoding() -> None:
    encode, asked = made_encoder({80: 5000})
    got = fit(np.zeros((20, 20, 3), np.uint8), encode, lambda _: np.zeros((20, 20, 3), np.uint8), 80, None)  # type: ignore[arg-type]
    assert (len(got.data), got.quality, got.ssim, asked) == (5000, 80, None, [80])


@pytest.mark.parametrize("limit_kb", [1.0, 3.3, 4.7, 7.9])
def test_the_highest_quality_that_fits_is_found_in_few_encodings(limit_kb: float) -> None:
    sizes = {q: 100 * q for q in range(1, 101)}
    encode, asked = made_encoder(sizes)
    black = np.zeros((20, 20, 3), np.uint8)
    got = fit(black, encode, lambda _: black, 86, limit_kb)  # type: ignore[arg-type]
    fitting = [q for q in sizes if sizes[q] <= limit_kb * 1000 and q <= 86]
    if max(fitting) < LOWEST_QUALITY:
        assert not got.fits
    else:
        assert got.quality == max(fitting)
        assert got.fits
    assert len(asked) <= 9


def test_damage_is_said() -> None:
    picture = photograph("coffee")[:120, :120].copy()
    grey = np.full_like(picture, 128)
    sizes = {q: 100 * q for q in range(1, 101)}
    encode, _ = made_encoder(sizes)
    got = fit(picture, encode, lambda _: grey, 86, 5.0)  # type: ignore[arg-type]
    assert got.ssim is not None
    assert got.ssim < SSIM_FLOOR
    assert got.fits


def test_resizing_is_by_light_not_by_code() -> None:
    # A fine chessboard of black and white is half the light: code 188, not 128 (IEC 61966-2-1).
    board = (np.indices((64, 64)).sum(axis=0) % 2).astype(np.float32)[..., None].repeat(3, axis=2)
    small = resized(board, 32, 32)
    assert int(small[5, 5, 0]) == round(255 * float(to_display(np.array(0.5))))


def test_the_same_size_changes_no_code() -> None:
    codes = photograph("coffee")[:50, :60]
    linear = to_linear(codes / 255.0).astype(np.float32)
    assert int(np.abs(resized(linear, 60, 50).astype(int) - codes).max()) <= 1
