"""A window's reveal, the overhang above it and the wall's outside, as matt patches that light each other.

They stand before the glass, so that room and sensors see them as they see the sky: what is found here is how bright
each patch is for each sky node, outside object and sunbeam (one small linear system, solved once for a room).

outworks_of   the patches of all windows that have a reveal or an overhang, solved
sun_on        the sun's light on them at given moments
"""

from dataclasses import dataclass
from math import cos, pi, sin, sqrt
from typing import NamedTuple

import numba
import numpy as np

from plateside.light.kernels import lent
from plateside.light.rays import (
    DEEP,
    EAVE,
    EAVES,
    FACADE,
    FACADES,
    HALVES,
    OUTWORKS,
    eave_strip,
    look_out,
    sun_outside,
    tunnel_patch,
)
from plateside.light.records import Record, Records, Vector, ahead, cross, dot, vector
from plateside.light.rows import in_rows
from plateside.light.scene import Scene
from plateside.light.sky_nodes import NODES
from plateside.light.window_outside import OVERHANG_REFLECTANCE, REVEAL_REFLECTANCE
from plateside.model.light_answers import Array, IntArray

RAYS = 400
NOTHING, GROUND, OPEN = -1, -2, -3
"""What a ray meets that meets no patch."""
FACADE_SHARES = np.array([0.0, 0.1, 0.3, 0.6, 1.0])
"""Heights of the wall's strips below the overhang, as shares of the way down to the floor."""


class Points(NamedTuple):
    """Where the patches are asked: by point its place, its normal, and ..."""

    place: Array
    normal: Array
    column: IntArray
    """... its patch's outside object,"""
    aperture: IntArray
    """an aperture of its window,"""
    share: Array
    """its share of its patch."""


@dataclass(frozen=True)
class Outworks:
    """All patches' points, and what light on the patches makes of them. Patches are columns of the scene's objects."""

    points: Points
    open_: Records
    """The scene's openings without reveal and overhang."""
    columns: IntArray
    """The outside objects that are patches (m,)."""
    by_lux: Array
    """Luminance of each patch for each lux on each [cd/m2 per lx] (m, m)."""
    node_part: Array
    """Luminance of each patch for each sky node's [1] (m, NODES)."""
    object_part: Array
    """... and for each outside object's (m, k)."""


def outworks_of(scene: Scene) -> Outworks | None:
    """None when no window has any."""
    of_window: dict[int, int] = {}
    for w, first in enumerate(scene.openings["outworks"]):
        if first >= 0:
            of_window.setdefault(int(first), w)
    if not of_window:
        return None
    points, normals, column, aperture, share = [], [], [], [], []
    for first, w in of_window.items():
        for patch, places, normal in _patches(scene.openings[w]):
            for place in places:
                points.append(place)
                normals.append(normal)
                column.append(first + patch)
                aperture.append(w)
                share.append(1.0 / len(places))
    open_ = scene.openings.copy()
    open_["reveal"] = open_["overhang"] = 0.0
    columns = np.concatenate([np.arange(first, first + OUTWORKS) for first in of_window])
    position = np.full(scene.things.size, -1)
    position[columns] = np.arange(columns.size)
    many = Points(np.array(points), np.array(normals), np.array(column), np.array(aperture), np.array(share))
    nodes, objects = np.zeros((len(points), NODES)), np.zeros((len(points), scene.things.size))
    in_rows(_point_rows, len(points), many, scene.openings, open_, scene.opposite, nodes, objects)
    d_nodes, d_objects = np.zeros((columns.size, NODES)), np.zeros((columns.size, scene.things.size))
    np.add.at(d_nodes, position[many.column], nodes * many.share[:, None])
    np.add.at(d_objects, position[many.column], objects * many.share[:, None])
    factors = d_objects[:, columns] / pi
    d_objects[:, columns] = 0.0
    reflects = np.empty(columns.size)
    for k, (_, w) in enumerate(of_window.items()):
        wall = float(scene.surface_reflectance[scene.apertures[w].wall].mean())
        reflects[k * OUTWORKS : (k + 1) * OUTWORKS] = REVEAL_REFLECTANCE
        reflects[k * OUTWORKS + EAVE : k * OUTWORKS + FACADE] = OVERHANG_REFLECTANCE
        reflects[k * OUTWORKS + FACADE : (k + 1) * OUTWORKS] = wall
    mutual = np.eye(columns.size) - reflects[:, None] * factors
    by_lux = np.asarray(np.linalg.solve(mutual, np.diag(reflects / pi)), dtype=np.float64)
    return Outworks(many, open_, columns, by_lux, by_lux @ d_nodes, by_lux @ d_objects)


def sun_on(scene: Scene, outworks: Outworks, suns: Array) -> Array:
    """Light on each patch for each lux of direct normal sun (t, m)."""
    lux = np.zeros((len(suns), scene.things.size))
    o = outworks
    in_rows(_sun_rows, len(suns), suns, o.points, scene.openings, o.open_, scene.opposite, lux, even=False)
    return np.ascontiguousarray(lux[:, o.columns])


