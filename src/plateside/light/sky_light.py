"""What a sky's luminance makes of the coefficients: light on sensors at many moments (numba kernel).

At each moment the sky's relative luminance is scaled to its diffuse horizontal illuminance by integration over the
hemisphere (Gauss-Legendre in the sine of elevation by equal azimuths from the sun), asked at the nodes that any sensor
sees, and the outside objects are given their luminance as light/scene.py says.
"""

from math import acos, cos, exp, pi, sqrt
from typing import NamedTuple

import numba
import numpy as np

from plateside.light.records import Records
from plateside.light.rows import in_rows
from plateside.model.light_answers import Array, IntArray

CIE, PEREZ, OVERCAST = 0, 1, 2
KINDS = {"cie": CIE, "perez": PEREZ, "overcast": OVERCAST}

_GAUSS = np.polynomial.legendre.leggauss(14)
RING_SINE = (_GAUSS[0] + 1) / 2
"""Sines of elevation of the integration rings."""
RING_WEIGHT = _GAUSS[1] / 2
HALF_TURNS = 24
"""Azimuths on one side of the sun."""
TABLE = 512
PIECE = 4096
"""Moments done at once, to bound memory."""


class Skies(NamedTuple):
    """Skies at t moments."""

    kind: IntArray
    shape: Array
    """a to e (t, 5)"""
    suns: Array
    """Unit vectors (t, 3)."""
    diffuse_lx: Array


@numba.njit(cache=True, error_model="numpy", inline="always")
def _gradation(kind, a, b, sine):  # type: ignore[no-untyped-def]
    if kind == OVERCAST:
        return (1.0 + 2.0 * sine) / 3.0
    return 1.0 + a * exp(b / max(sine, 0.01))


@numba.njit(cache=True, error_model="numpy", inline="always")
def _indicatrix(kind, c, d, e, cosine):  # type: ignore[no-untyped-def]
    if kind == OVERCAST:
        return 1.0
    cosine = min(1.0, max(-1.0, cosine))
    away = exp(d * acos(cosine)) if c != 0.0 else 0.0
    if kind == CIE and c != 0.0:
        away -= exp(d * 0.5 * pi)
    return 1.0 + c * away + e * cosine * cosine


@numba.njit(cache=True, error_model="numpy")
def relative_luminance(
    kind: int, a: float, b: float, c: float, d: float, e: float, sine: float, cosine: float
) -> float:
    """Gradation times indicatrix for a point of the sky: sine of its elevation, cosine of its angle from the sun."""
    return float(max(_gradation(kind, a, b, sine) * _indicatrix(kind, c, d, e, cosine), 0.0))


