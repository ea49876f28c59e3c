"""The room cut into patches: finer near the dish and the windows, along the edges of windows and furniture.

Every face (six of the room, two of the table and of each board, up to six of each block) carries a net of
rectangles; the cells on which another thing stands are cut along its foot (light/feet.py). A patch in a window's hole
is the window's: its pane or its sheet.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

import numpy as np
from numpy.typing import NDArray

from plateside.light.feet import cut_cells, feet, quads
from plateside.light.kernels import lent
from plateside.light.records import NET, Cells, Nets, Vector, between, dot, records
from plateside.light.scene import Scene, wall_frame
from plateside.model.light_answers import Array, IntArray

NEAR_M = 0.25
TABLE_M = 0.1
BOARD_M = 0.11
SHEET_M = 0.2
MOST_PATCHES = 1700
FLUSH_M = 2e-3
PIECE = 10


@dataclass(frozen=True)
class Face:
    """A rectangle with its net. Patch (i, j) of the face is number first + i x (len(vs) - 1) + j."""

    origin: Array
    along: Array
    up: Array
    normal: Array
    """Into the open."""
    us: Array
    vs: Array
    reflectance: Array


@dataclass(frozen=True)
class Patches:
    """All patches as arrays (n, ...), and the nets for finding the patch at a point."""

    centre: Array
    half_u: Array
    half_v: Array
    twist: Array
    """A patch is centre + a half_u + b half_v + a b twist, a and b from -1 to 1: zero but for pieces of cut cells."""
    normal: Array
    area: Array
    reflectance: Array
    """By bands (n, 3)."""
    face: IntArray
    aperture: IntArray
    """The aperture a patch belongs to, or -1."""
    live: NDArray[np.bool_]
    """False where furniture covers the patch."""
    nets: Nets
    """A cut cell's piece is PIECE values: its cell, its patch, four corners (u, v) counter-clockwise."""

    @property
    def count(self) -> int:
        return int(self.area.size)

    @property
    def cells(self) -> Cells:
        """What the kernels need of them."""
        return Cells(
            self.centre, self.half_u, self.half_v, self.twist, self.normal, self.area, self.face, self.live
        )


def cut(scene: Scene) -> Patches:
    """Cut the scene into at most about MOST_PATCHES patches."""
    near = NEAR_M
    while True:
        faces, room, rect, block = _faces(scene, near)
        count = sum((f.us.size - 1) * (f.vs.size - 1) for f in faces)
        if count <= MOST_PATCHES or near > 3.0:
            break
        near *= 1.12
    return _patches(scene, faces, room, rect, block)


@lent
def patch_at(face: int, place: Vector, nets: Nets) -> int:
    """Number of the patch of a face at a point on it."""
    return int(patch_from(face, place, nets, 0, 0)[0])


@lent
def patch_from(face: int, place: Vector, nets: Nets, i: int, j: int) -> tuple[int, int, int]:
    """Number of the patch of a face at a point on it, and its column and row in the net, which are sought from
    (i, j) on: points that follow one another mostly lie in one cell or the next."""
    net, values = nets.faces[face], nets.values
    d = between(net.origin, place)
    u, v = dot(d, net.along), dot(d, net.up)
    i, j = min(i, net.us_count - 2), min(j, net.vs_count - 2)
    while i > 0 and values[net.us + i] > u:
        i -= 1
    while i < net.us_count - 2 and values[net.us + i + 1] <= u:
        i += 1
    while j > 0 and values[net.vs + j] > v:
        j -= 1
    while j < net.vs_count - 2 and values[net.vs + j + 1] <= v:
        j += 1
    cell = i * (net.vs_count - 1) + j
    patch, deepest = int(net.first + cell), -1e30
    for piece in range(net.pieces_count):
        at = net.pieces + PIECE * piece
        if int(values[at]) != cell:
            continue
        depth = 1e30
        for k in range(4):
            a, b = at + 2 + 2 * k, at + 2 + 2 * ((k + 1) % 4)
            du, dv = values[b] - values[a], values[b + 1] - values[a + 1]
            depth = min(depth, du * (v - values[a + 1]) - dv * (u - values[a]))
        if depth > deepest:
            patch, deepest = int(values[at + 1]), depth
    return patch, i, j


