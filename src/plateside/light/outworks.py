"""A window's reveal, the overhang above it and the wall's outside, as matt patches that light each other.

They stand before the glass, so that room and sensors see them as they see the sky: what is found here is how bright
each patch is for each sky node, outside object and sunbeam (one small linear system, solved once for a room).

outworks_of   the patches of all windows that have a reveal or an overhang, solved
sun_on        the sun's light on them at given moments
"""

from dataclasses import dataclass
from math import cos, pi, sin, sqrt

import numba
import numpy as np

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
from plateside.light.rows import in_rows
from plateside.light.scene import Scene
from plateside.light.sky_nodes import NODES
from plateside.light.window_outside import OVERHANG_REFLECTANCE, REVEAL_REFLECTANCE
from plateside.model.light_answers import Array, IntArray

RAYS = 400
FACADE_SHARES = np.array([0.0, 0.1, 0.3, 0.6, 1.0])
"""Heights of the wall's strips below the overhang, as shares of the way down to the floor."""


@dataclass(frozen=True)
class Outworks:
    """All patches' points, and what light on the patches makes of them. Patches are columns of the scene's objects."""

    points: Array
    normals: Array
    column: IntArray
    """By point: its patch's outside object."""
    aperture: IntArray
    """By point: an aperture of its window."""
    share: Array
    """By point: its share of its patch."""
    open_f: Array
    """The scene's aperture rows without reveal and overhang."""
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
    for w, row in enumerate(scene.aperture_i):
        if row[8] >= 0:
            of_window.setdefault(int(row[8]), w)
    if not of_window:
        return None
    points, normals, column, aperture, share = [], [], [], [], []
    for first, w in of_window.items():
        for patch, places, normal in _patches(scene.aperture_f[w]):
            for place in places:
                points.append(place)
                normals.append(normal)
                column.append(first + patch)
                aperture.append(w)
                share.append(1.0 / len(places))
    open_f = scene.aperture_f.copy()
    open_f[:, 21:23] = 0.0
    columns = np.concatenate([np.arange(first, first + OUTWORKS) for first in of_window])
    position = np.full(len(scene.object_f), -1)
    position[columns] = np.arange(columns.size)
    many = np.array(points), np.array(normals), np.array(column), np.array(aperture), np.array(share)
    nodes, objects = np.zeros((len(points), NODES)), np.zeros((len(points), len(scene.object_f)))
    in_rows(
        _point_rows, len(points), many[0], many[1], many[2], many[3], scene.aperture_f, open_f, scene.aperture_i,
        scene.opposite_f, scene.opposite_i, nodes, objects,
    )  # fmt: skip
    d_nodes, d_objects = np.zeros((columns.size, NODES)), np.zeros((columns.size, len(scene.object_f)))
    np.add.at(d_nodes, position[many[2]], nodes * many[4][:, None])
    np.add.at(d_objects, position[many[2]], objects * many[4][:, None])
    factors = d_objects[:, columns] / pi
    d_objects[:, columns] = 0.0
    reflects = np.empty(columns.size)
    for k, (_, w) in enumerate(of_window.items()):
        wall = float(scene.surface_reflectance[scene.aperture_i[w, 1]].mean())
        reflects[k * OUTWORKS : (k + 1) * OUTWORKS] = REVEAL_REFLECTANCE
        reflects[k * OUTWORKS + EAVE : k * OUTWORKS + FACADE] = OVERHANG_REFLECTANCE
        reflects[k * OUTWORKS + FACADE : (k + 1) * OUTWORKS] = wall
    mutual = np.eye(columns.size) - reflects[:, None] * factors
    by_lux = np.asarray(np.linalg.solve(mutual, np.diag(reflects / pi)), dtype=np.float64)
    return Outworks(*many, open_f, columns, by_lux, by_lux @ d_nodes, by_lux @ d_objects)


def sun_on(scene: Scene, outworks: Outworks, suns: Array) -> Array:
    """Light on each patch for each lux of direct normal sun (t, m)."""
    lux = np.zeros((len(suns), len(scene.object_f)))
    o = outworks
    in_rows(
        _sun_rows, len(suns), suns, o.points, o.normals, o.column, o.aperture, o.share, scene.aperture_f, o.open_f,
        scene.aperture_i, scene.opposite_f, lux,
        even=False,
    )  # fmt: skip
    return np.ascontiguousarray(lux[:, o.columns])


