"""How each mark is drawn in a view: the same code for plan and section, since a view knows its own directions."""

import math

import numpy as np

from plateside.drawing.above import board, plate
from plateside.drawing.beside import dish
from plateside.drawing.kit import element, halo, line, path
from plateside.drawing.labels import Box, Keeper
from plateside.drawing.marks import (
    BoardMark,
    CameraMark,
    DishMark,
    FeetMark,
    LineMark,
    Mark,
    Measure,
    Point,
    SunPatch,
)
from plateside.drawing.measures import metres
from plateside.drawing.palette import INK, PAPER, SOFT, SUN
from plateside.drawing.views import Paper, View

LABEL = 11.0


def draw_mark(mark: Mark, view: View, keeper: Keeper, id_prefix: str, *, from_above: bool) -> tuple[str, str]:
    """(figure, its label) as SVG; labels come apart so that they can be drawn on top of everything."""
    match mark:
        case SunPatch():
            return _patch(mark, view, id_prefix), ""
        case DishMark():
            words = mark.label if from_above else ""
            return _dish(mark, view, from_above), _label(keeper, words, [view.at(mark.at_m)], 12)
        case BoardMark():
            _block(keeper, view.points(mark.corners_m), 2)
            return _board(mark, view), _label(keeper, mark.label, view.points(mark.corners_m), 8)
        case CameraMark():
            _block(keeper, [view.at(mark.at_m)], 9)
            return _camera(mark, view), _label(keeper, mark.label, [view.at(mark.at_m)], 14)
        case LineMark():
            d = path(view.points(mark.points_m))
            drawn = element("path", d=d, fill="none", stroke=INK, stroke_dasharray="5 4")
            return drawn, _label(keeper, mark.label, view.points(mark.points_m), 6)
        case FeetMark():
            x, y = view.at(mark.at_m)
            legs = "".join(line(x, y, *view.at(f), stroke=SOFT) for f in mark.feet_m)
            ring = element("circle", cx=x, cy=y, r=4, fill=PAPER, stroke=INK)
            return legs + ring, _label(keeper, mark.label, [(x, y)], 8)
        case Measure():
            return _measure(mark, view, keeper)


def _label(keeper: Keeper, words: str, points: list[Paper], away: float) -> str:
    """Beside the figure, wherever there is room: right, left, below, above, then further out."""
    if not words:
        return ""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    x0, x1, y0, y1 = min(xs), max(xs), min(ys), max(ys)
    xm, ym = (x0 + x1) / 2, (y0 + y1) / 2
    places: list[tuple[float, float, str]] = []
    for out in (away, away + 14, away + 30, away + 50, away + 70):
        places += [
            (x1 + out, ym + 4, "start"),
            (x0 - out, ym + 4, "end"),
            (xm, y1 + out + 8, "middle"),
            (xm, y0 - out, "middle"),
            (x1 + out * 0.7, y1 + out * 0.7 + 8, "start"),
            (x0 - out * 0.7, y1 + out * 0.7 + 8, "end"),
            (x1 + out * 0.7, y0 - out * 0.7, "start"),
            (x0 - out * 0.7, y0 - out * 0.7, "end"),
        ]
    place = keeper.place(words, places, size=LABEL)
    return halo(words, place[0], place[1], size=LABEL, anchor=place[2]) if place else ""


def _block(keeper: Keeper, points: list[Paper], air: float) -> None:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    keeper.block(Box(min(xs) - air, min(ys) - air, max(xs) + air, max(ys) + air))


def _patch(mark: SunPatch, view: View, id_prefix: str) -> str:
    """A patch seen from above or below is hatched; one seen edge-on becomes a line with an edge of ink."""
    points = view.points(mark.corners_m)
    if _flat(points):
        a, b = _ends(points)
        return line(*a, *b, stroke=INK, stroke_width=5) + line(*a, *b, stroke=SUN, stroke_width=3)
    return element("path", d=path(points, closed=True), fill=f"url(#{id_prefix}-sun)", stroke=INK)


