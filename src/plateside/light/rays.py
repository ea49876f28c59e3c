"""Rays in the room and out of the window (numba kernels on a Scene's records).

clear_between   whether nothing stands between two points
window_exit     where a ray leaves through an aperture
sun_outside     what is left of the sun's light before it comes to the glass
look_out        where a ray ends outside, added up by sky node and by outside object
"""

from math import atan2, pi, sqrt

import numba

from plateside.light.kernels import lent
from plateside.light.records import Record, Records, Solids, Vector, ahead, between, dot
from plateside.light.sky_nodes import AZIMUTHS, ELEVATION_INDEX, ELEVATIONS_RAD
from plateside.model.light_answers import Array

TINY = 1e-9
DEEP, HALVES, EAVES, FACADES = 3, 2, 4, 4
"""A window's patches before the glass: each of the reveal's four sides (below, above, left, right) in depth and along,
then strips of the overhang outwards, then strips of the wall below it downwards."""
EAVE = 4 * DEEP * HALVES
FACADE = EAVE + EAVES
OUTWORKS = FACADE + FACADES
TWO_PI = 2.0 * pi


@numba.njit(cache=True, error_model="numpy", inline="always")
def _crosses_thin(p, d, thin, far):  # type: ignore[no-untyped-def]
    """Distance along the ray (in lengths of d) to a thin rectangle; `far` when it is not met before."""
    down = dot(d, thin.normal)
    if abs(down) < 1e-12:
        return far
    t = dot(between(p, thin.centre), thin.normal) / down
    if t <= 1e-6 or t >= far:
        return far
    at = between(thin.centre, ahead(p, t, d))
    if abs(dot(at, thin.u)) > thin.uu or abs(dot(at, thin.v)) > thin.vv:
        return far
    return t


@numba.njit(cache=True, error_model="numpy", inline="always")
def crosses_block(p, d, block, far):  # type: ignore[no-untyped-def]
    """Distance along the ray to where it enters a block, and the axis of the face; (far, -1) when it does not."""
    near, axis = -1e30, -1
    out = 1e30
    for i in range(3):
        x = p[0] if i == 0 else (p[1] if i == 1 else p[2])
        along = d[0] if i == 0 else (d[1] if i == 1 else d[2])
        if abs(along) < 1e-14:
            if x <= block.low[i] + 1e-9 or x >= block.high[i] - 1e-9:
                return far, -1
            continue
        a, b = (block.low[i] - x) / along, (block.high[i] - x) / along
        if a > b:
            a, b = b, a
        if a > near:
            near, axis = a, i
        out = min(out, b)
    if near >= out - 1e-9 or out <= 1e-6 or near >= far:
        return far, -1
    # A ray that starts inside (or on a face and goes in) is stopped at once.
    return max(near, 1e-7), axis


@lent
def clear_between(p: Vector, q: Vector, solids: Solids) -> bool:
    """Whether no table, board or block stands between P and Q (both may lie on one)."""
    d = between(p, q)
    end = 1.0 - 1e-6
    for k in range(solids.thin.size):
        if _crosses_thin(p, d, solids.thin[k], end) < end:
            return False
    for k in range(solids.blocks.size):  # noqa: SIM110 - numba
        if crosses_block(p, d, solids.blocks[k], end)[1] >= 0:
            return False
    return True


@lent
def window_exit(p: Vector, d: Vector, opening: Record) -> float:
    """Distance at which a ray passes through an aperture outwards; -1 when it does not."""
    out = dot(d, opening.outward)
    if out <= 1e-9:
        return -1.0
    t = dot(between(p, opening.corner), opening.outward) / out
    if t <= 0.0:
        return -1.0
    at = between(opening.corner, ahead(p, t, d))
    along = dot(at, opening.along)
    if along < 0.0 or along > opening.width or at[2] < 0.0 or at[2] > opening.height:
        return -1.0
    return float(t)


@numba.njit(cache=True, error_model="numpy", inline="always")
def _tunnel_or_overhang(p, d, out, opening):  # type: ignore[no-untyped-def]
    """From a point in the glass plane outwards: 0 free, 1 meets the reveal, 2 meets the overhang."""
    if opening.reveal > 0.0:
        at = between(opening.whole_corner, ahead(p, opening.reveal / out, d))
        along = dot(at, opening.along)
        if along < 0.0 or along > opening.whole_width or at[2] < 0.0 or at[2] > opening.whole_height:
            return 1
    if opening.overhang > 0.0 and d[2] > 0.0:
        t = (opening.plate - p[2]) / d[2]
        if t * out <= opening.reveal + opening.overhang:
            return 2
    return 0


