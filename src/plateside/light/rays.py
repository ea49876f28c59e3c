"""Rays in the room and out of the window (numba kernels on a Scene's arrays).

clear_between   whether nothing stands between two points
first_hit       what a ray meets first in the room
window_exit     where a ray leaves through an aperture
sun_outside     what is left of the sun's light before it comes to the glass
look_out        where a ray ends outside, added up by sky node and by outside object
"""

from math import atan2, pi, sqrt

import numba

from plateside.light.sky_nodes import AZIMUTHS, ELEVATION_INDEX, ELEVATIONS_RAD
from plateside.model.light_answers import Array, IntArray

TINY = 1e-9
DEEP, HALVES, EAVES, FACADES = 3, 2, 4, 4
"""A window's patches before the glass: each of the reveal's four sides (below, above, left, right) in depth and along,
then strips of the overhang outwards, then strips of the wall below it downwards."""
EAVE = 4 * DEEP * HALVES
FACADE = EAVE + EAVES
OUTWORKS = FACADE + FACADES
TWO_PI = 2.0 * pi


@numba.njit(cache=True, error_model="numpy", inline="always")
def _crosses_rect(px, py, pz, dx, dy, dz, rects, k, far):  # type: ignore[no-untyped-def]
    """Distance along the ray (in lengths of d) to thin rectangle k; `far` when it is not met before."""
    nx, ny, nz = rects[k, 9], rects[k, 10], rects[k, 11]
    down = dx * nx + dy * ny + dz * nz
    if abs(down) < 1e-12:
        return far
    cx, cy, cz = rects[k, 0], rects[k, 1], rects[k, 2]
    t = ((cx - px) * nx + (cy - py) * ny + (cz - pz) * nz) / down
    if t <= 1e-6 or t >= far:
        return far
    x, y, z = px + t * dx - cx, py + t * dy - cy, pz + t * dz - cz
    if abs(x * rects[k, 3] + y * rects[k, 4] + z * rects[k, 5]) > rects[k, 12]:
        return far
    if abs(x * rects[k, 6] + y * rects[k, 7] + z * rects[k, 8]) > rects[k, 13]:
        return far
    return t


@numba.njit(cache=True, error_model="numpy", inline="always")
def _crosses_block(px, py, pz, dx, dy, dz, boxes, k, far):  # type: ignore[no-untyped-def]
    """Distance along the ray to where it enters box k, and the axis of the face; (far, -1) when it does not."""
    near, axis = -1e30, -1
    out = 1e30
    for i in range(3):
        p = px if i == 0 else (py if i == 1 else pz)
        d = dx if i == 0 else (dy if i == 1 else dz)
        if abs(d) < 1e-14:
            if p <= boxes[k, i] + 1e-9 or p >= boxes[k, 3 + i] - 1e-9:
                return far, -1
            continue
        a, b = (boxes[k, i] - p) / d, (boxes[k, 3 + i] - p) / d
        if a > b:
            a, b = b, a
        if a > near:
            near, axis = a, i
        out = min(out, b)
    if near >= out - 1e-9 or out <= 1e-6 or near >= far:
        return far, -1
    # A ray that starts inside (or on a face and goes in) is stopped at once.
    return max(near, 1e-7), axis


@numba.njit(cache=True, nogil=True, error_model="numpy")
def clear_between(
    px: float, py: float, pz: float, qx: float, qy: float, qz: float,
    rects: Array, boxes: Array,
) -> bool:  # fmt: skip
    """Whether no table, board or block stands between P and Q (both may lie on one)."""
    dx, dy, dz = qx - px, qy - py, qz - pz
    end = 1.0 - 1e-6
    for k in range(rects.shape[0]):
        if _crosses_rect(px, py, pz, dx, dy, dz, rects, k, end) < end:
            return False
    for k in range(boxes.shape[0]):  # noqa: SIM110 - numba
        if _crosses_block(px, py, pz, dx, dy, dz, boxes, k, end)[1] >= 0:
            return False
    return True


