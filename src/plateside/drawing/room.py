"""Plan and section of the room, to a ruler's scale, with what a tape can measure written on it.

One line weight; walls are filled. The front wall is at the top of the plan, the main window's wall at the left of
the section. Other parts (set-up cards, pages) hand in their own marks.
"""

from plateside.drawing import above, beside
from plateside.drawing.compass import compass
from plateside.drawing.figures import LABEL, arrow, draw_mark
from plateside.drawing.kit import SERIF, document, element, halo, hatch, line, path, text
from plateside.drawing.labels import Box, Keeper, text_width
from plateside.drawing.marks import DishMark, Mark, SunPatch
from plateside.drawing.measures import chain_across, chain_down, metres, scale_bar
from plateside.drawing.openings import WALL_PX, walls
from plateside.drawing.palette import HAIRLINE, SOFT
from plateside.drawing.views import (
    CSS_PX_PER_M,
    View,
    plan_view,
    scale_for,
    section_length_m,
    section_view,
    section_wall,
    sun_direction,
    window_ends_m,
)
from plateside.model.room import Spot
from plateside.model.studio import Studio
from plateside.words import drawings as said

SIDE, HEAD, GAP = 104.0, 132.0, 156.0
FIRST = 17.0
"""From a wall to the nearest chain of measures [px]."""
OVERHANG_PX = 60.0
"""An eave that stands out further is drawn cut off."""
WIDEST, TALLEST = 1060.0, 720.0


def plan_drawing(
    studio: Studio,
    *,
    spot: Spot | None = None,
    marks: tuple[Mark, ...] = (),
    heading: str = "",
    subheading: str = "",
    sun: tuple[float, float] | None = None,
    with_section: bool = True,
    id_prefix: str = "plan",
    description: str = "",
) -> str:
    """The room as SVG, with its physical size, so that print at full size keeps the scale.

    spot          whose table is drawn; None: the studio's first
    marks         what else to draw, in the room's coordinates (see `marks`)
    sun           (bearing, elevation) [deg]; drawn on the compass, and as an arrow when a patch of sun is among
                  the marks
    with_section  False: the plan alone
    """
    room = studio.room
    chosen = spot or (studio.spots[0] if studio.spots else None)
    long_m = section_length_m(studio)
    wide_m = room.width_m + (long_m if with_section else 0.0)
    high_m = max(room.depth_m, room.height_m) if with_section else room.depth_m
    margins = 2 * SIDE + (GAP if with_section else 0.0)
    scale = scale_for(wide_m, high_m, WIDEST - margins, TALLEST - HEAD - 150)
    px = CSS_PX_PER_M / scale
    plan = plan_view(studio, SIDE, HEAD, px)
    views = [plan]
    if with_section:
        views.append(section_view(studio, plan.right + GAP, HEAD, px))
    floor = max(v.bottom for v in views)
    width = max(views[-1].right + SIDE, views[-1].left + 260, 2 * SIDE + px + (450 if sun else 260))
    keeper = Keeper(Box(8, 70, width - 8, floor))

    if chosen is not None and not any(isinstance(m, DishMark) for m in marks):
        marks = (*marks, DishMark(_dish_at(studio, chosen), label=chosen.name))
    parts = [
        text(heading, SIDE - WALL_PX, 40, size=24, font_family=SERIF) if heading else "",
        text(subheading, SIDE - WALL_PX, 62, size=13, fill=SOFT) if subheading else "",
        above.floor(plan),
        walls(plan, keeper),
    ]
    labels: list[str] = []
    chains, low = _plan_measures(studio, chosen, plan, keeper)
    low = max(low, floor + WALL_PX + FIRST + 16)
    parts.append(chains)
    parts += [above.opening(studio, plan, w) for w in studio.windows]
    parts.append(_furniture(studio, chosen, plan, keeper, labels, from_above=True))
    if with_section:
        parts.append(above.floor(views[1]))
        parts.append(walls(views[1], keeper))
        parts.append(_section_measures(studio, chosen, views[1], keeper))
        parts.append(_windows_in_section(studio, views[1]))
        parts.append(_furniture(studio, chosen, views[1], keeper, labels, from_above=False))
    for view in views:
        for mark in marks:
            drawn, label = draw_mark(mark, view, keeper, id_prefix, from_above=view is plan)
            parts.append(drawn)
            labels.append(label)
    parts.append(_sun_arrows(studio, marks, sun, views, keeper))
    labels.append(_names(studio, chosen, plan, keeper))
    parts += labels
    parts.append(_captions(views, low))
    parts.append(_left_out(keeper, low, width))
    parts.append(scale_bar(SIDE, low + 84, px, scale))
    shines = any(isinstance(m, SunPatch) for m in marks)
    parts.append(_rose(studio, sun, width, low + 82, shines))
    return document(
        "".join(parts),
        width=width,
        height=low + 124,
        title=heading or said.ROOM_TITLE,
        description=description or describe(studio, chosen, sun),
        id_prefix=id_prefix,
        definitions=hatch(f"{id_prefix}-sun", gap=6),
        in_mm=True,
    )


