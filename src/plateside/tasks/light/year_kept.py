"""The year of light with what a page shows of it; the light is kept, so that other needs are answered at once."""

import io
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.drawing.day_plot import spans
from plateside.drawing.year import year_plot
from plateside.drawing.year_field import hours_shown
from plateside.ground.figures import rounded
from plateside.light.civil import skipped_cells
from plateside.light.sun import year_grid
from plateside.model.light_answers import YearLight
from plateside.model.light_facts import YearFacts
from plateside.model.progress import Progress, silent
from plateside.model.room import Place
from plateside.tasks.light.asked import asked_of
from plateside.tasks.light.choice import LightChoice, key_without_needs, light_cache
from plateside.tasks.light.drawings import year_field
from plateside.tasks.light.week_and_year import YEAR_STEP_MIN, contours_of, good_in_year, year_facts, year_of
from plateside.words.light.calendar import longest_sentence, year_heading

READ_MIN = 15
"""The read-out steps by this much."""

Pairs = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class YearDrawn:
    """One spot over one year.

    lux        light to two figures every read_min from first_hour to last_hour of the clock, for each day;
               None where the clock skips that time
    good, sun  spans [min of the clock] for each day: the needs met, direct sun on the dish
    spread     low and high as factors on the light
    """

    facts: YearFacts
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


def drawn_year(root: Path, choice: LightChoice, year: int, progress: Progress = silent) -> YearDrawn:
    """The year for a page's choice. Raises InputError, Cancelled."""
    asked = asked_of(root, choice)
    stand = asked.stand()
    sky, needs = asked.sky_for(stand, None), asked.needs(stand)
    cache, key = light_cache(root), key_without_needs(root, choice, "year light", year)
    light = _unpacked(cache.get_bytes(key, ".npz"), stand.studio.place, stand.spot.name, sky.asked.code, year)
    if light is None:
        light = year_of(stand, sky, year, progress)
        cache.put_bytes(key, ".npz", _packed(light))
    good = good_in_year(light, needs)
    field = year_field(light, good, contours_of(asked, needs))
    first_hour, last_hour = hours_shown(field)
    facts = year_facts(asked, stand, sky, needs, light)
    described = f"{year_heading(facts)} {longest_sentence(facts)}"
    skipped = skipped_cells(light.dates, YEAR_STEP_MIN, light.timezone)
    return YearDrawn(
        facts=facts,
        read_min=READ_MIN,
        first_hour=first_hour,
        last_hour=last_hour,
        calendar=year_plot(field, description=described),
        calendar_small=year_plot(field, small=True, description=described),
        lux=_lux(light, skipped, first_hour, last_hour),
        good=tuple(_pairs(row) for row in good),
        sun=tuple(_pairs(row) for row in light.sun_on_dish & ~skipped),
        spread=light.spread,
    )


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
        with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
            lux, fill, sun, elevation, spread = (
                arrays[k] for k in ("lux", "fill", "sun", "elevation", "spread")
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
