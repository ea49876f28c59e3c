"""The physical scene that the light engine computes, said so exactly that another renderer can build the same one.

**Coordinates.** The room's own (model/studio.py): x right along the front wall, y forward to it, z up, metres. A true
bearing B is the direction (sin(B - front), cos(B - front), 0), front being `studio.front_bearing_deg`.

**Room.** A box, width x depth x height. All surfaces are Lambertian, of the reflectances given, times
`fit.reflectance_factor` (at most 0.95; blocks too, the table and the boards not). Three bands are linear-light red,
green and blue of sRGB; one number means the same for all.

**Walls have no thickness.** A window is a rectangular hole in the plane of its wall (the wall whose normal is nearest
to the window's bearing; the normal is the wall's, not the bearing's), its lower left corner `from_left_m` from the
wall's left end seen from inside, or in the middle. In the hole, in that plane, is the glass: one pane (light/glass.py:
Fresnel, index 1.52, the same as Radiance's `glass`). What comes through is further multiplied at all angles by
dirt_factor x (1 - frame_share) x fit.light_factor: frame and bars are spread over the pane, they throw no shadow of
their own. To the room the pane is a diffuse reflector of its own diffuse reflectance x (1 - frame_share)
(a real pane mirrors; the difference is below 0.3 % of the light).

**Reveal.** With reveal_depth_m > 0 the hole goes on outwards as a rectangular tunnel of that depth. **Overhang**: a
horizontal plate without thickness, endless sideways, `overhang_above_m` above the opening's top, from the glass plane
out to reveal depth + overhang depth. Both are matt, of reflectance 0.5, stop the sun and are lit by it, by sky, ground,
what stands opposite and each other; under an overhang the wall's outside, matt as its inside, lights it too.

**Outside.** The ground is a level plane without end, `floor_above_ground_m` below the floor, of even luminance
ground_reflectance/pi x (diffuse horizontal + direct normal x sin(sun's elevation)), never in shadow. Something
opposite is a part of an upright cylinder about the window's middle, of radius `distance_m`, between its two bearings
as seen from that middle, from the ground to `top_above_ground_m` above the ground (so its top moves against the sky
as one moves in the room). Its face is cut into equal parts of at most 20 degrees, each of even luminance:
reflectance/pi x (vertical illuminance of the unobstructed sky on a plane facing the window + 0.5 x ground
reflectance x global horizontal + direct normal x cosine to that plane, when the sun is before it). It passes
`see_through` of what is behind it, the sun too, and gives (1 - see_through) of its own luminance. Outside luminances
are thus given, not traced. Each window sees only what stands opposite itself. fit.skyline_lift_deg is added to the
elevation angle of each top seen from the window's middle; when it is positive a skyline of that angle (reflectance
0.25, 1000 m off) also stands at all bearings behind the others.

**Sky.** Luminance as light/sky.py says, from the horizon up. The sun is a point at its seen (refracted) place.

**A sheet (Hung)** lies in the plane of the glass, on the room's side, over the top `covers_share` of the window.
Light from outside that reaches it (through the glass, dirt and frame) is passed in part unchanged
(clear_transmittance) and in part as evenly diffuse (diffuse_transmittance); what it throws back (reflectance) the
pane throws back again in part (its diffuse reflectance). To the room it is a diffuse reflector of its reflectance.

**Table.** A thin rectangle, both faces of table_reflectance, at the spot's height, its middle under the dish, cut
off at the walls. **Boards** (StandingBoard) are thin rectangles, both faces of the board's reflectance. **Blocks** are
solid boxes.

**Faces.** The horizontal sensor lies 1 mm above the table top at the dish. The upright faces and the camera's face
stand 50 mm above the table top at the dish; they are single points with a normal and see table, boards, room and
window. The dish itself is not in the scene.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin
from typing import NamedTuple

import numpy as np

from plateside.light.boards import bands
from plateside.light.glass import diffuse_glass_reflectance, pane
from plateside.light.records import BLOCK, OPENING, OPPOSITE, THIN, THING, Records, Solids, records
from plateside.light.window_outside import Outside, outside_of
from plateside.model.errors import RefusedError
from plateside.model.light_answers import Array, Hung, StandingBoard
from plateside.model.room import Reflectance, Spot, Window
from plateside.model.studio import WALLS, Studio

HORIZONTAL_LIFT_M = 0.001
FACE_LIFT_M = 0.05
MOST_REFLECTANCE = 0.95
INSIDE_M = 2e-3
"""So far inside a block something must be to be called inside."""

SURFACES = (*WALLS, "floor", "ceiling")


@dataclass(frozen=True)
class Aperture:
    """A part of a window that is bare or covered all over by one sheet."""

    window: int
    wall: int
    left_m: float
    """From the wall's left end."""
    bottom_m: float
    width_m: float
    height_m: float
    sheet: bool
    clear: float
    """Share that passes a sheet unchanged; 1 when bare."""
    exitance: float
    """Evenly diffuse exitance for each lux that reaches a sheet through the glass; 0 when bare."""
    reflectance: float
    """To the room."""


