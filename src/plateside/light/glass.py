"""How much light a pane lets through at an angle.

glass_transmittance          a pane's transmittance at any angle, from its transmittance straight on
glass_reflectance            the same pane's reflectance at any angle
diffuse_glass_reflectance    its reflectance for diffuse light

Fresnel's equations for both surfaces of one pane with all inner reflections summed, light unpolarised
(M. Rubin, Solar Energy Materials 12, 1985; Siegel and Howell, Thermal Radiation Heat Transfer, chapter on windows).
Up to the transmittance of a clear pane (0.918) the pane has index 1.52 and its absorption makes the rest: this is
also the glass of the Radiance ray tracer (G. Ward, "glass" material), so that a Radiance scene needs nothing but
that primitive. Above it the pane has no absorption and a lower index, down to none at 1: an open hole.
"""

from math import sqrt

import numba
import numpy as np
from numpy.typing import NDArray

INDEX = 1.52
"""Refractive index of float glass."""
LOSSLESS = 2 * INDEX / (INDEX * INDEX + 1)
"""Transmittance straight on of a pane of that index without absorption: (1 - r)/(1 + r), r = ((n - 1)/(n + 1))^2."""


@numba.njit(cache=True, error_model="numpy")
def pane(normal_transmittance: float) -> tuple[float, float]:
    """Index and inner transmission (one pass, straight on) of the pane with this transmittance straight on."""
    t = normal_transmittance
    if t >= LOSSLESS:
        r = (1.0 - t) / (1.0 + t)
        root = sqrt(max(r, 0.0))
        return (1.0 + root) / (1.0 - root), 1.0
    r = ((INDEX - 1.0) / (INDEX + 1.0)) ** 2
    # t = (1 - r)^2 s / (1 - r^2 s^2), solved for s
    a = r * r * t
    b = (1.0 - r) ** 2
    return INDEX, (-b + sqrt(b * b + 4.0 * a * t)) / (2.0 * a)


@numba.njit(cache=True, error_model="numpy")
def _both(cos_in: float, index: float, inner: float) -> tuple[float, float]:
    """Transmittance and reflectance of a pane at an angle."""
    if index <= 1.0 + 1e-9:
        return inner, 0.0
    if cos_in <= 0.0:
        return 0.0, 1.0
    cos_in = min(cos_in, 1.0)
    cos_glass = sqrt(1.0 - (1.0 - cos_in * cos_in) / (index * index))
    s = (cos_in - index * cos_glass) / (cos_in + index * cos_glass)
    p = (index * cos_in - cos_glass) / (index * cos_in + cos_glass)
    rs, rp = s * s, p * p
    pass_once = inner ** (1.0 / cos_glass)
    ts = (1.0 - rs) ** 2 * pass_once / (1.0 - (rs * pass_once) ** 2)
    tp = (1.0 - rp) ** 2 * pass_once / (1.0 - (rp * pass_once) ** 2)
    return 0.5 * (ts + tp), 0.5 * (rs * (1.0 + ts * pass_once) + rp * (1.0 + tp * pass_once))


@numba.njit(cache=True, error_model="numpy")
def through(cos_in: float, index: float, inner: float) -> float:
    """Transmittance of a pane at an angle, from its index and inner transmission."""
    return _both(cos_in, index, inner)[0]


def glass_transmittance(
    cos_incidence: float | NDArray[np.float64], normal_transmittance: float
) -> NDArray[np.float64]:
    """Share of the light that passes a pane [0-1]; any shape of `cos_incidence` (1 straight on, 0 grazing)."""
    return _over(cos_incidence, normal_transmittance, 0)


def glass_reflectance(
    cos_incidence: float | NDArray[np.float64], normal_transmittance: float
) -> NDArray[np.float64]:
    """Share of the light that a pane throws back [0-1]."""
    return _over(cos_incidence, normal_transmittance, 1)


def diffuse_glass_reflectance(normal_transmittance: float) -> float:
    """Share of evenly diffuse light that a pane throws back [0-1]."""
    index, inner = pane(normal_transmittance)
    nodes, weights = np.polynomial.legendre.leggauss(64)
    cosine = (nodes + 1) / 2
    return float(sum(w * c * _both(c, index, inner)[1] for c, w in zip(cosine, weights, strict=True)))


def _over(
    cosine: float | NDArray[np.float64], normal_transmittance: float, which: int
) -> NDArray[np.float64]:
    index, inner = pane(normal_transmittance)
    values = np.asarray(cosine, dtype=np.float64)
    flat = np.array([_both(c, index, inner)[which] for c in values.ravel()])
    return flat.reshape(values.shape)
