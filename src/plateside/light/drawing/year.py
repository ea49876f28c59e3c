"""The year of light at one spot: days across, hours down, one small PNG under lines that print well.

The picture carries the light; everything that must be read exactly is drawn as lines over it: contours at the
user's thresholds with their lux written on them, sunrise and sunset, direct sun on the dish as hatching, good hours
with a firm outline. So it can be read in grey, on paper, and by a screen reader through its description.
"""

from base64 import b64encode
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from plateside.light.drawing import labels
from plateside.light.drawing.contours import Line, area, contour_lines, outlines, thin
from plateside.light.drawing.paper import (
    ACCENT,
    HAIRLINE,
    INK,
    PAPER,
    SERIF,
    SOFT_INK,
    SUN,
    Keeper,
    PaperRectangle,
    document,
    element,
    halo,
    hatch,
    line,
    path,
    text,
    text_box,
)
from plateside.light.drawing.png import indexed_png, ramp
from plateside.model.errors import RefusedError

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip

LEFT, TOP, PLOT_WIDTH, HOUR_PX = 64.0, 92.0, 960.0, 27.0
WIDTH = LEFT + PLOT_WIDTH + 64

# Night to full window light: a dark sage that clears to the colour of paper and warms where light is plenty.
_RAMP = ("#33423f", "#55665f", "#83948a", "#b3beb0", "#dcddcd", "#f4efdf", "#fbf3dc")
_COLOURS = 56
_DARKEST_LX, _BRIGHTEST_LX = 5.0, 5000.0


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


