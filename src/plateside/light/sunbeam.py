"""Direct sun at its exact place: on the sensors, and by its first meeting with the room.

The beam through each aperture is cut into cells; a ray of each is followed to what it meets first (table,
boards, blocks, room). From there the sensor gets the first reflection straight
(by the cell's own outline when it is near) and all further ones by the importance of the patch that was met. Nothing
is put into bins of sky or time.
"""

from math import pi, sqrt

import numba
import numpy as np

from plateside.light.form_factors import edge_vector, polygon_factor
from plateside.light.glass import through
from plateside.light.patches import Patches, patch_at
from plateside.light.rays import clear_between, first_hit, sun_outside, window_exit
from plateside.light.rows import in_rows
from plateside.light.scene import Scene
from plateside.model.light_answers import Array, IntArray

STAGGER = (0.5 + np.arange(256) * 0.6180339887498949) % 1.0
"""Places within a cell, evenly spread however many are taken (golden section)."""
SPLIT_M = 0.3
"""Cells of the beam that pass the dish nearer are cut once more when asked."""
NEAR_CELLS = 2.0
"""A cell nearer to a sensor than so many of its own lengths is taken by its outline."""


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _beam_rows(
    start: int, stop: int, suns: Array, wanted: int, split: int, points: Array, normals: Array,
    size: Array, af: Array, ai: IntArray, of: Array,
    rects: Array, boxes: Array,
    net_first: IntArray, net_offset: IntArray, net_values: Array, net_frame: Array,
    face_room: IntArray, face_rect: IntArray, face_block: IntArray,
    reflect: Array, onward: Array, sheet_which: IntArray, sheet_aperture: IntArray, centre: Array,
    half_u: Array, half_v: Array, sheet_gain: Array, groups: IntArray,
    out: Array, direct: Array,
) -> None:  # fmt: skip
    count, bands = points.shape[0], reflect.shape[1]
    corners, work, whole = np.empty((4, 3)), np.empty((8, 3)), np.empty(3)
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
                        if clear_between(px, py, pz, qx, qy, qz, rects, boxes):
                            lit = sun_outside(qx, qy, qz, sx, sy, sz, outward, af, ai, w, of)
                if lit > 0.0:
                    lux = facing * lit * passes * clear
                    direct[t, w, s] += lux
                    for b in range(bands):
                        out[t, b, s] += lux
            # Into the room: the part of the opening that reveal and overhang leave in the sun, cut into cells.
            left, right, bottom, top = 0.0, af[w, 9], 0.0, af[w, 10]
            reveal, depth = af[w, 21], af[w, 22]
            if reveal > 0.0:
                shift = reveal / outward
                sideways = shift * (sx * af[w, 3] + sy * af[w, 4])
                whole_u = (af[w, 16] - af[w, 0]) * af[w, 3] + (af[w, 17] - af[w, 1]) * af[w, 4]
                whole_v = af[w, 18] - af[w, 2]
                left, right = max(left, whole_u - sideways), min(right, whole_u + af[w, 19] - sideways)
                bottom, top = max(bottom, whole_v - shift * sz), min(top, whole_v + af[w, 20] - shift * sz)
            if depth > 0.0:
                top = min(top, af[w, 23] - (reveal + depth) / outward * sz - af[w, 2])
            if right - left < 1e-9 or top - bottom < 1e-9:
                continue
            wide, tall = right - left, top - bottom
            cell = sqrt(af[w, 9] * af[w, 10] / wanted)
            across, upward = max(2, int(wide / cell + 0.5)), max(2, int(tall / cell + 0.5))
            for q in range(across * upward):
                a, c = q // upward, q % upward
                # Each cell is asked at its own place, so that no straight edge falls between two rows. In the part of
                # the beam that passes near the dish it is cut once more, so that shadows' edges lie where they should.
                at_u, at_v = STAGGER[c % STAGGER.size], STAGGER[a % STAGGER.size]
                cell_u, cell_v = wide / across, tall / upward
                corner_u, corner_v = left + a * cell_u, bottom + c * cell_v
                pieces = 1
                if split > 1:
                    fu = corner_u + 0.5 * cell_u
                    qx, qy = af[w, 0] + fu * af[w, 3], af[w, 1] + fu * af[w, 4]
                    qz = af[w, 2] + corner_v + 0.5 * cell_v
                    for g in range(min(2, groups.size - 1)):
                        dx, dy, dz = (
                            points[groups[g], 0] - qx,
                            points[groups[g], 1] - qy,
                            points[groups[g], 2] - qz,
                        )
                        back = dx * sx + dy * sy + dz * sz
                        if dx * dx + dy * dy + dz * dz - back * back < SPLIT_M * SPLIT_M:
                            pieces = split * split
                    if pieces > 1:
                        cell_u, cell_v = cell_u / split, cell_v / split
                for piece in range(pieces):
                    a, c = piece // split, piece % split
                    if pieces > 1:
                        at_u, at_v = STAGGER[c % STAGGER.size], STAGGER[a % STAGGER.size]
                    fu, fv = corner_u + (a + at_u) * cell_u, corner_v + (c + at_v) * cell_v
                    qx, qy, qz = af[w, 0] + fu * af[w, 3], af[w, 1] + fu * af[w, 4], af[w, 2] + fv
                    lit = 1.0
                    if ai[w, 4] > ai[w, 3]:
                        lit = sun_outside(qx, qy, qz, sx, sy, sz, outward, af, ai, w, of)
                        if lit <= 0.0:
                            continue
                    far, kind, number = first_hit(qx, qy, qz, -sx, -sy, -sz, size, rects, boxes)
                    hx, hy, hz = qx - far * sx, qy - far * sy, qz - far * sz
                    flux = lit * passes * clear * outward * cell_u * cell_v
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
                        nx, ny, nz = (
                            side * rects[number, 9],
                            side * rects[number, 10],
                            side * rects[number, 11],
                        )
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
                    for k in range(4):
                        fa = (1.0 if k == 1 or k == 2 else 0.0) - at_u
                        fb = (1.0 if k >= 2 else 0.0) - at_v
                        corners[k, 0] = hx + fa * ux + fb * vx
                        corners[k, 1] = hy + fa * uy + fb * vy
                        corners[k, 2] = hz + fa * uz + fb * vz
                    hx += (0.5 - at_u) * ux + (0.5 - at_v) * vx
                    hy += (0.5 - at_u) * uy + (0.5 - at_v) * vy
                    hz += (0.5 - at_u) * uz + (0.5 - at_v) * vz
                    # Sensors at one place share all but their normals.
                    for g in range(groups.size - 1):
                        px, py, pz = points[groups[g], 0], points[groups[g], 1], points[groups[g], 2]
                        dx, dy, dz = hx - px, hy - py, hz - pz
                        back = -(dx * nx + dy * ny + dz * nz)
                        if back <= 1e-9:
                            continue
                        if groups[g + 1] - groups[g] == 1:
                            # One sensor alone here: nothing to do when the cell is wholly behind it.
                            s, front = groups[g], 0
                            for k in range(4):
                                at = (corners[k, 0] - px) * normals[s, 0] + (corners[k, 1] - py) * normals[
                                    s, 1
                                ]
                                if at + (corners[k, 2] - pz) * normals[s, 2] > 0.0:
                                    front += 1
                            if front == 0:
                                continue
                        if not clear_between(px, py, pz, hx, hy, hz, rects, boxes):
                            continue
                        r2 = dx * dx + dy * dy + dz * dz
                        if r2 > NEAR_CELLS * NEAR_CELLS * reach:
                            share = flux * back / (pi * r2 * r2)
                            for s in range(groups[g], groups[g + 1]):
                                at = dx * normals[s, 0] + dy * normals[s, 1] + dz * normals[s, 2]
                                if at > 0.0:
                                    for b in range(bands):
                                        out[t, b, s] += share * at * reflect[i, b]
                            continue
                        share = flux * falls / (cell_u * cell_v * outward)
                        edge_vector(px, py, pz, corners, 4, whole)
                        for s in range(groups[g], groups[g + 1]):
                            front, behind = 0, 0
                            for k in range(4):
                                at = (
                                    (corners[k, 0] - px) * normals[s, 0]
                                    + (corners[k, 1] - py) * normals[s, 1]
                                    + (corners[k, 2] - pz) * normals[s, 2]
                                )
                                if at >= 0.0:
                                    front += 1
                                else:
                                    behind += 1
                            if front == 0:
                                continue
                            if behind == 0:
                                factor = abs(
                                    whole[0] * normals[s, 0]
                                    + whole[1] * normals[s, 1]
                                    + whole[2] * normals[s, 2]
                                )
                            else:
                                factor = polygon_factor(
                                    px, py, pz, normals[s, 0], normals[s, 1], normals[s, 2], corners, 4, work
                                )
                            for b in range(bands):
                                out[t, b, s] += share * factor * reflect[i, b]