def lines(length: float, musts: Iterable[float], focus: Iterable[tuple[float, float]], near: float) -> Array:
    """Where to cut an edge: at every must, and between them finely near the focus spans, coarser away from them."""
    fixed = [0.0]
    for must in sorted(musts):
        if must > fixed[-1] + 0.01 and must < length - 0.01:
            fixed.append(must)
    fixed.append(length)
    spans = list(focus)
    found = [0.0]
    for low, high in pairwise(fixed):
        position = low
        steps: list[float] = []
        while position < high - 1e-9:
            away = min((max(a - position, position - b, 0.0) for a, b in spans), default=0.0)
            step = near * min(1.0 + 0.5 * max(away - 0.8, 0.0), 2.5)
            steps.append(step)
            position += step
        scale = (high - low) / sum(steps)
        if scale < 0.75 and len(steps) > 1:
            steps.pop()
            scale = (high - low) / sum(steps)
        position = low
        for step in steps[:-1]:
            position += step * scale
            found.append(position)
        found.append(high)
    return np.array(found)


Numbers = tuple[list[Face], list[int], list[tuple[int, int]], list[int]]


def _faces(scene: Scene, near: float) -> Numbers:
    w, d, h = (float(s) for s in scene.size)
    faces: list[Face] = []
    room: list[int] = []
    for wall in range(4):
        room.append(len(faces))
        corner, along, normal, length = wall_frame(scene.size, wall)
        mine = [a for a in scene.apertures if a.wall == wall]
        musts_u = [m for a in mine for m in (a.left_m, a.left_m + a.width_m)]
        musts_v = [m for a in mine for m in (a.bottom_m, a.bottom_m + a.height_m)]
        for a in mine:
            if a.sheet:
                musts_u += list(
                    np.linspace(a.left_m, a.left_m + a.width_m, ceil(a.width_m / SHEET_M) + 1)[1:-1]
                )
                musts_v += list(
                    np.linspace(a.bottom_m, a.bottom_m + a.height_m, ceil(a.height_m / SHEET_M) + 1)[1:-1]
                )
        for low, high in zip(scene.block_low, scene.block_high, strict=True):
            touching = [abs(high[1] - d), abs(high[0] - w), abs(low[1]), abs(low[0])][wall] < FLUSH_M
            if touching:
                musts_u += [float((low - corner) @ along), float((high - corner) @ along)]
                musts_v += [float(low[2]), float(high[2])]
        place = float((scene.dish - corner) @ along)
        spans = [(place - 0.3, place + 0.3)] + [(a.left_m, a.left_m + a.width_m) for a in mine]
        us = lines(length, musts_u, spans, near)
        vs = lines(h, musts_v, [(scene.dish[2] - 0.3, scene.dish[2] + 0.6)], near)
        up = np.array([0.0, 0.0, 1.0])
        faces.append(Face(corner, along, up, -normal, us, vs, scene.surface_reflectance[wall]))
    for index, z in ((4, 0.0), (5, h)):
        room.append(len(faces))
        musts_x: list[float] = []
        musts_y: list[float] = []
        for low, high in zip(scene.block_low, scene.block_high, strict=True):
            if abs((low[2] if index == 4 else high[2]) - z) < FLUSH_M:
                musts_x += [float(low[0]), float(high[0])]
                musts_y += [float(low[1]), float(high[1])]
        spans_x, spans_y = (
            [(scene.dish[0] - 0.4, scene.dish[0] + 0.4)],
            [(scene.dish[1] - 0.4, scene.dish[1] + 0.4)],
        )
        for a in scene.apertures:
            corner, along, _, _ = wall_frame(scene.size, a.wall)
            ends = [corner + along * a.left_m, corner + along * (a.left_m + a.width_m)]
            spans_x.append((min(e[0] for e in ends), max(e[0] for e in ends)))
            spans_y.append((min(e[1] for e in ends), max(e[1] for e in ends)))
        normal = np.array([0.0, 0.0, 1.0 if index == 4 else -1.0])
        faces.append(
            Face(
                np.array([0.0, 0.0, z]), np.array([1.0, 0, 0]), np.array([0, 1.0, 0]), normal,
                lines(w, musts_x, spans_x, near), lines(d, musts_y, spans_y, near),
                scene.surface_reflectance[index],
            )
        )  # fmt: skip
    rect: list[tuple[int, int]] = []
    for k in range(len(scene.rect_centre)):
        rect.append((len(faces), len(faces) + 1))
        for side in (1.0, -1.0):
            size = (TABLE_M if side > 0 else NEAR_M) if k == 0 else BOARD_M
            faces.append(_rect_face(scene, k, side, size * min(2.0, max(1.0, near / NEAR_M))))
    block: list[int] = []
    for k in range(len(scene.block_low)):
        block += _block_faces(scene, k, max(0.35, near), faces)
    return faces, room, rect, block


