"""Light from outside on sensors and patches, by sky node and outside object (daylight coefficients).

sensor_coefficients   what sensors get straight through the bare (or clear) part of the apertures
patch_coefficients    what every patch gets likewise
sheet_coefficients    what reaches every patch of a hung sheet through the glass

Each is a matrix of [lx per cd/m2]: rows are receivers, columns first the NODES of the sky, then the outside objects.
"""

from math import cos, pi, sin, sqrt

import numba
import numpy as np

from plateside.light.glass import through
from plateside.light.lattice import lattice_point, lattice_size
from plateside.light.patches import Patches
from plateside.light.rays import clear_between, look_out
from plateside.light.rows import in_rows
from plateside.light.scene import Scene
from plateside.light.sky_nodes import NODES
from plateside.model.light_answers import Array, IntArray

SENSOR_POINTS = 4181
"""Where an aperture is asked for a sensor."""
PATCH_POINTS = 144
"""... for a patch; up to four times as many when it is near."""
CLOSE_M = 1.3
"""A patch nearer to the aperture than so is asked at four points."""
SHEET_RINGS, SHEET_TURNS = 40, 96


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _from_aperture(
    px: float, py: float, pz: float, nx: float, ny: float, nz: float, w: int, wanted: int, share: float,
    af: Array, ai: IntArray, of: Array, oi: IntArray,
    rects: Array, boxes: Array, nodes: Array, objects: Array,
) -> None:  # fmt: skip
    """Add what a point with a normal gets through aperture w, asked at about `wanted` places of it."""
    clear = af[w, 14]
    if clear <= 0.0:
        return
    wide, tall = af[w, 9], af[w, 10]
    count, step = lattice_size(wanted)
    cell = wide * tall / count
    occluders = rects.shape[0] + boxes.shape[0] > 0
    for i in range(count):
        fu, fv = lattice_point(i, count, step)
        fu *= wide
        qx, qy = af[w, 0] + fu * af[w, 3], af[w, 1] + fu * af[w, 4]
        qz = af[w, 2] + fv * tall
        dx, dy, dz = qx - px, qy - py, qz - pz
        r2 = dx * dx + dy * dy + dz * dz
        if r2 < 1e-12:
            continue
        r = sqrt(r2)
        dx, dy, dz = dx / r, dy / r, dz / r
        at = dx * nx + dy * ny + dz * nz
        out = dx * af[w, 6] + dy * af[w, 7] + dz * af[w, 8]
        if at <= 0.0 or out <= 1e-9:
            continue
        if occluders and not clear_between(px, py, pz, qx, qy, qz, rects, boxes):
            continue
        weight = share * at * out / r2 * cell * through(out, af[w, 11], af[w, 12]) * af[w, 13] * clear
        look_out(qx, qy, qz, dx, dy, dz, out, weight, af, ai, w, of, oi, nodes, objects)


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _sensor_rows(
    start: int, stop: int, points: Array, normals: Array, wanted: int, af: Array, ai: IntArray, of: Array, oi: IntArray,
    rects: Array, boxes: Array, nodes: Array, objects: Array,
) -> None:  # fmt: skip
    for s in range(start, stop):
        for w in range(af.shape[0]):
            _from_aperture(
                points[s, 0], points[s, 1], points[s, 2], normals[s, 0], normals[s, 1], normals[s, 2], w, wanted, 1.0,
                af, ai, of, oi, rects, boxes, nodes[s], objects[s],
            )  # fmt: skip


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _patch_rows(
    start: int, stop: int, c: Array, u: Array, v: Array, twist: Array, n: Array, live: Array, wanted: int, close: float,
    af: Array, ai: IntArray, of: Array, oi: IntArray,
    rects: Array, boxes: Array, nodes: Array, objects: Array,
) -> None:  # fmt: skip
    for i in range(start, stop):
        if not live[i]:
            continue
        for w in range(af.shape[0]):
            mx = af[w, 0] + 0.5 * af[w, 9] * af[w, 3] - c[i, 0]
            my = af[w, 1] + 0.5 * af[w, 9] * af[w, 4] - c[i, 1]
            mz = af[w, 2] + 0.5 * af[w, 10] - c[i, 2]
            away = sqrt(mx * mx + my * my + mz * mz)
            size = 0.5 * sqrt(af[w, 9] ** 2 + af[w, 10] ** 2)
            gap = away - size
            points = 4 if gap < close else 1
            mine = min(4 * wanted, max(wanted, int(wanted * (1.5 * size / max(gap, 0.1)) ** 2)))
            for k in range(points):
                fa = 0.0 if points == 1 else (0.5 if k % 2 else -0.5)
                fb = 0.0 if points == 1 else (0.5 if k < 2 else -0.5)
                _from_aperture(
                    c[i, 0] + fa * u[i, 0] + fb * v[i, 0] + fa * fb * twist[i, 0],
                    c[i, 1] + fa * u[i, 1] + fb * v[i, 1] + fa * fb * twist[i, 1],
                    c[i, 2] + fa * u[i, 2] + fb * v[i, 2] + fa * fb * twist[i, 2],
                    n[i, 0], n[i, 1], n[i, 2], w, mine, 1.0 / points,
                    af, ai, of, oi, rects, boxes, nodes[i], objects[i],
                )  # fmt: skip


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _sheet_rows(
    start: int, stop: int, which: IntArray, c: Array, aperture: IntArray,
    af: Array, ai: IntArray, of: Array, oi: IntArray, nodes: Array, objects: Array,
) -> None:  # fmt: skip
    for row in range(start, stop):
        i = which[row]
        w = aperture[i]
        nx, ny, nz = af[w, 6], af[w, 7], af[w, 8]
        ux, uy, uz = af[w, 3], af[w, 4], af[w, 5]
        for ring in range(SHEET_RINGS):
            # Equal steps in sin^2 carry equal shares of an even sky.
            sine2 = (ring + 0.5) / SHEET_RINGS
            sine, out = sqrt(sine2), sqrt(1.0 - sine2)
            weight = pi / (SHEET_RINGS * SHEET_TURNS) * through(out, af[w, 11], af[w, 12]) * af[w, 13]
            for k in range(SHEET_TURNS):
                turn = 2.0 * pi * (k + 0.5 * (ring % 2) + 0.25) / SHEET_TURNS
                along, up = sine * cos(turn), sine * sin(turn)
                look_out(
                    c[i, 0], c[i, 1], c[i, 2], along * ux + out * nx, along * uy + out * ny,
                    along * uz + out * nz + up, out, weight, af, ai, w, of, oi, nodes[row], objects[row],
                )  # fmt: skip


