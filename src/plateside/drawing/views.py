"""Two views of the room to one scale: from above (plan) and from the side, cut along the main window (section).

The drawing's scale is one of those a ruler has; printed at full size, 1 m of the room is exactly 1 m / N of paper.
"""

import math
from dataclasses import dataclass

from plateside.drawing.marks import Point
from plateside.model.room import Window
from plateside.model.studio import Studio

CSS_PX_PER_M = 96 / 0.0254
SCALES = (10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 250, 500)

Paper = tuple[float, float]


@dataclass(frozen=True)
class View:
    """A flat view of the room: `across` and `down` are unit vectors in the room, `origin_m` the view's top left."""

    left: float
    top: float
    px_per_m: float
    origin_m: Point
    across: Point
    down: Point
    wide_m: float
    high_m: float

    def at(self, point_m: Point) -> Paper:
        """Where a point of the room stands on the paper [px]."""
        (x, y, z), (x0, y0, z0) = point_m, self.origin_m
        across, down = self.direction((x - x0, y - y0, z - z0))
        return self.left + across * self.px_per_m, self.top + down * self.px_per_m

    def points(self, points_m: tuple[Point, ...]) -> list[Paper]:
        """Several points at once."""
        return [self.at(p) for p in points_m]

    def direction(self, vector: Point) -> Paper:
        """A direction in the room as it lies on the paper (not of unit length when it leaves the paper's plane)."""
        x, y, z = vector
        (ax, ay, az), (dx, dy, dz) = self.across, self.down
        return x * ax + y * ay + z * az, x * dx + y * dy + z * dz

    @property
    def right(self) -> float:
        """Right edge of the room on the paper."""
        return self.left + self.wide_m * self.px_per_m

    @property
    def bottom(self) -> float:
        """Lower edge of the room on the paper."""
        return self.top + self.high_m * self.px_per_m


def scale_for(wide_m: float, high_m: float, wide_px: float, high_px: float) -> int:
    """The largest ruler scale 1:N at which that much room fits into that much paper."""
    for n in SCALES:
        if wide_m * CSS_PX_PER_M / n <= wide_px and high_m * CSS_PX_PER_M / n <= high_px:
            return n
    return SCALES[-1]


def plan_view(studio: Studio, left: float, top: float, px_per_m: float) -> View:
    """From above, the front wall at the top."""
    room = studio.room
    return View(left, top, px_per_m, (0.0, room.depth_m, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0),
                room.width_m, room.depth_m)  # fmt: skip


def section_wall(studio: Studio) -> str:
    """The wall that the section cuts: the main window's."""
    return studio.wall_of(studio.windows[0]) if studio.windows else "front"


def section_view(studio: Studio, left: float, top: float, px_per_m: float) -> View:
    """From the side, the main window's wall on the left."""
    room = studio.room
    origin, across = {
        "front": ((0.0, room.depth_m, room.height_m), (0.0, -1.0, 0.0)),
        "back": ((0.0, 0.0, room.height_m), (0.0, 1.0, 0.0)),
        "left": ((0.0, 0.0, room.height_m), (1.0, 0.0, 0.0)),
        "right": ((room.width_m, 0.0, room.height_m), (-1.0, 0.0, 0.0)),
    }[section_wall(studio)]
    return View(
        left, top, px_per_m, origin, across, (0.0, 0.0, -1.0), section_length_m(studio), room.height_m
    )


def section_length_m(studio: Studio) -> float:
    """How long the room is along the section."""
    return studio.room.depth_m if section_wall(studio) in ("front", "back") else studio.room.width_m


def window_ends_m(studio: Studio, window: Window) -> tuple[Point, Point]:
    """The opening's lower left and upper right corner, seen from inside."""
    room, wall = studio.room, studio.wall_of(window)
    a = studio.window_left_m(window)
    b = a + window.width_m
    low, high = window.sill_m, window.sill_m + window.height_m
    return {
        "front": ((a, room.depth_m, low), (b, room.depth_m, high)),
        "back": ((room.width_m - a, 0.0, low), (room.width_m - b, 0.0, high)),
        "left": ((0.0, a, low), (0.0, b, high)),
        "right": ((room.width_m, room.depth_m - a, low), (room.width_m, room.depth_m - b, high)),
    }[wall]


def sun_direction(studio: Studio, bearing_deg: float, elevation_deg: float) -> Point:
    """Unit vector from the dish to the sun, in the room's coordinates."""
    turn, up = math.radians(bearing_deg - studio.front_bearing_deg), math.radians(elevation_deg)
    return math.sin(turn) * math.cos(up), math.cos(turn) * math.cos(up), math.sin(up)
