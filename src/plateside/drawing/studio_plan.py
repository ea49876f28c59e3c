"""The Studio page's plan: the room from above, everything in it a thing that can be taken hold of.

A thing is a group with `data-path` (where it stands in the settings), a name that is read out, and an outline of class
`edge`. The page moves what is dragged by a transform; where it is then is drawn here anew. Nothing here needs numpy:
the pages' own server draws it.
"""

import math

from plateside.drawing import above
from plateside.drawing.kit import element, number, path
from plateside.drawing.openings import WALL_PX, walls
from plateside.drawing.palette import ACCENT, CARD, INK, SOFT
from plateside.drawing.studio_measures import measures, north, ruler
from plateside.drawing.studio_sheet import Path, Sheet, label, metres, path_words, sheet_of, thing
from plateside.drawing.studio_shot import shot_at_spot
from plateside.drawing.views import Paper
from plateside.model.room import Block, Opposite, Spot, Window
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.plan.beside import toward
from plateside.words import drawings as said

Parts = tuple[str, str, str]
"""What is read out, the figure, and its name as drawn."""
HANDLE_PX = 68.0
LETTER_PX = 7.0
SEEN_DEG = 88.0
"""What is outside is drawn before the glass only; behind the wall nothing is seen."""


def studio_plan(
    studio: Studio, wide_px: float, high_px: float, chosen: Path | None = None, shot: Shot | None = None
) -> str:
    """The plan as SVG, as large as fits into wide_px x high_px.

    chosen  the thing whose measures are drawn, as its path in the settings: ('windows', 0)
    shot    whose dish, camera side and boards are drawn at the chosen table spot

    The root's data-scale [px/m], data-left and data-front [px] say where the room's corner is and how large a metre.
    """
    sheet = sheet_of(studio, wide_px, high_px, chosen)
    view = sheet.view
    inside = element("clipPath", _rect(view.left, view.top, view.right, view.bottom), id="plan-inside")
    things: list[tuple[Path, Parts]] = [
        (("windows", n, "opposite", k), _outside(sheet, w, o, ("windows", n, "opposite", k)))
        for n, w in enumerate(studio.windows)
        for k, o in enumerate(w.opposite)
    ]
    things += [(("furniture", n), _block(sheet, b, ("furniture", n))) for n, b in enumerate(studio.furniture)]
    things += [(("spots", n), _spot(sheet, s, ("spots", n))) for n, s in enumerate(studio.spots)]
    # where a handle and a window meet, it is the window that is taken hold of
    handles = _handle(sheet, "width_m") + _handle(sheet, "depth_m")
    windows: list[tuple[Path, Parts]] = [
        (("windows", n), _window(sheet, w, ("windows", n))) for n, w in enumerate(studio.windows)
    ]
    of_chosen = dict([*things, *windows]).get(chosen or ())
    parts = [
        element("g", above.floor(view), data_path='["room"]', class_="floor"),
        walls(view),
        inside,
        *(above.glow(studio, view, w, "plan-inside") for w in studio.windows),
        *(thing(sheet, at, *drawn) for at, drawn in things),
        handles,
        *(thing(sheet, at, *drawn) for at, drawn in windows),
        north(sheet),
        ruler(sheet),
    ]
    if of_chosen and chosen:
        # what is chosen is on top of what stands in its place; the order of the keys stays
        parts.append(_lifted(chosen, of_chosen[1]))
    parts.append(measures(sheet))
    match chosen:
        case ("spots", int(n)) if shot is not None and 0 <= n < len(studio.spots):
            parts.append(shot_at_spot(sheet, studio.spots[n], shot))
    if of_chosen and chosen:
        # its name stays readable over the lines that meet in it
        parts.append(_lifted(chosen, of_chosen[2]))
    return element(
        "svg", "".join(parts), xmlns="http://www.w3.org/2000/svg", role="group", aria_label=said.STUDIO_TOLD,
        font_size="12", width=sheet.width, height=sheet.height,
        viewBox=f"0 0 {number(sheet.width)} {number(sheet.height)}",
        data_scale=view.px_per_m, data_left=view.left, data_front=view.top,
    )  # fmt: skip