def describe(studio: Studio, spot: Spot | None, sun: tuple[float, float] | None) -> str:
    """The plan in words."""
    room = studio.room

    def m(length_m: float) -> str:
        return f"{metres(length_m)} m"

    windows = [
        said.window_told(w.name, studio.wall_of(w), m(w.width_m), m(w.height_m), m(w.sill_m))
        for w in studio.windows
    ]
    dish = (
        said.dish_told(spot.name, m(spot.from_left_m), m(spot.from_front_m), m(spot.height_m)) if spot else ""
    )
    return said.room_told((m(room.width_m), m(room.depth_m), m(room.height_m)), windows, dish, sun)


def _dish_at(studio: Studio, spot: Spot) -> tuple[float, float, float]:
    return spot.from_left_m, studio.room.depth_m - spot.from_front_m, spot.height_m


def _furniture(
    studio: Studio, spot: Spot | None, view: View, keeper: Keeper, labels: list[str], *, from_above: bool
) -> str:
    room = studio.room
    parts = []
    for block in studio.furniture:
        low = (block.from_left_m, room.depth_m - block.from_front_m - block.depth_m, block.bottom_m)
        high = (low[0] + block.width_m, low[1] + block.depth_m, block.height_m)
        (x0, y0), (x1, y1) = view.at(low), view.at(high)
        left, top, right, bottom = min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)
        _block_edges(keeper, left, top, right, bottom)
        parts.append(above.box(left, top, right, bottom))
        if from_above:
            middle = ((left + right) / 2, (top + bottom) / 2 + 4, "middle")
            place = keeper.place(
                block.name,
                [middle, (right + 6, middle[1], "start"), (left - 6, middle[1], "end")],
                size=LABEL,
            )
            if place:
                labels.append(text(block.name, place[0], place[1], size=LABEL, anchor=place[2], fill=SOFT))
    if spot is not None:
        parts.append(_table(studio, spot, view, keeper, from_above))
        x, y = view.at(_dish_at(studio, spot))
        keeper.block(Box(x - 14, y - 14, x + 14, y + 14))
    if from_above:
        for other in studio.spots:
            if other != spot:
                x, y = view.at(_dish_at(studio, other))
                parts.append(line(x - 5, y, x + 5, y, stroke=SOFT) + line(x, y - 5, x, y + 5, stroke=SOFT))
                keeper.block(Box(x - 6, y - 6, x + 6, y + 6))
    return "".join(parts)


def _block_edges(keeper: Keeper, left: float, top: float, right: float, bottom: float) -> None:
    """No label across an outline."""
    for box in ((left, top, right, top), (left, bottom, right, bottom), (left, top, left, bottom),
                (right, top, right, bottom)):  # fmt: skip
        keeper.block(Box(box[0] - 1, box[1] - 1, box[2] + 1, box[3] + 1))


