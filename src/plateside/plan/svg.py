"""A small drawing board: metres in, SVG text out, every word escaped."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape

from plateside.plan.labels import XY, Labels

PAPER, INK, SOFT, HAIR, ACCENT, SUN = "#faf7f2", "#23211e", "#6d675f", "#d9d2c7", "#2f6f63", "#f3c969"


@dataclass
class Canvas:
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

    def line(self, a: XY, b: XY, colour: str = INK, width: float = 1.0, dash: str = "") -> None:
        (x1, y1), (x2, y2) = self.at(a), self.at(b)
        more = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}" '
            f'stroke-width="{width}" stroke-linecap="round"{more}/>'
        )

    def shape(
        self,
        points: Sequence[XY],
        fill: str = "none",
        stroke: str = "none",
        width: float = 1.0,
        opacity: float = 1.0,
    ) -> None:
        at = " ".join(f"{x:.1f},{y:.1f}" for x, y in map(self.at, points))
        self.parts.append(
            f'<polygon points="{at}" fill="{fill}" stroke="{stroke}" stroke-width="{width}" '
            f'stroke-linejoin="round" fill-opacity="{opacity}"/>'
        )

    def disc(
        self, centre: XY, radius_m: float, fill: str = "none", stroke: str = INK, width: float = 1.2
    ) -> None:
        x, y = self.at(centre)
        self.parts.append(
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius_m * self.scale:.1f}" fill="{fill}" stroke="{stroke}" '
            f'stroke-width="{width}"/>'
        )

    def oval(self, centre: XY, rx_m: float, ry_m: float, fill: str, stroke: str = INK) -> None:
        x, y = self.at(centre)
        self.parts.append(
            f'<ellipse cx="{x:.1f}" cy="{y:.1f}" rx="{rx_m * self.scale:.1f}" ry="{ry_m * self.scale:.1f}" '
            f'fill="{fill}" stroke="{stroke}" stroke-width="1.2"/>'
        )

    def words(
        self,
        p: XY,
        text: str,
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
        x, y = self._free((x + dx, y + dy), text, anchor, size, turn)
        turned = f' transform="rotate({turn:.1f} {x:.1f} {y:.1f})"' if turn else ""
        self.parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" font-size="{size}" fill="{colour}" '
            f'font-weight="{weight}" stroke="{PAPER}" stroke-width="4" paint-order="stroke" '
            f'stroke-linejoin="round"{turned}>{escape(text)}</text>'
        )

    def measure(self, a: XY, b: XY, text: str, off_px: float, side: float = 1.0) -> None:
        """A tape measure from a to b, moved off_px to the side, with ticks and the length in words."""
        (x1, y1), (x2, y2) = self.at(a), self.at(b)
        length = math.hypot(x2 - x1, y2 - y1)
        if length < 1.0:
            return
        nx, ny = (y2 - y1) / length * side, -(x2 - x1) / length * side
        p1, p2 = (x1 + nx * off_px, y1 + ny * off_px), (x2 + nx * off_px, y2 + ny * off_px)
        self.parts.append(
            f'<g stroke="{SOFT}" stroke-width="0.8"><path d="M{x1 + nx * 4:.1f} {y1 + ny * 4:.1f}L{p1[0] + nx * 4:.1f} '
            f'{p1[1] + ny * 4:.1f}M{x2 + nx * 4:.1f} {y2 + ny * 4:.1f}L{p2[0] + nx * 4:.1f} {p2[1] + ny * 4:.1f}" '
            f'stroke="{HAIR}"/><path d="M{p1[0]:.1f} {p1[1]:.1f}L{p2[0]:.1f} {p2[1]:.1f}'
            f'{_tick(p1, nx, ny)}{_tick(p2, nx, ny)}"/></g>'
        )
        mx, my = (p1[0] + p2[0]) / 2, (p1[1] + p2[1]) / 2
        upright = abs(x2 - x1) < 0.35 * length
        # turned about its own place, so that the base line lies 4 px beside the tape
        at = (mx + 4, my) if upright else (mx, my + 4)
        x, y = self._free(at, text, "middle", 11.5, -90.0 if upright else 0.0)
        turn = "" if not upright else f' transform="rotate(-90 {x:.1f} {y:.1f})"'
        self.parts.append(
            f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="middle" font-size="11.5" fill="{INK}" '
            f'stroke="{PAPER}" stroke-width="6" paint-order="stroke" stroke-linejoin="round"{turn}>'
            f"{escape(text)}</text>"
        )

    def _free(self, at: XY, text: str, anchor: str, size: float, turn: float) -> XY:
        return self.labels.place(at, text, anchor, size, turn, (self.width_px, self.height_px))

    def scale_bar(self, metres: float = 0.5) -> None:
        """A bar of a known length in the lower right corner."""
        w = metres * self.scale
        x, y = self.width_px - 12 - w, self.height_px - 8
        self.parts.append(
            f'<path d="M{x:.1f} {y - 4:.1f}V{y:.1f}H{x + w:.1f}V{y - 4:.1f}" fill="none" stroke="{SOFT}" '
            f'stroke-width="0.9"/><text x="{x - 6:.1f}" y="{y + 1:.1f}" text-anchor="end" font-size="10.5" '
            f'fill="{SOFT}">{metres:g} m</text>'
        )

    def svg(self, title: str, description: str) -> str:
        """The drawing, with its title and description for those who cannot see it."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width_px:.0f} {self.height_px:.0f}" '
            f'role="img" font-family="system-ui, sans-serif">'
            f"<title>{escape(title)}</title><desc>{escape(description)}</desc>"
            # a rectangle, not a style: pages are served without inline styles
            f'<rect width="{self.width_px:.0f}" height="{self.height_px:.0f}" fill="{PAPER}"/>'
            + "".join(self.parts)
            + "</svg>"
        )


def _tick(p: XY, nx: float, ny: float) -> str:
    """An architect's slanting tick."""
    tx, ty = (nx - ny) * 3.2, (ny + nx) * 3.2
    return f"M{p[0] - tx:.1f} {p[1] - ty:.1f}L{p[0] + tx:.1f} {p[1] + ty:.1f}"
