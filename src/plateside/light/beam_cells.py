"""A beam of sun through one opening: the part of it that is lit, cut into cells, and where each falls (numba kernels).

sunny_part  what reveal and overhang leave of an opening, as a grid of cells
cut_beam    the next cells, as they stand in the opening
fallen      where those fall in the room, and the patches that they light
"""

from math import sqrt
from typing import NamedTuple

import numba
import numpy as np

from plateside.light.first_met import follow
from plateside.light.kernels import lent
from plateside.light.patches import patch_from
from plateside.light.rays import sun_outside
from plateside.light.records import Cells, Nets, Record, Records, Solids, Vector, ahead, between, dot, vector
from plateside.model.light_answers import Array, IntArray

STAGGER = (0.5 + np.arange(256) * 0.6180339887498949) % 1.0
"""Places within a cell, evenly spread however many are taken (golden section)."""
SPLIT_M = 0.3
"""Cells of the beam that pass the dish nearer are cut once more when asked."""


class Glows(NamedTuple):
    """Cells of the beam: an array for each figure, not a record for each cell, so that the processor takes several at
    once.

    In the opening: where a cell's ray goes through (x, y, z), its size, where in it (0 to 1) that is. What the ray
    meets, and how far off. Where it falls: the middle of its outline, the outline's edges, its light before reflection
    (whole, and by area of the outline), the patch.
    """

    x: Array
    y: Array
    z: Array
    wide: Array
    tall: Array
    at_u: Array
    at_v: Array
    far: Array
    face: IntArray
    middle_x: Array
    middle_y: Array
    middle_z: Array
    u: Array
    """(n, 3)"""
    v: Array
    flux: Array
    exitance: Array
    patch: IntArray
    clear: Array
    """Scratch: whether a cell's middle is seen (sunbeam.py)."""


@numba.njit(cache=True, error_model="numpy", inline="always")
def room_for(count):  # type: ignore[no-untyped-def]
    """Arrays for so many cells."""
    return Glows(
        np.empty(count), np.empty(count), np.empty(count), np.empty(count), np.empty(count), np.empty(count),
        np.empty(count), np.empty(count), np.empty(count, np.int64), np.empty(count), np.empty(count),
        np.empty(count), np.empty((count, 3)), np.empty((count, 3)), np.empty(count), np.empty(count),
        np.empty(count, np.int64), np.empty(count),
    )  # fmt: skip


AT_ONCE = 256
"""Cells that go through the steps together."""


class Stage(NamedTuple):
    """Where the sun falls: the scene and its patches."""

    openings: Records
    opposite: Records
    solids: Solids
    nets: Nets
    cells: Cells


class Sunray(NamedTuple):
    """The sun's direction at one moment, and what one opening lets in of it."""

    d: Vector
    outward: float
    """Cosine to the opening's normal."""
    passes: float
    """Share that comes through pane, dirt and frame."""


class Grid(NamedTuple):
    """The part of an opening that is in the sun, and the cells that it is cut into."""

    left: float
    bottom: float
    wide: float
    """Of a cell."""
    tall: float
    across: int
    upward: int


@lent
def sunny_part(sun: Sunray, opening: Record, wanted: int) -> Grid:
    """The part of the opening that reveal and overhang leave in the sun, for about `wanted` cells in the whole one."""
    corner, along, whole = opening.corner, opening.along, opening.whole_corner
    left, right, bottom, top = 0.0, opening.width, 0.0, opening.height
    if opening.reveal > 0.0:
        shift = opening.reveal / sun.outward
        sideways = shift * (sun.d[0] * along[0] + sun.d[1] * along[1])
        whole_u = (whole[0] - corner[0]) * along[0] + (whole[1] - corner[1]) * along[1]
        whole_v = whole[2] - corner[2]
        left, right = max(left, whole_u - sideways), min(right, whole_u + opening.whole_width - sideways)
        bottom = max(bottom, whole_v - shift * sun.d[2])
        top = min(top, whole_v + opening.whole_height - shift * sun.d[2])
    if opening.overhang > 0.0:
        shade = (opening.reveal + opening.overhang) / sun.outward * sun.d[2]
        top = min(top, opening.plate - shade - corner[2])
    wide, tall = right - left, top - bottom
    if wide < 1e-9 or tall < 1e-9:
        return Grid(0.0, 0.0, 0.0, 0.0, 0, 0)
    size = sqrt(opening.width * opening.height / wanted)
    across, upward = max(2, int(wide / size + 0.5)), max(2, int(tall / size + 0.5))
    return Grid(left, bottom, wide / across, tall / upward, across, upward)