@numba.njit(cache=True, error_model="numpy", inline="always")
def _looked_up(table, cosine):  # type: ignore[no-untyped-def]
    """Indicatrix by the square root of 1 - cosine, drawn straight between TABLE values (it has a cusp at the sun)."""
    place = sqrt(max(0.0, 1.0 - cosine)) * (TABLE / 1.4142135623730951)
    k = min(int(place), TABLE - 1)
    return table[k] + (place - k) * (table[k + 1] - table[k])


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _sky_rows(
    start: int, stop: int, skies: Skies, directions: Array, things: Records, vertical: bool,
    luminance: Array, upright: Array,
) -> None:  # fmt: skip
    """Rows are moments: luminance at the nodes (t, nodes) and the sky's light on upright outside things (t, k)."""
    kind, shape, suns = skies.kind, skies.shape, skies.suns
    nodes = directions.shape[0]
    table = np.empty(TABLE + 1)
    rings = RING_SINE.size
    turns = np.empty(HALF_TURNS)
    for j in range(HALF_TURNS):
        turns[j] = cos(pi * (j + 0.5) / HALF_TURNS)
    last = -1
    for t in range(start, stop):
        if skies.diffuse_lx[t] <= 0.0:
            for i in range(nodes):
                luminance[t, i] = 0.0
            for m in range(things.size):
                upright[t, m] = 0.0
            continue
        k, a, b, c, d, e = kind[t], shape[t, 0], shape[t, 1], shape[t, 2], shape[t, 3], shape[t, 4]
        if last < 0 or kind[last] != k or shape[last, 2] != c or shape[last, 3] != d or shape[last, 4] != e:
            for i in range(TABLE + 1):
                table[i] = _indicatrix(k, c, d, e, 1.0 - 2.0 * (i / TABLE) ** 2)
            last = t
        sx, sy, sz = suns[t, 0], suns[t, 1], suns[t, 2]
        level = sqrt(max(1e-12, 1.0 - sz * sz))
        azimuth = np.arctan2(sx, sy)
        total = 0.0
        for m in range(things.size):
            upright[t, m] = 0.0
        for i in range(rings):
            sine = RING_SINE[i]
            flat = sqrt(1.0 - sine * sine)
            piece = _gradation(k, a, b, sine) * RING_WEIGHT[i] * pi / HALF_TURNS
            for j in range(HALF_TURNS):
                part = max(piece * _looked_up(table, sine * sz + flat * level * turns[j]), 0.0)
                total += 2.0 * part * sine
                if vertical:
                    turn = pi * (j + 0.5) / HALF_TURNS
                    for m in range(things.size):
                        if things[m].vertical > 0.0:
                            one = cos(azimuth + turn - things[m].azimuth)
                            two = cos(azimuth - turn - things[m].azimuth)
                            upright[t, m] += part * flat * (max(one, 0.0) + max(two, 0.0))
        scale = skies.diffuse_lx[t] / total if total > 0.0 else 0.0
        for m in range(things.size):
            upright[t, m] *= scale
        row, grad = -1.0, 0.0
        for i in range(nodes):
            sine = directions[i, 2]
            if sine != row:
                row, grad = sine, _gradation(k, a, b, sine) * scale
            cosine = directions[i, 0] * sx + directions[i, 1] * sy + sine * sz
            luminance[t, i] = max(grad * _looked_up(table, cosine), 0.0)


def light_of_sky(
    kind: IntArray, shape: Array, suns: Array, diffuse_lx: Array, normal_lx: Array,
    directions: Array, node_part: Array, object_part: Array, things: Records,
) -> tuple[Array, Array]:  # fmt: skip
    """Light on sensors (t, b, s): from the sky (also by way of outside objects), and from sunlit outside objects.

    kind, shape  of the sky at each moment: KINDS, and a to e (t, 5)
    suns         unit vectors to the sun, room's coordinates (t, 3)
    node_part    (nodes, b, s) [lx per cd/m2], for the nodes in `directions` (nodes, 3), sorted by elevation
    object_part  (k, b, s) [lx per cd/m2]
    """
    moments, (nodes, bands, sensors) = len(suns), node_part.shape
    sky_out = np.empty((moments, bands * sensors))
    sun_out = np.empty((moments, bands * sensors))
    by_node = np.ascontiguousarray(node_part).reshape(nodes, bands * sensors)
    vertical = bool(np.any((things["vertical"] > 0) & np.any(object_part != 0, axis=(1, 2))))
    height = np.maximum(suns[:, 2], 0.0)
    beam = np.where(suns[:, 2] > 0, normal_lx, 0.0)
    facing = suns[:, :2] @ np.stack([np.sin(things["azimuth"]), np.cos(things["azimuth"])])
    for a in range(0, moments, PIECE):
        span = slice(a, min(a + PIECE, moments))
        count = span.stop - a
        luminance, upright = np.empty((count, nodes)), np.empty((count, things.size))
        skies = Skies(kind[span], shape[span], suns[span], diffuse_lx[span])
        in_rows(_sky_rows, count, skies, directions, things, vertical, luminance, upright, even=False)
        sky, sun = luminance @ by_node, np.zeros((count, bands * sensors))
        for band in range(bands if things.size else 0):
            columns = slice(band * sensors, (band + 1) * sensors)
            reflected = things["reflectance"][:, band, None] / pi * object_part[:, band]
            share = things["horizontal"][:, band]
            sky[:, columns] += (things["vertical"] * upright + share * diffuse_lx[span, None]) @ reflected
            lit = (
                share * (beam * height)[span, None]
                + things["sun"] * np.maximum(facing[span], 0) * beam[span, None]
            )
            sun[:, columns] = lit @ reflected
        sky_out[span], sun_out[span] = sky, sun
    return sky_out.reshape(moments, bands, sensors), sun_out.reshape(moments, bands, sensors)