def _rect_face(scene: Scene, k: int, side: float, size: float) -> Face:
    u, v = scene.rect_u[k], scene.rect_v[k]
    lu, lv = 2 * float(np.linalg.norm(u)), 2 * float(np.linalg.norm(v))
    origin = scene.rect_centre[k] - u - v
    us, vs = np.linspace(0, lu, ceil(lu / size) + 1), np.linspace(0, lv, ceil(lv / size) + 1)
    return Face(
        origin, u / (lu / 2), v / (lv / 2), side * scene.rect_normal[k], us, vs, scene.rect_reflectance[k]
    )


def _block_faces(scene: Scene, k: int, size: float, faces: list[Face]) -> list[int]:
    numbers = []
    low, high = scene.block_low[k], scene.block_high[k]
    for axis in range(3):
        a, b = (axis + 1) % 3, (axis + 2) % 3
        for side in range(2):
            at = high if side else low
            limit = scene.size[axis] if side else 0.0
            if abs(at[axis] - limit) < FLUSH_M or np.any(high - low < FLUSH_M):
                numbers.append(-1)
                continue
            origin = low.copy()
            origin[axis] = at[axis]
            along, up, normal = np.zeros(3), np.zeros(3), np.zeros(3)
            along[a], up[b], normal[axis] = 1.0, 1.0, 1.0 if side else -1.0
            la, lb = float(high[a] - low[a]), float(high[b] - low[b])
            numbers.append(len(faces))
            faces.append(
                Face(
                    origin, along, up, normal, np.linspace(0, la, ceil(la / size) + 1),
                    np.linspace(0, lb, ceil(lb / size) + 1), scene.block_reflectance[k],
                )
            )  # fmt: skip
    return numbers