@lent
def tunnel_patch(p: Vector, n: float, d: Vector, out: float, opening: Record) -> int:
    """Number of the reveal's patch that a ray meets from a point n metres outside the glass; -1: none."""
    reveal = opening.reveal
    if reveal <= 0.0:
        return -1
    corner, axis = opening.whole_corner, opening.along
    along = (p[0] - corner[0]) * axis[0] + (p[1] - corner[1]) * axis[1]
    sideways, height = d[0] * axis[0] + d[1] * axis[1], p[2] - corner[2]
    ta, tz = 1e30, 1e30
    if sideways < -1e-12:
        ta = -along / sideways
    elif sideways > 1e-12:
        ta = (opening.whole_width - along) / sideways
    if d[2] < -1e-12:
        tz = -height / d[2]
    elif d[2] > 1e-12:
        tz = (opening.whole_height - height) / d[2]
    t = max(min(ta, tz), 0.0)
    far = n + t * out
    if far >= reveal or far <= 0.0:
        return -1
    deep = min(int(far / reveal * DEEP), DEEP - 1)
    if ta <= tz:
        side, place = (2 if sideways < 0.0 else 3), (height + t * d[2]) / opening.whole_height
    else:
        side, place = (0 if d[2] < 0.0 else 1), (along + t * sideways) / opening.whole_width
    half = min(max(int(place * HALVES), 0), HALVES - 1)
    return (side * DEEP + deep) * HALVES + half


@lent
def eave_strip(z: float, n: float, rise: float, out: float, opening: Record) -> int:
    """Number of the overhang's strip that a rising ray meets from a point n metres outside the glass; -1: none."""
    if opening.overhang <= 0.0 or rise <= 0.0:
        return -1
    reach = opening.reveal + opening.overhang
    far = n + (opening.plate - z) / rise * out
    if far > reach:
        return -1
    return min(int(far / reach * EAVES), EAVES - 1)


@numba.njit(cache=True, error_model="numpy", inline="always")
def _meets_opposite(p, d, thing):  # type: ignore[no-untyped-def]
    """Whether the ray meets something opposite above the ground: share of its bearing range (0-1), else -1; -2 when
    the ground comes first."""
    flat = d[0] * d[0] + d[1] * d[1]
    if flat < 1e-18:
        return -1.0
    ox, oy = p[0] - thing.x, p[1] - thing.y
    b = ox * d[0] + oy * d[1]
    c = ox * ox + oy * oy - thing.radius * thing.radius
    disc = b * b - flat * c
    if c > 0.0 or disc < 0.0:
        return -1.0
    t = (-b + sqrt(disc)) / flat
    z = p[2] + t * d[2]
    if d[2] <= 0.0 and z < thing.ground:
        return -2.0
    if z >= thing.top:
        return -1.0
    turn = (atan2(ox + t * d[0], oy + t * d[1]) - thing.left) % TWO_PI
    if turn > thing.extent:
        return -1.0
    return turn / thing.extent


@lent
def sun_outside(p: Vector, d: Vector, out: float, opening: Record, opposite: Records) -> float:
    """Share of the sun's light that comes to a point of the glass from direction d."""
    if _tunnel_or_overhang(p, d, out, opening) != 0:
        return 0.0
    left = 1.0
    for k in range(opening.first_opposite, opening.end_opposite):
        if _meets_opposite(p, d, opposite[k]) >= 0.0:
            left *= opposite[k].see_through
            if left < TINY:
                return 0.0
    return left


@lent
def look_out(
    p: Vector,
    d: Vector,
    out: float,
    weight: float,
    opening: Record,
    opposite: Records,
    nodes: Array,
    objects: Array,
) -> None:
    """Follow a ray outwards from a point of the glass and add `weight` to the sky nodes and objects that it meets.

    d must have length 1. Sky nodes get bilinear shares, so that sum(nodes x luminance at the nodes) is the light
    of a sky drawn straight between them.
    """
    if opening.outworks >= 0:
        patch = tunnel_patch(p, 0.0, d, out, opening)
        if patch < 0:
            patch = eave_strip(p[2], 0.0, d[2], out, opening)
            if patch >= 0:
                patch += EAVE
        if patch >= 0:
            objects[opening.outworks + patch] += weight
            return
    for k in range(opening.first_opposite, opening.end_opposite):
        thing = opposite[k]
        share = _meets_opposite(p, d, thing)
        if share == -2.0:
            break
        if share >= 0.0:
            part = min(int(share * thing.things), thing.things - 1)
            objects[thing.first_thing + part] += weight * (1.0 - thing.see_through)
            weight *= thing.see_through
            if weight < TINY * TINY:
                return
    if d[2] <= 0.0:
        objects[opening.ground] += weight
        return
    elevation = atan2(d[2], sqrt(d[0] * d[0] + d[1] * d[1]))
    row = ELEVATION_INDEX[min(int(elevation * (360.0 / pi)), 179)]
    low, high = ELEVATIONS_RAD[row], ELEVATIONS_RAD[row + 1]
    up = (elevation - low) / (high - low)
    turn = (atan2(d[0], d[1]) % TWO_PI) * (AZIMUTHS / TWO_PI)
    column = int(turn)
    right = turn - column
    column = column % AZIMUTHS
    following = (column + 1) % AZIMUTHS
    nodes[row * AZIMUTHS + column] += weight * (1.0 - up) * (1.0 - right)
    nodes[row * AZIMUTHS + following] += weight * (1.0 - up) * right
    nodes[(row + 1) * AZIMUTHS + column] += weight * up * (1.0 - right)
    nodes[(row + 1) * AZIMUTHS + following] += weight * up * right
