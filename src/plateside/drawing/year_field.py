"""What the drawing of a year shows, and what of it is the same on every sheet: its picture, its hours, its contours."""

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from plateside.drawing.contours import Line, contour_lines
from plateside.drawing.palette import NIGHT_TO_DAY
from plateside.drawing.png import indexed_png, ramp
from plateside.model.errors import RefusedError
from plateside.words import drawings as said

COLOURS = 56
DARKEST_LX, BRIGHTEST_LX = 5.0, 5000.0


@dataclass(frozen=True)
class YearField:
    """What the calendar shows. Arrays are (days, slots) of local civil time."""

    days: tuple[date, ...]
    step_min: int
    illuminance_lx: NDArray[np.float64]
    """On the dish; NaN where the clock skips the hour."""
    sun_on_dish: NDArray[np.bool_]
    good: NDArray[np.bool_]
    sunrise_h: NDArray[np.float64]
    """(days,) local clock hours; NaN on a day without one."""
    sunset_h: NDArray[np.float64]
    thresholds_lx: tuple[float, ...] = (100.0, 300.0, 1000.0)
    clock_changes: tuple[tuple[int, int], ...] = ()
    """(index of the first day on the new time, minutes the clock went forward), see civil.clock_changes."""

    def judged(self) -> None:
        """Raises InputError when the arrays do not fit one another."""
        days, slots = self.illuminance_lx.shape
        if slots * self.step_min != 1440 or len(self.days) != days:
            raise RefusedError(
                "no calendar",
                slots=int(1440 // self.step_min),
                got=str(self.illuminance_lx.shape),
                days=len(self.days),
                step_min=self.step_min,
            )


def ink_of_light(illuminance_lx: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Palette index of a light level: even in stops from 5 to 5000 lx. NaN counts as night."""
    lx = np.clip(np.nan_to_num(illuminance_lx, nan=0.0), DARKEST_LX, BRIGHTEST_LX)
    share = np.log(lx / DARKEST_LX) / np.log(BRIGHTEST_LX / DARKEST_LX)
    indices: NDArray[np.uint8] = np.rint(share * (COLOURS - 1)).astype(np.uint8)
    return indices


def year_png(field: YearField, first_slot: int = 0, last_slot: int | None = None) -> bytes:
    """The calendar's picture alone: one pixel a cell, days across, hours down."""
    part = field.illuminance_lx[:, first_slot:last_slot]
    return indexed_png(np.ascontiguousarray(ink_of_light(part).T), ramp(NIGHT_TO_DAY, COLOURS))


def hours_shown(field: YearField) -> tuple[int, int]:
    """The whole hours worth drawing: from before the first light to after the last."""
    light = np.nan_to_num(field.illuminance_lx) > 0.5
    lit = np.nonzero(light.any(axis=0))[0]
    per_hour = 60 // field.step_min
    first = int(lit[0]) // per_hour if len(lit) else 24
    last = int(lit[-1]) // per_hour + 1 if len(lit) else 0
    known = np.isfinite(field.sunrise_h)
    if known.any():
        first = min(first, int(np.nanmin(field.sunrise_h)))
    known = np.isfinite(field.sunset_h)
    if known.any():
        last = max(last, int(np.ceil(np.nanmax(field.sunset_h))))
    if last - first < 6:
        first, last = 6, 18
    return max(0, first - 1), min(24, last + 1)


def level_lines(field: YearField, level: float) -> list[Line]:
    """Contours of the light where the sun does not stand on the dish: there the hatching says enough.

    Skipped hours are filled from the slot before, so that a contour does not break there.
    """
    log_lx = np.log2(np.maximum(np.nan_to_num(field.illuminance_lx), 1e-3))
    for slot in range(log_lx.shape[1]):
        gap = np.isnan(field.illuminance_lx[:, slot])
        log_lx[gap, slot] = log_lx[gap, slot - 1] if slot else -10.0
    log_lx[field.sun_on_dish] = np.nan
    return contour_lines(log_lx, float(np.log2(level)))


def describe(field: YearField) -> str:
    """The calendar in words."""
    good_days = int(field.good.any(axis=1).sum())
    hours = float(field.good.sum()) * field.step_min / 60
    sunny = int(field.sun_on_dish.any(axis=1).sum())
    best = field.good.sum(axis=1)
    longest = field.days[int(np.argmax(best))] if good_days else None
    return said.year_told(good_days, len(field.days), hours, longest, sunny)