def _lifted(at: Path, drawn: str) -> str:
    return element(
        "g", drawn, class_="on", data_lifted=path_words(at), aria_hidden="true", pointer_events="none"
    )


def _rect(left: float, top: float, right: float, bottom: float, **attributes: object) -> str:
    return element("rect", x=left, y=top, width=right - left, height=bottom - top, **attributes)


def _grip(left: float, top: float, right: float, bottom: float) -> str:
    """Larger than what is seen, for a finger."""
    return _rect(left, top, right, bottom, fill="transparent")


def _window(sheet: Sheet, w: Window, at: Path) -> Parts:
    studio, view = sheet.studio, sheet.view
    wall, left = studio.wall_of(w), studio.window_left_m(w)
    (ax, ay), (bx, by) = above.window_line(studio, view, w)
    out_x, out_y = above.OUTWARD[wall]
    sheets = [d for d in studio.diffusers if d.window == w.name]
    hung = ""
    for n in range(len(sheets)):
        into = 9.0 + 6 * n
        ends = (ax - out_x * into, ay - out_y * into), (bx - out_x * into, by - out_y * into)
        hung += element("path", d=_wave(*ends), fill="none", stroke=SOFT, stroke_width=1.4)
    grip = _grip(min(ax, bx) - 14, min(ay, by) - 14, max(ax, bx) + 14, max(ay, by) + 14)
    mx, my = (ax + bx) / 2 + 2 * WALL_PX * out_x, (ay + by) / 2 + 2 * WALL_PX * out_y
    # along its wall, so that it is beside no measure
    turn = f"rotate({90 * out_x} {number(mx)} {number(my)})" if out_x else None
    lower = {"front": 0, "back": 8}.get(wall, 4)
    words = said.window_thing(w.name, wall, metres(left), metres(w.width_m), [d.name for d in sheets])
    return words, grip + above.opening(studio, view, w) + hung, label(w.name, mx, my + lower, transform=turn)


def _wave(a: Paper, b: Paper) -> str:
    """A hanging sheet, as a wave from a to b."""
    long = math.dist(a, b)
    if long < 1:
        return ""
    count = max(3, round(long / 9)) * 4
    ux, uy = (b[0] - a[0]) / long, (b[1] - a[1]) / long
    points = []
    for n in range(count + 1):
        t, high = n / count, math.sin(n * math.pi / 2) * 2.6
        points.append((a[0] + (b[0] - a[0]) * t - uy * high, a[1] + (b[1] - a[1]) * t + ux * high))
    return path(points)


def _spot(sheet: Sheet, spot: Spot, at: Path) -> Parts:
    studio, view = sheet.studio, sheet.view
    x, y = above.dish_at(studio, view, spot)
    left, _, right, bottom = above.table_box(studio, view, spot)
    radius = max(9.0, 0.13 * view.px_per_m)
    words = said.spot_thing(spot.name, metres(spot.from_left_m), metres(spot.from_front_m))
    name = _fitting(sheet, at, spot.name, x, min(bottom - 7, y + radius + 16), right - left)
    return words, above.table(studio, view, spot) + above.plate((x, y), radius), name


def _block(sheet: Sheet, block: Block, at: Path) -> Parts:
    left, top, right, bottom = above.furniture_box(sheet.view, block)
    words = said.block_thing(
        block.name, metres(block.from_left_m), metres(block.from_front_m), metres(block.height_m)
    )
    crossed = path([(left, top), (right, bottom)]) + path([(right, top), (left, bottom)])
    drawn = _grip(left - 6, top - 6, right + 6, bottom + 6) + above.furniture(sheet.view, block)
    drawn += element("path", d=crossed, stroke=SOFT, stroke_width=0.6)
    return (
        words,
        drawn,
        _fitting(sheet, at, block.name, (left + right) / 2, (top + bottom) / 2 + 4, right - left),
    )