def _patches(
    scene: Scene, faces: list[Face], room: list[int], rect: list[tuple[int, int]], block: list[int]
) -> Patches:
    centre, half_u, half_v, normal, reflectance, face_of = [], [], [], [], [], []
    nets: list[tuple[object, ...]] = []
    values = []
    count, filled = 0, 0
    total = sum((f.us.size - 1) * (f.vs.size - 1) for f in faces)
    cut_numbers: list[int] = []
    cut_corners: list[Array] = []
    extra: list[int] = []
    standing = _standing(faces, rect, block)
    for number, face in enumerate(faces):
        us, vs = face.us, face.vs
        mid_u, mid_v = (us[:-1] + us[1:]) / 2, (vs[:-1] + vs[1:]) / 2
        uu, vv = (a.ravel() for a in np.meshgrid(mid_u, mid_v, indexing="ij"))
        du, dv = (a.ravel() for a in np.meshgrid(np.diff(us) / 2, np.diff(vs) / 2, indexing="ij"))
        centre.append(face.origin + uu[:, None] * face.along + vv[:, None] * face.up)
        half_u.append(du[:, None] * face.along)
        half_v.append(dv[:, None] * face.up)
        normal.append(np.tile(face.normal, (uu.size, 1)))
        reflectance.append(np.tile(face.reflectance, (uu.size, 1)))
        face_of.append(np.full(uu.size, number))
        values += [us, vs]
        pieces: list[list[float]] = []
        for (i, j), cell in cut_cells(
            us, vs, feet(face.origin, face.along, face.up, face.normal, standing[number])
        ).items():
            if _in_window(scene, room, number, float(mid_u[i]), float(mid_v[j])):
                continue
            place = i * (vs.size - 1) + j
            for k, quad in enumerate(q for piece in cell for q in quads(piece)):
                patch = count + place if k == 0 else total + len(extra)
                if k > 0:
                    extra.append(number)
                pieces.append([place, patch, *(x for corner in quad for x in corner)])
                cut_numbers.append(patch)
                cut_corners.append(np.array([face.origin + p * face.along + q * face.up for p, q in quad]))
        values.append(np.array(pieces).ravel())
        starts = (filled, us.size, filled + us.size, vs.size, filled + us.size + vs.size, len(pieces))
        nets.append((face.origin, face.along, face.up, count, *starts))
        count += uu.size
        filled += us.size + vs.size + PIECE * len(pieces)
    more = np.array(extra, dtype=np.int64)
    count += more.size
    blank = np.zeros((more.size, 3))
    c, hu, hv = (np.concatenate([*parts, blank]) for parts in (centre, half_u, half_v))
    twist = np.zeros((count, 3))
    for patch, p in zip(cut_numbers, cut_corners, strict=True):
        c[patch], twist[patch] = p.mean(axis=0), (p[0] - p[1] + p[2] - p[3]) / 4
        hu[patch], hv[patch] = (p[1] + p[2] - p[0] - p[3]) / 4, (p[2] + p[3] - p[0] - p[1]) / 4
    face_number = np.concatenate([*face_of, more])
    normals = np.concatenate([*normal, np.array([faces[n].normal for n in extra]).reshape(-1, 3)])
    reflect = np.concatenate([*reflectance, np.array([faces[n].reflectance for n in extra]).reshape(-1, 3)])
    aperture = np.full(count, -1)
    for index, a in enumerate(scene.apertures):
        corner, along, _, _ = wall_frame(scene.size, a.wall)
        inside = face_number == room[a.wall]
        at = (c - corner) @ along
        inside &= (at > a.left_m) & (at < a.left_m + a.width_m)
        inside &= (c[:, 2] > a.bottom_m) & (c[:, 2] < a.bottom_m + a.height_m)
        aperture[inside] = index
        reflect[inside] = a.reflectance
    live = np.ones(count, dtype=bool)
    for low, high in zip(scene.block_low, scene.block_high, strict=True):
        covered = np.all((c > low - FLUSH_M) & (c < high + FLUSH_M), axis=1)
        of_room = face_number < 6
        within = np.all((c > low + FLUSH_M) & (c < high - FLUSH_M), axis=1)
        live &= ~((covered & of_room) | within)
    areas = 4 * np.linalg.norm(np.cross(hu, hv), axis=1)
    return Patches(
        centre=c, half_u=hu, half_v=hv, twist=twist, normal=normals, area=areas, reflectance=reflect,
        face=face_number, aperture=aperture, live=live,
        nets=Nets(
            records(nets, NET), np.concatenate(values), np.array(room), np.array(rect).reshape(-1, 2),
            np.array(block, dtype=np.int64),
        ),
    )  # fmt: skip


def _corners(face: Face) -> Array:
    """Four corners of a face, in order."""
    wide, tall = face.along * face.us[-1], face.up * face.vs[-1]
    return np.array([face.origin, face.origin + wide, face.origin + wide + tall, face.origin + tall])


def _standing(faces: list[Face], rect: list[tuple[int, int]], block: list[int]) -> list[list[Array]]:
    """By face: the corners of everything that may stand on it. Blocks on the room's surfaces have their own lines."""
    of_thing = {face: k for k, pair in enumerate(rect) for face in pair}
    things = [(k, _corners(faces[pair[0]])) for k, pair in enumerate(rect)]
    solid = []
    for index, face in enumerate(block):
        if face >= 0:
            of_thing[face] = -1 - index // 6
            solid.append((-1 - index // 6, _corners(faces[face])))
    room = [[corners for _, corners in things]] * 6
    return room + [
        [corners for thing, corners in things + solid if thing != of_thing[number]]
        for number in range(6, len(faces))
    ]


def _in_window(scene: Scene, room: list[int], face: int, u: float, v: float) -> bool:
    """Whether a point of a wall's face lies in a window's hole."""
    return any(
        room[a.wall] == face
        and a.left_m < u < a.left_m + a.width_m
        and a.bottom_m < v < a.bottom_m + a.height_m
        for a in scene.apertures
    )
