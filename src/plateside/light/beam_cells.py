"""A beam of sun through one opening: the part of it that is lit, cut into cells, and where each falls (numba kernels).

sunny_part  what reveal and overhang leave of an opening, as a grid of cells
cut_beam    the next cells, as they stand in the opening
fallen      where those fall in the room, and the patches that they light
"""

from math import sqrt
from typing import Any, NamedTuple

import numba
import numpy as np

from plateside.light.patches import patch_at
from plateside.light.rays import first_hit, sun_outside
from plateside.light.records import Cells, Nets, Record, Records, Solids, Vector, ahead, between, dot, vector
from plateside.model.light_answers import Array

STAGGER = (0.5 + np.arange(256) * 0.6180339887498949) % 1.0
"""Places within a cell, evenly spread however many are taken (golden section)."""
SPLIT_M = 0.3
"""Cells of the beam that pass the dish nearer are cut once more when asked."""
GLOW = np.dtype([
    ("place", "f8", (3,)), ("wide", "f8"), ("tall", "f8"), ("at_u", "f8"), ("at_v", "f8"),
    ("middle", "f8", (3,)), ("normal", "f8", (3,)), ("u", "f8", (3,)), ("v", "f8", (3,)),
    ("flux", "f8"), ("exitance", "f8"), ("patch", "i8"),
])  # fmt: skip
"""A cell of the beam. In the opening: where its ray goes through, its size, where in it (0 to 1) that is. Where it
falls: the middle of its outline, the normal there, the outline's edges, its light before reflection (whole, and by area
of the outline) and the patch."""
GLOW_TYPE: Any = numba.from_dtype(GLOW)
AT_ONCE = 64
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


@numba.njit(cache=True, nogil=True, error_model="numpy")
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


@numba.njit(cache=True, nogil=True, error_model="numpy")
def cut_beam(
    sun: Sunray, opening: Record, grid: Grid, first: int, split: int, places: Array, glows: Records
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
            glow = glows[count]
            glow.wide, glow.tall = grid.wide / parts, grid.tall / parts
            glow.at_u, glow.at_v = STAGGER[c % STAGGER.size], STAGGER[a % STAGGER.size]
            glow.place[0], glow.place[1], glow.place[2] = _in_opening(
                opening, u + (i + glow.at_u) * glow.wide, v + (k + glow.at_v) * glow.tall
            )
            count += 1
    return count


@numba.njit(cache=True, error_model="numpy", inline="always")
def _in_opening(opening, u, v):  # type: ignore[no-untyped-def]
    corner, along = opening.corner, opening.along
    return corner[0] + u * along[0], corner[1] + u * along[1], corner[2] + v


@numba.njit(cache=True, nogil=True, error_model="numpy")
def fallen(sun: Sunray, opening: Record, stage: Stage, glows: Records, count: int, lux: Array) -> int:
    """Follow cells to what they meet, and add their light to the patches there (lux). Cells that light something are
    moved to the beginning; their number."""
    solids, nets = stage.solids, stage.nets
    back = (-sun.d[0], -sun.d[1], -sun.d[2])
    lighting = 0
    for k in range(count):
        cell, glow = glows[k], glows[lighting]
        place, wide, tall = (cell.place[0], cell.place[1], cell.place[2]), cell.wide, cell.tall
        lit = 1.0
        if opening.end_opposite > opening.first_opposite:
            lit = sun_outside(place, sun.d, sun.outward, opening, stage.opposite)
            if lit <= 0.0:
                continue
        far, kind, number = first_hit(place, back, solids)
        face, normal = _face_met(kind, number, solids, nets)
        if face < 0:
            continue
        place = ahead(place, far, back)
        flux = lit * sun.passes * opening.clear * sun.outward * wide * tall
        patch = patch_at(face, place, nets)
        lux[patch] += flux
        falls = dot(sun.d, normal)
        if falls <= 1e-6:
            continue
        # The cell's outline where it falls: its edges slid along the sun's rays to the plane.
        slide_u, slide_v = wide * dot(opening.along, normal) / falls, tall * normal[2] / falls
        a, b = 0.5 - cell.at_u, 0.5 - cell.at_v
        for i in range(3):
            glow.u[i] = wide * opening.along[i] - slide_u * sun.d[i]
            glow.v[i] = (tall if i == 2 else 0.0) - slide_v * sun.d[i]
            glow.normal[i] = normal[i]
            glow.middle[i] = place[i] + (a * glow.u[i] + b * glow.v[i])
        glow.flux, glow.exitance, glow.patch = flux, flux * falls / (wide * tall * sun.outward), patch
        lighting += 1
    return lighting


@numba.njit(cache=True, error_model="numpy", inline="always")
def _face_met(kind, number, solids, nets):  # type: ignore[no-untyped-def]
    """Number (-1: none that can be seen) and normal of the face that first_hit says."""
    if kind == 0:
        face = nets.of_room[number]
        x = -1.0 if number == 1 else (1.0 if number == 3 else 0.0)
        y = -1.0 if number == 0 else (1.0 if number == 2 else 0.0)
        z = -1.0 if number == 5 else (1.0 if number == 4 else 0.0)
    elif kind == 3:
        face = nets.of_block[number]
        side, axis = (1.0 if number % 2 else -1.0), (number % 6) // 2
        x, y, z = side if axis == 0 else 0.0, side if axis == 1 else 0.0, side if axis == 2 else 0.0
    else:
        face = nets.of_thin[number, kind - 1]
        side, normal = (1.0 if kind == 1 else -1.0), solids.thin[number].normal
        x, y, z = side * normal[0], side * normal[1], side * normal[2]
    return face, (x, y, z)