def _patches(opening: Record) -> list[tuple[int, list[Array], Array]]:
    """A window's patches: number, places on it, normal into the open."""
    corner, along, out = opening["whole_corner"], opening["along"], opening["outward"]
    sizes = ("whole_width", "whole_height", "reveal", "overhang", "plate")
    wide, tall, reveal, depth, plate = (float(opening[name]) for name in sizes)
    up, sides = np.array([0.0, 0.0, 1.0]), (0.25, 0.75)
    found: list[tuple[int, list[Array], Array]] = []
    for side in range(4 if reveal > 0 else 0):
        normal = (up, -up, along, -along)[side]
        for deep in range(DEEP):
            for half in range(HALVES):
                places = []
                for f in sides:
                    s, n = (half + f) / HALVES, (deep + 1 - f) / DEEP * reveal
                    a, z = [(s * wide, 0.0), (s * wide, tall), (0.0, s * tall), (wide, s * tall)][side]
                    places.append(corner + a * along + z * up + n * out)
                found.append(((side * DEEP + deep) * HALVES + half, places, normal))
    for strip in range(EAVES if depth > 0 else 0):
        middle = corner + wide / 2 * along
        middle = np.array([middle[0], middle[1], plate])
        steps = [(strip + g) / EAVES * (reveal + depth) for g in (0.125, 0.375, 0.625, 0.875)]
        found.append((EAVE + strip, [middle + n * out for n in steps], -up))
    for strip in range(FACADES if depth > 0 else 0):
        low, high = plate * (1 - FACADE_SHARES[strip + 1]), plate * (1 - FACADE_SHARES[strip])
        middle = corner + wide / 2 * along
        places = [np.array([middle[0], middle[1], low + f * (high - low)]) + 1e-6 * out for f in sides]
        found.append((FACADE + strip, places, out))
    return found


@lent
def _point_rows(
    start: int, stop: int, points: Points, openings: Records, open_: Records, opposite: Records,
    nodes: Array, objects: Array,
) -> None:  # fmt: skip
    """What each point gets [lx per cd/m2] from sky nodes and from outside objects, other patches among them."""
    for k in range(start, stop):
        opening, bare = openings[points.aperture[k]], open_[points.aperture[k]]
        patch, normal = points.column[k] - opening.outworks, points.normal[k]
        # Two directions across the normal.
        u = (1.0, 0.0, 0.0) if abs(normal[2]) > 0.5 else (-normal[1], normal[0], 0.0)
        v = cross(normal, u)
        place = vector(points.place, k)
        for i in range(RAYS):
            sine = sqrt((i + 0.5) / RAYS)
            rise = sqrt(1.0 - (i + 0.5) / RAYS)
            turn = 2.399963229728653 * i
            a, b = sine * cos(turn), sine * sin(turn)
            d = (
                a * u[0] + b * v[0] + rise * normal[0],
                a * u[1] + b * v[1] + rise * normal[1],
                a * u[2] + b * v[2] + rise * normal[2],
            )
            out = dot(d, opening.outward)
            met, at = _met(place, d, out, patch, opening)
            if met >= 0:
                objects[k, opening.outworks + met] += pi / RAYS
            elif met == GROUND:
                objects[k, opening.ground] += pi / RAYS
            elif met == OPEN:
                look_out(at, d, out, pi / RAYS, bare, opposite, nodes[k], objects[k])


@numba.njit(cache=True, error_model="numpy", inline="always")
def _outside_the_glass(p, opening):  # type: ignore[no-untyped-def]
    """How far outside the glass a point lies."""
    x, y = p[0] - opening.whole_corner[0], p[1] - opening.whole_corner[1]
    return x * opening.outward[0] + y * opening.outward[1]


@lent
def _met(p: Vector, d: Vector, out: float, patch: int, opening: Record) -> tuple[int, Vector]:
    """What a ray from a patch meets: another patch's number, GROUND, OPEN or NOTHING; and where it leaves the window's
    outworks."""
    n = _outside_the_glass(p, opening)
    if patch < EAVE:
        met = tunnel_patch(p, n, d, out, opening)
        if met >= 0:
            return met, p
        if out <= 1e-9:
            return NOTHING, p  # the pane is dark from outside
        p, n = ahead(p, (opening.reveal - n) / out, d), opening.reveal
    elif out < 0.0 and patch < FACADE:
        # From below the overhang back to the wall, or under the house to the ground.
        height = (p[2] + n / -out * d[2]) / opening.plate
        if height <= 0.0:
            return GROUND, p
        strip = 0
        while strip < FACADES - 1 and 1.0 - height > FACADE_SHARES[strip + 1]:
            strip += 1
        return FACADE + strip, p
    if out <= 1e-9:
        return NOTHING, p
    if opening.overhang > 0.0 and d[2] > 0.0 and p[2] < opening.plate - 1e-9:
        strip = eave_strip(p[2], n, d[2], out, opening)
        if strip >= 0:
            return EAVE + strip, p
    return OPEN, p


@lent
def _sun_rows(
    start: int,
    stop: int,
    suns: Array,
    points: Points,
    openings: Records,
    open_: Records,
    opposite: Records,
    lux: Array,
) -> None:
    for t in range(start, stop):
        sun = (suns[t, 0], suns[t, 1], suns[t, 2])
        if sun[2] <= 0.0:
            continue
        for k in range(points.share.size):
            falls = dot(sun, points.normal[k])
            if falls <= 1e-9:
                continue
            opening = openings[points.aperture[k]]
            out = dot(sun, opening.outward)
            if out <= 1e-6:
                continue
            p = vector(points.place, k)
            n = _outside_the_glass(p, opening)
            if points.column[k] - opening.outworks < EAVE and tunnel_patch(p, n, sun, out, opening) >= 0:
                continue
            if (
                opening.overhang > 0.0
                and p[2] < opening.plate - 1e-9
                and eave_strip(p[2], n, sun[2], out, opening) >= 0
            ):
                continue
            lit = sun_outside(p, sun, out, open_[points.aperture[k]], opposite)
            lux[t, points.column[k]] += points.share[k] * falls * lit
