"""`plateside new`: a few questions at a terminal, or flags alone."""

import argparse
import datetime as dt
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from plateside.model.errors import Cancelled, InputError
from plateside.model.first_answers import Answers
from plateside.tasks.studio.new import (
    NewReport,
    Where,
    choose_city,
    coordinates,
    day,
    facing,
    pixels,
    refuse_to_overwrite,
    room,
    sensor,
    size,
    sizes,
    start,
    studio_there,
)

HELP = "write a commented starter studio.toml and shoot.toml for your own room"

T = TypeVar("T")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """One flag for each question; what is not given is asked at a terminal, and else takes a usual value."""
    add = parser.add_argument
    add("folder", type=Path, nargs="?", default=Path(), help="where to write (default: here)")
    add(
        "--city",
        help='your city, in any language; "Richmond, Virginia" to tell it apart (place names: GeoNames, CC BY 4.0)',
    )
    add("--country", default="", help="its country, by name or two letters")
    add("--at", metavar="LAT,LON", help="latitude and longitude instead of a city, as 38.72,-9.14")
    add("--timezone", help="IANA time zone for --at, as Europe/Lisbon")
    add("--facing", help="the way the main window faces: north, SSW, or degrees from true north")
    add("--window", metavar="WxH", help="the window opening's width x height, as 1.2x1.2 [m]")
    add("--sill", help="height of its lower edge above the floor [m]")
    add("--from-window", metavar="M", help="from the window wall to the middle of the table [m]")
    add(
        "--room",
        metavar="WxD[xH]",
        help="the room along the window wall x away from it (x height), as 4.2x3.1x2.5 or 4x3 [m]",
    )
    add("--sensor", help="aps-c, full-frame, four-thirds, one-inch, or width x height in mm")
    add("--pixels", metavar="WxH", help="the camera's largest picture, as 6000x4000")
    add("--focal", metavar="MM", help="your lens's focal length [mm]")
    add("--f-number", metavar="N", help="its widest f-number")
    add("--dish", help="what you are going to photograph")
    add("--creator", help="your name, as it stands under the pictures")
    add("--date", help="the day of the shoot, as 2027-07-15 (default: next Saturday)")
    add("--studio", type=Path, help="use this studio.toml, and write a shoot.toml only")
    add("--force", action="store_true", help="replace files that are there")


def run(args: argparse.Namespace) -> NewReport:
    """Ask what the flags do not say, and write."""
    ask = _Asker(interactive=sys.stdin.isatty() and not args.json)
    if not args.force:
        refuse_to_overwrite(args.folder, studio_too=args.studio is None)
    date = day(args.date) if args.date else _next_saturday(dt.date.today()).isoformat()
    if args.studio is not None:
        return _shoot_only(args, ask, date)
    notes: list[str] = []
    place = _place(args, ask, notes)
    look, note = ask(
        "Which way does the window face, looking out (true north; degrees or a word such as NNE)?",
        args.facing,
        facing,
        flag="--facing",
    )
    notes += note
    answers = Answers(
        place_name=place.name,
        country=place.country,
        latitude_deg=place.latitude_deg,
        longitude_deg=place.longitude_deg,
        timezone=place.timezone,
        facing_deg=look,
        window_m=_two(
            ask("Window opening, width x height [m]?", args.window, _sizes(2, "The window", notes), "1.2x1.2")
        ),
        sill_m=ask("Its lower edge above the floor [m]?", args.sill, _sizes(1, "The sill", notes), "0.85")[0],
        from_window_m=ask(
            "From the window wall to the middle of the table [m]?",
            args.from_window,
            _sizes(1, "The distance from the window", notes),
            "0.7",
        )[0],
        room_m=_three(
            ask(
                "Room, along the window wall x away from it x height [m]?",
                args.room,
                _noted(room, notes),
                "4x3.5x2.5",
            )
        ),
        sensor_mm=ask(
            "Camera sensor (aps-c, full-frame, four-thirds, one-inch, or 23.5x15.6 mm)?",
            args.sensor,
            sensor,
            "aps-c",
        ),
        pixels=ask("Its largest picture, in pixels?", args.pixels, pixels, "6000x4000"),
        focal_mm=ask("Focal length of your lens [mm]?", args.focal, _number("mm", "The focal length"), "35"),
        widest_f_number=ask("Its widest f-number?", args.f_number, _number("", "The f-number"), "1.8"),
        dish=ask("What are you going to photograph?", args.dish, str, "My dish"),
        creator=ask("Your name, as it stands under the pictures?", args.creator, str, "Your Name"),
        date=date,
    )
    return start(args.folder, answers, force=args.force, notes=tuple(notes))


