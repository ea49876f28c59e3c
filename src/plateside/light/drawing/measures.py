"""Dimension chains beside a view: ticks, and lengths in metres that a tape can check."""

import itertools

from plateside.light.drawing.paper import (
    INK,
    SOFT_INK,
    Box,
    Keeper,
    element,
    line,
    text,
    text_box,
    text_width,
)

ROW = 24.0
SIZE = 11.0


def metres(length_m: float) -> str:
    """'0.60'."""
    return f"{length_m:.2f}"


def chain_across(
    keeper: Keeper, left: float, y: float, stops_m: list[float], px_per_m: float, side: int
) -> str:
    """A chain along a horizontal line at y; numbers stand above it (side -1) or below it (side 1)."""
    parts = []
    stops = _distinct(stops_m)
    for a, b in itertools.pairwise(stops):
        x0, x1 = left + a * px_per_m, left + b * px_per_m
        parts.append(line(x0, y, x1, y, stroke=SOFT_INK))
        words = metres(b - a)
        raised = ROW * 0.55 if text_width(words, SIZE) > x1 - x0 - 2 else 0.0
        base = y - 5 - raised if side < 0 else y + 14 + raised
        parts.append(text(words, (x0 + x1) / 2, base, size=SIZE, anchor="middle"))
        keeper.block(text_box(words, (x0 + x1) / 2, base, size=SIZE, anchor="middle"))
    for s in stops:
        x = left + s * px_per_m
        parts.append(line(x - 3, y + 3, x + 3, y - 3, stroke=INK))
        parts.append(line(x, y - 6, x, y + 6, stroke=SOFT_INK))
    keeper.block(Box(left - 6, y - 6, left + stops[-1] * px_per_m + 6, y + 6))
    return "".join(parts)


def chain_down(keeper: Keeper, x: float, top: float, stops_m: list[float], px_per_m: float, side: int) -> str:
    """A chain along a vertical line at x; numbers stand left of it (side -1) or right of it (side 1), turned."""
    parts = []
    stops = _distinct(stops_m)
    for a, b in itertools.pairwise(stops):
        y0, y1 = top + a * px_per_m, top + b * px_per_m
        parts.append(line(x, y0, x, y1, stroke=SOFT_INK))
        words = metres(b - a)
        out = ROW * 0.55 if text_width(words, SIZE) > y1 - y0 - 2 else 0.0
        base_x = x - 5 - out if side < 0 else x + 13 + out
        base_y = (y0 + y1) / 2
        turned = f"rotate(-90 {base_x:.2f} {base_y:.2f})"
        parts.append(text(words, base_x, base_y, size=SIZE, anchor="middle", transform=turned))
        half = text_width(words, SIZE) / 2
        keeper.block(Box(base_x - SIZE, base_y - half, base_x + 3, base_y + half))
    for s in stops:
        y = top + s * px_per_m
        parts.append(line(x - 3, y + 3, x + 3, y - 3, stroke=INK))
        parts.append(line(x - 6, y, x + 6, y, stroke=SOFT_INK))
    keeper.block(Box(x - 6, top - 6, x + 6, top + stops[-1] * px_per_m + 6))
    return "".join(parts)


def _distinct(stops_m: list[float]) -> list[float]:
    """Rising stops, those nearer than a centimetre taken as one."""
    kept: list[float] = []
    for s in sorted(stops_m):
        if not kept or s - kept[-1] > 0.01:
            kept.append(s)
    return kept


def scale_bar(x: float, y: float, px_per_m: float, scale: int) -> str:
    """One metre, half of it filled, with the scale in words."""
    half = px_per_m / 2
    return (
        element("rect", x=x, y=y - 4, width=half, height=4, fill=INK)
        + element("rect", x=x, y=y - 4, width=px_per_m, height=4, fill="none", stroke=INK)
        + text("0", x, y + 13, size=SIZE, anchor="middle", fill=SOFT_INK)
        + text("0.5", x + half, y + 13, size=SIZE, anchor="middle", fill=SOFT_INK)
        + text("1 m", x + px_per_m, y + 13, size=SIZE, anchor="middle", fill=SOFT_INK)
        + text(f"1 : {scale} printed at full size", x + px_per_m + 26, y + 2, size=SIZE, fill=SOFT_INK)
    )
