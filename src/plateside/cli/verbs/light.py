"""`plateside light`: the light on the dish at a moment, over a day, a week or a year; readings, fit and bearing."""

import argparse
from datetime import datetime
from pathlib import Path

from plateside.cli.answer import Answer
from plateside.cli.numbers import number
from plateside.cli.progress import show_progress
from plateside.model.errors import InputError
from plateside.tasks.light.asked import Asked
from plateside.tasks.light.moment_and_day import light_at_moment, light_of_day
from plateside.tasks.light.place import open_stand
from plateside.tasks.light.week_and_year import light_of_week, light_of_year
from plateside.words.commands import LIGHT_FLAGS, LIGHT_GROUPS, LIGHT_HELP
from plateside.words.light import refusals
from plateside.words.light.calendar import week_lines, year_lines
from plateside.words.light.day import day_lines
from plateside.words.light.meter import bearing_lines, fit_lines, reading_lines
from plateside.words.light.moment import moment_lines

HELP = LIGHT_HELP


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "path",
        nargs="?",
        type=Path,
        default=Path(),
        metavar="SHOOT",
        help=LIGHT_FLAGS["path"],
    )
    when = parser.add_argument_group(LIGHT_GROUPS["when"]).add_mutually_exclusive_group()
    when.add_argument("--at", metavar="TIME", help=LIGHT_FLAGS["--at"])
    when.add_argument("--day", metavar="DATE", help=LIGHT_FLAGS["--day"])
    when.add_argument("--week", metavar="DATE", help=LIGHT_FLAGS["--week"])
    when.add_argument("--year", metavar="YEAR", help=LIGHT_FLAGS["--year"])
    where = parser.add_argument_group(LIGHT_GROUPS["where"])
    where.add_argument("--spot", default="", help=LIGHT_FLAGS["--spot"])
    where.add_argument("--shot", default="", help=LIGHT_FLAGS["--shot"])
    where.add_argument(
        "--camera-faces", type=number, metavar="DEG",
        help=LIGHT_FLAGS["--camera-faces"],
    )  # fmt: skip
    where.add_argument(
        "--camera-elevation", type=number, metavar="DEG", help=LIGHT_FLAGS["--camera-elevation"]
    )
    sky = parser.add_argument_group(LIGHT_GROUPS["sky"])
    sky.add_argument("--sky", default="", help=LIGHT_FLAGS["--sky"])
    sky.add_argument("--weather", type=Path, metavar="FILE", help=LIGHT_FLAGS["--weather"])
    sky.add_argument("--forecast", type=Path, metavar="FILE.csv", help=LIGHT_FLAGS["--forecast"])
    needs = parser.add_argument_group(LIGHT_GROUPS["needs"])
    sun = needs.add_mutually_exclusive_group()
    sun.add_argument(
        "--no-sun",
        dest="no_sun",
        action="store_true",
        default=True,
        help=LIGHT_FLAGS["--no-sun"],
    )
    sun.add_argument("--sun-allowed", dest="no_sun", action="store_false", help=LIGHT_FLAGS["--sun-allowed"])
    needs.add_argument(
        "--at-least", type=number, default=None, metavar="LX",
        help=LIGHT_FLAGS["--at-least"],
    )  # fmt: skip
    needs.add_argument(
        "--at-most-ratio",
        type=number,
        metavar="STOPS",
        help=LIGHT_FLAGS["--at-most-ratio"],
    )
    more = parser.add_argument_group(LIGHT_GROUPS["more"])
    more.add_argument("--what-if", action="store_true", help=LIGHT_FLAGS["--what-if"])
    more.add_argument("--pictures", type=Path, metavar="DIR", help=LIGHT_FLAGS["--pictures"])
    more.add_argument(
        "--contour",
        type=number,
        action="append",
        metavar="LX",
        help=LIGHT_FLAGS["--contour"],
    )
    learn = parser.add_argument_group(LIGHT_GROUPS["learn"])
    learn.add_argument("--read", type=number, metavar="LX", help=LIGHT_FLAGS["--read"])
    learn.add_argument("--note", default="", help=LIGHT_FLAGS["--note"])
    learn.add_argument(
        "--card",
        type=Path,
        metavar="RAW",
        help=LIGHT_FLAGS["--card"],
    )
    learn.add_argument(
        "--patch", type=number, nargs=4, metavar=("LEFT", "TOP", "WIDTH", "HEIGHT"),
        help=LIGHT_FLAGS["--patch"],
    )  # fmt: skip
    learn.add_argument(
        "--card-reflectance",
        type=number,
        default=0.18,
        metavar="SHARE",
        help=LIGHT_FLAGS["--card-reflectance"],
    )
    learn.add_argument("--fit", action="store_true", help=LIGHT_FLAGS["--fit"])
    learn.add_argument(
        "--bearing", nargs="+", action="append", metavar="NOTE",
        help=LIGHT_FLAGS["--bearing"],
    )  # fmt: skip
    learn.add_argument("--window", default="", help=LIGHT_FLAGS["--window"])
    learn.add_argument("--keep", action="store_true", help=LIGHT_FLAGS["--keep"])


def run(args: argparse.Namespace) -> Answer:
    if args.bearing or args.fit or args.card is not None or args.read is not None:
        return _teach(args)
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


def _teach(args: argparse.Namespace) -> Answer:
    # Loaded only here: what reads pictures takes a second that a question about the light need not wait.
    from plateside.tasks.light.meter import MIDDLE, find_bearing, fit_to_readings, keep_card, keep_reading

    if args.bearing:
        bearing = find_bearing(args.path, args.window, args.bearing, args.keep)
        return Answer(bearing, tuple(bearing_lines(bearing)))
    if args.fit:
        fit = fit_to_readings(args.path, datetime.now().astimezone().date(), show_progress)
        return Answer(fit, tuple(fit_lines(fit)))
    if args.card is not None:
        patch = tuple(args.patch) if args.patch else MIDDLE
        reading = keep_card(
            args.path, args.spot, args.card, args.sky, args.at or "", patch, args.card_reflectance
        )
        return Answer(reading, tuple(reading_lines(reading)))
    if args.at is None:
        raise InputError(refusals.READING_NEEDS_A_MOMENT)
    reading = keep_reading(args.path, args.spot, args.at, args.read, args.sky, args.note)
    return Answer(reading, tuple(reading_lines(reading)))


def _default_day(path: Path) -> str:
    """The shoot's day, else today where the studio is."""
    stand = open_stand(path)
    return stand.shoot.date if stand.shoot else datetime.now(stand.zone).date().isoformat()
