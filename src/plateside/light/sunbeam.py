"""Direct sun at its exact place: on the sensors, and by its first meeting with the room.

The beam through each aperture is cut into cells; a ray of each is followed to what it meets first (table,
boards, blocks, room). From there the sensor gets the first reflection straight
(by the cell's own outline when it is near) and all further ones by the importance of the patch that was met. Nothing
is put into bins of sky or time.
"""

from math import pi
from typing import NamedTuple

import numba
import numpy as np

from plateside.light.beam_cells import AT_ONCE, Glows, Stage, Sunray, cut_beam, fallen, room_for, sunny_part
from plateside.light.first_met import look_round
from plateside.light.form_factors import edge_vector, polygon_factor
from plateside.light.glass import through
from plateside.light.kernels import lent
from plateside.light.patches import Patches
from plateside.light.rays import clear_between, sun_outside, window_exit
from plateside.light.records import Record, ahead, between, dot, place_on, vector
from plateside.light.rows import in_rows
from plateside.light.scene import Scene
from plateside.model.light_answers import Array, IntArray

NEAR_CELLS = 2.0
"""A cell nearer to a sensor than so many of its own lengths is taken by its outline."""


class Asked(NamedTuple):
    """What sensors make of it; see sun_response."""

    points: Array
    normals: Array
    across: Array
    """The normals' components, by sensor (3, s)."""
    groups: IntArray
    """Where each run of sensors at one place begins, and the end."""
    places: Array
    """Of the groups (g, 3)."""
    reflect: Array
    onward: Array
    sheet_which: IntArray
    sheet_aperture: IntArray
    sheet_gain: Array


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _beam_rows(
    start: int,
    stop: int,
    suns: Array,
    cells: tuple[int, int],
    stage: Stage,
    asked: Asked,
    out: Array,
    direct: Array,
) -> None:
    wanted, split = cells
    glows = room_for(AT_ONCE * split * split)
    lux = np.zeros(stage.cells.area.size)
    corners, work = np.empty((4, 3)), np.empty((8, 3))
    for t in range(start, stop):
        d = vector(suns, t)
        if d[2] <= 0.0:
            continue
        for w in range(stage.openings.size):
            opening = stage.openings[w]
            outward = dot(d, opening.outward)
            if outward <= 1e-6:
                continue
            sun = Sunray(d, outward, through(outward, opening.index, opening.inner) * opening.scale)
            if opening.sheet == 1:
                _on_sheet(sun, w, stage, asked, out[t])
            if opening.clear <= 0.0:
                continue
            _on_sensors(sun, opening, stage, asked, out[t], direct[t, w])
            grid = sunny_part(sun, opening, wanted)
            for first in range(0, grid.across * grid.upward, AT_ONCE):
                count = cut_beam(sun, opening, grid, first, split, asked.places, glows)
                count = fallen(sun, opening, stage, glows, count, lux)
                _reflected(glows, count, stage, asked, corners, work, out[t])
        _onward(lux, asked.onward, out[t])


