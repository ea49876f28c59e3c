"""`plateside new`: the first run's questions at a terminal, or flags alone."""

import argparse
import datetime as dt
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from plateside.model.errors import Cancelled, InputError
from plateside.model.first_answers import Answers
from plateside.tasks.studio.first_run import USUAL, begin_in, usual_answers
from plateside.tasks.studio.new import (
    NewReport,
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
from plateside.words.commands import NEW_FLAGS, NEW_HELP
from plateside.words.first_run import (
    FIRST_RUN,
    KIND_NAMES,
    OUTSIDE,
    SIZES,
    STOPPED,
    flag_missing,
    not_outside,
    prompt,
)

HELP = NEW_HELP

T = TypeVar("T")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """One flag for each question; what is not given is asked at a terminal, and else takes a usual value."""
    add, help_of = parser.add_argument, NEW_FLAGS
    add("folder", type=Path, nargs="?", default=Path(), metavar="SHOOT", help=help_of["folder"])
    add("--city", help=help_of["--city"])
    add("--country", default="", help=help_of["--country"])
    add("--at", metavar="LAT,LON", help=help_of["--at"])
    add("--timezone", metavar="ZONE", help=help_of["--timezone"])
    add("--facing", metavar="DIRECTION", help=help_of["--facing"])
    add("--window", metavar="WxH", help=help_of["--window"])
    add("--sill", metavar="M", help=help_of["--sill"])
    add("--from-window", metavar="M", help=help_of["--from-window"])
    add("--room", metavar="WxD[xH]", help=help_of["--room"])
    add("--sensor", help=help_of["--sensor"])
    add("--pixels", metavar="WxH", help=help_of["--pixels"])
    add("--megapixels", metavar="N", help=help_of["--megapixels"])
    add("--focal", metavar="MM", help=help_of["--focal"])
    add("--f-number", metavar="N", help=help_of["--f-number"])
    add("--floor", metavar="N", help=help_of["--floor"])
    add("--outside", choices=tuple(OUTSIDE), help=help_of["--outside"])
    add("--second-focal", metavar="MM", help=help_of["--second-focal"])
    add("--second-f-number", metavar="N", help=help_of["--second-f-number"])
    add("--kind", choices=tuple(KIND_NAMES), help=help_of["--kind"])
    add("--dish", help=help_of["--dish"])
    add("--creator", metavar="NAME", help=help_of["--creator"])
    add("--date", help=help_of["--date"])
    add("--studio", type=Path, metavar="FILE", help=help_of["--studio"])
    add("--force", action="store_true", help=help_of["--force"])


def run(args: argparse.Namespace) -> NewReport:
    """Ask what the flags do not say, and write."""
    ask = _Asker(interactive=sys.stdin.isatty() and not args.json)
    if not args.force:
        refuse_to_overwrite(args.folder, studio_too=args.studio is None)
    date = day(args.date) if args.date else str(usual_answers(dt.date.today())["date"])
    if args.studio is not None:
        return _shoot_only(args, ask, date)
    answers, notes = _answers(args, ask)
    return begin_in(args.folder, {**answers, "date": date}, force=args.force, notes=tuple(notes))


def _answers(args: argparse.Namespace, ask: "_Asker") -> tuple[dict[str, Any], list[str]]:
    """The answers by the names of the first run, and what is to be said about how they were read."""
    notes: list[str] = []
    answers: dict[str, Any] = {"place": _place(args, ask, notes)}
    answers["facing_deg"], note = ask(prompt("facing", ()), args.facing, facing, flag="--facing")
    notes += note
    answers["window_width_m"], answers["window_height_m"] = ask(
        prompt("window", ("window_width_m", "window_height_m"), "m"), args.window, _sizes(2, "window", notes),
        _x("window_width_m", "window_height_m"),
    )  # fmt: skip
    for name, given, what in (
        ("sill_m", args.sill, "sill"),
        ("table_from_window_m", args.from_window, "from-window"),
    ):
        answers[name] = ask(prompt("", (name,), "m"), given, _sizes(1, what, notes), _x(name))[0]
    in_room = ("width_m", "depth_m", "height_m")
    measured = ask(prompt("room", in_room, "m"), args.room, _noted(room, notes), _x(*in_room))
    answers |= dict(zip(in_room, measured, strict=True))
    answers["floor"] = ask(prompt("", ("floor",)), args.floor, _floor, _x("floor"))
    answers["outside"] = ask(prompt("outside", ("outside",)), args.outside, _outside, str(USUAL["outside"]))
    answers["sensor"] = ask(
        prompt("camera", ("sensor",)), args.sensor, _checked(sensor), str(USUAL["sensor"])
    )
    if args.pixels:
        answers["pixels"] = pixels(args.pixels)
    else:
        count = _number("", SIZES["megapixels"])
        answers["megapixels"] = ask(prompt("", ("megapixels",)), args.megapixels, count, _x("megapixels"))
    focal, stop = _number("mm", SIZES["focal"]), _number("", SIZES["f-number"])
    answers["focal_mm"] = ask(prompt("", ("focal_mm",), "mm"), args.focal, focal, _x("focal_mm"))
    answers["f_number"] = ask(prompt("", ("f_number",), "f/"), args.f_number, stop, _x("f_number"))
    if args.second_focal:
        answers["focal2_mm"] = focal(args.second_focal)
        answers["f_number2"] = stop(args.second_f_number) if args.second_f_number else None
    answers["kind"] = args.kind or ""
    answers["dish"] = ask(prompt("", ("dish",)), args.dish, str, Answers.dish)
    answers["creator"] = ask(prompt("", ("creator",)), args.creator, str, Answers.creator)
    return answers, notes


def _x(*names: str) -> str:
    """The usual answers as they are typed: '1.2x1.2'."""
    return "x".join(f"{USUAL[name]:g}" for name in names)


def _shoot_only(args: argparse.Namespace, ask: "_Asker", date: str) -> NewReport:
    path, place, looks = studio_there(args.studio)
    answers = Answers(
        place_name=place.name,
        country=place.country,
        latitude_deg=place.latitude_deg,
        longitude_deg=place.longitude_deg,
        timezone=place.timezone,
        facing_deg=looks,
        dish=ask(prompt("", ("dish",)), args.dish, str, Answers.dish),
        creator=ask(prompt("", ("creator",)), args.creator, str, Answers.creator),
        date=date,
        studio=Path(os.path.relpath(path, args.folder)).as_posix(),
    )
    return start(args.folder, answers, force=args.force, studio=path)


def _place(args: argparse.Namespace, ask: "_Asker", notes: list[str]) -> dict[str, Any]:
    if args.at:
        where = coordinates(args.at, args.timezone, args.city or "", args.country)
        name, country, latitude, longitude = (
            where.name,
            where.country,
            where.latitude_deg,
            where.longitude_deg,
        )
        zone = where.timezone
    else:
        city, city_notes = ask(
            prompt("place", ()), args.city, lambda text: choose_city(text, args.country), flag="--city"
        )
        notes += city_notes
        name, country, zone = city.name, city.country_code, city.timezone
        latitude, longitude = round(city.latitude_deg, 3), round(city.longitude_deg, 3)
    return {
        "name": name, "country_code": country, "latitude_deg": latitude, "longitude_deg": longitude, "timezone": zone,
    }  # fmt: skip


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
                raise InputError(flag_missing(flag))
            return read(usual)
        while True:
            try:
                answer = input(f"{question}{f' [{usual}]' if usual else ''} ").strip()
            except (EOFError, KeyboardInterrupt) as error:
                raise Cancelled(STOPPED) from error
            try:
                if answer or usual:
                    return read(answer or str(usual))
            except InputError as error:
                print(error, file=sys.stderr)


def _sizes(count: int, what: str, notes: list[str]) -> Callable[[str], tuple[float, ...]]:
    return _noted(lambda text: sizes(text, count, SIZES[what]), notes)


def _noted(read: Callable[[str], tuple[T, tuple[str, ...]]], notes: list[str]) -> Callable[[str], T]:
    """A reader whose notes are kept for the report."""

    def noting(text: str) -> T:
        value, new_notes = read(text)
        notes.extend(new_notes)
        return value

    return noting


def _checked(read: Callable[[str], object]) -> Callable[[str], str]:
    """The text itself, once it can be read."""

    def checking(text: str) -> str:
        read(text)
        return text

    return checking


def _floor(text: str) -> int:
    try:
        return int(text)
    except ValueError as error:
        raise InputError(FIRST_RUN["no floor"]) from error


def _outside(text: str) -> str:
    if text not in OUTSIDE:
        raise InputError(not_outside(text))
    return text


def _number(unit: str, what: str) -> Callable[[str], float]:
    return lambda text: size(text, unit, what)