def sun_response(
    scene: Scene, patches: Patches, suns: Array, points: Array, normals: Array, reflect: Array, onward: Array,
    sheet_which: IntArray, sheet_gain: Array, wanted: int, split: int,
) -> tuple[Array, Array]:  # fmt: skip
    """Light on sensors for each lux of direct normal sun.

    suns        unit vectors to the sun, room's coordinates (t, 3)
    reflect     patches' reflectance by band (n, b)
    onward      what a sensor gets, from the second reflection on, for each lumen that falls on a patch (n, b, s)
    sheet_gain  what a sensor gets for each lux that comes to a sheet's patch (m, b, s)
    wanted      cells of the beam through an aperture, about
    split       cells near a sensor are cut into so many squared
    Gives all light (t, b, s) and the part that comes straight, by aperture (t, a, s).
    """
    p = patches
    out = np.zeros((len(suns), reflect.shape[1], len(points)))
    direct = np.zeros((len(suns), len(scene.aperture_f), len(points)))
    in_rows(
        _beam_rows, len(suns), suns, wanted, split, points, normals, scene.size, scene.aperture_f, scene.aperture_i,
        scene.opposite_f, scene.rects, scene.boxes, p.net_first, p.net_offset, p.net_values, p.net_frame,
        p.face_of_room, p.face_of_rect, p.face_of_block, reflect, onward, sheet_which, p.aperture[sheet_which],
        p.centre, p.half_u, p.half_v, sheet_gain, _groups(points), out, direct, even=False,
    )  # fmt: skip
    return out, direct


def _groups(points: Array) -> IntArray:
    """Where each run of sensors at one place begins, and the end."""
    new = np.any(points[1:] != points[:-1], axis=1)
    return np.concatenate([[0], np.flatnonzero(new) + 1, [len(points)]]).astype(np.int64)
