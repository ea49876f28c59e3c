"""The measures on the Studio page's plan: the room's own and those of what is chosen; north, and a metre to compare."""

import math

from plateside.drawing import above
from plateside.drawing.kit import element, line, path, text
from plateside.drawing.palette import ACCENT, HAIRLINE, PAPER, SOFT
from plateside.drawing.studio_sheet import Sheet, label, metres
from plateside.drawing.views import Paper, View
from plateside.model.room import Window
from plateside.model.studio import Studio
from plateside.plan.beside import toward


def measures(sheet: Sheet) -> str:
    """The room's own measures, and those of what is chosen."""
    studio, view, chosen = sheet.studio, sheet.view, sheet.chosen
    room = studio.room
    across, down = view.bottom + sheet.back - 42, view.right + sheet.right - 54
    out = chain((view.left, across), (view.right, across), metres(room.width_m))
    out += chain((down, view.top), (down, view.bottom), metres(room.depth_m))
    match chosen:
        case ("spots", int(n)) if 0 <= n < len(studio.spots):
            spot = studio.spots[n]
            left, top, _, _ = above.table_box(studio, view, spot)
            dish = above.dish_at(studio, view, spot)
            out += _from_walls(view, dish, (left, top), spot.from_left_m, spot.from_front_m)
        case ("furniture", int(n)) if 0 <= n < len(studio.furniture):
            block = studio.furniture[n]
            left, top, right, bottom = above.furniture_box(view, block)
            x, y = (left + right) / 2, (top + bottom) / 2
            out += chain((view.left, y), (left, y), metres(block.from_left_m), near=True)
            out += chain((x, view.top), (x, top), metres(block.from_front_m), near=True)
        case ("windows", int(n)) if 0 <= n < len(studio.windows):
            out += _along_wall(studio, view, studio.windows[n])
    return out


def _from_walls(view: View, dish: Paper, corner: Paper, left_m: float, front_m: float) -> str:
    """From the left and the front wall to a dish; the words before its table, where there is room."""
    (x, y), (left, top) = dish, corner
    beside = ((view.left + left) / 2, y) if left - view.left > 58 else None
    before = (x, (view.top + top) / 2) if top - view.top > 24 else None
    out = chain((view.left, y), (x, y), metres(left_m), near=True, put=beside)
    return out + chain((x, view.top), (x, y), metres(front_m), near=True, put=before)


def _along_wall(studio: Studio, view: View, w: Window) -> str:
    """From one end of the wall to the other, with the window's own width between."""
    wall, left = studio.wall_of(w), studio.window_left_m(w)
    whole = studio.wall_length_m(w)
    out_x, out_y = above.OUTWARD[wall]
    stops = [0.0, left, left + w.width_m, whole]
    at = []
    for s in stops:
        x, y = {
            "front": (view.left + s * view.px_per_m, view.top),
            "right": (view.right, view.top + s * view.px_per_m),
            "back": (view.right - s * view.px_per_m, view.bottom),
            "left": (view.left, view.bottom - s * view.px_per_m),
        }[wall]
        at.append((x - out_x * 26, y - out_y * 26))
    return "".join(
        chain(at[n], at[n + 1], metres(stops[n + 1] - stops[n]), near=True, before=out_x > 0)
        for n in range(3)
    )


def chain(
    a: Paper, b: Paper, words: str, *, near: bool = False, put: Paper | None = None, before: bool = False
) -> str:
    """A measure from a to b; its words at the middle, or where `put` says; `before`: left of an upright one."""
    long = math.dist(a, b)
    if long < 3:
        return ""
    colour, upright = (ACCENT if near else SOFT), abs(a[0] - b[0]) < abs(a[1] - b[1])
    tick_x, tick_y = (4, 0) if upright else (0, 4)
    d = path([a, b]) + "".join(path([(x - tick_x, y - tick_y), (x + tick_x, y + tick_y)]) for x, y in (a, b))
    drawn = element("path", class_="measure", d=d, stroke=colour, fill="none", pointer_events="none")
    if long < 26 and near:
        return drawn
    x, y = put or ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    x, y = (x + (-6 if before else 6), y + 4) if upright else (x, y - 5)
    anchor = ("end" if before else "start") if upright else "middle"
    return drawn + label(words, x, y, anchor=anchor, colour=colour, pointer_events="none")


def north(sheet: Sheet) -> str:
    """North, in the upper right corner."""
    right, up = toward(-sheet.studio.front_bearing_deg)
    x, y = sheet.width - 34, 34.0
    tip, tail = (x + right * 20, y - up * 20), (x - right * 20, y + up * 20)
    return element(
        "g",
        element("circle", cx=x, cy=y, r=20, fill="none", stroke=HAIRLINE)
        + line(*tail, *tip, stroke=SOFT, stroke_width=1.4)
        + element("circle", cx=tip[0], cy=tip[1], r=9, fill=PAPER)
        + text("N", tip[0], tip[1] + 5, size=13, anchor="middle"),
        pointer_events="none",
    )


def ruler(sheet: Sheet) -> str:
    """One metre, in the lower left corner."""
    x, y, metre = sheet.view.left, sheet.height - 6, sheet.view.px_per_m
    bar = path([(x, y - 4), (x, y), (x + metre, y), (x + metre, y - 4)])
    return element("path", d=bar, fill="none", stroke=SOFT) + text("1 m", x + metre + 8, y, fill=SOFT)
