"""What many rays of one direction meet first in the room, and which places a point sees (numba kernels).

The rays go through each step together, an array for each figure, without a jump in the inner loops: so the processor
takes several rays at once. All that the direction alone decides is found once, before.

follow      the face that each ray meets first, and how far off
look_round  which places a point sees
"""

from math import inf

import numba

from plateside.light.kernels import lent
from plateside.light.rays import crosses_block
from plateside.light.records import Nets, Record, Solids, Vector, between, dot
from plateside.model.light_answers import Array, IntArray


@lent
def follow(
    d: Vector, x: Array, y: Array, z: Array, count: int, solids: Solids, nets: Nets, far: Array, face: IntArray
) -> None:  # fmt: skip
    """Face (-1: none that can be seen) and distance of what rays from inside the room meet first."""
    _to_the_room(d, x, y, z, count, solids.size, nets.of_room, far, face)
    for i in range(solids.thin.size):
        thin = solids.thin[i]
        down = dot(d, thin.normal)
        if abs(down) >= 1e-12:
            _to_thin(d, x, y, z, count, thin, nets.of_thin[i, 0 if down < 0.0 else 1], far, face)
    for i in range(solids.blocks.size):
        block = solids.blocks[i]
        _to_block(d, x, y, z, count, block, nets.of_block[6 * i : 6 * i + 6], far, face)


@lent
def _to_the_room(
    d: Vector, x: Array, y: Array, z: Array, count: int, size: Array, faces: IntArray, far: Array, face: IntArray
) -> None:  # fmt: skip
    # along an axis on which nothing moves a surface is never met
    dx, dy, dz = _or_endless(d[0]), _or_endless(d[1]), _or_endless(d[2])
    to_x, to_y, to_z = size[0] if dx > 0 else 0.0, size[1] if dy > 0 else 0.0, size[2] if dz > 0 else 0.0
    first = faces[0]
    face_x, face_y, face_z = faces[1 if dx > 0 else 3], faces[0 if dy > 0 else 2], faces[5 if dz > 0 else 4]
    for k in range(count):
        a, b, c = (to_x - x[k]) / dx, (to_y - y[k]) / dy, (to_z - z[k]) / dz
        best = a if a > 1e-9 else 1e30
        met = face_x if a > 1e-9 else first
        nearer = (b > 1e-9) & (b < best)
        best, met = b if nearer else best, face_y if nearer else met
        nearer = (c > 1e-9) & (c < best)
        far[k], face[k] = c if nearer else best, face_z if nearer else met


@lent
def _to_thin(
    d: Vector, x: Array, y: Array, z: Array, count: int, thin: Record, its_face: int, far: Array, face: IntArray
) -> None:  # fmt: skip
    cx, cy, cz = thin.centre[0], thin.centre[1], thin.centre[2]
    nx, ny, nz = thin.normal[0], thin.normal[1], thin.normal[2]
    ux, uy, uz, vx, vy, vz = thin.u[0], thin.u[1], thin.u[2], thin.v[0], thin.v[1], thin.v[2]
    dx, dy, dz = d
    down, uu, vv = dot(d, thin.normal), thin.uu, thin.vv
    for k in range(count):
        t = ((cx - x[k]) * nx + (cy - y[k]) * ny + (cz - z[k]) * nz) / down
        px, py, pz = x[k] + t * dx - cx, y[k] + t * dy - cy, z[k] + t * dz - cz
        u, v = abs(px * ux + py * uy + pz * uz), abs(px * vx + py * vy + pz * vz)
        met = (t > 1e-6) & (t < far[k]) & (u <= uu) & (v <= vv)
        far[k], face[k] = t if met else far[k], its_face if met else face[k]


