"""The drawings of light, written to a folder: whole or not at all, under names that say what they show."""

from datetime import datetime
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.drawing.day import day_curve, day_plot
from plateside.drawing.day_plot import DayCurve, Line
from plateside.drawing.marks import BoardMark, Mark, Point, SunPatch
from plateside.drawing.room import plan_drawing
from plateside.drawing.year import year_calendar
from plateside.drawing.year_field import YearField
from plateside.files.atomic import write_bytes
from plateside.ground.exposure import shutter_words
from plateside.light.civil import clock_changes, rise_and_set_hours, skipped_cells
from plateside.model.light_answers import Array, DayLight, LightNeeds, SpotLight, StandingBoard, YearLight
from plateside.model.light_facts import DayFacts, SkyAsked
from plateside.model.studio import Studio
from plateside.tasks.light.place import LightStand
from plateside.words.counting import day as day_words
from plateside.words.light.day import curve_sentence
from plateside.words.light.drawn import (
    DARK_DAY,
    day_below,
    plan_above,
    plan_below,
    year_above,
    year_below,
)
from plateside.words.light.phrases import needs_phrase

Written = tuple[str, ...]

SHOWN_LX = 0.5
"""A page's curve runs from the first to the last moment with this much light."""


def _write(folder: Path, name: str, svg: str) -> Written:
    path = folder / name
    write_bytes(path, svg.encode("utf-8"))
    return (path.as_posix(),)


def draw_plan(folder: Path, stand: LightStand, light: SpotLight, when: datetime) -> Written:
    """Plan and section at the moment: sun patch, boards, the sun's direction."""
    return _write(folder, f"plan-{when:%Y-%m-%d-%H%M}.svg", plan_svg(stand, light, when))


def plan_svg(stand: LightStand, light: SpotLight, when: datetime, *, with_section: bool = True) -> str:
    """The same as SVG."""
    marks: tuple[Mark, ...] = sun_patches(stand, light) + tuple(
        board_mark(stand.studio, b) for b in stand.boards
    )
    return plan_drawing(
        stand.studio,
        spot=stand.spot,
        marks=marks,
        heading=plan_above(stand.place_name, when),
        subheading=plan_below(stand.spot.name, when),
        sun=(light.sun_bearing_deg, light.sun_elevation_deg),
        with_section=with_section,
    )


def sun_patches(stand: LightStand, light: SpotLight) -> tuple[Mark, ...]:
    """The patches of sun, lying on the table top."""
    return tuple(
        SunPatch(tuple((x, y, stand.spot.height_m) for x, y in polygon))
        for polygon in light.sun_patch
        if len(polygon) > 2
    )


def board_mark(studio: Studio, board: StandingBoard) -> BoardMark:
    """A standing board by its corners in the room."""
    turn = np.radians(board.normal_bearing_deg - studio.front_bearing_deg)
    tilt = np.radians(board.tilt_deg)
    along = np.array([np.cos(turn), -np.sin(turn), 0.0])
    face = np.array([np.sin(turn), np.cos(turn), 0.0])
    up = np.cos(tilt) * np.array([0.0, 0.0, 1.0]) - np.sin(tilt) * face
    middle = np.array([board.x_m, board.y_m, board.z_m])
    corners = [
        middle + a * board.width_m / 2 * along + b * board.height_m / 2 * up
        for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    points: tuple[Point, ...] = tuple((float(c[0]), float(c[1]), float(c[2])) for c in corners)
    words = board.name if "board" in board.name else f"{board.name} board".strip()
    return BoardMark(points, label=words, dark=max(board.reflectance) < 0.3)


def curve_of(light: DayLight, others: dict[str, Array]) -> DayCurve:
    """What the drawing of a day shows: its light, and that of the other spots beside it."""
    stamps = np.array([t.timestamp() for t in light.times])
    good = np.zeros(stamps.size, bool)
    for span in light.good:
        good |= (stamps >= span.start.timestamp()) & (stamps < span.end.timestamp())
    return DayCurve(
        times=light.times,
        timezone=light.timezone,
        illuminance_lx=light.horizontal_lx,
        low_lx=light.horizontal_low_lx,
        high_lx=light.horizontal_high_lx,
        sun_on_dish=light.sun_on_dish,
        good=good,
        sunrise=of_the_day(light.sunrise, light),
        sunset=of_the_day(light.sunset, light),
        others=tuple(Line(name, lx) for name, lx in others.items())[:4],
    )


def samples_shown(light: DayLight) -> tuple[int, int]:
    """The first and the last moment that a page shows, as indices; the whole day when it has no light."""
    lit = np.nonzero(light.horizontal_lx > SHOWN_LX)[0]
    return (int(lit[0]), int(lit[-1])) if len(lit) else (0, len(light.times) - 1)


def plot_svg(d: DayFacts, *, small: bool) -> str:
    """The day's curve from its first to its last moment with light, as a page shows it."""
    return day_plot(
        curve_of(d.light, {e.spot: e.horizontal_lx for e in d.elsewhere}),
        *samples_shown(d.light),
        shutter_words=shutter_words,
        small=small,
        description=curve_sentence(d),
    )


def draw_day(
    folder: Path, stand: LightStand, light: DayLight, sky: SkyAsked, days: dict[str, DayLight]
) -> Written:
    """The day's curve, the other spots' beside it."""
    others = {name: d.horizontal_lx for name, d in days.items() if name != light.spot}
    svg = day_curve(
        curve_of(light, others),
        heading=f"{day_words(light.day)}, {stand.spot.name}",
        subheading=day_below(stand.place_name, sky),
        shutter_words=shutter_words,
        good_means=needs_phrase(light.needs),
        note=DARK_DAY if light.never_up else "",
    )
    return _write(folder, f"day-{light.day.isoformat()}.svg", svg)


def of_the_day(moment: datetime | None, day: DayLight) -> datetime | None:
    """A rise or setting when it falls on the civil day itself, as a drawing of the day can show it; else None."""
    return moment if moment is not None and moment.date() == day.day else None


def draw_year(
    folder: Path,
    stand: LightStand,
    light: YearLight,
    good: NDArray[np.bool_],
    sky: SkyAsked,
    needs: LightNeeds,
    contours_lx: tuple[float, ...],
) -> Written:
    """The year's calendar."""
    svg = year_calendar(
        year_field(light, good, contours_lx),
        heading=year_above(light.year, stand.spot.name),
        subheading=year_below(stand.place_name, sky),
        good_means=needs_phrase(needs),
    )
    return _write(folder, f"year-{light.year}.svg", svg)


def year_field(light: YearLight, good: NDArray[np.bool_], contours_lx: tuple[float, ...]) -> YearField:
    """What the calendar shows of a year."""
    step = round(float(light.minutes[1] - light.minutes[0]))
    skipped = skipped_cells(light.dates, step, light.timezone)
    rises, sets = rise_and_set_hours(light.sun_elevation_deg, step)
    return YearField(
        days=light.dates,
        step_min=step,
        illuminance_lx=np.where(skipped, np.nan, light.horizontal_lx),
        sun_on_dish=light.sun_on_dish & ~skipped,
        good=good,
        sunrise_h=rises,
        sunset_h=sets,
        thresholds_lx=contours_lx,
        clock_changes=clock_changes(light.dates, light.timezone),
    )
