"""The year of light as its page shows it: its drawing, values to read out; kept, so that it is at once next time."""

import io
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.drawing.day_plot import spans
from plateside.drawing.year import year_plot
from plateside.drawing.year_field import hours_shown
from plateside.light.answers import YearLight, rounded
from plateside.light.civil import skipped_cells
from plateside.light.sun import year_grid
from plateside.model.progress import Progress, silent
from plateside.model.studio import Place
from plateside.tasks.light.choice import Choice, kept_light, kept_year_key, key_without_needs
from plateside.tasks.light.drawings import year_field
from plateside.tasks.light.shown import asked_of
from plateside.tasks.light.week_and_year import YEAR_STEP_MIN, good_in_year, year_of, year_report
from plateside.tasks.light.words import MONTHS, needs_words
from plateside.tasks.report import as_json

READ_MIN = 15
"""The read-out steps by this much."""

Pairs = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class MonthShown:
    """A month in a line."""

    name: str
    good_h_per_day: str
    days_with_good_light: int
    sun_on_dish_h: str


@dataclass(frozen=True)
class YearShown:
    """One spot over one year.

    lux        light to two figures every read_min from first_hour to last_hour of the clock, for each day;
               None where the clock skips that time
    good, sun  spans [min of the clock] for each day: the needs met, direct sun on the dish
    spread     low and high as factors on the light
    """

    year: int
    spot: str
    place: str
    sky: str
    needs: str
    read_min: int
    first_hour: int
    last_hour: int
    calendar: str
    """SVG; its root tells where a day and an hour are: drawing.year.year_plot."""
    calendar_small: str
    """The same for a phone."""
    lux: tuple[tuple[float | None, ...], ...]
    good: tuple[Pairs, ...]
    sun: tuple[Pairs, ...]
    spread: tuple[float, float]
    months: tuple[MonthShown, ...]
    sentences: tuple[str, ...]


def shown_year(root: Path, choice: Choice, year: int, progress: Progress = silent) -> Any:
    """The year as JSON, from what is kept when it is there. Raises InputError, Cancelled."""
    kept = kept_light(root)
    key = kept_year_key(root, choice, year)
    found = kept.get(key)
    if found is None:
        found = as_json(_year(root, choice, year, progress))
        kept.put(key, found)
    return found


def _year(root: Path, choice: Choice, year: int, progress: Progress) -> YearShown:
    asked = asked_of(root, choice)
    stand = asked.stand()
    sky, needs = asked.sky_for(stand, None), asked.needs(stand)
    kept, key = kept_light(root), key_without_needs(root, choice, "year light", year)
    light = _unpacked(kept.get_bytes(key, ".npz"), stand.studio.place, stand.spot.name, sky.words, year)
    if light is None:
        light = year_of(asked, stand, sky, year, progress)
        kept.put_bytes(key, ".npz", _packed(light))
    report = year_report(asked, stand, sky, needs, light)
    good = good_in_year(light, needs)
    levels = {*asked.contours_lx, *([needs.at_least_lx] if needs.at_least_lx > 0 else [])}
    field = year_field(light, good, tuple(sorted(levels)))
    first_hour, last_hour = hours_shown(field)
    skipped = skipped_cells(light.dates, YEAR_STEP_MIN, light.timezone)
    return YearShown(
        year=year,
        spot=stand.spot.name,
        place=stand.place_words,
        sky=sky.words,
        needs=needs_words(needs),
        read_min=READ_MIN,
        first_hour=first_hour,
        last_hour=last_hour,
        calendar=year_plot(field),
        calendar_small=year_plot(field, small=True),
        lux=_lux(light, skipped, first_hour, last_hour),
        good=tuple(_pairs(row) for row in good),
        sun=tuple(_pairs(row) for row in light.sun_on_dish & ~skipped),
        spread=light.spread,
        months=tuple(
            MonthShown(
                MONTHS[m.month - 1], f"{m.good_h_per_day:.1f}", m.days_with_good_light,
                f"{m.sun_on_dish_h:.0f}",
            )
            for m in report.months
        ),
        sentences=report.sentences,
    )  # fmt: skip


def _lux(
    light: YearLight, skipped: NDArray[np.bool_], first_hour: int, last_hour: int
) -> tuple[tuple[float | None, ...], ...]:
    every, per_hour = READ_MIN // YEAR_STEP_MIN, 60 // YEAR_STEP_MIN
    part = slice(first_hour * per_hour, last_hour * per_hour, every)
    return tuple(
        tuple(None if gone else _figure(float(lx)) for lx, gone in zip(row, holes, strict=True))
        for row, holes in zip(light.horizontal_lx[:, part], skipped[:, part], strict=True)
    )


def _figure(lx: float) -> float:
    """Two figures; whole numbers without a point, since there are thirty thousand of them."""
    if lx < 0.1:
        return 0
    shown = float(rounded(lx))
    return int(shown) if shown >= 10 else shown


def _pairs(row: NDArray[np.bool_]) -> Pairs:
    return tuple((a * YEAR_STEP_MIN, (b + 1) * YEAR_STEP_MIN) for a, b in spans(row))


def _packed(light: YearLight) -> bytes:
    """The arrays that other needs are answered from."""
    out = io.BytesIO()
    np.savez_compressed(
        out, lux=light.horizontal_lx, fill=light.key_fill_stops, sun=light.sun_on_dish,
        elevation=light.sun_elevation_deg, spread=np.array(light.spread),
    )  # fmt: skip
    return out.getvalue()


def _unpacked(data: bytes | None, place: Place, spot: str, sky: str, year: int) -> YearLight | None:
    if data is None:
        return None
    try:
        with np.load(io.BytesIO(data), allow_pickle=False) as kept:
            lux, fill, sun, elevation, spread = (
                kept[k] for k in ("lux", "fill", "sun", "elevation", "spread")
            )
    except (OSError, ValueError, KeyError):
        return None
    dates, minutes, _ = year_grid(place, year, YEAR_STEP_MIN)
    if lux.shape != (len(dates), len(minutes)):
        return None
    return YearLight(
        spot=spot,
        year=year,
        timezone=place.timezone,
        sky=sky,
        dates=dates,
        minutes=minutes,
        sun_elevation_deg=elevation,
        sun_bearing_deg=np.empty((0, 0)),
        horizontal_lx=lux,
        faces_lx=np.empty((0, 0, 0)),
        camera_lx=np.empty((0, 0)),
        key_fill_stops=fill,
        sun_on_dish=sun,
        spread=(float(spread[0]), float(spread[1])),
    )
