"""`plateside light`: the light on the dish at a moment, over a day, a week or a year; readings, fit and bearing."""

import argparse
from datetime import datetime
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.numbers import number
from plateside.cli.progress import show_progress
from plateside.model.errors import InputError
from plateside.tasks.light.asked import Asked
from plateside.tasks.light.meter import MIDDLE, find_bearing, fit_to_readings, keep_card, keep_reading
from plateside.tasks.light.moment_and_day import light_at_moment, light_of_day
from plateside.tasks.light.place import open_stand
from plateside.tasks.light.week_and_year import light_of_week, light_of_year
from plateside.words.light import refusals
from plateside.words.light.calendar import week_lines, year_lines
from plateside.words.light.day import day_lines
from plateside.words.light.meter import bearing_lines, fit_lines, reading_lines
from plateside.words.light.moment import moment_lines

HELP = "say when the window gives good light: at a moment, over a day, a week, the year"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "path",
        nargs="?",
        type=Path,
        default=Path(),
        help="the shoot's folder, or a studio.toml (default: here)",
    )
    when = parser.add_argument_group(
        "when (left out: the shoot's day, else today)"
    ).add_mutually_exclusive_group()
    when.add_argument("--at", metavar="TIME", help="a moment, in the studio's local time: 2027-07-15T13:30")
    when.add_argument("--day", metavar="DATE", help="a day: 2027-07-15")
    when.add_argument("--week", metavar="DATE", help="seven days from a date, and the best of them")
    when.add_argument("--year", metavar="YEAR", help="a whole year: 2027")
    where = parser.add_argument_group("where and how")
    where.add_argument("--spot", default="", help="the table spot (default: the shot's, else the first)")
    where.add_argument("--shot", default="", help="a shot of the shoot: its spot, camera, boards and fill")
    where.add_argument(
        "--camera-faces", type=number, metavar="DEG",
        help="where the camera looks, clockwise from straight out of the front wall: 90 has the window on its left",
    )  # fmt: skip
    where.add_argument(
        "--camera-elevation", type=number, metavar="DEG", help="how high it stands: 90 straight down"
    )
    sky = parser.add_argument_group("sky")
    sky.add_argument("--sky", default="", help="clear, hazy, broken, overcast, or cie:1 to cie:16")
    sky.add_argument("--weather", type=Path, metavar="FILE", help="a typical year: EPW or TMY3")
    sky.add_argument("--forecast", type=Path, metavar="FILE.csv", help="times and cloud cover in percent")
    needs = parser.add_argument_group("good light")
    sun = needs.add_mutually_exclusive_group()
    sun.add_argument(
        "--no-sun",
        dest="no_sun",
        action="store_true",
        default=True,
        help="no direct sun on the dish (default)",
    )
    sun.add_argument(
        "--sun-allowed", dest="no_sun", action="store_false", help="direct sun may fall on the dish"
    )
    needs.add_argument(
        "--at-least", type=number, default=None, metavar="LX",
        help="minimum light on the table, lux (left out: what your shots need at their settings)",
    )  # fmt: skip
    needs.add_argument(
        "--at-most-ratio",
        type=number,
        metavar="STOPS",
        help="shadow side at most this many stops darker (1 is soft, 3 is hard)",
    )
    more = parser.add_argument_group("more")
    more.add_argument(
        "--what-if", action="store_true", help="with --at: sheer, boards, nearer ... side by side"
    )
    more.add_argument(
        "--pictures", type=Path, metavar="DIR", help="write plan, day or year as SVG into this folder"
    )
    more.add_argument(
        "--contour",
        type=number,
        action="append",
        metavar="LX",
        help="line of equal light in the year's picture",
    )
    learn = parser.add_argument_group("teach it your room")
    learn.add_argument(
        "--read", type=number, metavar="LX", help="keep a lux reading (with --at, --spot, --sky)"
    )
    learn.add_argument("--note", default="", help="a word about the reading")
    learn.add_argument(
        "--card",
        type=Path,
        metavar="RAW",
        help="keep a reading from a raw frame of the grey card (with --spot, --sky)",
    )
    learn.add_argument(
        "--patch", type=number, nargs=4, metavar=("LEFT", "TOP", "WIDTH", "HEIGHT"),
        help="with --card: where the card is, as shares of the picture (default: its middle fifth)",
    )  # fmt: skip
    learn.add_argument(
        "--card-reflectance",
        type=number,
        default=0.18,
        metavar="SHARE",
        help="with --card: of your card (default 0.18)",
    )
    learn.add_argument("--fit", action="store_true", help="fit the studio to its readings and write [fit]")
    learn.add_argument(
        "--bearing", nargs="+", action="append", metavar="NOTE",
        help="a noted moment of the sun: TIME left|right when it grazed the wall, or "
        "TIME top-left ALONG FROM_WALL [HIGH] for a corner of its patch",
    )  # fmt: skip
    learn.add_argument("--window", default="", help="with --bearing: which window (default: the first)")
    learn.add_argument("--keep", action="store_true", help="with --bearing: write it to the studio file")


def run(args: argparse.Namespace) -> Answer:
    if args.bearing:
        bearing = find_bearing(args.path, args.window, args.bearing, args.keep)
        return Answer(bearing, tuple(bearing_lines(bearing)))
    if args.fit:
        fit = fit_to_readings(args.path, datetime.now().astimezone().date(), show_progress)
        return Answer(fit, tuple(fit_lines(fit)))
    if args.card is not None:
        patch = tuple(args.patch) if args.patch else MIDDLE
        kept = keep_card(
            args.path, args.spot, args.card, args.sky, args.at or "", patch, args.card_reflectance
        )
        return Answer(kept, tuple(reading_lines(kept)))
    if args.read is not None:
        if args.at is None:
            raise InputError(refusals.READING_NEEDS_A_MOMENT)
        kept = keep_reading(args.path, args.spot, args.at, args.read, args.sky, args.note)
        return Answer(kept, tuple(reading_lines(kept)))
    if args.at_least is not None and args.at_least < 0:
        raise InputError(refusals.least_below_zero(args.at_least))
    asked = Asked(
        path=args.path,
        spot=args.spot,
        shot=args.shot,
        sky=args.sky,
        weather=args.weather,
        forecast=args.forecast,
        camera_faces_deg=args.camera_faces,
        camera_elevation_deg=args.camera_elevation,
        no_direct_sun=args.no_sun,
        at_least_lx=args.at_least,
        at_most_key_fill_stops=args.at_most_ratio,
        contours_lx=tuple(args.contour) if args.contour else Asked.contours_lx,
        pictures=args.pictures,
    )
    if args.at is not None:
        moment = light_at_moment(asked, args.at, args.what_if)
        return Answer(moment, tuple(moment_lines(moment)))
    if args.what_if:
        raise InputError(refusals.WHAT_IF_NEEDS_A_MOMENT)
    if args.year is not None:
        year = light_of_year(asked, args.year)
        return Answer(year, tuple(year_lines(year)))
    if args.week is not None:
        week = light_of_week(asked, args.week)
        return Answer(week, tuple(week_lines(week)))
    day = light_of_day(asked, args.day or _default_day(args.path))
    return Answer(day, tuple(day_lines(day)))


def _default_day(path: Path) -> str:
    """The shoot's day, else today where the studio is."""
    stand = open_stand(path)
    return stand.shoot.date if stand.shoot else datetime.now(stand.zone).date().isoformat()