def ink_of_light(illuminance_lx: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Palette index of a light level: even in stops from 5 to 5000 lx. NaN counts as night."""
    lx = np.clip(np.nan_to_num(illuminance_lx, nan=0.0), _DARKEST_LX, _BRIGHTEST_LX)
    share = np.log(lx / _DARKEST_LX) / np.log(_BRIGHTEST_LX / _DARKEST_LX)
    indices: NDArray[np.uint8] = np.rint(share * (_COLOURS - 1)).astype(np.uint8)
    return indices


def year_png(field: YearField, first_slot: int = 0, last_slot: int | None = None) -> bytes:
    """The calendar's picture alone: one pixel a cell, days across, hours down."""
    part = field.illuminance_lx[:, first_slot:last_slot]
    return indexed_png(np.ascontiguousarray(ink_of_light(part).T), ramp(_RAMP, _COLOURS))


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


def year_calendar(
    field: YearField,
    *,
    heading: str,
    subheading: str = "",
    good_means: str = "good hours",
    id_prefix: str = "year",
    description: str = "",
) -> str:
    """The year as SVG.

    heading, subheading  above the drawing; as plain text
    good_means           what the good hours satisfy, in words, for the key
    id_prefix            keeps ids apart when several drawings stand in one page
    description          for those who cannot see it; left out, it is made from the figures

    Errors: InputError when the arrays do not fit one another.
    """
    days, slots = field.illuminance_lx.shape
    if slots * field.step_min != 1440 or len(field.days) != days:
        raise RefusedError(
            "no calendar",
            slots=int(1440 // field.step_min),
            got=str(field.illuminance_lx.shape),
            days=len(field.days),
            step_min=field.step_min,
        )
    hour0, hour1 = hours_shown(field)
    height = (hour1 - hour0) * HOUR_PX
    bottom = TOP + height
    frame = PaperRectangle(LEFT, TOP, LEFT + PLOT_WIDTH, bottom)
    place = _Place(days, field.step_min, hour0)
    per_hour = 60 // field.step_min
    picture = b64encode(year_png(field, hour0 * per_hour, hour1 * per_hour)).decode("ascii")
    keeper = Keeper(frame)

    parts = [
        text(heading, LEFT, 40, size=24, font_family=SERIF),
        text(subheading, LEFT, 62, size=13, fill=SOFT_INK) if subheading else "",
        element(
            "image",
            href=f"data:image/png;base64,{picture}",
            x=LEFT,
            y=TOP,
            width=PLOT_WIDTH,
            height=height,
            preserveAspectRatio="none",
        ),
    ]
    inside = element(
        "clipPath",
        element("rect", x=LEFT, y=TOP, width=PLOT_WIDTH, height=height),
        id=f"{id_prefix}-frame",
    )
    parts.append(
        element(
            "g",
            _sun(field, place, id_prefix)
            + _grid(field, place, frame, hour0, hour1)
            + _suntimes(field, place)
            + _contours(field, place)
            + _good(field, place),
            clip_path=f"url(#{id_prefix}-frame)",
            fill="none",
        )
    )
    parts.append(_contour_labels(field, place, keeper))
    parts.append(_axes(field, place, frame, hour0, hour1))
    parts.append(_key(field, bottom + 52, good_means, id_prefix))
    return document(
        "".join(parts),
        width=WIDTH,
        height=bottom + 92,
        title=heading,
        description=description or describe(field),
        id_prefix=id_prefix,
        definitions=hatch(f"{id_prefix}-sun", gap=5.5) + inside,
    )


def describe(field: YearField) -> str:
    """The calendar in words."""
    good_days = int(field.good.any(axis=1).sum())
    hours = float(field.good.sum()) * field.step_min / 60
    sunny = int(field.sun_on_dish.any(axis=1).sum())
    best = field.good.sum(axis=1)
    day = field.days[int(np.argmax(best))]
    longest = f"{day.day} {MONTHS[day.month - 1]}" if good_days else ""
    return labels.describe_year(good_days, len(field.days), hours, longest, sunny)


@dataclass(frozen=True)
class _Place:
    """From cells to the paper: a cell is one day wide and one step high, its light is that of its beginning."""

    days: int
    step_min: int
    hour0: int

    def x(self, column: float) -> float:
        return LEFT + (column + 0.5) * PLOT_WIDTH / self.days

    def y(self, slot: float) -> float:
        return self.at_hour((slot + 0.5) * self.step_min / 60)

    def at_hour(self, hour: float) -> float:
        return TOP + (hour - self.hour0) * HOUR_PX

    def line(self, points: Line, *, cells: bool) -> Line:
        """(day, slot) indices to (x, y), thinned to a third of a pixel.

        cells  True: slots are cells, that reach from their moment to the next; False: they are moments
        """
        top = self.y(0) if cells else self.at_hour(0)
        xy = np.stack([self.x(0) + points[:, 0] * PLOT_WIDTH / self.days,
                       top + points[:, 1] * self.step_min / 60 * HOUR_PX], axis=1)  # fmt: skip
        return thin(xy, 0.35)


def _shape(rings: list[Line], place: _Place, smallest_cells: float) -> str:
    return "".join(
        path([(float(x), float(y)) for x, y in place.line(r, cells=True)], closed=True)
        for r in rings
        if area(r) >= smallest_cells
    )


def _sun(field: YearField, place: _Place, prefix: str) -> str:
    d = _shape(outlines(field.sun_on_dish), place, 2.0)
    return element("path", d=d, fill=f"url(#{prefix}-sun)", stroke=INK, stroke_width=0.8) if d else ""


def _good(field: YearField, place: _Place) -> str:
    d = _shape(outlines(field.good), place, 3.0)
    if not d:
        return ""
    return element("path", d=d, stroke=PAPER, stroke_width=4.5, stroke_linejoin="round") + element(
        "path", d=d, stroke=ACCENT, stroke_width=2.4, stroke_linejoin="round"
    )


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


def _contours(field: YearField, place: _Place) -> str:
    parts = []
    for level in field.thresholds_lx:
        d = "".join(
            path([(float(x), float(y)) for x, y in place.line(points, cells=False)])
            for points in level_lines(field, level)
            if len(points) > 6
        )
        if d:
            parts.append(element("path", d=d, stroke=INK, stroke_width=1.0, stroke_linejoin="round"))
    return "".join(parts)


def _contour_labels(field: YearField, place: _Place, keeper: Keeper) -> str:
    """Each long contour carries its lux where it runs most level."""
    parts = []
    for level in sorted(field.thresholds_lx, reverse=True):
        words = f"{level:g} lx"
        for points in sorted(level_lines(field, level), key=len, reverse=True)[:2]:
            xy = place.line(points, cells=False)
            if len(xy) < 2 or np.ptp(xy[:, 0]) < 140:
                continue
            middles, run = (xy[1:] + xy[:-1]) / 2, np.abs(xy[1:] - xy[:-1])
            off_level = run[:, 1] / (run[:, 0] + 1e-6) - 0.002 * run[:, 0]
            spots = [(float(x), float(y) + 4, "middle") for x, y in middles[np.argsort(off_level)][:60]]
            found = keeper.place(words, spots, size=11)
            if found:
                near = text_box(words, found[0], found[1], size=11, anchor=found[2])
                keeper.block(PaperRectangle(near.left - 8, near.top - 14, near.right + 8, near.bottom + 14))
                parts.append(halo(words, found[0], found[1], size=11, anchor=found[2]))
    return "".join(parts)


def _suntimes(field: YearField, place: _Place) -> str:
    parts = []
    for hours in (field.sunrise_h, field.sunset_h):
        columns = np.arange(len(hours))
        breaks = np.nonzero(
            ~np.isfinite(hours[1:]) | ~np.isfinite(hours[:-1]) | (np.abs(np.diff(hours)) > 12)
        )[0]
        for run in np.split(columns, breaks + 1):
            run = run[np.isfinite(hours[run])]
            if len(run) > 1:
                xy = np.stack([[place.x(float(c)) for c in run],
                               [place.at_hour(float(h)) for h in hours[run]]], axis=1)  # fmt: skip
                d = path([(float(x), float(y)) for x, y in thin(xy, 0.3)])
                parts.append(element("path", d=d, stroke=SUN, stroke_width=1.8, stroke_dasharray="1 3.5",
                                     stroke_linecap="round"))  # fmt: skip
    return "".join(parts)


def _month_starts(field: YearField) -> list[int]:
    return [i for i, day in enumerate(field.days) if day.day == 1]


def _grid(field: YearField, place: _Place, frame: PaperRectangle, hour0: int, hour1: int) -> str:
    parts = [
        line(place.x(i - 0.5), frame.top, place.x(i - 0.5), frame.bottom, stroke=PAPER, stroke_opacity=0.35)
        for i in _month_starts(field)
        if i
    ]
    parts += [
        line(frame.left, place.at_hour(h), frame.right, place.at_hour(h), stroke=PAPER, stroke_opacity=0.35)
        for h in range(hour0 + 1, hour1)
        if h % 3 == 0
    ]
    return "".join(parts)


def _axes(field: YearField, place: _Place, frame: PaperRectangle, hour0: int, hour1: int) -> str:
    parts = [
        element(
            "rect",
            x=frame.left,
            y=frame.top,
            width=frame.right - frame.left,
            height=frame.bottom - frame.top,
            fill="none",
            stroke=SOFT_INK,
            stroke_width=1,
        )
    ]
    for h in range(hour0, hour1 + 1):
        if h % 3 == 0:
            y = place.at_hour(h)
            parts.append(line(frame.left - 5, y, frame.left, y, stroke=SOFT_INK))
            parts.append(text(f"{h:02d}:00", frame.left - 10, y + 4, anchor="end", fill=SOFT_INK))
    starts = _month_starts(field)
    ends = [*starts[1:], len(field.days)]
    for i, j in zip(starts, ends, strict=True):
        if j - i < 20:
            continue
        name = MONTHS[field.days[i].month - 1][:3]
        x = (place.x(i - 0.5) + place.x(j - 0.5)) / 2
        parts.append(text(name, x, frame.bottom + 20, anchor="middle", fill=SOFT_INK))
    for i in starts:
        x = place.x(i - 0.5)
        parts.append(line(x, frame.bottom, x, frame.bottom + 5, stroke=SOFT_INK))
    for column, minutes in field.clock_changes:
        x = place.x(column - 0.5)
        parts.append(line(x, frame.top - 4, x, frame.top, stroke=SOFT_INK))
        words = f"clocks {'forward' if minutes > 0 else 'back'} {abs(minutes) / 60:g} h"
        parts.append(text(words, x, frame.top - 8, size=10, anchor="middle", fill=SOFT_INK))
    return "".join(parts)


def _key(field: YearField, y: float, good_means: str, prefix: str) -> str:
    """What each sign means, in one row that grows with its words."""
    parts: list[str] = []
    x = LEFT
    palette = ramp(_RAMP, 12)
    cell = 11.0
    for i, (r, g, b) in enumerate(palette):
        parts.append(
            element(
                "rect", x=x + i * cell, y=y - 11, width=cell + 0.4, height=14, fill=f"#{r:02x}{g:02x}{b:02x}"
            )
        )
    wide = cell * len(palette)
    parts.append(element("rect", x=x, y=y - 11, width=wide, height=14, fill="none", stroke=HAIRLINE))
    for lx in (5, 50, 500, 5000):
        at = x + wide * np.log(lx / _DARKEST_LX) / np.log(_BRIGHTEST_LX / _DARKEST_LX)
        parts.append(text(str(lx), float(at), y + 18, size=10, anchor="middle", fill=SOFT_INK))
    parts.append(text("lx", x + wide + 20, y + 18, size=10, fill=SOFT_INK))
    x += wide + 52

    def item(sign: str, words: str, sign_width: float) -> None:
        nonlocal x
        parts.append(sign)
        parts.append(text(words, x + sign_width + 8, y, fill=INK))
        x = text_box(words, x + sign_width + 8, y).right + 22

    item(element("rect", x=x, y=y - 11, width=26, height=14, fill=f"url(#{prefix}-sun)", stroke=INK, stroke_width=0.8),
         labels.DIRECT_SUN, 26)  # fmt: skip
    dots = {"stroke": "#b98a1f", "stroke_width": 2, "stroke_dasharray": "1 3.5", "stroke_linecap": "round"}
    item(line(x, y - 4, x + 26, y - 4, **dots), labels.SUN_TIMES, 26)
    item(element("rect", x=x + 1, y=y - 11, width=24, height=14, rx=2, fill="none", stroke=ACCENT, stroke_width=2.4),
         good_means, 26)  # fmt: skip
    return "".join(parts)