@lent
def cut_beam(
    sun: Sunray, opening: Record, grid: Grid, first: int, split: int, places: Array, glows: Glows
) -> int:
    """The next cells from the first on, at most AT_ONCE, as they stand in the opening. Their number.

    Each cell is asked at its own place, so that no straight edge falls between two rows. In the part of the beam that
    passes near the dish (its first two of `places`) it is cut once more, so that shadows' edges lie where they should.
    """
    count = 0
    for q in range(first, min(first + AT_ONCE, grid.across * grid.upward)):
        a, c = q // grid.upward, q % grid.upward
        u, v = grid.left + a * grid.wide, grid.bottom + c * grid.tall
        parts = 1
        if split > 1:
            middle = _in_opening(opening, u + 0.5 * grid.wide, v + 0.5 * grid.tall)
            for g in range(min(2, len(places))):
                d = between(middle, vector(places, g))
                back = dot(d, sun.d)
                if dot(d, d) - back * back < SPLIT_M * SPLIT_M:
                    parts = split
        for piece in range(parts * parts):
            i, k = piece // parts, piece % parts
            if parts > 1:
                a, c = i, k
            glows.wide[count], glows.tall[count] = grid.wide / parts, grid.tall / parts
            at_u, at_v = STAGGER[c % STAGGER.size], STAGGER[a % STAGGER.size]
            glows.at_u[count], glows.at_v[count] = at_u, at_v
            glows.x[count], glows.y[count], glows.z[count] = _in_opening(
                opening, u + (i + at_u) * glows.wide[count], v + (k + at_v) * glows.tall[count]
            )
            count += 1
    return count


@numba.njit(cache=True, error_model="numpy", inline="always")
def _in_opening(opening, u, v):  # type: ignore[no-untyped-def]
    corner, along = opening.corner, opening.along
    return corner[0] + u * along[0], corner[1] + u * along[1], corner[2] + v


@lent
def fallen(sun: Sunray, opening: Record, stage: Stage, glows: Glows, count: int, lux: Array) -> int:
    """Follow cells to what they meet, and add their light to the patches there (lux). Cells that light something are
    moved to the beginning; their number."""
    nets, normals = stage.nets, stage.cells.normal
    back = (-sun.d[0], -sun.d[1], -sun.d[2])
    follow(back, glows.x, glows.y, glows.z, count, stage.solids, nets, glows.far, glows.face)
    lighting, i, j = 0, 0, 0
    for k in range(count):
        place, wide, tall = (glows.x[k], glows.y[k], glows.z[k]), glows.wide[k], glows.tall[k]
        lit = 1.0
        if opening.end_opposite > opening.first_opposite:
            lit = sun_outside(place, sun.d, sun.outward, opening, stage.opposite)
            if lit <= 0.0:
                continue
        face = glows.face[k]
        if face < 0:
            continue
        place = ahead(place, glows.far[k], back)
        lit *= sun.passes * opening.clear
        flux = lit * sun.outward * wide * tall
        patch, i, j = patch_from(face, place, nets, i, j)
        lux[patch] += flux
        normal = vector(normals, patch)
        falls = dot(sun.d, normal)
        if falls <= 1e-6:
            continue
        # The cell's outline where it falls: its edges slid along the sun's rays to the plane.
        slide = 1.0 / falls
        slide_u, slide_v = wide * dot(opening.along, normal) * slide, tall * normal[2] * slide
        a, b = 0.5 - glows.at_u[k], 0.5 - glows.at_v[k]
        u = ahead(
            (wide * opening.along[0], wide * opening.along[1], wide * opening.along[2]), -slide_u, sun.d
        )
        v = ahead((0.0, 0.0, tall), -slide_v, sun.d)
        glows.u[lighting, 0], glows.u[lighting, 1], glows.u[lighting, 2] = u
        glows.v[lighting, 0], glows.v[lighting, 1], glows.v[lighting, 2] = v
        glows.middle_x[lighting] = place[0] + (a * u[0] + b * v[0])
        glows.middle_y[lighting] = place[1] + (a * u[1] + b * v[1])
        glows.middle_z[lighting] = place[2] + (a * u[2] + b * v[2])
        glows.flux[lighting], glows.exitance[lighting], glows.patch[lighting] = flux, lit * falls, patch
        lighting += 1
    return lighting