@lent
def _on_sheet(sun: Sunray, w: int, stage: Stage, asked: Asked, out: Array) -> None:
    """A sheet glows where the sun strikes it."""
    bands, count = out.shape
    for k in range(asked.sheet_which.size):
        if asked.sheet_aperture[k] != w:
            continue
        lit = 0.0
        for q in range(9):
            a, b = (q % 3 - 1) * 2.0 / 3.0, (q // 3 - 1) * 2.0 / 3.0
            place = place_on(stage.cells, asked.sheet_which[k], a, b)
            lit += sun_outside(place, sun.d, sun.outward, stage.openings[w], stage.opposite) / 9.0
        lux = lit * sun.passes * sun.outward
        if lux > 0.0:
            for b in range(bands):
                for s in range(count):
                    out[b, s] += lux * asked.sheet_gain[k, b, s]


@lent
def _on_sensors(sun: Sunray, opening: Record, stage: Stage, asked: Asked, out: Array, direct: Array) -> None:
    """What comes straight to the sensors."""
    points, normals, groups = asked.points, asked.normals, asked.groups
    for g in range(groups.size - 1):
        lit = -1.0
        for s in range(groups[g], groups[g + 1]):
            facing = dot(sun.d, vector(normals, s))
            if facing <= 0.0:
                continue
            if lit < 0.0:
                lit = _lit(vector(points, s), sun, opening, stage)
            if lit > 0.0:
                lux = facing * lit * sun.passes * opening.clear
                direct[s] += lux
                for b in range(out.shape[0]):
                    out[b, s] += lux


@numba.njit(cache=True, error_model="numpy", inline="always")
def _lit(p, sun, opening, stage):  # type: ignore[no-untyped-def]
    """Share of the sun that comes to a point in the room through the opening."""
    lit, far = 0.0, window_exit(p, sun.d, opening)
    if far > 0.0:
        q = ahead(p, far, sun.d)
        if clear_between(p, q, stage.solids):
            lit = sun_outside(q, sun.d, sun.outward, opening, stage.opposite)
    return lit


@lent
def _reflected(
    glows: Glows, count: int, stage: Stage, asked: Asked, corners: Array, work: Array, out: Array
) -> None:
    """The first reflection, straight to the sensors. Those at one place share all but their normals.

    corners (4, 3), work (8, 3)  scratch
    """
    points, groups, reflect = asked.points, asked.groups, asked.reflect
    for g in range(groups.size - 1):
        first, end = groups[g], groups[g + 1]
        p = vector(points, first)
        # From 0 on, each a run of its own: so the processor takes several sensors at once.
        across, here = asked.across[:, first:end], out[:, first:end]
        look_round(p, glows.middle_x, glows.middle_y, glows.middle_z, count, stage.solids, glows.clear)
        for k in range(count):
            if glows.clear[k] <= 0.0:
                continue
            patch = glows.patch[k]
            d = between(p, (glows.middle_x[k], glows.middle_y[k], glows.middle_z[k]))
            back = -dot(d, vector(stage.cells.normal, patch))
            if back <= 1e-9:
                continue
            u, v = vector(glows.u, k), vector(glows.v, k)
            if end - first == 1:
                # One sensor alone here: nothing to do when the cell is wholly behind it.
                normal = (across[0, 0], across[1, 0], across[2, 0])
                if dot(d, normal) + 0.5 * (abs(dot(u, normal)) + abs(dot(v, normal))) < 0.0:
                    continue
            r2 = dot(d, d)
            if r2 > NEAR_CELLS * NEAR_CELLS * max(dot(u, u), dot(v, v)):
                share = glows.flux[k] * back / (pi * r2 * r2)
                for b in range(out.shape[0]):
                    _add_facing(d, share * reflect[patch, b], across[0], across[1], across[2], here[b])
                continue
            _outline(glows, k, corners)
            whole = edge_vector(p, corners, 4)
            for s in range(end - first):
                normal = (across[0, s], across[1, s], across[2, s])
                front = 0
                for i in range(4):
                    if dot(between(p, vector(corners, i)), normal) >= 0.0:
                        front += 1
                if front == 0:
                    continue
                factor = (
                    abs(dot(whole, normal)) if front == 4 else polygon_factor(p, normal, corners, 4, work)
                )
                for b in range(out.shape[0]):
                    here[b, s] += glows.exitance[k] * factor * reflect[patch, b]


@numba.njit(cache=True, error_model="numpy", inline="always")
def _add_facing(d, gain, x, y, z, out):  # type: ignore[no-untyped-def]
    """Add what comes along d to sensors with these normals, of those that face it."""
    for s in range(out.size):
        facing = d[0] * x[s] + d[1] * y[s] + d[2] * z[s]
        out[s] += gain * (facing if facing > 0.0 else 0.0)


@numba.njit(cache=True, error_model="numpy", inline="always")
def _outline(glows, k, corners):  # type: ignore[no-untyped-def]
    """The four corners of a cell where it falls."""
    middle = (glows.middle_x[k], glows.middle_y[k], glows.middle_z[k])
    for corner in range(4):
        a, b = (0.5 if corner == 1 or corner == 2 else -0.5), (0.5 if corner >= 2 else -0.5)
        for i in range(3):
            corners[corner, i] = middle[i] + a * glows.u[k, i] + b * glows.v[k, i]


@lent
def _onward(lux: Array, onward: Array, out: Array) -> None:
    """What the sensors get from the second reflection on of the light on the patches, which is taken off them."""
    for i in range(lux.size):
        if lux[i] != 0.0:
            for b in range(out.shape[0]):
                for s in range(out.shape[1]):
                    out[b, s] += lux[i] * onward[i, b, s]
            lux[i] = 0.0


def sun_response(
    scene: Scene, patches: Patches, suns: Array, points: Array, normals: Array, reflect: Array, onward: Array,
    sheet_which: IntArray, sheet_gain: Array, cells: tuple[int, int],
) -> tuple[Array, Array]:  # fmt: skip
    """Light on sensors for each lux of direct normal sun.

    suns        unit vectors to the sun, room's coordinates (t, 3)
    reflect     patches' reflectance by band (n, b)
    onward      what a sensor gets, from the second reflection on, for each lumen that falls on a patch (n, b, s)
    sheet_gain  what a sensor gets for each lux that comes to a sheet's patch (m, b, s)
    cells       cells of the beam through an aperture, about, and into how many squared those near a sensor are cut
    Gives all light (t, b, s) and the part that comes straight, by aperture (t, a, s).
    """
    p = patches
    out = np.zeros((len(suns), reflect.shape[1], len(points)))
    direct = np.zeros((len(suns), scene.openings.size, len(points)))
    stage = Stage(scene.openings, scene.opposite, scene.solids, p.nets, p.cells)
    groups = _groups(points)
    asked = Asked(
        points, normals, np.ascontiguousarray(normals.T), groups, points[groups[:-1]], reflect, onward, sheet_which,
        p.aperture[sheet_which], sheet_gain,
    )  # fmt: skip
    in_rows(_beam_rows, len(suns), suns, cells, stage, asked, out, direct, even=False)
    return out, direct


def _groups(points: Array) -> IntArray:
    """Where each run of sensors at one place begins, and the end."""
    new = np.any(points[1:] != points[:-1], axis=1)
    return np.concatenate([[0], np.flatnonzero(new) + 1, [len(points)]]).astype(np.int64)
