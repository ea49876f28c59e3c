"""How much of what one place sees is each patch: exact point-to-polygon factors, with what stands between.

polygon_factor      configuration factor from a point with a normal to a polygon (part behind the point's plane cut off)
patch_exchange      A_i F_ij of all patches, made reciprocal and closed
point_factors       the factors from sensor points to all patches

Reference for the polygon: P. Moon, The Scientific Basis of Illuminating Engineering (1936); H. Hottel and A. Sarofim,
Radiative Transfer (1967): F = 1/(2 pi) sum over edges of angle x (edge plane's normal . receiver's normal).
"""

from math import acos, pi, sqrt

import numba
import numpy as np

from plateside.light.kernels import lent
from plateside.light.patches import Patches
from plateside.light.rays import clear_between
from plateside.light.records import (
    Cells,
    Solids,
    Vector,
    ahead,
    between,
    cross,
    dot,
    place_on,
    reach_along,
    vector,
)
from plateside.light.rows import in_rows
from plateside.light.scene import Scene
from plateside.model.light_answers import Array

FAR = 4.0
"""Beyond so many patch diagonals a patch is taken as a point."""
NEAR = 1.2
"""Nearer than so many patch diagonals the receiving patch is asked at four points."""
AT_SENSOR = 5
"""What stands between a sensor and a patch is asked with so many rays squared (4 rays between two patches)."""


@lent
def polygon_factor(p: Vector, normal: Vector, corners: Array, count: int, work: Array) -> float:
    """Configuration factor from P with unit normal to a flat polygon; sign apart (never negative).

    corners  (count, 3); work  (at least count + 2, 3), is overwritten
    """
    m = 0
    # What lies behind the receiver's plane is cut off. An exact zero counts as before it (see the notes on faults).
    for k in range(count):
        a, b = between(p, vector(corners, k)), between(p, vector(corners, (k + 1) % count))
        ha, hb = dot(a, normal), dot(b, normal)
        if ha >= -1e-12:
            work[m, 0], work[m, 1], work[m, 2] = a
            m += 1
        if (ha >= -1e-12) != (hb >= -1e-12):
            work[m, 0], work[m, 1], work[m, 2] = ahead(a, ha / (ha - hb), between(a, b))
            m += 1
    if m < 3:
        return 0.0
    total = 0.0
    for k in range(m):
        j = (k + 1) % m
        a, b = vector(work, k), vector(work, j)
        plane = cross(a, b)
        length = sqrt(dot(plane, plane))
        if length < 1e-14:
            continue
        cosine = dot(a, b) / sqrt(dot(a, a) * dot(b, b))
        total += acos(min(1.0, max(-1.0, cosine))) * dot(plane, normal) / length
    return abs(total) / (2.0 * pi)


@lent
def edge_vector(p: Vector, corners: Array, count: int) -> Vector:
    """Sum over a polygon's edges of angle x edge plane's normal / 2 pi: its factor for any normal n whose plane the
    polygon lies wholly before is |sum . n|."""
    whole = (0.0, 0.0, 0.0)
    for k in range(count):
        a, b = between(p, vector(corners, k)), between(p, vector(corners, (k + 1) % count))
        plane = cross(a, b)
        length = sqrt(dot(plane, plane))
        if length < 1e-14:
            continue
        cosine = dot(a, b) / sqrt(dot(a, a) * dot(b, b))
        whole = ahead(whole, acos(min(1.0, max(-1.0, cosine))) / (2.0 * pi * length), plane)
    return whole


@numba.njit(cache=True, error_model="numpy", inline="always")
def _patch_factor(p, normal, j, cells, corners, work):  # type: ignore[no-untyped-def]
    c, u, v, w = cells.centre, cells.u, cells.v, cells.twist
    for k in range(3):
        corners[0, k] = c[j, k] - u[j, k] - v[j, k] + w[j, k]
        corners[1, k] = c[j, k] + u[j, k] - v[j, k] - w[j, k]
        corners[2, k] = c[j, k] + u[j, k] + v[j, k] + w[j, k]
        corners[3, k] = c[j, k] - u[j, k] + v[j, k] - w[j, k]
    return polygon_factor(p, normal, corners, 4, work)


@numba.njit(cache=True, error_model="numpy", inline="always")
def _seen_share(p, normal, j, cells, rays, solids):  # type: ignore[no-untyped-def]
    """Share of patch j that P sees past table, boards and blocks, of the part before P's plane."""
    clear, asked = 0, 0
    for a in range(rays):
        for b in range(rays):
            place = place_on(cells, j, (2.0 * a + 1.0) / rays - 1.0, (2.0 * b + 1.0) / rays - 1.0)
            if dot(between(p, place), normal) <= 0.0:
                continue
            asked += 1
            if clear_between(p, place, solids):
                clear += 1
    return clear / asked if asked else 0.0


@numba.njit(cache=True, error_model="numpy", inline="always")
def _from_patch(i, j, cells, diagonal, corners, work):  # type: ignore[no-untyped-def]
    """Factor of patch j asked from patch i: from its middle, or from four points when they are near."""
    here, there = vector(cells.centre, i), vector(cells.centre, j)
    normal, facing = vector(cells.normal, i), vector(cells.normal, j)
    d = between(here, there)
    r2 = dot(d, d)
    size = max(diagonal[i], diagonal[j])
    if r2 > FAR * FAR * size * size:
        away = -dot(d, facing)
        return max(dot(d, normal), 0.0) * max(away, 0.0) * cells.area[j] / (pi * r2 * r2)
    if r2 >= NEAR * NEAR * size * size:
        return _patch_factor(here, normal, j, cells, corners, work)
    factor = 0.0
    for k in range(4):
        p = place_on(cells, i, 0.5 if k % 2 else -0.5, 0.5 if k < 2 else -0.5)
        if dot(between(there, p), facing) > 1e-9:
            factor += 0.25 * _patch_factor(p, normal, j, cells, corners, work)
    return factor


