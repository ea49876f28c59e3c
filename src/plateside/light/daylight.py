"""Light from outside on sensors and patches, by sky node and outside object (daylight coefficients).

sensor_coefficients   what sensors get straight through the bare (or clear) part of the apertures
patch_coefficients    what every patch gets likewise
sheet_coefficients    what reaches every patch of a hung sheet through the glass

Each is a matrix of [lx per cd/m2]: rows are receivers, columns first the NODES of the sky, then the outside objects.
"""

from math import cos, pi, sin, sqrt

import numpy as np

from plateside.light.glass import through
from plateside.light.kernels import lent
from plateside.light.lattice import lattice_point, lattice_size
from plateside.light.patches import Patches
from plateside.light.rays import clear_between, look_out
from plateside.light.records import Cells, Record, Records, Solids, Vector, between, dot, place_on, vector
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


@lent
def _from_aperture(
    p: Vector, normal: Vector, opening: Record, wanted: int, share: float, opposite: Records, solids: Solids,
    nodes: Array, objects: Array,
) -> None:  # fmt: skip
    """Add what a point with a normal gets through an aperture, asked at about `wanted` places of it."""
    clear = opening.clear
    if clear <= 0.0:
        return
    corner, along = opening.corner, opening.along
    wide, tall = opening.width, opening.height
    count, step = lattice_size(wanted)
    cell = wide * tall / count
    occluders = solids.thin.size + solids.blocks.size > 0
    for i in range(count):
        fu, fv = lattice_point(i, count, step)
        fu *= wide
        q = (corner[0] + fu * along[0], corner[1] + fu * along[1], corner[2] + fv * tall)
        d = between(p, q)
        r2 = dot(d, d)
        if r2 < 1e-12:
            continue
        r = sqrt(r2)
        d = (d[0] / r, d[1] / r, d[2] / r)
        at, out = dot(d, normal), dot(d, opening.outward)
        if at <= 0.0 or out <= 1e-9:
            continue
        if occluders and not clear_between(p, q, solids):
            continue
        weight = (
            share * at * out / r2 * cell * through(out, opening.index, opening.inner) * opening.scale * clear
        )
        look_out(q, d, out, weight, opening, opposite, nodes, objects)


@lent
def _sensor_rows(
    start: int, stop: int, points: Array, normals: Array, wanted: int, openings: Records, opposite: Records,
    solids: Solids, nodes: Array, objects: Array,
) -> None:  # fmt: skip
    for s in range(start, stop):
        p, normal = vector(points, s), vector(normals, s)
        for w in range(openings.size):
            _from_aperture(p, normal, openings[w], wanted, 1.0, opposite, solids, nodes[s], objects[s])


@lent
def _patch_rows(
    start: int, stop: int, cells: Cells, wanted: int, close: float, openings: Records, opposite: Records,
    solids: Solids, nodes: Array, objects: Array,
) -> None:  # fmt: skip
    for i in range(start, stop):
        if not cells.live[i]:
            continue
        normal = vector(cells.normal, i)
        for w in range(openings.size):
            opening = openings[w]
            wide, tall = opening.width, opening.height
            mx = opening.corner[0] + 0.5 * wide * opening.along[0] - cells.centre[i, 0]
            my = opening.corner[1] + 0.5 * wide * opening.along[1] - cells.centre[i, 1]
            mz = opening.corner[2] + 0.5 * tall - cells.centre[i, 2]
            away = sqrt(mx * mx + my * my + mz * mz)
            size = 0.5 * sqrt(wide**2 + tall**2)
            gap = away - size
            points = 4 if gap < close else 1
            mine = min(4 * wanted, max(wanted, int(wanted * (1.5 * size / max(gap, 0.1)) ** 2)))
            for k in range(points):
                fa = 0.0 if points == 1 else (0.5 if k % 2 else -0.5)
                fb = 0.0 if points == 1 else (0.5 if k < 2 else -0.5)
                place = place_on(cells, i, fa, fb)
                _from_aperture(
                    place, normal, opening, mine, 1.0 / points, opposite, solids, nodes[i], objects[i]
                )


@lent
def _sheet_rows(
    start: int, stop: int, which: IntArray, cells: Cells, aperture: IntArray, openings: Records, opposite: Records,
    nodes: Array, objects: Array,
) -> None:  # fmt: skip
    for row in range(start, stop):
        i = which[row]
        opening = openings[aperture[i]]
        n, u = opening.outward, opening.along
        place = vector(cells.centre, i)
        for ring in range(SHEET_RINGS):
            # Equal steps in sin^2 carry equal shares of an even sky.
            sine2 = (ring + 0.5) / SHEET_RINGS
            sine, out = sqrt(sine2), sqrt(1.0 - sine2)
            passes = through(out, opening.index, opening.inner)
            weight = pi / (SHEET_RINGS * SHEET_TURNS) * passes * opening.scale
            for k in range(SHEET_TURNS):
                turn = 2.0 * pi * (k + 0.5 * (ring % 2) + 0.25) / SHEET_TURNS
                along, up = sine * cos(turn), sine * sin(turn)
                d = (along * u[0] + out * n[0], along * u[1] + out * n[1], along * u[2] + out * n[2] + up)
                look_out(place, d, out, weight, opening, opposite, nodes[row], objects[row])


def sensor_coefficients(
    scene: Scene, points: Array, normals: Array, wanted: int = SENSOR_POINTS
) -> tuple[Array, Array]:
    """For sensors (s, 3) with normals: sky part (s, NODES) and object part (s, k) [lx per cd/m2]."""
    nodes, objects = np.zeros((len(points), NODES)), np.zeros((len(points), scene.things.size))
    in_rows(
        _sensor_rows, len(points), points, normals, wanted, scene.openings, scene.opposite, scene.solids, nodes, objects
    )  # fmt: skip
    return nodes, objects


def patch_coefficients(scene: Scene, patches: Patches) -> tuple[Array, Array]:
    """For all patches: sky part (n, NODES) and object part (n, k) [lx per cd/m2]."""
    p = patches
    nodes, objects = np.zeros((p.count, NODES)), np.zeros((p.count, scene.things.size))
    in_rows(
        _patch_rows, p.count, p.cells, PATCH_POINTS, CLOSE_M, scene.openings, scene.opposite, scene.solids,
        nodes, objects, even=False,
    )  # fmt: skip
    return nodes, objects


def sheet_coefficients(scene: Scene, patches: Patches, which: IntArray) -> tuple[Array, Array]:
    """For the patches `which` of hung sheets: what reaches them from outside, sky part and object part."""
    nodes, objects = np.zeros((which.size, NODES)), np.zeros((which.size, scene.things.size))
    in_rows(
        _sheet_rows, which.size, which, patches.cells, patches.aperture, scene.openings, scene.opposite, nodes, objects
    )  # fmt: skip
    return nodes, objects