def _fitting(sheet: Sheet, at: Path, name: str, x: float, y: float, room_px: float) -> str:
    """A name where there is room for it; on a small screen only then."""
    if sheet.on(at) or not sheet.small or len(name) * LETTER_PX < room_px + 10:
        return label(name, x, y, colour=INK)
    return ""


def _outside(sheet: Sheet, w: Window, each: Opposite, at: Path) -> Parts:
    """What stands outside: where it stands by its bearings, not to scale."""
    studio, view = sheet.studio, sheet.view
    (ax, ay), (bx, by) = above.window_line(studio, view, w)
    cx, cy, r = (ax + bx) / 2, (ay + by) / 2, sheet.far

    def within(bearing: float) -> float:
        off = (bearing - w.bearing_deg + 540) % 360 - 180
        return w.bearing_deg + min(max(off, -SEEN_DEG), SEEN_DEG)

    def point(bearing: float, radius: float) -> Paper:
        right, up = toward(bearing - studio.front_bearing_deg)
        return cx + right * radius, cy - up * radius

    begin, end = within(each.bearing_from_deg), within(each.bearing_to_deg)
    (x0, y0), (x1, y1) = point(begin, r), point(end, r)
    arc = f"M{number(x0)} {number(y0)}A{number(r)} {number(r)} 0 0 1 {number(x1)} {number(y1)}"
    drawn = element("path", d=arc, fill="none", stroke="transparent", stroke_width=30)
    drawn += element("path", class_="edge outside", d=arc, fill="none", stroke=SOFT, stroke_width=7,
                     stroke_opacity=0.55, data_about=f"{number(cx)} {number(cy)}")  # fmt: skip
    if sheet.on(at):
        for field, bearing in (("bearing_from_deg", begin), ("bearing_to_deg", end)):
            x, y = point(bearing, r)
            drawn += element(
                "circle", cx=x, cy=y, r=10, fill=CARD, stroke=ACCENT, stroke_width=2, data_end=field
            )
    middle = point((begin + end) / 2, r + 17)
    away = metres(each.distance_m)
    words = said.outside_thing(each.name, w.name, each.bearing_from_deg, each.bearing_to_deg, away)
    return words, drawn, label(said.outside_label(each.name, away), *middle)


def _handle(sheet: Sheet, field: str) -> str:
    """The right or the back wall, to be taken hold of where it has no window."""
    room, view = sheet.studio.room, sheet.view
    right = field == "width_m"
    along = (
        _free_middle(sheet.studio, "right" if right else "back", HANDLE_PX / view.px_per_m) * view.px_per_m
    )
    x, y = (
        (view.right + WALL_PX / 2, view.top + along)
        if right
        else (view.right - along, view.bottom + WALL_PX / 2)
    )
    wide, high = (22, 34) if right else (34, 22)
    thin_x, thin_y = (5, 18) if right else (18, 5)
    drawn = _grip(x - wide, y - high, x + wide, y + high)
    drawn += _rect(x - thin_x, y - thin_y, x + thin_x, y + thin_y, class_="edge", rx=5, fill=CARD, stroke=INK,
                   stroke_width=1.5)  # fmt: skip
    size = room.width_m if right else room.depth_m
    words = said.wall_handle(right=right, size=metres(size))
    return thing(sheet, ("room", field), words, drawn, "", "thing sizer wide" if right else "thing sizer")


def _free_middle(studio: Studio, wall: str, length_m: float) -> float:
    """Where on a wall [m from its left end] a handle is on no window: its middle, else that of the longest stretch."""
    room = studio.room
    whole = room.depth_m if wall == "right" else room.width_m
    taken = sorted(
        (studio.window_left_m(w), studio.window_left_m(w) + w.width_m)
        for w in studio.windows
        if studio.wall_of(w) == wall
    )
    free, begin = [], 0.0
    for left, right in [*taken, (whole, 0.0)]:
        free.append((begin, left))
        begin = max(begin, right)
    middle = whole / 2
    if any(a <= middle - length_m / 2 and middle + length_m / 2 <= b for a, b in free):
        return middle
    a, b = max(free, key=lambda each: each[1] - each[0])
    return (a + b) / 2