@numba.njit(cache=True, nogil=True, error_model="numpy")
def first_hit(
    px: float, py: float, pz: float, dx: float, dy: float, dz: float,
    size: Array, rects: Array, boxes: Array,
) -> tuple[float, int, int]:  # fmt: skip
    """Distance, kind and number of what the ray meets first.

    kind 0 a surface of the room (number as in scene.SURFACES), 1 the front face of a thin rectangle, 2 its back
    face, 3 a block (number: 6 x block + 2 x axis + (1 for the high face)).
    """
    best, kind, number = 1e30, 0, 0
    for i in range(3):
        p = px if i == 0 else (py if i == 1 else pz)
        d = dx if i == 0 else (dy if i == 1 else dz)
        if abs(d) < 1e-14:
            continue
        t = ((size[i] if d > 0 else 0.0) - p) / d
        if 1e-9 < t < best:
            best = t
            if i == 0:
                number = 1 if d > 0 else 3
            elif i == 1:
                number = 0 if d > 0 else 2
            else:
                number = 5 if d > 0 else 4
    for k in range(rects.shape[0]):
        t = _crosses_rect(px, py, pz, dx, dy, dz, rects, k, best)
        if t < best:
            best, number = t, k
            kind = 1 if dx * rects[k, 9] + dy * rects[k, 10] + dz * rects[k, 11] < 0 else 2
    for k in range(boxes.shape[0]):
        t, axis = _crosses_block(px, py, pz, dx, dy, dz, boxes, k, best)
        if axis >= 0 and t < best:
            d = dx if axis == 0 else (dy if axis == 1 else dz)
            best, kind, number = t, 3, 6 * k + 2 * axis + (0 if d > 0 else 1)
    return best, kind, number


@numba.njit(cache=True, nogil=True, error_model="numpy")
def window_exit(px: float, py: float, pz: float, dx: float, dy: float, dz: float, af: Array, w: int) -> float:
    """Distance at which a ray passes through aperture w outwards; -1 when it does not."""
    out = dx * af[w, 6] + dy * af[w, 7] + dz * af[w, 8]
    if out <= 1e-9:
        return -1.0
    t = ((af[w, 0] - px) * af[w, 6] + (af[w, 1] - py) * af[w, 7] + (af[w, 2] - pz) * af[w, 8]) / out
    if t <= 0.0:
        return -1.0
    x, y, z = px + t * dx - af[w, 0], py + t * dy - af[w, 1], pz + t * dz - af[w, 2]
    along = x * af[w, 3] + y * af[w, 4] + z * af[w, 5]
    if along < 0.0 or along > af[w, 9] or z < 0.0 or z > af[w, 10]:
        return -1.0
    return float(t)


@numba.njit(cache=True, error_model="numpy", inline="always")
def _tunnel_or_overhang(px, py, pz, dx, dy, dz, out, af, w):  # type: ignore[no-untyped-def]
    """From a point in the glass plane outwards: 0 free, 1 meets the reveal, 2 meets the overhang."""
    reveal, depth = af[w, 21], af[w, 22]
    if reveal > 0.0:
        t = reveal / out
        x, y, z = px + t * dx - af[w, 16], py + t * dy - af[w, 17], pz + t * dz - af[w, 18]
        along = x * af[w, 3] + y * af[w, 4] + z * af[w, 5]
        if along < 0.0 or along > af[w, 19] or z < 0.0 or z > af[w, 20]:
            return 1
    if depth > 0.0 and dz > 0.0:
        t = (af[w, 23] - pz) / dz
        if t * out <= reveal + depth:
            return 2
    return 0


@numba.njit(cache=True, nogil=True, error_model="numpy")
def tunnel_patch(
    px: float, py: float, pz: float, n: float, dx: float, dy: float, dz: float, out: float, af: Array, w: int
) -> int:  # fmt: skip
    """Number of the reveal's patch that a ray meets from a point n metres outside the glass; -1: none."""
    reveal = af[w, 21]
    if reveal <= 0.0:
        return -1
    along = (px - af[w, 16]) * af[w, 3] + (py - af[w, 17]) * af[w, 4]
    sideways, height = dx * af[w, 3] + dy * af[w, 4], pz - af[w, 18]
    ta, tz = 1e30, 1e30
    if sideways < -1e-12:
        ta = -along / sideways
    elif sideways > 1e-12:
        ta = (af[w, 19] - along) / sideways
    if dz < -1e-12:
        tz = -height / dz
    elif dz > 1e-12:
        tz = (af[w, 20] - height) / dz
    t = max(min(ta, tz), 0.0)
    far = n + t * out
    if far >= reveal or far <= 0.0:
        return -1
    deep = min(int(far / reveal * DEEP), DEEP - 1)
    if ta <= tz:
        side, place = (2 if sideways < 0.0 else 3), (height + t * dz) / af[w, 20]
    else:
        side, place = (0 if dz < 0.0 else 1), (along + t * sideways) / af[w, 19]
    half = min(max(int(place * HALVES), 0), HALVES - 1)
    return (side * DEEP + deep) * HALVES + half


