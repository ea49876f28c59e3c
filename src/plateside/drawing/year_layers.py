"""The year's calendar as layers for a page that draws its own frame: days across, minutes of the clock down.

The picture is the same as year.year_calendar's; every line is a path in (day, minute of the clock), so that it can be
stretched to any size.
"""

from base64 import b64encode
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.drawing.contours import Line, area, outlines, thin
from plateside.drawing.kit import path
from plateside.drawing.year import YearField, hours_shown, level_lines, year_png

FINE_MIN = 1.5
"""Lines are thinned by less than this [min]; a day counts as FINE_MIN / FINE_DAYS minutes."""
FINE_DAYS = 0.35
SHORTEST, SMALLEST_SUN, SMALLEST_GOOD = 6, 2.0, 3.0


@dataclass(frozen=True)
class Level:
    """Lines of equal light."""

    lx: float
    d: str


@dataclass(frozen=True)
class YearLayers:
    """What a page lays over one another. Paths are SVG `d` in (day, minute)."""

    png: str
    """The picture as base64: a pixel a cell, from first_hour to last_hour."""
    first_hour: int
    last_hour: int
    days: int
    levels: tuple[Level, ...]
    good: str
    sun: str
    sunrise: str
    sunset: str


def year_layers(field: YearField) -> YearLayers:
    """The layers of a year."""
    first, last = hours_shown(field)
    per_hour = 60 // field.step_min
    return YearLayers(
        png=b64encode(year_png(field, first * per_hour, last * per_hour)).decode("ascii"),
        first_hour=first,
        last_hour=last,
        days=len(field.days),
        levels=tuple(
            Level(lx, "".join(_path(p, field, 0.0) for p in level_lines(field, lx) if len(p) > SHORTEST))
            for lx in field.thresholds_lx
        ),
        good=_shape(field.good, field, SMALLEST_GOOD),
        sun=_shape(field.sun_on_dish, field, SMALLEST_SUN),
        sunrise=_times(field.sunrise_h),
        sunset=_times(field.sunset_h),
    )


def _shape(mask: NDArray[np.bool_], field: YearField, smallest: float) -> str:
    # a cell reaches from its moment to the next, a contour runs through moments: half a step apart
    return "".join(_path(ring, field, 0.5, closed=True) for ring in outlines(mask) if area(ring) >= smallest)


def _path(points: Line, field: YearField, later: float, *, closed: bool = False) -> str:
    xy = np.stack([points[:, 0] + 0.5, (points[:, 1] + later) * field.step_min], axis=1)
    return path(_thin(xy), closed=closed)


def _times(hours: NDArray[np.float64]) -> str:
    columns = np.arange(len(hours))
    gaps = ~np.isfinite(hours[1:]) | ~np.isfinite(hours[:-1]) | (np.abs(np.diff(hours)) > 12)
    parts = []
    for run in np.split(columns, np.nonzero(gaps)[0] + 1):
        lit = run[np.isfinite(hours[run])]
        if len(lit) > 1:
            parts.append(path(_thin(np.stack([lit + 0.5, hours[lit] * 60], axis=1))))
    return "".join(parts)


def _thin(xy: Line) -> list[tuple[float, float]]:
    """Thinned where a day is worth as much as its share of the page."""
    scale = np.array([FINE_MIN / FINE_DAYS, 1.0])
    return [(float(x), float(y)) for x, y in thin(xy * scale, FINE_MIN) / scale]
