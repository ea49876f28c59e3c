"""Lost colours of textured things among others, held against the same scene unclipped; CIE L*C*h by scikit-image.

A raspberry-red thing (ours, from memory) on a grey plate, whose green and blue stand to each other as those of the wood
about the plate; the texture is 10 % of the light.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter
from skimage.color import xyz2lab

from plateside.finish.develop import STANDARD_LIFT, develop
from plateside.ground.srgb import LUMINANCE, TO_XYZ
from plateside.model.pixels import LinearPicture

BALANCE = (1.05, 1.0, 1.9)
MATRIX = np.array([[1.5, -0.4, -0.1], [-0.15, 1.4, -0.25], [0.02, -0.42, 1.4]])
ROWS = tuple((float(a), float(b), float(c)) for a, b, c in MATRIX)
RASPBERRY, PLATE, WOOD = (0.75, 0.17, 0.11), (0.42, 0.42, 0.42), (0.33, 0.225, 0.145)
"""Balanced camera colours."""


def _sphere() -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    y, x = np.mgrid[:240, :320]
    noise = gaussian_filter(np.random.default_rng(3).normal(size=y.shape), 2)
    texture = 1 + 0.1 * noise / noise.std()
    across, down = (x - 160) / 90, (y - 120) / 90
    up = np.sqrt(np.clip(1 - across**2 - down**2, 0, 1))
    shade = 0.06 + 0.94 * np.clip(0.7 * up - 0.5 * across - 0.5 * down, 0, 1)
    beside = np.where((np.hypot(across, down) < 1.3)[..., None], PLATE, WOOD)
    light = np.where((up > 0)[..., None], shade[..., None] * np.array(RASPBERRY), beside)
    return light * texture[..., None], np.hypot(across, down) < 0.93


def test_a_textured_thing_keeps_its_colour_among_what_has_the_same_ratio() -> None:
    scene, inside = _sphere()
    shares = scene / BALANCE
    shares = shares / np.percentile(shares[inside].max(axis=-1), 99.5)
    for stops in (0.5, 1.0, 1.5):
        taken = shares * 2.0**stops
        rgb = np.clip(taken, 0, 1).astype(np.float32)
        got = develop(LinearPicture(rgb, (1, 1, 1), BALANCE, ROWS, is_raw=True)).astype(float)
        truth = taken * BALANCE * STANDARD_LIFT @ MATRIX.T
        one = inside & ((taken >= 1).sum(axis=-1) == 1) & (np.median(taken, axis=-1) < 0.97)
        assert one.mean() > 0.05
        lab, wanted = (xyz2lab(v[one] / 16 @ TO_XYZ.T) for v in (got, truth))
        turn = np.degrees(np.arctan2(lab[:, 2], lab[:, 1]) - np.arctan2(wanted[:, 2], wanted[:, 1]))
        assert np.percentile(np.abs((turn + 180) % 360 - 180), 99) <= 8
        light = np.log2((got @ LUMINANCE)[one] / (truth @ LUMINANCE)[one])
        assert np.percentile(np.abs(light), 99) <= 0.1


def test_a_textured_ramp_that_clips_to_white_does_not_darken_as_exposure_rises() -> None:
    """A sensor with much overlap, whose last channel fills soon: where nearly nothing is left to tell of the white."""
    noise = gaussian_filter(np.random.default_rng(3).normal(size=(240, 320)), 2)
    ramp = np.linspace(0.08, 1, 320) * np.clip(1 + 0.1 * noise / noise.std(), 0.6, 1.4)
    balance = (1.0, 1.08, 1.42)
    matrix = np.array([[2.4, -1.2, -0.2], [-0.4, 2.7, -1.3], [0.1, -0.9, 1.8]])
    shares = ramp[..., None] * np.array([1.0, 0.78, 0.43])
    shares = shares / np.percentile(shares.max(axis=-1), 99.5)
    rows = tuple((float(a), float(b), float(c)) for a, b, c in matrix)
    seen = []
    for stops in (1.0, 1.25, 1.5, 1.75, 2.0):
        rgb = np.clip(shares * 2.0**stops, 0, 1).astype(np.float32)
        got = develop(LinearPicture(rgb, (1, 1, 1), balance, rows, is_raw=True)).astype(float) @ LUMINANCE
        seen.append(np.log2(got[4:-4, 4:-4]))
    assert np.percentile(np.diff(seen, axis=0), 0.5) > -0.06
