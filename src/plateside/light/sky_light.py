"""What a sky's luminance makes of the coefficients: light on sensors at many moments (numba kernel).

At each moment the sky's relative luminance is scaled to its diffuse horizontal illuminance by integration over the
hemisphere (Gauss-Legendre in the sine of elevation by equal azimuths from the sun), asked at the nodes that any sensor
sees, and the outside objects are given their luminance as light/scene.py says.
"""

from math import acos, cos, exp, pi, sqrt
from typing import NamedTuple

import numba
import numpy as np

from plateside.light.kernels import lent, lent_summing
from plateside.light.records import Records, Vector, vector
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
def _place(cosine):  # type: ignore[no-untyped-def]
    """Where in the table the indicatrix at this cosine from the sun stands: by the square root of 1 - cosine (it has a
    cusp at the sun)."""
    away = 1.0 - cosine
    return sqrt(away if away > 0.0 else 0.0) * (TABLE / 1.4142135623730951)


@numba.njit(cache=True, error_model="numpy", inline="always")
def _looked_up(table, place):  # type: ignore[no-untyped-def]
    """Drawn straight between TABLE values."""
    k = min(int(place), TABLE - 1)
    return table[k] + (place - k) * (table[k + 1] - table[k])


class Answers(NamedTuple):
    """What sensors and outside things are asked for."""

    toward: Array
    """Directions of the nodes, by component (3, nodes); sorted by elevation."""
    rows: IntArray
    """Where the nodes of each elevation begin, and the end."""
    by_node: Array
    """What the sensors get of each node's luminance (columns, nodes)."""
    things: Records
    vertical: bool
    """Whether any thing shows what falls on it upright."""


class Scratch(NamedTuple):
    """What one moment needs, made once; the indicatrix is kept for as long as it stays the same."""

    table: Array
    places: Array
    light: Array
    turns: Array
    ones: Array
    faced: Array


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _sky_rows(start: int, stop: int, skies: Skies, answers: Answers, sky: Array, upright: Array) -> None:
    """Rows are moments: the sky's light on sensors (t, columns) and on upright outside things (t, k)."""
    most = max(HALF_TURNS, answers.toward.shape[1])
    scratch = Scratch(
        np.empty(TABLE + 1), np.empty(most), np.empty(most), np.empty(HALF_TURNS), np.ones(HALF_TURNS),
        np.empty((answers.things.size, HALF_TURNS)),
    )  # fmt: skip
    for j in range(HALF_TURNS):
        scratch.turns[j] = cos(pi * (j + 0.5) / HALF_TURNS)
    kind, shape = skies.kind, skies.shape
    last = -1
    for t in range(start, stop):
        sky[t] = 0.0
        upright[t] = 0.0
        if skies.diffuse_lx[t] <= 0.0:
            continue
        k, c, d, e = kind[t], shape[t, 2], shape[t, 3], shape[t, 4]
        if last < 0 or kind[last] != k or shape[last, 2] != c or shape[last, 3] != d or shape[last, 4] != e:
            for i in range(TABLE + 1):
                scratch.table[i] = _indicatrix(k, c, d, e, 1.0 - 2.0 * (i / TABLE) ** 2)
            last = t
        _sky_at(k, shape[t], vector(skies.suns, t), skies.diffuse_lx[t], answers, scratch, sky[t], upright[t])


@lent
def _sky_at(
    kind: int, shape: Array, sun: Vector, diffuse_lx: float, answers: Answers, scratch: Scratch, sky: Array,
    upright: Array,
) -> None:  # fmt: skip
    """One moment. Places in the table are found apart from the values there: the processor does several at once."""
    places, light, table = scratch.places, scratch.light, scratch.table
    a, b = shape[0], shape[1]
    if answers.vertical:
        _faced(answers.things, np.arctan2(sun[0], sun[1]), scratch.faced)
    level = sqrt(max(1e-12, 1.0 - sun[2] * sun[2]))
    total = 0.0
    for i in range(RING_SINE.size):
        sine = RING_SINE[i]
        flat = sqrt(1.0 - sine * sine)
        piece = _gradation(kind, a, b, sine) * RING_WEIGHT[i] * pi / HALF_TURNS
        for j in range(HALF_TURNS):
            places[j] = _place(sine * sun[2] + flat * level * scratch.turns[j])
        for j in range(HALF_TURNS):
            light[j] = max(piece * _looked_up(table, places[j]), 0.0)
        total += 2.0 * sine * _sum_of_products(light, scratch.ones)
        if answers.vertical:
            for m in range(upright.size):
                for j in range(HALF_TURNS):
                    upright[m] += light[j] * flat * scratch.faced[m, j]
    scale = diffuse_lx / total if total > 0.0 else 0.0
    for m in range(upright.size):
        upright[m] *= scale
    toward, rows = answers.toward, answers.rows
    nodes = toward.shape[1]
    for i in range(nodes):
        places[i] = _place(toward[0, i] * sun[0] + toward[1, i] * sun[1] + toward[2, i] * sun[2])
    for r in range(rows.size - 1):
        grad = _gradation(kind, a, b, toward[2, rows[r]]) * scale
        for i in range(rows[r], rows[r + 1]):
            light[i] = max(grad * _looked_up(table, places[i]), 0.0)
    for s in range(sky.size):
        sky[s] = _sum_of_products(light, answers.by_node[s])


@lent
def _faced(things: Records, azimuth: float, faced: Array) -> None:
    """How much the two sides of each turn from the sun's azimuth face each upright thing (k, HALF_TURNS)."""
    for m in range(things.size):
        for j in range(HALF_TURNS):
            turn, faced[m, j] = pi * (j + 0.5) / HALF_TURNS, 0.0
            if things[m].vertical > 0.0:
                one = cos(azimuth + turn - things[m].azimuth)
                two = cos(azimuth - turn - things[m].azimuth)
                faced[m, j] = max(one, 0.0) + max(two, 0.0)


@lent_summing
def _sum_of_products(a: Array, b: Array) -> float:
    """Over b's length."""
    total = 0.0
    for i in range(b.size):
        total += a[i] * b[i]
    return total


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
    vertical = bool(np.any((things["vertical"] > 0) & np.any(object_part != 0, axis=(1, 2))))
    height = np.maximum(suns[:, 2], 0.0)
    beam = np.where(suns[:, 2] > 0, normal_lx, 0.0)
    facing = suns[:, :2] @ np.stack([np.sin(things["azimuth"]), np.cos(things["azimuth"])])
    answers = Answers(
        np.ascontiguousarray(directions.T), _runs(directions[:, 2]),
        np.ascontiguousarray(node_part.reshape(nodes, bands * sensors).T), things, vertical,
    )  # fmt: skip
    for a in range(0, moments, PIECE):
        span = slice(a, min(a + PIECE, moments))
        count = span.stop - a
        sky, upright = np.empty((count, bands * sensors)), np.empty((count, things.size))
        # whole numbers are compiled for no more than others
        skies = Skies(kind[span], shape[span], suns[span], np.asarray(diffuse_lx[span], float))
        in_rows(_sky_rows, count, skies, answers, sky, upright, even=False)
        sun = np.zeros((count, bands * sensors))
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


def _runs(values: Array) -> IntArray:
    """Where each run of equal values begins, and the end."""
    new = np.flatnonzero(np.diff(values, prepend=np.nan) != 0)
    return np.append(new, values.size).astype(np.int64)