def _table(studio: Studio, spot: Spot, view: View, keeper: Keeper, from_above: bool) -> str:
    """The top as an outline; from the side a thin top on two legs. What would pass a wall ends there."""
    room = studio.room
    x, y, z = _dish_at(studio, spot)
    x0, x1 = max(0.0, x - spot.table_width_m / 2), min(room.width_m, x + spot.table_width_m / 2)
    y0, y1 = max(0.0, y - spot.table_depth_m / 2), min(room.depth_m, y + spot.table_depth_m / 2)
    if from_above:
        left, top, right, bottom = above.table_box(studio, view, spot)
        keeper.block(Box(left - 1, top - 1, right + 1, bottom + 1))
        return above.table(studio, view, spot)
    (left, top), (right, _) = sorted((view.at((x0, y0, z)), view.at((x1, y1, z))))
    floor, leg = view.bottom, beside.LEG_IN_PX
    _block_edges(keeper, left, top, right, top + beside.TOP_PX)
    keeper.block(Box(left + leg - 2, top, left + leg + 2, floor))
    keeper.block(Box(right - leg - 2, top, right - leg + 2, floor))
    return beside.table(left, right, top, floor)


def _names(studio: Studio, spot: Spot | None, view: View, keeper: Keeper) -> str:
    """Windows and the other spots by name."""
    parts = []
    for window in studio.windows:
        (x0, y0), (x1, y1) = (view.at(p) for p in window_ends_m(studio, window))
        mx, my = (x0 + x1) / 2, (y0 + y1) / 2
        wall = studio.wall_of(window)
        inward = {"front": (0, 1), "back": (0, -1), "left": (1, 0), "right": (-1, 0)}[wall]
        anchor = {"left": "start", "right": "end"}.get(wall, "middle")
        places: list[tuple[float, float, str]] = []
        if wall == "front":  # above its own figure in the chain
            places.append((mx, view.top - WALL_PX - FIRST - 20, "middle"))
        for out in (17, 32, 48):
            for along in (0, -40, 40, -70, 70):
                px, py = mx + inward[0] * out * 0.6, my + inward[1] * out + 4
                places.append((px + (along if inward[1] else 0), py + (along if inward[0] else 0), anchor))
        place = keeper.place(window.name, places, size=LABEL)
        if place:
            parts.append(halo(window.name, place[0], place[1], size=LABEL, anchor=place[2], fill=SOFT))
    for other in studio.spots:
        if other != spot:
            x, y = view.at(_dish_at(studio, other))
            beside = [
                (x + dx * out, y + 4 + dy * out, anchor)
                for out in (10, 18, 28, 40)
                for dx, dy, anchor in (
                    (1, 0, "start"), (-1, 0, "end"), (0, 1.4, "middle"), (0, -1.2, "middle"),
                    (0.8, 1, "start"), (-0.8, 1, "end"), (0.8, -1, "start"), (-0.8, -1, "end"),
                )
            ]  # fmt: skip
            place = keeper.place(other.name, beside, size=LABEL)
            if place:
                parts.append(halo(other.name, place[0], place[1], size=LABEL, anchor=place[2], fill=SOFT))
    return "".join(parts)


def _wall_stops(studio: Studio, wall: str) -> list[float]:
    """Ends of wall and windows along a wall, from the paper's left or top."""
    room = studio.room
    axis = 0 if wall in ("front", "back") else 1
    length = room.width_m if axis == 0 else room.depth_m
    stops = [0.0, length]
    for window in studio.windows:
        if studio.wall_of(window) == wall:
            for end in window_ends_m(studio, window):
                stops.append(end[0] if axis == 0 else room.depth_m - end[1])
    return stops if len(stops) > 2 else []


def _plan_measures(studio: Studio, spot: Spot | None, view: View, keeper: Keeper) -> tuple[str, float]:
    """Chains round the plan, and where the lowest of them ends."""
    room, px = studio.room, view.px_per_m
    parts = []
    over, below, left, right = (
        view.top - WALL_PX,
        view.bottom + WALL_PX,
        view.left - WALL_PX,
        view.right + WALL_PX,
    )
    front, back = _wall_stops(studio, "front"), _wall_stops(studio, "back")
    if front:
        parts.append(chain_across(keeper, view.left, over - FIRST, front, px, -1).svg)
    if back:
        chain = chain_across(keeper, view.left, below + FIRST, back, px, 1)
        parts.append(chain.svg)
        below += chain.reach_px + 8
    on_left, on_right = _wall_stops(studio, "left"), _wall_stops(studio, "right")
    if on_left:
        chain = chain_down(keeper, left - FIRST, view.top, on_left, px, -1)
        parts.append(chain.svg)
        left -= chain.reach_px + 8
    if on_right:
        parts.append(chain_down(keeper, right + FIRST, view.top, on_right, px, 1).svg)
    across, down = [0.0, room.width_m], [0.0, room.depth_m]
    if spot is not None:
        across.append(spot.from_left_m)
        down.append(spot.from_front_m)
    chain = chain_across(keeper, view.left, below + FIRST, across, px, 1)
    parts.append(chain.svg)
    parts.append(chain_down(keeper, left - FIRST, view.top, down, px, -1).svg)
    return "".join(parts), below + FIRST + chain.reach_px


