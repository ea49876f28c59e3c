"""Direct sun at its exact place: on the sensors, and by its first meeting with the room.

The beam through each aperture is cut into cells; each cell's middle ray is followed to what it meets first (table,
boards, blocks, room). From there the sensor gets the first reflection straight (exactly, by the cell's own outline
when it is near) and all further ones by the importance of the patch that was met. Nothing is put into bins of sky or
time.
"""

from math import pi

import numba
import numpy as np

from plateside.light.answers import Array, IntArray
from plateside.light.form_factors import polygon_factor
from plateside.light.glass import through
from plateside.light.patches import Patches, patch_at
from plateside.light.rays import clear_between, first_hit, sun_outside, window_exit
from plateside.light.rows import in_rows
from plateside.light.scene import Scene

NEAR_CELLS = 3.0
"""A cell nearer to a sensor than so many of its own lengths is taken by its outline."""


@numba.njit(cache=True, nogil=True)
def _beam_rows(
    start: int, stop: int, suns: Array, grid: int, points: Array, normals: Array,
    size: Array, af: Array, ai: IntArray, of: Array,
    rc: Array, ru: Array, rv: Array, rn: Array, low: Array, high: Array,
    net_first: IntArray, net_offset: IntArray, net_values: Array, net_frame: Array,
    face_room: IntArray, face_rect: IntArray, face_block: IntArray,
    reflect: Array, onward: Array, sheet_which: IntArray, sheet_aperture: IntArray, centre: Array,
    half_u: Array, half_v: Array, sheet_gain: Array,
    out: Array, direct: Array,
) -> None:  # fmt: skip
    count, bands = points.shape[0], reflect.shape[1]
    corners, work = np.empty((4, 3)), np.empty((8, 3))
    for t in range(start, stop):
        sx, sy, sz = suns[t, 0], suns[t, 1], suns[t, 2]
        if sz <= 0.0:
            continue
        for w in range(af.shape[0]):
            outward = sx * af[w, 6] + sy * af[w, 7] + sz * af[w, 8]
            if outward <= 1e-6:
                continue
            passes = through(outward, af[w, 11], af[w, 12]) * af[w, 13]
            # A sheet glows where the sun strikes it.
            if ai[w, 2] == 1:
                for k in range(sheet_which.size):
                    if sheet_aperture[k] != w:
                        continue
                    i = sheet_which[k]
                    lit = 0.0
                    for q in range(9):
                        fa, fb = (q % 3 - 1) * 2.0 / 3.0, (q // 3 - 1) * 2.0 / 3.0
                        lit += sun_outside(
                            centre[i, 0] + fa * half_u[i, 0] + fb * half_v[i, 0],
                            centre[i, 1] + fa * half_u[i, 1] + fb * half_v[i, 1],
                            centre[i, 2] + fa * half_u[i, 2] + fb * half_v[i, 2],
                            sx, sy, sz, outward, af, ai, w, of,
                        ) / 9.0  # fmt: skip
                    lux = lit * passes * outward
                    if lux > 0.0:
                        for b in range(bands):
                            for s in range(count):
                                out[t, b, s] += lux * sheet_gain[k, b, s]
            clear = af[w, 14]
            if clear <= 0.0:
                continue
            # On the sensors themselves.
            lit, lx, ly, lz = 0.0, 1e30, 0.0, 0.0
            for s in range(count):
                facing = sx * normals[s, 0] + sy * normals[s, 1] + sz * normals[s, 2]
                if facing <= 0.0:
                    continue
                px, py, pz = points[s, 0], points[s, 1], points[s, 2]
                if px != lx or py != ly or pz != lz:
                    lit, lx, ly, lz = 0.0, px, py, pz
                    far = window_exit(px, py, pz, sx, sy, sz, af, w)
                    if far > 0.0:
                        qx, qy, qz = px + far * sx, py + far * sy, pz + far * sz
                        if clear_between(px, py, pz, qx, qy, qz, rc, ru, rv, rn, low, high):
                            lit = sun_outside(qx, qy, qz, sx, sy, sz, outward, af, ai, w, of)
                if lit > 0.0:
                    lux = facing * lit * passes * clear
                    direct[t, w, s] += lux
                    for b in range(bands):
                        out[t, b, s] += lux
            # Into the room.
            wide, tall = af[w, 9], af[w, 10]
            across = max(4, int(grid * min(1.0, wide / max(wide, tall)) + 0.5))
            upward = max(4, int(grid * min(1.0, tall / max(wide, tall)) + 0.5))
            cell_u, cell_v = wide / across, tall / upward
            for a in range(across):
                fu = (a + 0.5) * cell_u
                for c in range(upward):
                    qx, qy = af[w, 0] + fu * af[w, 3], af[w, 1] + fu * af[w, 4]
                    qz = af[w, 2] + fu * af[w, 5] + (c + 0.5) * cell_v
                    lit = sun_outside(qx, qy, qz, sx, sy, sz, outward, af, ai, w, of)
                    if lit <= 0.0:
                        continue
                    flux = lit * passes * clear * outward * cell_u * cell_v
                    far, kind, number = first_hit(qx, qy, qz, -sx, -sy, -sz, size, rc, ru, rv, rn, low, high)
                    hx, hy, hz = qx - far * sx, qy - far * sy, qz - far * sz
                    nx, ny, nz = 0.0, 0.0, 0.0
                    if kind == 0:
                        face = face_room[number]
                        if number == 0:
                            ny = -1.0
                        elif number == 1:
                            nx = -1.0
                        elif number == 2:
                            ny = 1.0
                        elif number == 3:
                            nx = 1.0
                        elif number == 4:
                            nz = 1.0
                        else:
                            nz = -1.0
                    elif kind == 3:
                        face = face_block[number]
                        if face < 0:
                            continue
                        axis, side = (number % 6) // 2, 1.0 if number % 2 else -1.0
                        if axis == 0:
                            nx = side
                        elif axis == 1:
                            ny = side
                        else:
                            nz = side
                    else:
                        side = 1.0 if kind == 1 else -1.0
                        face = face_rect[number, kind - 1]
                        nx, ny, nz = side * rn[number, 0], side * rn[number, 1], side * rn[number, 2]
                    i = patch_at(face, hx, hy, hz, net_first, net_offset, net_values, net_frame)
                    for b in range(bands):
                        for s in range(count):
                            out[t, b, s] += flux * onward[i, b, s]
                    falls = sx * nx + sy * ny + sz * nz
                    if falls <= 1e-6:
                        continue
                    # The cell's outline where it falls: its edges slid along the sun's rays to the plane.
                    slide_u = cell_u * (af[w, 3] * nx + af[w, 4] * ny + af[w, 5] * nz) / falls
                    slide_v = cell_v * nz / falls
                    ux, uy, uz = (
                        cell_u * af[w, 3] - slide_u * sx,
                        cell_u * af[w, 4] - slide_u * sy,
                        cell_u * af[w, 5] - slide_u * sz,
                    )
                    vx, vy, vz = -slide_v * sx, -slide_v * sy, cell_v - slide_v * sz
                    reach = max(ux * ux + uy * uy + uz * uz, vx * vx + vy * vy + vz * vz)
                    seen, lx, ly, lz = False, 1e30, 0.0, 0.0
                    for s in range(count):
                        px, py, pz = points[s, 0], points[s, 1], points[s, 2]
                        dx, dy, dz = hx - px, hy - py, hz - pz
                        at = dx * normals[s, 0] + dy * normals[s, 1] + dz * normals[s, 2]
                        back = -(dx * nx + dy * ny + dz * nz)
                        if back <= 1e-9:
                            continue
                        r2 = dx * dx + dy * dy + dz * dz
                        near = r2 < NEAR_CELLS * NEAR_CELLS * reach
                        if at <= 0.0 and not near:
                            continue
                        if px != lx or py != ly or pz != lz:
                            seen = clear_between(px, py, pz, hx, hy, hz, rc, ru, rv, rn, low, high)
                            lx, ly, lz = px, py, pz
                        if not seen:
                            continue
                        if near:
                            for k in range(4):
                                fa = 0.5 if k == 1 or k == 2 else -0.5
                                fb = 0.5 if k >= 2 else -0.5
                                corners[k, 0] = hx + fa * ux + fb * vx
                                corners[k, 1] = hy + fa * uy + fb * vy
                                corners[k, 2] = hz + fa * uz + fb * vz
                            area = cell_u * cell_v * outward / falls
                            factor = (
                                polygon_factor(
                                    px, py, pz, normals[s, 0], normals[s, 1], normals[s, 2], corners, 4, work
                                )
                                / area
                            )
                        else:
                            factor = at * back / (pi * r2 * r2)
                        for b in range(bands):
                            out[t, b, s] += flux * reflect[i, b] * factor


def sun_response(
    scene: Scene, patches: Patches, suns: Array, points: Array, normals: Array, reflect: Array, onward: Array,
    sheet_which: IntArray, sheet_gain: Array, grid: int,
) -> tuple[Array, Array]:  # fmt: skip
    """Light on sensors for each lux of direct normal sun.

    suns        unit vectors to the sun, room's coordinates (t, 3)
    reflect     patches' reflectance by band (n, b)
    onward      what a sensor gets, from the second reflection on, for each lumen that falls on a patch (n, b, s)
    sheet_gain  what a sensor gets for each lux that comes to a sheet's patch (m, b, s)
    grid        cells along the longer edge of an aperture
    Gives all light (t, b, s) and the part that comes straight, by aperture (t, a, s).
    """
    p = patches
    out = np.zeros((len(suns), reflect.shape[1], len(points)))
    direct = np.zeros((len(suns), len(scene.aperture_f), len(points)))
    in_rows(
        _beam_rows, len(suns), suns, grid, points, normals, scene.size, scene.aperture_f, scene.aperture_i,
        scene.opposite_f, scene.rect_centre, scene.rect_u, scene.rect_v, scene.rect_normal, scene.block_low,
        scene.block_high, p.net_first, p.net_offset, p.net_values, p.net_frame, p.face_of_room, p.face_of_rect,
        p.face_of_block, reflect, onward, sheet_which, p.aperture[sheet_which], p.centre, p.half_u, p.half_v,
        sheet_gain, out, direct, even=False,
    )  # fmt: skip
    return out, direct
