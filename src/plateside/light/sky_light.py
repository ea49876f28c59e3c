"""What a sky's luminance makes of the coefficients: light on sensors at many moments (numba kernel).

At each moment the sky's relative luminance is scaled to its diffuse horizontal illuminance by integration over the
hemisphere (Gauss-Legendre in the sine of elevation by equal azimuths from the sun), asked at the nodes that any sensor
sees, and the outside objects are given their luminance as light/scene.py says.
"""

from math import acos, cos, exp, pi, sin

import numba
import numpy as np

from plateside.light.answers import Array, IntArray
from plateside.light.rows import in_rows

CIE, PEREZ, OVERCAST = 0, 1, 2
KINDS = {"cie": CIE, "perez": PEREZ, "overcast": OVERCAST}

_GAUSS = np.polynomial.legendre.leggauss(14)
RING_SINE = (_GAUSS[0] + 1) / 2
"""Sines of elevation of the integration rings."""
RING_WEIGHT = _GAUSS[1] / 2
HALF_TURNS = 24
"""Azimuths on one side of the sun."""


@numba.njit(cache=True, inline="always")
def _gradation(kind, a, b, sine):  # type: ignore[no-untyped-def]
    if kind == OVERCAST:
        return (1.0 + 2.0 * sine) / 3.0
    return 1.0 + a * exp(b / max(sine, 0.01))


@numba.njit(cache=True, inline="always")
def _indicatrix(kind, c, d, e, cosine):  # type: ignore[no-untyped-def]
    if kind == OVERCAST:
        return 1.0
    cosine = min(1.0, max(-1.0, cosine))
    away = exp(d * acos(cosine)) if c != 0.0 else 0.0
    if kind == CIE and c != 0.0:
        away -= exp(d * 0.5 * pi)
    return 1.0 + c * away + e * cosine * cosine


@numba.njit(cache=True)
def relative_luminance(
    kind: int, a: float, b: float, c: float, d: float, e: float, sine: float, cosine: float
) -> float:
    """Gradation times indicatrix for a point of the sky: sine of its elevation, cosine of its angle from the sun."""
    return float(max(_gradation(kind, a, b, sine) * _indicatrix(kind, c, d, e, cosine), 0.0))


@numba.njit(cache=True, nogil=True)
def _sky_rows(
    start: int, stop: int, kind: IntArray, shape: Array, suns: Array, diffuse: Array, normal: Array,
    directions: Array, node_part: Array, object_part: Array, object_f: Array, vertical: bool,
    sky_out: Array, sun_out: Array,
) -> None:  # fmt: skip
    """Rows are moments. node_part (nodes, b, s), object_part (k, b, s); outputs (t, b, s)."""
    nodes, bands, sensors = node_part.shape
    things = object_f.shape[0]
    rings = RING_SINE.size
    upright = np.empty(things)
    for t in range(start, stop):
        k, a, b, c, d, e = kind[t], shape[t, 0], shape[t, 1], shape[t, 2], shape[t, 3], shape[t, 4]
        sx, sy, sz = suns[t, 0], suns[t, 1], suns[t, 2]
        level = max(1e-12, 1.0 - sz * sz) ** 0.5
        beam = normal[t] if sz > 0.0 else 0.0
        whole = diffuse[t] + beam * max(sz, 0.0)
        if whole <= 0.0:
            continue
        upright[:] = 0.0
        total = 0.0
        azimuth = np.arctan2(sx, sy)
        for i in range(rings):
            sine = RING_SINE[i]
            flat = (1.0 - sine * sine) ** 0.5
            grad = _gradation(k, a, b, sine)
            for j in range(HALF_TURNS):
                turn = pi * (j + 0.5) / HALF_TURNS
                lum = max(grad * _indicatrix(k, c, d, e, sine * sz + flat * level * cos(turn)), 0.0)
                piece = lum * RING_WEIGHT[i] * pi / HALF_TURNS
                total += 2.0 * piece * sine
                if vertical:
                    for m in range(things):
                        if object_f[m, 0] > 0.0:
                            one = cos(azimuth + turn - object_f[m, 2])
                            two = cos(azimuth - turn - object_f[m, 2])
                            upright[m] += piece * flat * (max(one, 0.0) + max(two, 0.0))
        scale = diffuse[t] / total if total > 0.0 else 0.0
        if scale > 0.0:
            row, grad = -1.0, 0.0
            for i in range(nodes):
                sine = directions[i, 2]
                if sine != row:
                    row, grad = sine, _gradation(k, a, b, sine) * scale
                cosine = directions[i, 0] * sx + directions[i, 1] * sy + sine * sz
                lum = max(grad * _indicatrix(k, c, d, e, cosine), 0.0)
                for m in range(bands):
                    for s in range(sensors):
                        sky_out[t, m, s] += lum * node_part[i, m, s]
        for i in range(things):
            faces = sin(object_f[i, 2]) * sx + cos(object_f[i, 2]) * sy
            for m in range(bands):
                share = object_f[i, 6 + m]
                by_sky = object_f[i, 0] * upright[i] * scale + share * diffuse[t]
                by_sun = share * beam * max(sz, 0.0) + object_f[i, 1] * max(faces, 0.0) * beam
                reflect = object_f[i, 3 + m] / pi
                for s in range(sensors):
                    sky_out[t, m, s] += by_sky * reflect * object_part[i, m, s]
                    sun_out[t, m, s] += by_sun * reflect * object_part[i, m, s]


def light_of_sky(
    kind: IntArray, shape: Array, suns: Array, diffuse_lx: Array, normal_lx: Array,
    directions: Array, node_part: Array, object_part: Array, object_f: Array,
) -> tuple[Array, Array]:  # fmt: skip
    """Light on sensors (t, b, s): from the sky (also by way of outside objects), and from sunlit outside objects.

    kind, shape  of the sky at each moment: KINDS, and a to e (t, 5)
    suns         unit vectors to the sun, room's coordinates (t, 3)
    node_part    (nodes, b, s) [lx per cd/m2], for the nodes in `directions` (nodes, 3), sorted by elevation
    object_part  (k, b, s) [lx per cd/m2]
    """
    moments, (_, bands, sensors) = len(suns), node_part.shape
    sky_out, sun_out = np.zeros((moments, bands, sensors)), np.zeros((moments, bands, sensors))
    vertical = bool(len(object_f) and np.any((object_f[:, 0] > 0) & np.any(object_part != 0, axis=(1, 2))))
    in_rows(
        _sky_rows, moments, kind, shape, suns, diffuse_lx, normal_lx, directions, node_part, object_part,
        object_f, vertical, sky_out, sun_out, even=False,
    )  # fmt: skip
    return sky_out, sun_out
