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
from plateside.light.answers import DayLight, Needs, SpotLight, Standing, YearLight
from plateside.light.civil import clock_changes, rise_and_set_hours, skipped_cells
from plateside.model.studio import Studio
from plateside.tasks.light.place import Stand
from plateside.tasks.light.words import day_words, needs_words, of_the_day

Written = tuple[str, ...]


def _write(folder: Path, name: str, svg: str) -> Written:
    path = folder / name
    write_bytes(path, svg.encode("utf-8"))
    return (path.as_posix(),)


def draw_plan(folder: Path, stand: Stand, light: SpotLight, when: datetime) -> Written:
    """Plan and section at the moment: sun patch, boards, the sun's direction."""
    return _write(folder, f"plan-{when:%Y-%m-%d-%H%M}.svg", plan_svg(stand, light, when))


def plan_svg(stand: Stand, light: SpotLight, when: datetime, *, with_section: bool = True) -> str:
    """The same as SVG."""
    marks: tuple[Mark, ...] = sun_patches(stand, light) + tuple(
        board_mark(stand.studio, b) for b in stand.boards
    )
    return plan_drawing(
        stand.studio,
        spot=stand.spot,
        marks=marks,
        heading=f"{stand.place_words} at {when:%H:%M}",
        subheading=f"{day_words(when.date())} · {stand.spot.name}",
        sun=(light.sun_bearing_deg, light.sun_elevation_deg),
        with_section=with_section,
    )


def sun_patches(stand: Stand, light: SpotLight) -> tuple[Mark, ...]:
    """The patches of sun, lying on the table top."""
    return tuple(
        SunPatch(tuple((x, y, stand.spot.height_m) for x, y in polygon))
        for polygon in light.sun_patch
        if len(polygon) > 2
    )


def board_mark(studio: Studio, board: Standing) -> BoardMark:
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


def curve_of(light: DayLight, days: dict[str, DayLight]) -> DayCurve:
    """What the drawing of a day shows: its light, and that of the other spots beside it."""
    stamps = np.array([t.timestamp() for t in light.times])
    good = np.zeros(stamps.size, bool)
    for span in light.good:
        good |= (stamps >= span.start.timestamp()) & (stamps < span.end.timestamp())
    others = tuple(Line(name, d.horizontal_lx) for name, d in days.items() if name != light.spot)
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
        others=others[:4],
    )


def plot_svg(light: DayLight, days: dict[str, DayLight], first: int, last: int, *, small: bool) -> str:
    """The day's curve from one moment to another, as a page shows it."""
    return day_plot(curve_of(light, days), first, last, shutter_words=shutter_words, small=small)


def draw_day(folder: Path, stand: Stand, light: DayLight, sky: str, days: dict[str, DayLight]) -> Written:
    """The day's curve, the other spots' beside it."""
    svg = day_curve(
        curve_of(light, days),
        heading=f"{day_words(light.day)}, {stand.spot.name}",
        subheading=f"{stand.place_words} · {sky} · local time",
        shutter_words=shutter_words,
        good_means=needs_words(light.needs),
        note="The sun does not rise on this day: one lamp, window blocked." if light.never_up else "",
    )
    return _write(folder, f"day-{light.day.isoformat()}.svg", svg)


def draw_year(
    folder: Path,
    stand: Stand,
    light: YearLight,
    good: NDArray[np.bool_],
    sky: str,
    needs: Needs,
    contours_lx: tuple[float, ...],
) -> Written:
    """The year's calendar."""
    svg = year_calendar(
        year_field(light, good, contours_lx),
        heading=f"The year {light.year}, {stand.spot.name}",
        subheading=f"{stand.place_words} · {sky} · local time, summer time where it is kept",
        good_means=needs_words(needs),
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