def _section_measures(studio: Studio, spot: Spot | None, view: View, keeper: Keeper) -> str:
    room, px = studio.room, view.px_per_m
    heights = [0.0, room.height_m]
    out = 0.0
    if studio.windows:
        window = studio.windows[0]
        heights += [room.height_m - window.sill_m, room.height_m - window.sill_m - window.height_m]
        out = min(window.overhang_depth_m * px, OVERHANG_PX)
    parts = [chain_down(keeper, view.left - WALL_PX - FIRST - out, view.top, heights, px, -1).svg]
    across = [0.0, view.wide_m]
    if spot is not None:
        table = [room.height_m - spot.height_m, room.height_m]
        x, _ = view.at(_dish_at(studio, spot))
        across.append((x - view.left) / px)
        parts.append(chain_down(keeper, view.right + WALL_PX + FIRST, view.top, [0.0, *table], px, 1).svg)
    parts.append(chain_across(keeper, view.left, view.bottom + WALL_PX + FIRST, across, px, 1).svg)
    return "".join(parts)


def _sun_arrows(
    studio: Studio,
    marks: tuple[Mark, ...],
    sun: tuple[float, float] | None,
    views: list[View],
    keeper: Keeper,
) -> str:
    """Where the sun comes from, onto the dish: only when it shines in at all."""
    patches = [m for m in marks if isinstance(m, SunPatch)]
    if sun is None or sun[1] <= 0 or not patches:
        return ""
    corners = patches[0].corners_m
    count = len(corners)
    middle = (
        sum(c[0] for c in corners) / count,
        sum(c[1] for c in corners) / count,
        sum(c[2] for c in corners) / count,
    )
    to_sun = sun_direction(studio, *sun)
    return "".join(arrow(view, middle, to_sun, 66, keeper) for view in views)


def _captions(views: list[View], low: float) -> str:
    return "".join(
        text(said.ROOM_VIEWS[i], v.left, low + 24, size=13, font_family=SERIF) for i, v in enumerate(views)
    )


def _left_out(keeper: Keeper, low: float, width: float) -> str:
    """Names that found no place in a crowded room, told below it."""
    names = keeper.left_out()
    if not names:
        return ""
    words = said.not_labelled(names)
    most = int((width - 2 * SIDE - 90) / text_width("x", LABEL))
    return text(
        words if len(words) <= most else words[: most - 1] + "…", SIDE, low + 46, size=LABEL, fill=SOFT
    )


def _rose(studio: Studio, sun: tuple[float, float] | None, width: float, y: float, shines: bool) -> str:
    x = width - SIDE - 22
    drawn = compass(x, y, 22, studio.front_bearing_deg, sun)
    if sun is None:
        return drawn
    words = said.sun_at(*sun) if sun[1] > 0 else said.SUN_DOWN
    if not shines:
        return drawn + text(words, x - 52, y + 4, size=LABEL, anchor="end", fill=SOFT)
    return (
        drawn
        + text(words, x - 52, y - 4, size=LABEL, anchor="end", fill=SOFT)
        + text(said.HATCHED, x - 52, y + 13, size=LABEL, anchor="end", fill=SOFT)
    )


def _windows_in_section(studio: Studio, view: View) -> str:
    parts = []
    cut = section_wall(studio)
    facing = {"front": "back", "back": "front", "left": "right", "right": "left"}[cut]
    for window in studio.windows:
        wall = studio.wall_of(window)
        (x0, y0), (x1, y1) = (view.at(p) for p in window_ends_m(studio, window))
        if wall in (cut, facing):
            out = -WALL_PX if wall == cut else WALL_PX
            parts.append(beside.opening(x0, y1, y0, out / WALL_PX))
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
