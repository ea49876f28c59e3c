"""The year of light at one spot: days across, hours down, one small PNG under lines that print well.

year_calendar  a sheet of its own, with heading and key: what the command writes
year_plot      the calendar alone, for a page, which reads it out and moves its marks

The picture carries the light; everything that must be read exactly is drawn as lines over it: contours at the
user's thresholds with their lux written on them, sunrise and sunset, direct sun on the dish as hatching, good hours
with a firm outline. So it can be read in grey, on paper, and by a screen reader through its description.
"""

from base64 import b64encode
from dataclasses import dataclass, replace

import numpy as np

from plateside.drawing.contours import Line, area, outlines, thin
from plateside.drawing.kit import SERIF, document, element, halo, hatch, line, path, text
from plateside.drawing.labels import Box, Keeper, text_box
from plateside.drawing.palette import ACCENT, DEEP_SUN, HAIRLINE, INK, NIGHT_TO_DAY, PAPER, SOFT, SUN
from plateside.drawing.png import ramp
from plateside.drawing.year_field import (
    BRIGHTEST_LX,
    DARKEST_LX,
    YearField,
    describe,
    hours_shown,
    level_lines,
    year_png,
)
from plateside.words import drawings as said
from plateside.words.counting import MONTHS

LEFT, TOP, PLOT_WIDTH, HOUR_PX = 64.0, 92.0, 960.0, 27.0
WIDTH = LEFT + PLOT_WIDTH + 64


