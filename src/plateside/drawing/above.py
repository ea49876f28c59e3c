"""What a room from above is made of. Everybody who draws one draws it with these: the plan to a ruler's scale, the
set-up for the tape, the Studio page, the first run.

Outlines have the class `edge`, so that a page can show which one is chosen.
"""

from plateside.drawing.kit import element, line, path
from plateside.drawing.openings import WALL_PX
from plateside.drawing.palette import CARD, HAIRLINE, INK, PAPER, SOFT, SUN
from plateside.drawing.views import Paper, View, window_ends_m
from plateside.model.room import Block, Spot, Window
from plateside.model.studio import Studio

OUTWARD = {"front": (0, -1), "back": (0, 1), "left": (-1, 0), "right": (1, 0)}
"""Out of the room through each wall, on the paper."""


def floor(view: View) -> str:
    """The floor, as wide and deep as the room."""
    return element("rect", x=view.left, y=view.top, width=view.right - view.left, height=view.bottom - view.top,
                   fill=CARD)  # fmt: skip


def window_line(studio: Studio, view: View, window: Window) -> tuple[Paper, Paper]:
    """The inner edge of an opening [px], from its left to its right end seen from inside."""
    a, b = (view.at(p) for p in window_ends_m(studio, window))
    return a, b


def opening(studio: Studio, view: View, window: Window) -> str:
    """A window in its wall: light in the opening, the glass as a line in the middle."""
    (x0, y0), (x1, y1) = window_line(studio, view, window)
    out_x, out_y = (step * WALL_PX for step in OUTWARD[studio.wall_of(window)])
    corners = [(x0, y0), (x1, y1), (x1 + out_x, y1 + out_y), (x0 + out_x, y0 + out_y)]
    return (
        element("path", d=path(corners, closed=True), fill=PAPER)
        + element("path", class_="edge", d=path(corners, closed=True), fill=SUN, fill_opacity=0.5, stroke=INK)
        + line(x0 + out_x / 2, y0 + out_y / 2, x1 + out_x / 2, y1 + out_y / 2)
    )


def glow(studio: Studio, view: View, window: Window, clip_id: str) -> str:
    """Where a window's light falls first: a metre and a half into the room, spreading."""
    (x0, y0), (x1, y1) = window_line(studio, view, window)
    out_x, out_y = OUTWARD[studio.wall_of(window)]
    deep, spread = 1.5 * view.px_per_m, 0.35 * view.px_per_m
    along = ((x1 > x0) - (x1 < x0), (y1 > y0) - (y1 < y0))
    far = [
        (x - out_x * deep + side * along[0] * spread, y - out_y * deep + side * along[1] * spread)
        for x, y, side in ((x1, y1, 1), (x0, y0, -1))
    ]
    return element("path", d=path([(x0, y0), (x1, y1), *far], closed=True), fill=SUN, fill_opacity=0.16,
                   clip_path=f"url(#{clip_id})", pointer_events="none")  # fmt: skip


def furniture_box(view: View, block: Block) -> tuple[float, float, float, float]:
    """Left, top, right and bottom [px] of what stands on the floor."""
    x, y = view.left + block.from_left_m * view.px_per_m, view.top + block.from_front_m * view.px_per_m
    return x, y, x + block.width_m * view.px_per_m, y + block.depth_m * view.px_per_m


def furniture(view: View, block: Block) -> str:
    """What stands on the floor, as a box."""
    return box(*furniture_box(view, block))


def box(left: float, top: float, right: float, bottom: float) -> str:
    """Furniture, from above or from the side."""
    return element("rect", class_="edge", x=left, y=top, width=right - left, height=bottom - top, fill=HAIRLINE,
                   fill_opacity=0.45, stroke=SOFT)  # fmt: skip


def dish_at(studio: Studio, view: View, spot: Spot) -> Paper:
    """The middle of the dish's place [px]."""
    return view.at((spot.from_left_m, studio.room.depth_m - spot.from_front_m, spot.height_m))


def table_box(studio: Studio, view: View, spot: Spot) -> tuple[float, float, float, float]:
    """Left, top, right and bottom [px] of a table top; what would pass a wall ends there."""
    room, px = studio.room, view.px_per_m
    left, right = spot.from_left_m - spot.table_width_m / 2, spot.from_left_m + spot.table_width_m / 2
    top, bottom = spot.from_front_m - spot.table_depth_m / 2, spot.from_front_m + spot.table_depth_m / 2
    return (
        view.left + max(0.0, left) * px,
        view.top + max(0.0, top) * px,
        view.left + min(room.width_m, right) * px,
        view.top + min(room.depth_m, bottom) * px,
    )


def table(studio: Studio, view: View, spot: Spot) -> str:
    """A table top."""
    left, top, right, bottom = table_box(studio, view, spot)
    return element("rect", class_="edge", x=left, y=top, width=right - left, height=bottom - top, rx=2,
                   fill=PAPER, fill_opacity=0.75, stroke=INK)  # fmt: skip


def plate(at: Paper, radius_px: float) -> str:
    """The dish: its rim and its well."""
    return element("circle", cx=at[0], cy=at[1], r=radius_px, fill=CARD, stroke=INK) + element(
        "circle", cx=at[0], cy=at[1], r=radius_px * 0.68, fill="none", stroke=SOFT
    )


def board(ends: tuple[Paper, Paper], tone: str) -> str:
    """A standing board: an edge of ink, its own tone within."""
    d = path(ends)
    return element("path", class_="edge", d=d, stroke=INK, stroke_width=6, fill="none") + element(
        "path", d=d, stroke=tone, stroke_width=3, fill="none", pointer_events="none"
    )


def tone(reflectance: float | tuple[float, ...]) -> str:
    """The colour of what gives back so much light, for sRGB's own darkening by eye (2.2)."""
    shares = reflectance if isinstance(reflectance, tuple) else (reflectance,) * 3
    r, g, b = (round(255 * min(1.0, s + 0.06) ** (1 / 2.2)) for s in shares)
    return f"#{r:02x}{g:02x}{b:02x}"
