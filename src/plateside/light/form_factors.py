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

from plateside.light.patches import Patches
from plateside.light.rays import clear_between
from plateside.light.rows import in_rows
from plateside.light.scene import Scene
from plateside.model.light_answers import Array, IntArray

FAR = 4.0
"""Beyond so many patch diagonals a patch is taken as a point."""
NEAR = 1.2
"""Nearer than so many patch diagonals the receiving patch is asked at four points."""
AT_SENSOR = 5
"""What stands between a sensor and a patch is asked with so many rays squared (4 rays between two patches)."""


@numba.njit(cache=True, nogil=True, error_model="numpy")
def polygon_factor(
    px: float, py: float, pz: float, nx: float, ny: float, nz: float, corners: Array, count: int, work: Array
) -> float:
    """Configuration factor from P with unit normal n to a flat polygon; sign apart (never negative).

    corners  (count, 3); work  (at least count + 2, 3), is overwritten
    """
    m = 0
    # What lies behind the receiver's plane is cut off. An exact zero counts as before it (see the notes on faults).
    for k in range(count):
        ax, ay, az = corners[k, 0] - px, corners[k, 1] - py, corners[k, 2] - pz
        j = (k + 1) % count
        bx, by, bz = corners[j, 0] - px, corners[j, 1] - py, corners[j, 2] - pz
        ha = ax * nx + ay * ny + az * nz
        hb = bx * nx + by * ny + bz * nz
        if ha >= -1e-12:
            work[m, 0], work[m, 1], work[m, 2] = ax, ay, az
            m += 1
        if (ha >= -1e-12) != (hb >= -1e-12):
            t = ha / (ha - hb)
            work[m, 0], work[m, 1], work[m, 2] = ax + t * (bx - ax), ay + t * (by - ay), az + t * (bz - az)
            m += 1
    if m < 3:
        return 0.0
    total = 0.0
    for k in range(m):
        j = (k + 1) % m
        ax, ay, az = work[k, 0], work[k, 1], work[k, 2]
        bx, by, bz = work[j, 0], work[j, 1], work[j, 2]
        cx, cy, cz = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
        cross = sqrt(cx * cx + cy * cy + cz * cz)
        if cross < 1e-14:
            continue
        lengths = sqrt((ax * ax + ay * ay + az * az) * (bx * bx + by * by + bz * bz))
        cosine = (ax * bx + ay * by + az * bz) / lengths
        total += acos(min(1.0, max(-1.0, cosine))) * (cx * nx + cy * ny + cz * nz) / cross
    return abs(total) / (2.0 * pi)


@numba.njit(cache=True, nogil=True, error_model="numpy")
def edge_vector(px: float, py: float, pz: float, corners: Array, count: int, out: Array) -> None:
    """Sum over a polygon's edges of angle x edge plane's normal / 2 pi: its factor for any normal n whose plane the
    polygon lies wholly before is |out . n|."""
    out[0] = out[1] = out[2] = 0.0
    for k in range(count):
        j = (k + 1) % count
        ax, ay, az = corners[k, 0] - px, corners[k, 1] - py, corners[k, 2] - pz
        bx, by, bz = corners[j, 0] - px, corners[j, 1] - py, corners[j, 2] - pz
        cx, cy, cz = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
        cross = sqrt(cx * cx + cy * cy + cz * cz)
        if cross < 1e-14:
            continue
        lengths = sqrt((ax * ax + ay * ay + az * az) * (bx * bx + by * by + bz * bz))
        cosine = (ax * bx + ay * by + az * bz) / lengths
        angle = acos(min(1.0, max(-1.0, cosine))) / (2.0 * pi * cross)
        out[0] += angle * cx
        out[1] += angle * cy
        out[2] += angle * cz


@numba.njit(cache=True, error_model="numpy", inline="always")
def _patch_factor(px, py, pz, nx, ny, nz, j, c, u, v, w, corners, work):  # type: ignore[no-untyped-def]
    for k in range(3):
        corners[0, k] = c[j, k] - u[j, k] - v[j, k] + w[j, k]
        corners[1, k] = c[j, k] + u[j, k] - v[j, k] - w[j, k]
        corners[2, k] = c[j, k] + u[j, k] + v[j, k] + w[j, k]
        corners[3, k] = c[j, k] - u[j, k] + v[j, k] - w[j, k]
    return polygon_factor(px, py, pz, nx, ny, nz, corners, 4, work)