@dataclass(frozen=True)
class Scene:
    """Everything as arrays for the kernels. A rectangle is centre, half edges u and v, unit normal."""

    size: Array
    """Room's width, depth, height (3,)."""
    surface_reflectance: Array
    """Front, right, back, left, floor, ceiling by bands (6, 3)."""
    solids: Solids
    """The room, thin things and blocks for the kernels."""
    rect_centre: Array
    """Thin things: the table first, then the boards (r, 3)."""
    rect_u: Array
    rect_v: Array
    rect_normal: Array
    rect_reflectance: Array
    """(r, 3)"""
    block_low: Array
    """(b, 3)"""
    block_high: Array
    block_reflectance: Array
    apertures: tuple[Aperture, ...]
    openings: Records
    """The same for the kernels (records.OPENING)."""
    opposite: Records
    """What stands opposite, window by window (records.OPPOSITE)."""
    things: Records
    """Outside things of even luminance (records.THING)."""
    dish: Array
    """(3,)"""
    front_rad: float
    coloured: bool
    """Whether any reflectance differs between bands."""

    @property
    def bands(self) -> int:
        return 3 if self.coloured else 1


def wall_frame(scene_size: Array, wall: int) -> tuple[Array, Array, Array, float]:
    """A wall's lower left corner seen from inside, the direction along it, its outward normal, its length."""
    w, d, _ = scene_size
    if wall == 0:
        return np.array([0.0, d, 0.0]), np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), float(w)
    if wall == 1:
        return np.array([w, d, 0.0]), np.array([0.0, -1.0, 0.0]), np.array([1.0, 0.0, 0.0]), float(d)
    if wall == 2:
        return np.array([w, 0.0, 0.0]), np.array([-1.0, 0.0, 0.0]), np.array([0.0, -1.0, 0.0]), float(w)
    return np.array([0.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([-1.0, 0.0, 0.0]), float(d)


class _Part(NamedTuple):
    """A part of a window that is bare or covered all over by one sheet; see Aperture."""

    bottom_m: float
    height_m: float
    covered: bool
    clear: float
    exitance: float
    """For a lux."""
    reflectance: float
    """To the room."""


class _Hole(NamedTuple):
    """A window's hole in its wall."""

    wall: int
    left_m: float
    corner: Array
    """Of the wall."""
    along: Array
    normal: Array

    def at(self, along_m: float, height_m: float) -> Array:
        return np.asarray(self.corner + self.along * along_m + np.array([0.0, 0.0, height_m]))


def build_scene(
    studio: Studio, spot: Spot, boards: Sequence[StandingBoard] = (), hung: Sequence[Hung] | None = None
) -> Scene:
    """The scene around one spot. Raises InputError when something does not fit into the room."""
    room = studio.room
    size = np.array([room.width_m, room.depth_m, room.height_m])
    factor = studio.fit.reflectance_factor
    surface = np.array([_scaled(getattr(room, f"{name}_reflectance"), factor) for name in SURFACES])
    low, high = _blocks(studio, size)
    dish = _dish(studio, spot, size, low, high)
    rects = [_table(size, spot, dish)] + [_board(studio, board) for board in boards]
    outside = Outside([], [])
    apertures: list[Aperture] = []
    openings: list[tuple[object, ...]] = []
    sheets = _sheets(studio, hung)
    for index, window in enumerate(studio.windows):
        hole = _hole(studio, window, size)
        outside_places = outside_of(
            studio, window, hole.at(hole.left_m + window.width_m / 2, 0.0), hole.normal, outside
        )
        for part in _parts(window, sheets.get(index), diffuse_glass_reflectance(window.glass_transmittance)):
            apertures.append(
                Aperture(
                    index, hole.wall, hole.left_m, part.bottom_m, window.width_m, part.height_m, part.covered,
                    part.clear, part.exitance, part.reflectance,
                )
            )  # fmt: skip
            openings.append((*_opening(studio, window, hole, part), *outside_places))
    reflectances = np.array([bands(spot.table_reflectance)] + [board.reflectance for board in boards])
    block_reflectance = np.array([_scaled(block.reflectance, factor) for block in studio.furniture]).reshape(
        -1, 3
    )
    things = records(outside.things, THING)
    coloured = any(
        bool(np.any(np.abs(a - a[:, :1]) > 1e-9))
        for a in (surface, reflectances, block_reflectance, things["reflectance"], things["horizontal"])
        if len(a)
    )
    thin = records([(*rect, rect[1] @ rect[1], rect[2] @ rect[2]) for rect in rects], THIN)
    return Scene(
        size=size,
        surface_reflectance=surface,
        solids=Solids(size, thin, records(list(zip(low, high, strict=True)), BLOCK)),
        rect_centre=np.array([r[0] for r in rects]),
        rect_u=np.array([r[1] for r in rects]),
        rect_v=np.array([r[2] for r in rects]),
        rect_normal=np.array([r[3] for r in rects]),
        rect_reflectance=reflectances,
        block_low=low,
        block_high=high,
        block_reflectance=block_reflectance,
        apertures=tuple(apertures),
        openings=records(openings, OPENING),
        opposite=records(outside.opposite, OPPOSITE),
        things=things,
        dish=dish,
        front_rad=radians(studio.front_bearing_deg),
        coloured=coloured,
    )


def _dish(studio: Studio, spot: Spot, size: Array, low: Array, high: Array) -> Array:
    """Where the dish stands: in the room, and in no block (low, high)."""
    dish = np.array([spot.from_left_m, studio.room.depth_m - spot.from_front_m, spot.height_m])
    if not (0 < dish[0] < size[0] and 0 < dish[1] < size[1] and 0 <= dish[2] < size[2] - FACE_LIFT_M):
        raise RefusedError(
            "spot outside the room",
            name=spot.name,
            from_left_m=spot.from_left_m,
            from_front_m=spot.from_front_m,
            width_m=studio.room.width_m,
            depth_m=studio.room.depth_m,
        )
    for block, bottom, top in zip(studio.furniture, low, high, strict=True):
        if np.all(dish > bottom + INSIDE_M) and np.all(dish < top - INSIDE_M):
            raise RefusedError(
                "spot inside a block", name=spot.name, block=block.name, height_m=spot.height_m
            )
    return dish


def _hole(studio: Studio, window: Window, size: Array) -> _Hole:
    wall = WALLS.index(studio.wall_of(window))
    corner, along, normal, length = wall_frame(size, wall)
    left = studio.window_left_m(window)
    if (
        left < -1e-9
        or left + window.width_m > length + 1e-9
        or window.sill_m + window.height_m > size[2] + 1e-9
    ):
        raise RefusedError(
            "window does not fit",
            name=window.name,
            width_m=window.width_m,
            height_m=window.height_m,
            sill_m=window.sill_m,
            left_m=left,
            wall=WALLS[wall],
            wall_m=length,
            room_m=studio.room.height_m,
        )
    return _Hole(wall, left, corner, along, normal)


def _opening(studio: Studio, window: Window, hole: _Hole, part: _Part) -> tuple[object, ...]:
    """A part of a window as OPENING has it, up to its sheet."""
    index, inner = pane(window.glass_transmittance)
    scale = window.dirt_factor * (1 - window.frame_share) * studio.fit.light_factor
    corner, whole = hole.at(hole.left_m, part.bottom_m), hole.at(hole.left_m, window.sill_m)
    plate = window.sill_m + window.height_m + window.overhang_above_m
    return (
        corner, hole.along, hole.normal, window.width_m, part.height_m, index, inner, scale, part.clear,
        whole, window.width_m, window.height_m, window.reveal_depth_m, window.overhang_depth_m, plate, part.covered,
    )  # fmt: skip


Rect = tuple[Array, Array, Array, Array]


def _scaled(reflectance: Reflectance, factor: float) -> tuple[float, float, float]:
    r, g, b = bands(reflectance)
    return (
        min(r * factor, MOST_REFLECTANCE),
        min(g * factor, MOST_REFLECTANCE),
        min(b * factor, MOST_REFLECTANCE),
    )


def _table(size: Array, spot: Spot, dish: Array) -> Rect:
    x0, x1 = max(0.0, dish[0] - spot.table_width_m / 2), min(size[0], dish[0] + spot.table_width_m / 2)
    y0, y1 = max(0.0, dish[1] - spot.table_depth_m / 2), min(size[1], dish[1] + spot.table_depth_m / 2)
    # A table that lies on the floor is lifted by a hair, so that the two never coincide.
    height = max(float(dish[2]), 1e-3)
    return (
        np.array([(x0 + x1) / 2, (y0 + y1) / 2, height]),
        np.array([(x1 - x0) / 2, 0.0, 0.0]),
        np.array([0.0, (y1 - y0) / 2, 0.0]),
        np.array([0.0, 0.0, 1.0]),
    )


def _board(studio: Studio, board: StandingBoard) -> Rect:
    turn, tilt = radians(board.normal_bearing_deg - studio.front_bearing_deg), radians(board.tilt_deg)
    normal = np.array([sin(turn) * cos(tilt), cos(turn) * cos(tilt), sin(tilt)])
    across = np.array([cos(turn), -sin(turn), 0.0])
    up = np.cross(across, normal)
    return (
        np.array([board.x_m, board.y_m, board.z_m]),
        across * board.width_m / 2,
        up * board.height_m / 2,
        normal,
    )


def _blocks(studio: Studio, size: Array) -> tuple[Array, Array]:
    low, high = [], []
    for block in studio.furniture:
        y1 = size[1] - block.from_front_m
        a = np.array([block.from_left_m, y1 - block.depth_m, block.bottom_m])
        b = np.array([block.from_left_m + block.width_m, y1, block.bottom_m + block.height_m])
        low.append(np.clip(a, 0.0, size))
        high.append(np.clip(b, 0.0, size))
    return np.array(low).reshape(-1, 3), np.array(high).reshape(-1, 3)


def _sheets(studio: Studio, hung: Sequence[Hung] | None) -> dict[int, Hung]:
    if hung is None:
        hung = [Hung(d.window, d, d.covers_share) for d in studio.diffusers if d.window]
    names = [window.name for window in studio.windows]
    found: dict[int, Hung] = {}
    for sheet in hung:
        if sheet.window and sheet.window not in names:
            raise RefusedError("sheet on no window", window=sheet.window, known=list(names))
        if names:
            found[names.index(sheet.window) if sheet.window else 0] = sheet
    return found


def _parts(window: Window, sheet: Hung | None, pane_reflects: float) -> list[_Part]:
    bare_reflects = pane_reflects * (1 - window.frame_share)
    if sheet is None or sheet.covers_share <= 0:
        return [_Part(window.sill_m, window.height_m, False, 1.0, 0.0, bare_reflects)]
    d = sheet.diffuser
    again = d.reflectance * pane_reflects
    exitance = (d.diffuse_transmittance + d.clear_transmittance * again) / (1 - again)
    covered = window.height_m * min(sheet.covers_share, 1.0)
    bottom = window.sill_m + window.height_m - covered
    parts = [_Part(bottom, covered, True, d.clear_transmittance, exitance, d.reflectance)]
    if sheet.covers_share < 1:
        parts.append(_Part(window.sill_m, window.height_m - covered, False, 1.0, 0.0, bare_reflects))
    return parts