@numba.njit(cache=True, error_model="numpy", inline="always")
def _mutual_share(i, j, cells, solids):  # type: ignore[no-untyped-def]
    """Share of rays between two patches that nothing stops, of those that leave both on their front sides."""
    clear, asked = 0, 0
    for k in range(4):
        a, b = 0.5 if k % 2 else -0.5, 0.5 if k < 2 else -0.5
        # The four ends are paired crosswise, so that the rays fan out.
        p, q = place_on(cells, i, a, b), place_on(cells, j, b, -a)
        d = between(p, q)
        if dot(d, vector(cells.normal, i)) <= 0.0 or dot(d, vector(cells.normal, j)) >= 0.0:
            continue
        asked += 1
        if clear_between(p, q, solids):
            clear += 1
    return clear / asked if asked else 0.0


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _exchange_rows(start: int, stop: int, cells: Cells, solids: Solids, out: Array) -> None:
    """A_i F_ij, the same both ways, of patches i of [start, stop) with all later ones."""
    corners, work = np.empty((4, 3)), np.empty((8, 3))
    diagonal = np.empty(cells.area.size)
    for j in range(diagonal.size):
        u, v = vector(cells.u, j), vector(cells.v, j)
        diagonal[j] = 2.0 * sqrt(u[0] ** 2 + u[1] ** 2 + u[2] ** 2 + v[0] ** 2 + v[1] ** 2 + v[2] ** 2)
    for i in range(start, stop):
        _exchange_row(i, cells, solids, diagonal, corners, work, out)


@lent
def _exchange_row(
    i: int, cells: Cells, solids: Solids, diagonal: Array, corners: Array, work: Array, out: Array
) -> None:
    """Of one patch. Of the two sides the smaller patch, asked at its middle, knows better and weighs more."""
    area, face, live = cells.area, cells.face, cells.live
    occluders = solids.thin.size + solids.blocks.size > 0
    out[i, i] = 0.0
    for j in range(i + 1, area.size):
        out[i, j] = 0.0
        out[j, i] = 0.0
        if face[j] == face[i] or not live[i] or not live[j]:
            continue
        normal, facing = vector(cells.normal, i), vector(cells.normal, j)
        d = between(vector(cells.centre, i), vector(cells.centre, j))
        before, away = dot(d, normal), -dot(d, facing)
        if before + reach_along(cells, j, normal) <= 1e-9 or away + reach_along(cells, i, facing) <= 1e-9:
            continue
        share = 1.0
        if occluders:
            share = _mutual_share(i, j, cells, solids)
            if share == 0.0:
                continue
        there = _from_patch(i, j, cells, diagonal, corners, work) if away > 1e-9 else 0.0
        back = _from_patch(j, i, cells, diagonal, corners, work) if before > 1e-9 else 0.0
        if away <= 1e-9:
            mutual = area[j] * back
        elif before <= 1e-9:
            mutual = area[i] * there
        else:
            mutual = area[i] * area[j] * (there + back) / (area[i] + area[j])
        out[i, j] = mutual * share
        out[j, i] = mutual * share


def patch_exchange(scene: Scene, patches: Patches) -> Array:
    """F_ij of all patches (n, n): A_i F_ij = A_j F_ji, and every live row sums to 1 (the room is closed).

    Closing is by one factor for each patch on both sides (Sinkhorn's scaling of a symmetric matrix), which keeps
    reciprocity: so no room gains light, and an evenly lit room stays even.
    """
    p = patches
    factors = np.empty((p.count, p.count))
    in_rows(_exchange_rows, p.count, p.cells, scene.solids, factors, even=False)
    scale = np.ones(p.count)
    for _ in range(12):
        sums = scale * (factors @ scale)
        live = sums > 1e-9 * p.area
        ratio = np.where(live, p.area / np.where(live, sums, 1.0), 1.0)
        scale *= np.sqrt(ratio)
        if np.max(np.abs(ratio - 1)) < 1e-4:
            break
    factors *= (scale / p.area)[:, None]
    factors *= scale[None, :]
    return factors


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _point_rows(
    start: int, stop: int, points: Array, normals: Array, cells: Cells, solids: Solids, out: Array
) -> None:
    corners, work = np.empty((4, 3)), np.empty((8, 3))
    for s in range(start, stop):
        _from_point(vector(points, s), vector(normals, s), cells, solids, corners, work, out[s])


@lent
def _from_point(
    p: Vector, normal: Vector, cells: Cells, solids: Solids, corners: Array, work: Array, out: Array
) -> None:
    """Factors from one point to all patches, closed to 1."""
    occluders = solids.thin.size + solids.blocks.size > 0
    total = 0.0
    for j in range(out.size):
        out[j] = 0.0
        if not cells.live[j]:
            continue
        d = between(p, vector(cells.centre, j))
        if dot(d, vector(cells.normal, j)) >= -1e-12 or dot(d, normal) + reach_along(cells, j, normal) <= 0.0:
            continue
        factor = _patch_factor(p, normal, j, cells, corners, work)
        if occluders and factor > 0.0:
            factor *= _seen_share(p, normal, j, cells, AT_SENSOR, solids)
        out[j] = factor
        total += factor
    if total > 0.0:
        for j in range(out.size):
            out[j] /= total


def point_factors(scene: Scene, patches: Patches, points: Array, normals: Array) -> Array:
    """Factors from points with normals to all patches (s, n), each row closed to 1."""
    out = np.empty((len(points), patches.count))
    in_rows(_point_rows, len(points), points, normals, patches.cells, scene.solids, out)
    return out