def year_calendar(
    field: YearField,
    *,
    heading: str,
    subheading: str = "",
    good_means: str = said.GOOD,
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
    place = _place(field)
    frame = place.frame
    parts = [
        text(heading, LEFT, 40, size=24, font_family=SERIF),
        text(subheading, LEFT, 62, size=13, fill=SOFT) if subheading else "",
        _plot(field, place, id_prefix),
        _key(frame.bottom + 52, good_means, id_prefix),
    ]
    return document(
        "".join(parts),
        width=WIDTH,
        height=frame.bottom + 92,
        title=heading,
        description=description or describe(field),
        id_prefix=id_prefix,
        definitions=_definitions(place, id_prefix),
    )


def year_plot(
    field: YearField, *, small: bool = False, id_prefix: str = "year", description: str = ""
) -> str:
    """The calendar alone, as large as the place it is put in.

    small        for a phone: narrower, hours closer, months by their first letter
    description  for those who cannot see it; left out, it is made from the figures

    Its root tells the page where a moment stands: data-left and data-wide for the year's days (data-days of them),
    data-top and data-high [units of the drawing] for data-first-hour to data-last-hour of the clock. The marks
    (`.today`, `.across`, `.down`) are the page's to move.

    Errors: InputError when the arrays do not fit one another.
    """
    width, left, hour_px = (420.0, 44.0, 15.0) if small else (1200.0, 54.0, 20.0)
    place = replace(_place(field), left=left, top=20.0, wide=width - left - 8, hour_px=hour_px)
    frame = place.frame
    cross: dict[str, object] = {"stroke": INK, "visibility": "hidden"}
    marks = (
        element("path", class_="today", fill=INK, stroke=INK, stroke_dasharray="4 3")
        + line(frame.left, frame.top, frame.right, frame.top, class_="across", **cross)
        + line(frame.left, frame.top, frame.left, frame.bottom, class_="down", **cross)
    )
    return document(
        _plot(field, place, id_prefix, short=small) + marks,
        width=width,
        height=frame.bottom + 28,
        title=said.YEAR_TITLE,
        description=description or describe(field),
        id_prefix=id_prefix,
        definitions=_definitions(place, id_prefix),
        sized=False,
        ground=None,
        data_left=frame.left,
        data_wide=place.wide,
        data_top=frame.top,
        data_high=frame.bottom - frame.top,
        data_days=place.days,
        data_first_hour=place.hour0,
        data_last_hour=place.hour1,
    )


@dataclass(frozen=True)
class _Place:
    """From cells to the paper: a cell is one day wide and one step high, its light is that of its beginning."""

    days: int
    step_min: int
    hour0: int
    hour1: int
    left: float = LEFT
    top: float = TOP
    wide: float = PLOT_WIDTH
    hour_px: float = HOUR_PX

    @property
    def frame(self) -> Box:
        return Box(self.left, self.top, self.left + self.wide, self.at_hour(self.hour1))

    def x(self, column: float) -> float:
        return self.left + (column + 0.5) * self.wide / self.days

    def y(self, slot: float) -> float:
        return self.at_hour((slot + 0.5) * self.step_min / 60)

    def at_hour(self, hour: float) -> float:
        return self.top + (hour - self.hour0) * self.hour_px

    def line(self, points: Line, *, cells: bool) -> Line:
        """(day, slot) indices to (x, y), thinned to a third of a pixel.

        cells  True: slots are cells, that reach from their moment to the next; False: they are moments
        """
        top = self.y(0) if cells else self.at_hour(0)
        xy = np.stack([self.x(0) + points[:, 0] * self.wide / self.days,
                       top + points[:, 1] * self.step_min / 60 * self.hour_px], axis=1)  # fmt: skip
        return thin(xy, 0.35)


def _place(field: YearField) -> _Place:
    """The sheet's own place for a field. Raises InputError when its arrays do not fit one another."""
    field.judged()
    return _Place(len(field.days), field.step_min, *hours_shown(field))


def _definitions(place: _Place, id_prefix: str) -> str:
    f = place.frame
    rect = element("rect", x=f.left, y=f.top, width=f.right - f.left, height=f.bottom - f.top)
    return hatch(f"{id_prefix}-sun", gap=5.5) + element("clipPath", rect, id=f"{id_prefix}-frame")


def _plot(field: YearField, place: _Place, id_prefix: str, *, short: bool = False) -> str:
    """The picture, every line over it, the hours and the months round it."""
    f, per_hour = place.frame, 60 // field.step_min
    picture = b64encode(year_png(field, place.hour0 * per_hour, place.hour1 * per_hour)).decode("ascii")
    image = element("image", href=f"data:image/png;base64,{picture}", x=f.left, y=f.top, width=f.right - f.left,
                    height=f.bottom - f.top, preserveAspectRatio="none")  # fmt: skip
    over = _sun(field, place, id_prefix) + _grid(field, place) + _suntimes(field, place)
    over += _contours(field, place) + _good(field, place)
    keeper = Keeper(f)
    return (
        image
        + element("g", over, clip_path=f"url(#{id_prefix}-frame)", fill="none")
        + _contour_labels(field, place, keeper)
        + _axes(field, place, short)
    )


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
                keeper.block(Box(near.left - 8, near.top - 14, near.right + 8, near.bottom + 14))
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


def _grid(field: YearField, place: _Place) -> str:
    frame, hour0, hour1 = place.frame, place.hour0, place.hour1
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


def _axes(field: YearField, place: _Place, short: bool) -> str:
    frame, hour0, hour1 = place.frame, place.hour0, place.hour1
    parts = [
        element(
            "rect",
            x=frame.left,
            y=frame.top,
            width=frame.right - frame.left,
            height=frame.bottom - frame.top,
            fill="none",
            stroke=SOFT,
            stroke_width=1,
        )
    ]
    for h in range(hour0, hour1 + 1):
        if h % 3 == 0:
            y = place.at_hour(h)
            parts.append(line(frame.left - 5, y, frame.left, y, stroke=SOFT))
            parts.append(text(f"{h:02d}:00", frame.left - 10, y + 4, anchor="end", fill=SOFT))
    starts = _month_starts(field)
    ends = [*starts[1:], len(field.days)]
    for i, j in zip(starts, ends, strict=True):
        if j - i < 20:
            continue
        name = MONTHS[field.days[i].month - 1][: 1 if short else 3]
        x = (place.x(i - 0.5) + place.x(j - 0.5)) / 2
        parts.append(text(name, x, frame.bottom + 20, anchor="middle", fill=SOFT))
    for i in starts:
        x = place.x(i - 0.5)
        parts.append(line(x, frame.bottom, x, frame.bottom + 5, stroke=SOFT))
    for column, minutes in field.clock_changes:
        x = place.x(column - 0.5)
        parts.append(line(x, frame.top - 4, x, frame.top, stroke=SOFT))
        words = said.clock_change(minutes)
        parts.append(text(words, x, frame.top - 8, size=10, anchor="middle", fill=SOFT))
    return "".join(parts)


def _key(y: float, good_means: str, prefix: str) -> str:
    """What each sign means, in one row that grows with its words."""
    parts: list[str] = []
    x = LEFT
    palette = ramp(NIGHT_TO_DAY, 12)
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
        at = x + wide * np.log(lx / DARKEST_LX) / np.log(BRIGHTEST_LX / DARKEST_LX)
        parts.append(text(str(lx), float(at), y + 18, size=10, anchor="middle", fill=SOFT))
    parts.append(text("lx", x + wide + 20, y + 18, size=10, fill=SOFT))
    x += wide + 52

    def item(sign: str, words: str, sign_width: float) -> None:
        nonlocal x
        parts.append(sign)
        parts.append(text(words, x + sign_width + 8, y, fill=INK))
        x = text_box(words, x + sign_width + 8, y).right + 22

    item(element("rect", x=x, y=y - 11, width=26, height=14, fill=f"url(#{prefix}-sun)", stroke=INK, stroke_width=0.8),
         said.DIRECT_SUN, 26)  # fmt: skip
    dots = {"stroke": DEEP_SUN, "stroke_width": 2, "stroke_dasharray": "1 3.5", "stroke_linecap": "round"}
    item(line(x, y - 4, x + 26, y - 4, **dots), said.RISE_AND_SET, 26)
    item(element("rect", x=x + 1, y=y - 11, width=24, height=14, rx=2, fill="none", stroke=ACCENT, stroke_width=2.4),
         good_means, 26)  # fmt: skip
    return "".join(parts)
