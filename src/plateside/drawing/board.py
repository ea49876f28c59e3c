"""A board for drawings to scale: metres in, SVG text out; words find a free place, measures are as long as they say."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from plateside.drawing.kit import document, element, halo, line, number, path, text
from plateside.drawing.labels import XY, Labels
from plateside.drawing.palette import HAIRLINE, INK, SOFT
from plateside.drawing.views import View


@dataclass
class Board:
    """World rectangle (metres, y up) drawn to one scale on `width_px`, with margins for measures."""

    left: float
    bottom: float
    right: float
    top: float
    width_px: float = 460.0
    margin_px: tuple[float, float, float, float] = (18.0, 18.0, 18.0, 18.0)
    """left, top, right, bottom"""
    parts: list[str] = field(default_factory=list)
    labels: Labels = field(default_factory=Labels)

    @property
    def scale(self) -> float:
        """Pixels a metre."""
        return (self.width_px - self.margin_px[0] - self.margin_px[2]) / (self.right - self.left)

    @property
    def height_px(self) -> float:
        return self.margin_px[1] + self.margin_px[3] + (self.top - self.bottom) * self.scale

    def at(self, p: XY) -> XY:
        """World point to pixels."""
        return (
            self.margin_px[0] + (p[0] - self.left) * self.scale,
            self.margin_px[1] + (self.top - p[1]) * self.scale,
        )

    def above(self, room_depth_m: float, room_width_m: float) -> View:
        """The whole room from above at this board's place and scale."""
        left, top = self.at((0.0, room_depth_m))
        return View(left, top, self.scale, (0.0, room_depth_m, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0),
                    room_width_m, room_depth_m)  # fmt: skip

    def line(self, a: XY, b: XY, colour: str = INK, width: float = 1.0, dash: str = "") -> None:
        self.parts.append(
            line(*self.at(a), *self.at(b), stroke=colour, stroke_width=width, stroke_linecap="round",
                 stroke_dasharray=dash or None)
        )  # fmt: skip

    def shape(
        self,
        points: Sequence[XY],
        fill: str = "none",
        stroke: str = "none",
        width: float = 1.0,
        opacity: float = 1.0,
    ) -> None:
        self.parts.append(
            element("path", d=path(map(self.at, points), closed=True), fill=fill, stroke=stroke, stroke_width=width,
                    stroke_linejoin="round", fill_opacity=opacity)
        )  # fmt: skip

    def disc(
        self, centre: XY, radius_m: float, fill: str = "none", stroke: str = INK, width: float = 1.2
    ) -> None:
        x, y = self.at(centre)
        r = radius_m * self.scale
        self.parts.append(element("circle", cx=x, cy=y, r=r, fill=fill, stroke=stroke, stroke_width=width))

    def words(
        self,
        p: XY,
        words: str,
        dx: float = 0.0,
        dy: float = 0.0,
        anchor: str = "middle",
        size: float = 11.5,
        colour: str = INK,
        turn: float = 0.0,
        weight: str = "400",
    ) -> None:
        """Text with a paper halo, so that a line beneath it never strikes it through."""
        x, y = self.at(p)
        x, y = self._free((x + dx, y + dy), words, anchor, size, turn)
        self.parts.append(
            halo(words, x, y, size=size, anchor=anchor, fill=colour, font_weight=weight, transform=_turned(turn, x, y))
        )  # fmt: skip

    def measure(self, a: XY, b: XY, words: str, off_px: float, side: float = 1.0) -> None:
        """A tape measure from a to b, moved off_px to the side, with ticks and the length in words."""
        (x1, y1), (x2, y2) = self.at(a), self.at(b)
        length = math.hypot(x2 - x1, y2 - y1)
        if length < 1.0:
            return
        nx, ny = (y2 - y1) / length * side, -(x2 - x1) / length * side
        p1, p2 = (x1 + nx * off_px, y1 + ny * off_px), (x2 + nx * off_px, y2 + ny * off_px)
        leads = "".join(
            path([(x + nx * 4, y + ny * 4), (p[0] + nx * 4, p[1] + ny * 4)])
            for x, y, p in ((x1, y1, p1), (x2, y2, p2))
        )
        tape = path([p1, p2]) + _tick(p1, nx, ny) + _tick(p2, nx, ny)
        self.parts.append(
            element("g", element("path", d=leads, stroke=HAIRLINE) + element("path", d=tape), stroke=SOFT,
                    stroke_width=0.8)
        )  # fmt: skip
        mx, my = (p1[0] + p2[0]) / 2, (p1[1] + p2[1]) / 2
        upright = abs(x2 - x1) < 0.35 * length
        turn = -90.0 if upright else 0.0
        # turned about its own place, so that the base line lies 4 px beside the tape
        x, y = self._free((mx + 4, my) if upright else (mx, my + 4), words, "middle", 11.5, turn)
        self.parts.append(
            halo(words, x, y, size=11.5, anchor="middle", edge=6, transform=_turned(turn, x, y))
        )

    def _free(self, at: XY, words: str, anchor: str, size: float, turn: float) -> XY:
        return self.labels.place(at, words, anchor, size, turn, (self.width_px, self.height_px))

    def scale_bar(self, metres: float = 0.5) -> None:
        """A bar of a known length in the lower right corner."""
        w = metres * self.scale
        x, y = self.width_px - 12 - w, self.height_px - 8
        bar = f"M{number(x)} {number(y - 4)}V{number(y)}H{number(x + w)}V{number(y - 4)}"
        self.parts.append(element("path", d=bar, fill="none", stroke=SOFT, stroke_width=0.9))
        self.parts.append(text(f"{metres:g} m", x - 6, y + 1, size=10.5, anchor="end", fill=SOFT))

    def svg(self, title: str, description: str, id_prefix: str) -> str:
        """The drawing, with its title and description for those who cannot see it."""
        return document("".join(self.parts), width=round(self.width_px), height=round(self.height_px), title=title,
                        description=description, id_prefix=id_prefix, sized=False)  # fmt: skip


def _turned(turn: float, x: float, y: float) -> str | None:
    return f"rotate({number(turn)} {number(x)} {number(y)})" if turn else None


def _tick(p: XY, nx: float, ny: float) -> str:
    """An architect's slanting tick."""
    tx, ty = (nx - ny) * 3.2, (ny + nx) * 3.2
    return path([(p[0] - tx, p[1] - ty), (p[0] + tx, p[1] + ty)])
