"""A camera's colours set right by a chart of 24 patches photographed in the same light: a root-polynomial.

Linear sRGB from balanced camera values r, g, b by r, g, b, sqrt(rg), sqrt(gb), sqrt(rb): G. D. Finlayson, M.
Mackiewicz, A. Hurlbert, "Color Correction Using Root-Polynomial Regression", IEEE Trans. Image Processing 24 (2015),
1460-1470. Being of degree one it holds for any exposure. It is fitted for the least difference in Lab, coarser for
strong colours as CIE94 has it (CIE 116-1995), and grey stays grey. What the patches should look like follows from
their reflectances in daylight (below 4 500 K in a black body's light) of the temperature that the grey patches tell,
and adaptation to the display's white (Bradford, as in ICC.1:2022 annex E).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.finish.chart_patches import DAYLIGHT, OBSERVER, REFLECTANCE, WAVELENGTH_NM
from plateside.finish.ciede2000 import delta_e
from plateside.finish.icc import BRADFORD
from plateside.ground.srgb import FROM_XYZ, LUMINANCE, WHITE_XYZ, lab_slopes, to_lab
from plateside.model.errors import InputError

Array = NDArray[np.float64]
GREYS = slice(18, 24)
"""The last row, from white to black."""
_MEASURED_GREYS = slice(19, 23)
CLIPPED, DARKEST = 0.97, 0.0005
"""Shares of saturation: a patch above the first has lost something, a white one below the second is no exposure."""
MOST_UNEVEN_STOPS = 0.25
"""Of light from one end of the chart to the other."""
MOST_MEAN, MOST_WORST = 2.5, 8.0
"""CIEDE2000 of patches that the fit has not seen: above either it is no chart, or its patches are not where they are
looked for (from trials: charts stay below 1.5 and 6, other things are above 5)."""
FAR = 4 * MOST_MEAN
"""CIEDE2000 of all patches by the plainest fit to all of them."""
_RADIATION_2_NM_K = 1.438776877e7
_DAYLIGHT_FROM_K = 4500.0
_COLUMNS, _ROWS = 6, 4


class NoChart(InputError):  # noqa: N818 - what it is, in words
    """No profile can be had of it; `reason` is clipped, dark, uneven or not a chart."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"no chart: {reason}")
        self.reason = reason


@dataclass(frozen=True)
class ColourProfile:
    """From balanced camera values to linear sRGB."""

    terms: tuple[tuple[float, ...], ...]
    """3 x 6: red, green and blue by r, g, b, sqrt(rg), sqrt(gb), sqrt(rb); each row sums to 1"""
    mean_delta_e: float
    """CIEDE2000 of each patch by a fit to the 23 others, in the mean"""
    worst_delta_e: float
    mired: float
    """of the light in which the chart was taken"""

    def __call__(self, balanced: NDArray[np.floating]) -> NDArray[np.float32]:
        """Linear sRGB of balanced camera values (..., 3)."""
        made = np.asarray(expanded(np.asarray(balanced, np.float32)) @ np.asarray(self.terms, np.float32).T)
        return made.astype(np.float32, copy=False)


def expanded(rgb: NDArray[np.floating]) -> NDArray[np.floating]:
    """The six terms (..., 6) of values (..., 3); a root of what is negative is none."""
    up = np.maximum(rgb, 0)
    r, g, b = up[..., 0], up[..., 1], up[..., 2]
    return np.concatenate([rgb, np.stack([np.sqrt(r * g), np.sqrt(g * b), np.sqrt(r * b)], axis=-1)], axis=-1)


def wanted_colours(mired: float, reflectance: Array = REFLECTANCE) -> Array:
    """Linear sRGB (24, 3) that the patches should have, taken in light of that temperature and adapted to it.

    reflectance  of other surfaces, at the table's wavelengths
    """
    light = _light(1e6 / mired)
    white = OBSERVER @ light
    xyz = (reflectance * light) @ OBSERVER.T / white[1]
    cone = np.diag((BRADFORD @ WHITE_XYZ) / (BRADFORD @ (white / white[1])))
    return np.asarray(xyz @ (FROM_XYZ @ np.linalg.inv(BRADFORD) @ cone @ BRADFORD).T)


def _light(kelvin: float) -> Array:
    """Relative power at the table's wavelengths: CIE 15:2018's daylight, or Planck's law."""
    if kelvin < _DAYLIGHT_FROM_K:
        return np.asarray(WAVELENGTH_NM**-5 / np.expm1(_RADIATION_2_NM_K / (WAVELENGTH_NM * kelvin)))
    k = 1e3 / min(kelvin, 25_000.0)
    warm = 0.244063 + 0.09911 * k + 2.9678 * k**2 - 4.6070 * k**3
    cool = 0.237040 + 0.24748 * k + 1.9018 * k**2 - 2.0064 * k**3
    x = warm if kelvin <= 7_000 else cool
    y = -3.0 * x**2 + 2.870 * x - 0.275
    below = 0.0241 + 0.2562 * x - 0.7341 * y
    first = (-1.3515 - 1.7703 * x + 5.9114 * y) / below
    second = (0.0300 - 31.4424 * x + 30.0717 * y) / below
    return np.asarray(DAYLIGHT[0] + first * DAYLIGHT[1] + second * DAYLIGHT[2])


