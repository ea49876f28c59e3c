"""What a room from the side is made of, for the section and for the set-up: walls cut, openings, table, dish."""

from plateside.drawing.kit import element, line, path
from plateside.drawing.openings import WALL_PX
from plateside.drawing.palette import CARD, HAIRLINE, INK, PAPER, SUN

TOP_PX = 4.0
"""Thickness that a table top is drawn with."""
LEG_IN_PX = 6.0


def wall(x: float, top: float, bottom: float, out: float) -> str:
    """A wall cut through, its inner face at x; out: -1 when the outside is to the left, 1 to the right."""
    left = min(x, x + out * WALL_PX)
    return element("rect", x=left, y=top, width=WALL_PX, height=bottom - top, fill=HAIRLINE, stroke=INK)


def opening(x: float, top: float, bottom: float, out: float) -> str:
    """A window cut through, as from above: light in the opening, the glass as a line in the middle."""
    far = x + out * WALL_PX
    d = path([(x, bottom), (x, top), (far, top), (far, bottom)], closed=True)
    return (
        element("path", d=d, fill=PAPER)
        + element("path", d=d, fill=SUN, fill_opacity=0.5, stroke=INK)
        + line((x + far) / 2, top, (x + far) / 2, bottom)
    )


def table(left: float, right: float, top: float, floor: float) -> str:
    """A thin top on two legs."""
    return (
        line(left + LEG_IN_PX, top + TOP_PX, left + LEG_IN_PX, floor)
        + line(right - LEG_IN_PX, top + TOP_PX, right - LEG_IN_PX, floor)
        + element("rect", x=left, y=top, width=right - left, height=TOP_PX, fill=PAPER, stroke=INK)
    )


def dish(x: float, table_y: float, half_px: float, high_px: float) -> str:
    """A dish on the table: as wide as it is at its rim, narrower at its foot."""
    foot = half_px * 0.6
    corners = [
        (x - half_px, table_y - high_px),
        (x + half_px, table_y - high_px),
        (x + foot, table_y),
        (x - foot, table_y),
    ]
    return element("path", d=path(corners, closed=True), fill=CARD, stroke=INK, stroke_linejoin="round")
