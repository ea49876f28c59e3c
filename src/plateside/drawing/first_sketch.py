"""The small drawing beside each question of the first run: what was answered so far, to scale where it can be.

sun_sketch   how high the noon sun stands on the longest and the shortest day
wall_sketch  the window wall from inside
room_sketch  the room from above, as every room is drawn
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from plateside.drawing import above
from plateside.drawing.kit import element, line, number, path, text
from plateside.drawing.openings import walls
from plateside.drawing.palette import ACCENT, CARD, HAIRLINE, INK, SOFT, SUN
from plateside.drawing.views import View
from plateside.model.studio import Studio

WIDTH, HEIGHT = 420.0, 360.0
SIZE = 13.0
SEEN_FROM_M = 0.75
"""From the camera to the dish in the drawing of its view."""


def _sheet(*parts: str) -> str:
    return element(
        "svg", "".join(parts), xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {number(WIDTH)} {number(HEIGHT)}",
        role="img", aria_labelledby="sketch-words", font_size="13",
    )  # fmt: skip


def empty_sketch() -> str:
    """Nothing that can be drawn."""
    return _sheet()


def metres(value_m: float) -> str:
    """'4.2 m'."""
    return f"{number(value_m)} m"


def _words(
    words: str, x: float, y: float, *, anchor: str = "middle", size: float = SIZE, colour: str = SOFT
) -> str:
    return text(words, x, y, size=size, anchor=anchor, fill=colour)


def sun_sketch(noon_elevations_deg: Sequence[float]) -> str:
    """The noon sun on the longest and on the shortest day [deg]; one below the horizon is left out."""
    ground = line(30, 290, 390, 290, stroke=SOFT, stroke_width=2)
    if not noon_elevations_deg:
        return _sheet(ground, _arc("M60 290A150 150 0 0 1 360 290", "2 7"))
    suns = ""
    for n, high in enumerate(noon_elevations_deg):
        if high > 0:
            # both are seen against the same side of the sky; past the zenith they would stand behind
            x, y = 90 + 190 * math.cos(math.radians(high)), 290 - 190 * math.sin(math.radians(high))
            suns += line(90, 290, x, y, stroke=SOFT, stroke_width=1.2)
            suns += element("circle", cx=x, cy=y, r=13 if n else 17, fill=SUN, stroke=INK, stroke_width=1.5)
            suns += _words(f"{high:.0f}°", x + 40, y + 5, size=15, colour=INK)
    post = element("path", d="M81 290v-26h18v26", fill=CARD, stroke=INK, stroke_width=2)
    return _sheet(ground, _arc("M280 290A190 190 0 0 0 90 100"), suns, post)


def _arc(d: str, dash: str | None = None) -> str:
    return element("path", d=d, fill="none", stroke=HAIRLINE, stroke_width=2, stroke_dasharray=dash)


@dataclass(frozen=True)
class WindowWall:
    """A wall and its window from inside [m]; the window may be larger than the wall."""

    width_m: float
    height_m: float
    left_m: float
    window_width_m: float
    window_height_m: float
    sill_m: float

    @property
    def fits(self) -> bool:
        """Whether the window is within the wall."""
        return (
            self.sill_m + self.window_height_m <= self.height_m
            and self.left_m + self.window_width_m <= self.width_m + 1e-9
            and self.left_m >= 0
        )


def wall_sketch(wall: WindowWall) -> str:
    """The window wall. A window that is too large for it is drawn whole as well: that is what is to be seen."""
    begin, end = min(0.0, wall.left_m), max(wall.width_m, wall.left_m + wall.window_width_m)
    s = min(340 / (end - begin), 270 / max(wall.height_m, wall.sill_m + wall.window_height_m))
    x0, floor = (WIDTH - (end + begin) * s) / 2, 315.0
    left, top = x0 + wall.left_m * s, floor - (wall.sill_m + wall.window_height_m) * s
    w, h = wall.window_width_m * s, wall.window_height_m * s
    middle = left + w / 2
    bars = path([(middle, top), (middle, top + h)]) + path([(left, top + h / 2), (left + w, top + h / 2)])
    return _sheet(
        element("rect", x=x0, y=floor - wall.height_m * s, width=wall.width_m * s, height=wall.height_m * s,
                fill=CARD, stroke=INK, stroke_width=2),
        element("rect", x=left, y=top, width=w, height=h, fill=SUN, fill_opacity=0.4, stroke=ACCENT, stroke_width=3),
        element("path", d=bars, fill="none", stroke=ACCENT, stroke_width=1.2),
        line(middle, top + h, middle, floor, stroke=SOFT, stroke_dasharray="3 3"),
        _words(metres(wall.sill_m), middle + 30, floor - wall.sill_m * s / 2 + 5),
        _words(metres(wall.window_width_m), middle, top - 9),
        _words(metres(wall.window_height_m), left + w + 32, top + h / 2 + 5),
        _words(metres(wall.width_m), x0 + wall.width_m * s / 2, floor + 24),
    )  # fmt: skip


def room_sketch(
    studio: Studio,
    *,
    looks: str,
    measured: bool = True,
    lit: bool = True,
    with_table: bool = False,
    from_window: bool = False,
    half_view_rad: float | None = None,
) -> str:
    """The room from above, the window wall at the top.

    studio         with one window, and one table spot
    looks          which way the window looks, in words
    measured       with the room's width and depth
    lit            with the light that comes in
    with_table     with the table and the dish
    from_window    with the way from the window wall to the dish
    half_view_rad  half of what the lens sees side to side, to be drawn
    """
    room, (window,), (spot,) = studio.room, studio.windows, studio.spots
    s = min(300 / room.width_m, 235 / room.depth_m)
    view = View((WIDTH - room.width_m * s) / 2, 62, s, (0.0, room.depth_m, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0),
                room.width_m, room.depth_m)  # fmt: skip
    (ax, ay), (bx, _) = above.window_line(studio, view, window)
    middle = (ax + bx) / 2
    dish_x, dish_y = above.dish_at(studio, view, spot)
    arrow = path([(middle, ay - 12), (middle, 24)]) + path([(middle - 7, 33), (middle, 23), (middle + 7, 33)])
    parts = [above.floor(view), walls(view)]
    if lit:
        inside = element(
            "rect", x=view.left, y=view.top, width=view.right - view.left, height=view.bottom - view.top
        )
        parts.append(element("clipPath", inside, id="sketch-inside"))
        parts.append(above.glow(studio, view, window, "sketch-inside"))
    parts.append(above.opening(studio, view, window))
    parts.append(
        element("path", d=arrow, fill="none", stroke=ACCENT, stroke_width=2, stroke_linejoin="round")
    )
    parts.append(_words(looks, middle, 14, colour=INK))
    if measured:
        parts.append(_words(metres(room.width_m), WIDTH / 2, view.bottom + 30))
        parts.append(
            _words(metres(room.depth_m), view.right + 16, (view.top + view.bottom) / 2, anchor="start")
        )
    if with_table:
        parts.append(above.table(studio, view, spot) + above.plate((dish_x, dish_y), 0.13 * s))
    if from_window:
        parts.append(line(dish_x, view.top, dish_x, dish_y, stroke=SOFT, stroke_dasharray="3 3"))
        # on the side of the table where there is room: its edge must not run through the number
        right = dish_x + 0.5 * s + 52 < view.right
        x = dish_x + (0.5 * s + 8 if right else -0.5 * s - 8)
        parts.append(
            _words(
                metres(spot.from_front_m), x, (view.top + dish_y) / 2 + 5, anchor="start" if right else "end"
            )
        )
    if half_view_rad is not None:
        away = SEEN_FROM_M * s
        x, reach = dish_x - away, away * 1.35
        half = math.tan(half_view_rad) * reach
        cone = path([(x, dish_y), (x + reach, dish_y - half), (x + reach, dish_y + half)], closed=True)
        parts.append(element("path", d=cone, fill=ACCENT, fill_opacity=0.14, stroke=ACCENT))
        parts.append(element("rect", x=x - 15, y=dish_y - 9, width=15, height=18, rx=2, fill=INK))
    return _sheet(*parts)
