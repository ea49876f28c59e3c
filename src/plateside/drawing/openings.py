"""Walls as a filled band, and the windows cut into them, in plan and in section."""

from plateside.drawing.kit import element, line, path
from plateside.drawing.labels import Box, Keeper
from plateside.drawing.palette import HAIRLINE, INK, PAPER
from plateside.drawing.views import View, section_wall, window_ends_m
from plateside.model.studio import Studio

WALL_PX = 9.0
OVERHANG_PX = 60.0
"""An eave that stands out further is drawn cut off."""


def walls(view: View, keeper: Keeper) -> str:
    """Four walls (or floor, ceiling and two walls) as one filled band, drawn even-odd."""
    for box in (
        (view.left - WALL_PX, view.top - WALL_PX, view.right + WALL_PX, view.top),
        (view.left - WALL_PX, view.bottom, view.right + WALL_PX, view.bottom + WALL_PX),
        (view.left - WALL_PX, view.top, view.left, view.bottom),
        (view.right, view.top, view.right + WALL_PX, view.bottom),
    ):
        keeper.block(Box(*box))
    outer = [(view.left - WALL_PX, view.top - WALL_PX), (view.right + WALL_PX, view.top - WALL_PX),
             (view.right + WALL_PX, view.bottom + WALL_PX), (view.left - WALL_PX, view.bottom + WALL_PX)]  # fmt: skip
    inner = [
        (view.left, view.top),
        (view.left, view.bottom),
        (view.right, view.bottom),
        (view.right, view.top),
    ]
    d = path(outer, closed=True) + path(inner, closed=True)
    return element("path", d=d, fill=HAIRLINE, fill_rule="evenodd", stroke=INK)


def windows_in_plan(studio: Studio, view: View) -> str:
    """An opening in the wall with its glass as a line in the middle."""
    parts = []
    for window in studio.windows:
        (x0, y0), (x1, y1) = (view.at(p) for p in window_ends_m(studio, window))
        wall = studio.wall_of(window)
        out_x, out_y = {"front": (0, -1), "back": (0, 1), "left": (-1, 0), "right": (1, 0)}[wall]
        corners = [(x0, y0), (x1, y1), (x1 + out_x * WALL_PX, y1 + out_y * WALL_PX),
                   (x0 + out_x * WALL_PX, y0 + out_y * WALL_PX)]  # fmt: skip
        half = WALL_PX / 2
        parts.append(element("path", d=path(corners, closed=True), fill=PAPER, stroke=INK))
        parts.append(line(x0 + out_x * half, y0 + out_y * half, x1 + out_x * half, y1 + out_y * half))
    return "".join(parts)


def windows_in_section(studio: Studio, view: View) -> str:
    parts = []
    cut = section_wall(studio)
    facing = {"front": "back", "back": "front", "left": "right", "right": "left"}[cut]
    for window in studio.windows:
        wall = studio.wall_of(window)
        (x0, y0), (x1, y1) = (view.at(p) for p in window_ends_m(studio, window))
        if wall in (cut, facing):
            out = -WALL_PX if wall == cut else WALL_PX
            corners = [(x0, y0), (x0, y1), (x0 + out, y1), (x0 + out, y0)]
            parts.append(element("path", d=path(corners, closed=True), fill=PAPER, stroke=INK))
            parts.append(line(x0 + out / 2, y0, x0 + out / 2, y1))
            if window.overhang_depth_m > 0 and wall == cut:
                y = y1 - window.overhang_above_m * view.px_per_m
                # A deep eave is cut off with a slanted stroke: the chain of heights stands beyond it.
                reach = window.overhang_depth_m * view.px_per_m
                end = x0 + out - min(reach, OVERHANG_PX)
                parts.append(line(end, y, x0 + out, y))
                if reach > OVERHANG_PX:
                    parts.append(line(end - 3, y + 5, end + 3, y - 5))
        elif wall == _wall_beyond(cut):
            corners = [(x0, y0), (x0, y1), (x1, y1), (x1, y0)]
            parts.append(element("path", d=path(corners, closed=True), fill="none", stroke=HAIRLINE))
    return "".join(parts)


def _wall_beyond(cut: str) -> str:
    """The wall one looks at in the section: with the cut wall on the left hand."""
    return {"front": "right", "right": "back", "back": "left", "left": "front"}[cut]