def _patches(row: Array) -> list[tuple[int, list[Array], Array]]:
    """A window's patches: number, places on it, normal into the open."""
    corner, along, out = row[16:19], row[3:6], row[6:9]
    wide, tall, reveal, depth, plate = (float(x) for x in row[19:24])
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


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _point_rows(
    start: int, stop: int, points: Array, normals: Array, column: IntArray, aperture: IntArray, af: Array,
    open_f: Array, ai: IntArray, of: Array, oi: IntArray, nodes: Array, objects: Array,
) -> None:  # fmt: skip
    """What each point gets [lx per cd/m2] from sky nodes and from outside objects, other patches among them."""
    for p in range(start, stop):
        w = aperture[p]
        first = ai[w, 8]
        nx, ny, nz = normals[p, 0], normals[p, 1], normals[p, 2]
        # Two directions across the normal.
        if abs(nz) > 0.5:
            ux, uy, uz = 1.0, 0.0, 0.0
        else:
            ux, uy, uz = -ny, nx, 0.0
        vx, vy, vz = ny * uz - nz * uy, nz * ux - nx * uz, nx * uy - ny * ux
        reveal, depth, plate = af[w, 21], af[w, 22], af[w, 23]
        for i in range(RAYS):
            sine = sqrt((i + 0.5) / RAYS)
            rise = sqrt(1.0 - (i + 0.5) / RAYS)
            turn = 2.399963229728653 * i
            a, b = sine * cos(turn), sine * sin(turn)
            dx, dy, dz = a * ux + b * vx + rise * nx, a * uy + b * vy + rise * ny, a * uz + b * vz + rise * nz
            out = dx * af[w, 6] + dy * af[w, 7] + dz * af[w, 8]
            weight = pi / RAYS
            x, y, z = points[p, 0], points[p, 1], points[p, 2]
            n = (x - af[w, 16]) * af[w, 6] + (y - af[w, 17]) * af[w, 7]
            if column[p] - first < EAVE:
                met = tunnel_patch(x, y, z, n, dx, dy, dz, out, af, w)
                if met >= 0:
                    objects[p, first + met] += weight
                    continue
                if out <= 1e-9:
                    continue  # the pane is dark from outside
                t = (reveal - n) / out
                x, y, z, n = x + t * dx, y + t * dy, z + t * dz, reveal
            elif out < 0.0 and column[p] - first < FACADE:
                # From below the overhang back to the wall, or under the house to the ground.
                height = (z + n / -out * dz) / plate
                if height <= 0.0:
                    objects[p, ai[w, 5]] += weight
                else:
                    strip = 0
                    while strip < FACADES - 1 and 1.0 - height > FACADE_SHARES[strip + 1]:
                        strip += 1
                    objects[p, first + FACADE + strip] += weight
                continue
            if out <= 1e-9:
                continue
            if depth > 0.0 and dz > 0.0 and z < plate - 1e-9:
                strip = eave_strip(z, n, dz, out, reveal, depth, plate)
                if strip >= 0:
                    objects[p, first + EAVE + strip] += weight
                    continue
            look_out(x, y, z, dx, dy, dz, out, weight, open_f, ai, w, of, oi, nodes[p], objects[p])


@numba.njit(cache=True, nogil=True, error_model="numpy")
def _sun_rows(
    start: int, stop: int, suns: Array, points: Array, normals: Array, column: IntArray, aperture: IntArray,
    share: Array, af: Array, open_f: Array, ai: IntArray, of: Array, lux: Array,
) -> None:  # fmt: skip
    for t in range(start, stop):
        sx, sy, sz = suns[t, 0], suns[t, 1], suns[t, 2]
        if sz <= 0.0:
            continue
        for p in range(points.shape[0]):
            falls = sx * normals[p, 0] + sy * normals[p, 1] + sz * normals[p, 2]
            if falls <= 1e-9:
                continue
            w = aperture[p]
            out = sx * af[w, 6] + sy * af[w, 7] + sz * af[w, 8]
            if out <= 1e-6:
                continue
            reveal, depth, plate = af[w, 21], af[w, 22], af[w, 23]
            x, y, z = points[p, 0], points[p, 1], points[p, 2]
            n = (x - af[w, 16]) * af[w, 6] + (y - af[w, 17]) * af[w, 7]
            if column[p] - ai[w, 8] < EAVE and tunnel_patch(x, y, z, n, sx, sy, sz, out, af, w) >= 0:
                continue
            if depth > 0.0 and z < plate - 1e-9 and eave_strip(z, n, sz, out, reveal, depth, plate) >= 0:
                continue
            lit = sun_outside(x, y, z, sx, sy, sz, out, open_f, ai, w, of)
            lux[t, column[p]] += share[p] * falls * lit