def _shoot_only(args: argparse.Namespace, ask: "_Asker", date: str) -> NewReport:
    path, place, looks = studio_there(args.studio)
    answers = Answers(
        place_name=place.name,
        country=place.country,
        latitude_deg=place.latitude_deg,
        longitude_deg=place.longitude_deg,
        timezone=place.timezone,
        facing_deg=looks,
        dish=ask("What are you going to photograph?", args.dish, str, "My dish"),
        creator=ask("Your name, as it stands under the pictures?", args.creator, str, "Your Name"),
        date=date,
        studio=Path(os.path.relpath(path, args.folder)).as_posix(),
    )
    return start(args.folder, answers, force=args.force, studio=path)


def _place(args: argparse.Namespace, ask: "_Asker", notes: list[str]) -> Where:
    if args.at:
        return coordinates(args.at, args.timezone, args.city or "", args.country)
    city, told = ask(
        "Which city or town are you in?",
        args.city,
        lambda text: choose_city(text, args.country),
        flag="--city",
    )
    notes += told
    return Where(
        city.name,
        city.country_code,
        round(city.latitude_deg, 3),
        round(city.longitude_deg, 3),
        city.timezone,
    )


class _Asker:
    """Takes a flag's text, else asks, else takes the usual value."""

    def __init__(self, *, interactive: bool) -> None:
        self.interactive = interactive

    def __call__(
        self,
        question: str,
        given: str | None,
        read: Callable[[str], T],
        usual: str | None = None,
        *,
        flag: str = "",
    ) -> T:
        if given is not None:
            return read(given)
        if not self.interactive:
            if usual is None:
                raise InputError(
                    f"{flag} is missing. An example: plateside new my-shoot --city Lisbon --facing NNE "
                    "--window 1.2x1.2 --from-window 0.6"
                )
            return read(usual)
        while True:
            try:
                answer = input(f"{question}{f' [{usual}]' if usual else ''} ").strip()
            except (EOFError, KeyboardInterrupt) as error:
                raise Cancelled("Stopped; nothing was written.") from error
            try:
                if answer or usual:
                    return read(answer or str(usual))
            except InputError as error:
                print(str(error).replace('--city "', 'as "'), file=sys.stderr)


def _sizes(count: int, what: str, notes: list[str]) -> Callable[[str], tuple[float, ...]]:
    return _noted(lambda text: sizes(text, count, what), notes)


def _noted(read: Callable[[str], tuple[T, tuple[str, ...]]], notes: list[str]) -> Callable[[str], T]:
    """A reader whose notes are kept for the report."""

    def noting(text: str) -> T:
        value, told = read(text)
        notes.extend(told)
        return value

    return noting


def _two(values: tuple[float, ...]) -> tuple[float, float]:
    return values[0], values[1]


def _three(values: tuple[float, ...]) -> tuple[float, float, float]:
    return values[0], values[1], values[2]


def _number(unit: str, what: str) -> Callable[[str], float]:
    return lambda text: size(text, unit, what)


def _next_saturday(today: dt.date) -> dt.date:
    return today + dt.timedelta(days=(5 - today.weekday()) % 7 or 7)