def sensor_coefficients(
    scene: Scene, points: Array, normals: Array, wanted: int = SENSOR_POINTS
) -> tuple[Array, Array]:
    """For sensors (s, 3) with normals: sky part (s, NODES) and object part (s, k) [lx per cd/m2]."""
    nodes, objects = np.zeros((len(points), NODES)), np.zeros((len(points), len(scene.object_f)))
    in_rows(
        _sensor_rows, len(points), points, normals, wanted, *_outdoors(scene), *_things(scene), nodes, objects
    )
    return nodes, objects


def patch_coefficients(scene: Scene, patches: Patches) -> tuple[Array, Array]:
    """For all patches: sky part (n, NODES) and object part (n, k) [lx per cd/m2]."""
    p = patches
    nodes, objects = np.zeros((p.count, NODES)), np.zeros((p.count, len(scene.object_f)))
    in_rows(
        _patch_rows, p.count, p.centre, p.half_u, p.half_v, p.twist, p.normal, p.live, PATCH_POINTS, CLOSE_M,
        *_outdoors(scene), *_things(scene), nodes, objects, even=False,
    )  # fmt: skip
    return nodes, objects


def sheet_coefficients(scene: Scene, patches: Patches, which: IntArray) -> tuple[Array, Array]:
    """For the patches `which` of hung sheets: what reaches them from outside, sky part and object part."""
    nodes, objects = np.zeros((which.size, NODES)), np.zeros((which.size, len(scene.object_f)))
    in_rows(
        _sheet_rows, which.size, which, patches.centre, patches.aperture, *_outdoors(scene), nodes, objects
    )
    return nodes, objects


def _outdoors(scene: Scene) -> tuple[Array, IntArray, Array, IntArray]:
    return scene.aperture_f, scene.aperture_i, scene.opposite_f, scene.opposite_i


def _things(scene: Scene) -> tuple[Array, ...]:
    return (
        scene.rects, scene.boxes,
    )  # fmt: skip