def profile_of(patches: Array, saturation: Array, mired: float) -> ColourProfile:
    """The profile by a chart's camera values.

    patches     (24, 3) black is 0; in the chart's order
    saturation  (3,) level at which each channel is clipped
    mired       temperature of the light
    Raises NoChart.
    """
    share = np.asarray(patches, float) / saturation
    if share.max() >= CLIPPED:
        raise NoChart("clipped")
    if share.max() < DARKEST or share.min(initial=1.0) <= -DARKEST:
        raise NoChart("dark")
    wanted = wanted_colours(mired)
    camera = _balanced(np.asarray(patches, float), wanted)
    plain = delta_e(to_lab(expanded(camera) @ _near(camera, wanted)), to_lab(wanted))
    if not plain.mean() <= FAR:
        # no fit brings this near, and the 24 to find out by how much would take seconds
        raise NoChart("not a chart")
    unseen = _left_out(camera, wanted)
    mean, worst = float(unseen.mean()), float(unseen.max())
    uneven = unevenness_stops(camera, wanted)
    if uneven > MOST_UNEVEN_STOPS and mean < 4 * MOST_MEAN:
        raise NoChart("uneven")
    if mean > MOST_MEAN or worst > MOST_WORST:
        raise NoChart("not a chart")
    terms = _grey_kept(_fitted(camera, wanted))
    rows = tuple(tuple(float(v) for v in row) for row in terms.T)
    return ColourProfile(rows, mean, worst, mired)


def unevenness_stops(camera: Array, wanted: Array) -> float:
    """How much more light falls on one end of the chart than on the other, by a plane through all patches [stops]."""
    weight = 1 / np.maximum(wanted @ LUMINANCE, 0.01)
    plain = np.linalg.lstsq(camera * weight[:, None], wanted * weight[:, None], rcond=None)[0]
    above = np.maximum((camera @ plain) @ LUMINANCE, 1e-6) / np.maximum(wanted @ LUMINANCE, 1e-6)
    y, x = np.divmod(np.arange(24), _COLUMNS)
    rows = np.stack([np.ones(24), x / (_COLUMNS - 1) - 0.5, y / (_ROWS - 1) - 0.5], axis=1)
    slope = np.linalg.lstsq(rows, np.log2(above), rcond=None)[0]
    return float(abs(slope[1]) + abs(slope[2]))


def _balanced(patches: Array, wanted: Array) -> Array:
    """Grey made grey, and as bright as it should be."""
    greys = np.maximum(patches[_MEASURED_GREYS], 1e-9)
    return np.asarray(patches * np.exp(np.mean(np.log(wanted[_MEASURED_GREYS] / greys), axis=0)))


def _left_out(camera: Array, wanted: Array) -> Array:
    """CIEDE2000 (24,) of each patch by the fit to the others."""
    apart = []
    for n in range(24):
        others = np.arange(24) != n
        seen = expanded(camera[n : n + 1]) @ _fitted(camera[others], wanted[others])
        apart.append(float(delta_e(to_lab(seen), to_lab(wanted[n : n + 1]))[0]))
    return np.array(apart)


def _near(camera: Array, wanted: Array) -> Array:
    """6 x 3, by linear least squares with dark patches counted more: where the fit by eye begins."""
    weight = (1 / np.maximum(wanted @ LUMINANCE, 1e-3) ** 0.67)[:, None]
    return np.asarray(np.linalg.lstsq(expanded(camera) * weight, wanted * weight, rcond=None)[0])


def _fitted(camera: Array, wanted: Array) -> Array:
    """6 x 3."""
    terms, first = expanded(camera), _near(camera, wanted)
    lab = to_lab(wanted)
    coarser = 1 / (1 + 0.045 * np.hypot(lab[:, 1], lab[:, 2]))
    weight = np.stack([np.ones_like(coarser), coarser, coarser], axis=1)

    def apart(values: Array) -> Array:
        return np.asarray(((to_lab(terms @ values.reshape(6, 3)) - lab) * weight).ravel())

    def slopes(values: Array) -> Array:
        by_colour = lab_slopes(terms @ values.reshape(6, 3)) * weight[..., None]
        return np.asarray(np.einsum("nk,nic->nikc", terms, by_colour).reshape(-1, 18))

    from scipy.optimize import least_squares

    found = least_squares(apart, first.ravel(), slopes, method="lm", max_nfev=200)
    return np.asarray(found.x).reshape(6, 3)


def _grey_kept(fitted: Array) -> Array:
    """The same for camera values balanced so that those which it makes grey are grey: its columns then sum to 1."""
    grey = np.ones(3)
    for _ in range(20):
        apart = expanded(grey) @ fitted - 1
        slope = np.stack([(expanded(grey + step) @ fitted - 1 - apart) / 1e-6 for step in 1e-6 * np.eye(3)])
        grey = grey - apart @ np.linalg.inv(slope)
    return np.asarray(fitted * expanded(grey)[:, None])


def patch_places() -> Array:
    """Middles of the patches (24, 2) as shares of the field of patches, from its top left corner, row by row."""
    gap = 0.1  # of the way from patch to patch
    x = (np.arange(_COLUMNS) + (1 - gap) / 2) / (_COLUMNS - gap)
    y = (np.arange(_ROWS) + (1 - gap) / 2) / (_ROWS - gap)
    return np.stack([np.tile(x, _ROWS), np.repeat(y, _COLUMNS)], axis=1)