@numba.njit(cache=True, error_model="numpy", inline="always")
def _seen_share(px, py, pz, nx, ny, nz, j, c, u, v, w, rays, rects, boxes):  # type: ignore[no-untyped-def]
    """Share of patch j that P sees past table, boards and blocks, of the part before P's plane."""
    seen, asked = 0, 0
    for a in range(rays):
        fa = (2.0 * a + 1.0) / rays - 1.0
        for b in range(rays):
            fb = (2.0 * b + 1.0) / rays - 1.0
            x = c[j, 0] + fa * u[j, 0] + fb * v[j, 0] + fa * fb * w[j, 0]
            y = c[j, 1] + fa * u[j, 1] + fb * v[j, 1] + fa * fb * w[j, 1]
            z = c[j, 2] + fa * u[j, 2] + fb * v[j, 2] + fa * fb * w[j, 2]
            if (x - px) * nx + (y - py) * ny + (z - pz) * nz <= 0.0:
                continue
            asked += 1
            if clear_between(px, py, pz, x, y, z, rects, boxes):
                seen += 1
    return seen / asked if asked else 0.0


@numba.njit(cache=True, error_model="numpy", inline="always")
def _from_patch(i, j, c, u, v, w, n, area, diagonal, corners, work):  # type: ignore[no-untyped-def]
    """Factor of patch j asked from patch i: from its middle, or from four points when they are near."""
    dx, dy, dz = c[j, 0] - c[i, 0], c[j, 1] - c[i, 1], c[j, 2] - c[i, 2]
    nx, ny, nz = n[i, 0], n[i, 1], n[i, 2]
    before = dx * nx + dy * ny + dz * nz
    r2 = dx * dx + dy * dy + dz * dz
    size = max(diagonal[i], diagonal[j])
    if r2 > FAR * FAR * size * size:
        away = -(dx * n[j, 0] + dy * n[j, 1] + dz * n[j, 2])
        return max(before, 0.0) * max(away, 0.0) * area[j] / (pi * r2 * r2)
    if r2 >= NEAR * NEAR * size * size:
        return _patch_factor(c[i, 0], c[i, 1], c[i, 2], nx, ny, nz, j, c, u, v, w, corners, work)
    factor = 0.0
    for a in range(4):
        fa = 0.5 if a % 2 else -0.5
        fb = 0.5 if a < 2 else -0.5
        px = c[i, 0] + fa * u[i, 0] + fb * v[i, 0] + fa * fb * w[i, 0]
        py = c[i, 1] + fa * u[i, 1] + fb * v[i, 1] + fa * fb * w[i, 1]
        pz = c[i, 2] + fa * u[i, 2] + fb * v[i, 2] + fa * fb * w[i, 2]
        if (px - c[j, 0]) * n[j, 0] + (py - c[j, 1]) * n[j, 1] + (pz - c[j, 2]) * n[j, 2] > 1e-9:
            factor += 0.25 * _patch_factor(px, py, pz, nx, ny, nz, j, c, u, v, w, corners, work)
    return factor