@numba.njit(cache=True, nogil=True, error_model="numpy")
def eave_strip(
    pz: float, n: float, dz: float, out: float, reveal: float, depth: float, plate: float
) -> int:  # fmt: skip
    """Number of the overhang's strip that a rising ray meets from a point n metres outside the glass; -1: none."""
    if depth <= 0.0 or dz <= 0.0:
        return -1
    far = n + (plate - pz) / dz * out
    if far > reveal + depth:
        return -1
    return min(int(far / (reveal + depth) * EAVES), EAVES - 1)


@numba.njit(cache=True, error_model="numpy", inline="always")
def _meets_opposite(px, py, pz, dx, dy, dz, of, k):  # type: ignore[no-untyped-def]
    """Whether the ray meets opposite k above the ground: share of its bearing range (0-1), else -1; -2 when the
    ground comes first."""
    flat = dx * dx + dy * dy
    if flat < 1e-18:
        return -1.0
    ox, oy = px - of[k, 0], py - of[k, 1]
    b = ox * dx + oy * dy
    c = ox * ox + oy * oy - of[k, 2] * of[k, 2]
    disc = b * b - flat * c
    if c > 0.0 or disc < 0.0:
        return -1.0
    t = (-b + sqrt(disc)) / flat
    z = pz + t * dz
    if dz <= 0.0 and z < of[k, 7]:
        return -2.0
    if z >= of[k, 5]:
        return -1.0
    turn = (atan2(ox + t * dx, oy + t * dy) - of[k, 3]) % TWO_PI
    if turn > of[k, 4]:
        return -1.0
    return turn / of[k, 4]


@numba.njit(cache=True, nogil=True, error_model="numpy")
def sun_outside(
    px: float, py: float, pz: float, dx: float, dy: float, dz: float, out: float,
    af: Array, ai: IntArray, w: int, of: Array,
) -> float:  # fmt: skip
    """Share of the sun's light that comes to a point of the glass from direction d."""
    if _tunnel_or_overhang(px, py, pz, dx, dy, dz, out, af, w) != 0:
        return 0.0
    left = 1.0
    for k in range(ai[w, 3], ai[w, 4]):
        if _meets_opposite(px, py, pz, dx, dy, dz, of, k) >= 0.0:
            left *= of[k, 6]
            if left < TINY:
                return 0.0
    return left


@numba.njit(cache=True, nogil=True, error_model="numpy")
def look_out(
    px: float, py: float, pz: float, dx: float, dy: float, dz: float, out: float, weight: float,
    af: Array, ai: IntArray, w: int, of: Array, oi: IntArray, nodes: Array, objects: Array,
) -> None:  # fmt: skip
    """Follow a ray outwards from a point of the glass and add `weight` to the sky nodes and objects that it meets.

    d must have length 1. Sky nodes get bilinear shares, so that sum(nodes x luminance at the nodes) is the light
    of a sky drawn straight between them.
    """
    if ai[w, 8] >= 0:
        patch = tunnel_patch(px, py, pz, 0.0, dx, dy, dz, out, af, w)
        if patch < 0:
            patch = eave_strip(pz, 0.0, dz, out, af[w, 21], af[w, 22], af[w, 23])
            if patch >= 0:
                patch += EAVE
        if patch >= 0:
            objects[ai[w, 8] + patch] += weight
            return
    for k in range(ai[w, 3], ai[w, 4]):
        share = _meets_opposite(px, py, pz, dx, dy, dz, of, k)
        if share == -2.0:
            break
        if share >= 0.0:
            part = min(int(share * oi[k, 1]), oi[k, 1] - 1)
            objects[oi[k, 0] + part] += weight * (1.0 - of[k, 6])
            weight *= of[k, 6]
            if weight < TINY * TINY:
                return
    if dz <= 0.0:
        objects[ai[w, 5]] += weight
        return
    elevation = atan2(dz, sqrt(dx * dx + dy * dy))
    row = ELEVATION_INDEX[min(int(elevation * (360.0 / pi)), 179)]
    low, high = ELEVATIONS_RAD[row], ELEVATIONS_RAD[row + 1]
    up = (elevation - low) / (high - low)
    turn = (atan2(dx, dy) % TWO_PI) * (AZIMUTHS / TWO_PI)
    column = int(turn)
    right = turn - column
    column = column % AZIMUTHS
    following = (column + 1) % AZIMUTHS
    nodes[row * AZIMUTHS + column] += weight * (1.0 - up) * (1.0 - right)
    nodes[row * AZIMUTHS + following] += weight * (1.0 - up) * right
    nodes[(row + 1) * AZIMUTHS + column] += weight * up * (1.0 - right)
    nodes[(row + 1) * AZIMUTHS + following] += weight * up * right