@lent
def _to_block(
    d: Vector, x: Array, y: Array, z: Array, count: int, block: Record, faces: IntArray, far: Array, face: IntArray
) -> None:  # fmt: skip
    dx, low_x, high_x, in_x, out_x, face_x = _slab(d[0], block.low[0], block.high[0], faces[0], faces[1])
    dy, low_y, high_y, in_y, out_y, face_y = _slab(d[1], block.low[1], block.high[1], faces[2], faces[3])
    dz, low_z, high_z, in_z, out_z, face_z = _slab(d[2], block.low[2], block.high[2], faces[4], faces[5])
    for k in range(count):
        within = (x[k] > low_x) & (x[k] < high_x) & (y[k] > low_y) & (y[k] < high_y)
        within &= (z[k] > low_z) & (z[k] < high_z)
        near, met = (in_x - x[k]) / dx, face_x
        a, b = (in_y - y[k]) / dy, (in_z - z[k]) / dz
        near, met = a if a > near else near, face_y if a > near else met
        near, met = b if b > near else near, face_z if b > near else met
        out, a, b = (out_x - x[k]) / dx, (out_y - y[k]) / dy, (out_z - z[k]) / dz
        out = a if a < out else out
        out = b if b < out else out
        # A ray that starts inside (or on a face and goes in) is stopped at once.
        t = near if near > 1e-7 else 1e-7
        hit = within & (near < out - 1e-9) & (out > 1e-6) & (near < far[k]) & (t < far[k])
        far[k], face[k] = t if hit else far[k], met if hit else face[k]


@numba.njit(cache=True, error_model="numpy", inline="always")
def _or_endless(along):  # type: ignore[no-untyped-def]
    return along if abs(along) >= 1e-14 else inf


@numba.njit(cache=True, error_model="numpy", inline="always")
def _slab(along, low, high, low_face, high_face):  # type: ignore[no-untyped-def]
    """Of a block along one axis: how fast a ray moves, between which places it must lie when it does not move, where it
    goes in and out, by which face."""
    if abs(along) < 1e-14:
        return 1.0, low + 1e-9, high - 1e-9, -inf, inf, low_face
    if along > 0.0:
        return along, -inf, inf, low, high, low_face
    return along, -inf, inf, high, low, high_face


@lent
def look_round(
    p: Vector, x: Array, y: Array, z: Array, count: int, solids: Solids, clear: Array
) -> None:  # fmt: skip
    """1 for the places between which and P no table, board or block stands, else 0 (all may lie on one)."""
    for k in range(count):
        clear[k] = 1.0
    for i in range(solids.thin.size):
        _behind_thin(p, x, y, z, count, solids.thin[i], clear)
    for i in range(solids.blocks.size):
        block = solids.blocks[i]
        for k in range(count):
            if clear[k] > 0.0:
                d = between(p, (x[k], y[k], z[k]))
                if crosses_block(p, d, block, END)[1] >= 0:
                    clear[k] = 0.0


END = 1.0 - 1e-6
"""Of the way to a place: what stands there itself is not between."""


@lent
def _behind_thin(p: Vector, x: Array, y: Array, z: Array, count: int, thin: Record, clear: Array) -> None:
    nx, ny, nz = thin.normal[0], thin.normal[1], thin.normal[2]
    ux, uy, uz, vx, vy, vz = thin.u[0], thin.u[1], thin.u[2], thin.v[0], thin.v[1], thin.v[2]
    to = between(p, thin.centre)
    above, uu, vv = dot(to, thin.normal), thin.uu, thin.vv
    for k in range(count):
        dx, dy, dz = x[k] - p[0], y[k] - p[1], z[k] - p[2]
        down = dx * nx + dy * ny + dz * nz
        t = above / down
        ax, ay, az = t * dx - to[0], t * dy - to[1], t * dz - to[2]
        u, v = abs(ax * ux + ay * uy + az * uz), abs(ax * vx + ay * vy + az * vz)
        met = (abs(down) >= 1e-12) & (t > 1e-6) & (t < END) & (u <= uu) & (v <= vv)
        clear[k] = 0.0 if met else clear[k]