def _flat(points: list[Paper]) -> bool:
    """True when the polygon has no area on the paper."""
    p = np.array(points)
    twice = float(np.sum(p[:, 0] * np.roll(p[:, 1], -1) - np.roll(p[:, 0], -1) * p[:, 1]))
    return abs(twice) < 2.0


def _ends(points: list[Paper]) -> tuple[Paper, Paper]:
    """The two points furthest apart."""
    pairs = [(math.dist(a, b), a, b) for a in points for b in points]
    _, a, b = max(pairs)
    return a, b


def _dish(mark: DishMark, view: View, from_above: bool) -> str:
    x, y = view.at(mark.at_m)
    half = mark.width_m / 2 * view.px_per_m
    if from_above:
        return plate((x, y), half)
    return dish(x, y, half, min(half * 0.3, 7.0))


def _board(mark: BoardMark, view: View) -> str:
    points = view.points(mark.corners_m)
    if _flat(points):
        a, b = _ends(points)
        return board((a, b), INK if mark.dark else PAPER)
    fill = INK if mark.dark else PAPER
    return element("path", d=path(points, closed=True), fill=fill, fill_opacity=0.9, stroke=INK)


def _camera(mark: CameraMark, view: View) -> str:
    """Body and lens as a small outline that points at the subject; lines of view to the subject's distance."""
    here, there = np.array(view.at(mark.at_m)), np.array(view.at(mark.looks_at_m))
    span = there - here
    reach = float(np.hypot(*span))
    ahead = span / reach if reach > 6 else np.array([0.0, 0.0])
    if reach <= 6:  # looking straight into the paper: a camera from behind
        x, y = here
        return element("rect", x=x - 9, y=y - 6, width=18, height=12, rx=2, fill=PAPER, stroke=INK) + element(
            "circle", cx=x, cy=y, r=3.5, fill="none", stroke=INK
        )
    side = np.array([-ahead[1], ahead[0]])
    outline = [(-7, -9), (0, -9), (0, -4), (7, -4), (7, 4), (0, 4), (0, 9), (-7, 9)]
    body = [tuple(here + a * ahead + b * side) for a, b in outline]
    parts = []
    if mark.view_width_deg > 0:
        for sign in (-1, 1):
            turn = math.radians(mark.view_width_deg / 2) * sign
            ray = ahead * math.cos(turn) + side * math.sin(turn)
            end = here + ray * reach / math.cos(turn)
            parts.append(line(*here, *end, stroke=SOFT, stroke_dasharray="5 4"))
    parts.append(
        element("path", d=path([(float(x), float(y)) for x, y in body], closed=True), fill=PAPER, stroke=INK)
    )
    return "".join(parts)


def _measure(mark: Measure, view: View, keeper: Keeper) -> tuple[str, str]:
    a, b = view.at(mark.from_m), view.at(mark.to_m)
    if math.dist(a, b) < 12:
        return "", ""
    ends = "".join(line(x - 3, y + 3, x + 3, y - 3) for x, y in (a, b))
    words = mark.label or f"{metres(math.dist(mark.from_m, mark.to_m))} m"
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    return line(*a, *b, stroke=SOFT) + ends, _label(keeper, words, [middle], 6)


def arrow(view: View, tip_m: Point, toward_source: Point, length_px: float, keeper: Keeper) -> str:
    """Light arriving: an arrow of a length on the paper, ending at a point, coming from a direction."""
    back = np.array(view.direction(toward_source))
    size = float(np.hypot(*back))
    if size < 0.08:
        return ""
    tip = np.array(view.at(tip_m))
    unit = back / size
    # The longest arrow that stays on the paper: light from outside starts outside.
    start = tip + unit * length_px
    side = np.array([-unit[1], unit[0]])
    barbs = [tuple(tip + unit * 9 + side * s) for s in (-4, 4)]
    for share in np.linspace(0.15, 1, 6):
        x, y = tip + (start - tip) * share
        keeper.block(Box(x - 5, y - 5, x + 5, y + 5))
    head = path([(float(p[0]), float(p[1])) for p in (barbs[0], tip, barbs[1])])
    return line(*start, *tip, stroke=INK, stroke_dasharray="7 4") + element(
        "path", d=head, fill="none", stroke=INK
    )
