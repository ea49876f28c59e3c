"""Dimension chains beside a view: ticks, and lengths in metres that a tape can check."""

import itertools
from dataclasses import dataclass

from plateside.drawing.kit import element, line, text
from plateside.drawing.labels import Box, Keeper, text_box, text_width
from plateside.drawing.palette import INK, SOFT
from plateside.words import drawings as said

ROW = 24.0
SIZE = 11.0
LEVEL = 14.5


def metres(length_m: float) -> str:
    """'0.60'."""
    return f"{length_m:.2f}"


@dataclass(frozen=True)
class Chain:
    """A chain as drawn, and how far its numbers reach out from its line [px]."""

    svg: str
    reach_px: float


def chain_across(
    keeper: Keeper, left: float, y: float, stops_m: list[float], px_per_m: float, side: int
) -> Chain:
    """A chain along a horizontal line at y; numbers stand above it (side -1) or below it (side 1)."""
    parts = []
    stops = _distinct(stops_m)
    at = [(left + a * px_per_m, left + b * px_per_m, metres(b - a)) for a, b in itertools.pairwise(stops)]
    levels = _levels([((x0 + x1) / 2, text_width(words, SIZE)) for x0, x1, words in at])
    for (x0, x1, words), level in zip(at, levels, strict=True):
        parts.append(line(x0, y, x1, y, stroke=SOFT))
        base = y - 5 - LEVEL * level if side < 0 else y + 14 + LEVEL * level
        parts.append(text(words, (x0 + x1) / 2, base, size=SIZE, anchor="middle"))
        keeper.block(text_box(words, (x0 + x1) / 2, base, size=SIZE, anchor="middle"))
    for s in stops:
        x = left + s * px_per_m
        parts.append(line(x - 3, y + 3, x + 3, y - 3, stroke=INK))
        parts.append(line(x, y - 6, x, y + 6, stroke=SOFT))
    keeper.block(Box(left - 6, y - 6, left + stops[-1] * px_per_m + 6, y + 6))
    return Chain("".join(parts), 16 + LEVEL * max(levels, default=0))


def chain_down(
    keeper: Keeper, x: float, top: float, stops_m: list[float], px_per_m: float, side: int
) -> Chain:
    """A chain along a vertical line at x; numbers stand left of it (side -1) or right of it (side 1), turned."""
    parts = []
    stops = _distinct(stops_m)
    at = [(top + a * px_per_m, top + b * px_per_m, metres(b - a)) for a, b in itertools.pairwise(stops)]
    levels = _levels([((y0 + y1) / 2, text_width(words, SIZE)) for y0, y1, words in at])
    for (y0, y1, words), level in zip(at, levels, strict=True):
        parts.append(line(x, y0, x, y1, stroke=SOFT))
        base_x = x - 5 - LEVEL * level if side < 0 else x + 13 + LEVEL * level
        base_y = (y0 + y1) / 2
        turned = f"rotate(-90 {base_x:.2f} {base_y:.2f})"
        parts.append(text(words, base_x, base_y, size=SIZE, anchor="middle", transform=turned))
        half = text_width(words, SIZE) / 2
        keeper.block(Box(base_x - SIZE, base_y - half, base_x + 3, base_y + half))
    for s in stops:
        y = top + s * px_per_m
        parts.append(line(x - 3, y + 3, x + 3, y - 3, stroke=INK))
        parts.append(line(x - 6, y, x + 6, y, stroke=SOFT))
    keeper.block(Box(x - 6, top - 6, x + 6, top + stops[-1] * px_per_m + 6))
    return Chain("".join(parts), 16 + LEVEL * max(levels, default=0))


def _levels(numbers: list[tuple[float, float]]) -> list[int]:
    """For each number (middle, width) along a chain, the row in which it meets none before it."""
    rows: list[float] = []
    levels = []
    for middle, width in numbers:
        level = next((k for k, end in enumerate(rows) if middle - width / 2 > end + 3), len(rows))
        if level == len(rows):
            rows.append(0.0)
        rows[level] = middle + width / 2
        levels.append(level)
    return levels


def _distinct(stops_m: list[float]) -> list[float]:
    """Rising stops, those nearer than a centimetre taken as one."""
    distinct_m: list[float] = []
    for s in sorted(stops_m):
        if not distinct_m or s - distinct_m[-1] > 0.01:
            distinct_m.append(s)
    return distinct_m


def scale_bar(x: float, y: float, px_per_m: float, scale: int) -> str:
    """One metre, half of it filled, with the scale in words."""
    half = px_per_m / 2
    middle = text("0.5", x + half, y + 13, size=SIZE, anchor="middle", fill=SOFT) if half > 30 else ""
    return (
        element("rect", x=x, y=y - 4, width=half, height=4, fill=INK)
        + element("rect", x=x, y=y - 4, width=px_per_m, height=4, fill="none", stroke=INK)
        + text("0", x, y + 13, size=SIZE, anchor="middle", fill=SOFT)
        + middle
        + text("1 m", x + px_per_m, y + 13, size=SIZE, anchor="middle", fill=SOFT)
        + text(said.scale(scale), x + px_per_m + 26, y + 2, size=SIZE, fill=SOFT)
    )