@numba.njit(cache=True, error_model="numpy", inline="always")
def _mutual_share(i, j, c, u, v, w, n, rects, boxes):  # type: ignore[no-untyped-def]
    """Share of rays between two patches that nothing stops, of those that leave both on their front sides."""
    seen, asked = 0, 0
    for a in range(4):
        fa = 0.5 if a % 2 else -0.5
        fb = 0.5 if a < 2 else -0.5
        px = c[i, 0] + fa * u[i, 0] + fb * v[i, 0] + fa * fb * w[i, 0]
        py = c[i, 1] + fa * u[i, 1] + fb * v[i, 1] + fa * fb * w[i, 1]
        pz = c[i, 2] + fa * u[i, 2] + fb * v[i, 2] + fa * fb * w[i, 2]
        # The four ends are paired crosswise, so that the rays fan out.
        x = c[j, 0] + fb * u[j, 0] - fa * v[j, 0] - fa * fb * w[j, 0]
        y = c[j, 1] + fb * u[j, 1] - fa * v[j, 1] - fa * fb * w[j, 1]
        z = c[j, 2] + fb * u[j, 2] - fa * v[j, 2] - fa * fb * w[j, 2]
        dx, dy, dz = x - px, y - py, z - pz
        if (
            dx * n[i, 0] + dy * n[i, 1] + dz * n[i, 2] <= 0.0
            or dx * n[j, 0] + dy * n[j, 1] + dz * n[j, 2] >= 0.0
        ):
            continue
        asked += 1
        if clear_between(px, py, pz, x, y, z, rects, boxes):
            seen += 1
    return seen / asked if asked else 0.0


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _exchange_rows(
    start: int, stop: int, c: Array, u: Array, v: Array, w: Array, n: Array, area: Array, face: IntArray, live: Array,
    rects: Array, boxes: Array, out: Array,
) -> None:  # fmt: skip
    """A_i F_ij, the same both ways, of patches i of [start, stop) with all later ones.

    Of the two sides the smaller patch, asked at its middle, knows better and weighs more.
    """
    corners, work = np.empty((4, 3)), np.empty((8, 3))
    count = c.shape[0]
    occluders = rects.shape[0] + boxes.shape[0] > 0
    diagonal = np.empty(count)
    for j in range(count):
        diagonal[j] = 2.0 * sqrt(
            u[j, 0] ** 2 + u[j, 1] ** 2 + u[j, 2] ** 2 + v[j, 0] ** 2 + v[j, 1] ** 2 + v[j, 2] ** 2
        )
    for i in range(start, stop):
        out[i, i] = 0.0
        for j in range(i + 1, count):
            out[i, j] = 0.0
            out[j, i] = 0.0
            if face[j] == face[i] or not live[i] or not live[j]:
                continue
            dx, dy, dz = c[j, 0] - c[i, 0], c[j, 1] - c[i, 1], c[j, 2] - c[i, 2]
            before = dx * n[i, 0] + dy * n[i, 1] + dz * n[i, 2]
            away = -(dx * n[j, 0] + dy * n[j, 1] + dz * n[j, 2])
            reach = (
                abs(u[j, 0] * n[i, 0] + u[j, 1] * n[i, 1] + u[j, 2] * n[i, 2])
                + abs(v[j, 0] * n[i, 0] + v[j, 1] * n[i, 1] + v[j, 2] * n[i, 2])
                + abs(w[j, 0] * n[i, 0] + w[j, 1] * n[i, 1] + w[j, 2] * n[i, 2])
            )
            if before + reach <= 1e-9:
                continue
            reach = (
                abs(u[i, 0] * n[j, 0] + u[i, 1] * n[j, 1] + u[i, 2] * n[j, 2])
                + abs(v[i, 0] * n[j, 0] + v[i, 1] * n[j, 1] + v[i, 2] * n[j, 2])
                + abs(w[i, 0] * n[j, 0] + w[i, 1] * n[j, 1] + w[i, 2] * n[j, 2])
            )
            if away + reach <= 1e-9:
                continue
            share = 1.0
            if occluders:
                share = _mutual_share(i, j, c, u, v, w, n, rects, boxes)
                if share == 0.0:
                    continue
            there = _from_patch(i, j, c, u, v, w, n, area, diagonal, corners, work) if away > 1e-9 else 0.0
            back = _from_patch(j, i, c, u, v, w, n, area, diagonal, corners, work) if before > 1e-9 else 0.0
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
    in_rows(
        _exchange_rows, p.count, p.centre, p.half_u, p.half_v, p.twist, p.normal, p.area, p.face, p.live,
        scene.rects, scene.boxes, factors,
        even=False,
    )  # fmt: skip
    scale = np.ones(p.count)
    for _ in range(12):
        sums = scale * (factors @ scale)
        seen = sums > 1e-9 * p.area
        ratio = np.where(seen, p.area / np.where(seen, sums, 1.0), 1.0)
        scale *= np.sqrt(ratio)
        if np.max(np.abs(ratio - 1)) < 1e-4:
            break
    factors *= (scale / p.area)[:, None]
    factors *= scale[None, :]
    return factors


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _point_rows(
    start: int, stop: int, points: Array, normals: Array, c: Array, u: Array, v: Array, w: Array, n: Array, live: Array,
    rects: Array, boxes: Array, out: Array,
) -> None:  # fmt: skip
    corners, work = np.empty((4, 3)), np.empty((8, 3))
    occluders = rects.shape[0] + boxes.shape[0] > 0
    for s in range(start, stop):
        px, py, pz = points[s, 0], points[s, 1], points[s, 2]
        nx, ny, nz = normals[s, 0], normals[s, 1], normals[s, 2]
        total = 0.0
        for j in range(c.shape[0]):
            out[s, j] = 0.0
            if not live[j]:
                continue
            dx, dy, dz = c[j, 0] - px, c[j, 1] - py, c[j, 2] - pz
            if dx * n[j, 0] + dy * n[j, 1] + dz * n[j, 2] >= -1e-12:
                continue
            reach = (
                abs(u[j, 0] * nx + u[j, 1] * ny + u[j, 2] * nz)
                + abs(v[j, 0] * nx + v[j, 1] * ny + v[j, 2] * nz)
                + abs(w[j, 0] * nx + w[j, 1] * ny + w[j, 2] * nz)
            )
            if dx * nx + dy * ny + dz * nz + reach <= 0.0:
                continue
            factor = _patch_factor(px, py, pz, nx, ny, nz, j, c, u, v, w, corners, work)
            if occluders and factor > 0.0:
                factor *= _seen_share(px, py, pz, nx, ny, nz, j, c, u, v, w, AT_SENSOR, rects, boxes)
            out[s, j] = factor
            total += factor
        if total > 0.0:
            for j in range(c.shape[0]):
                out[s, j] /= total


def point_factors(scene: Scene, patches: Patches, points: Array, normals: Array) -> Array:
    """Factors from points with normals to all patches (s, n), each row closed to 1."""
    p = patches
    out = np.empty((len(points), p.count))
    in_rows(
        _point_rows, len(points), points, normals, p.centre, p.half_u, p.half_v, p.twist, p.normal, p.live,
        scene.rects, scene.boxes, out,
    )  # fmt: skip
    return out
