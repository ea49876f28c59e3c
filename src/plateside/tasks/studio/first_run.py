"""The first run: a newcomer's answers, question by question, into a studio and a shoot in a folder of their own."""

import datetime as dt
import math
import os
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, NoReturn

from plateside.files.folder import SHOOT_FILE, STUDIO_FILE, shoot_folder
from plateside.files.settings.forms import YEARS, a_date
from plateside.files.settings.load import judge_shoot, judge_studio, load_shoot, load_studio
from plateside.files.settings.mistakes import raise_if_any
from plateside.files.settings.starter import shoot_text, studio_text
from plateside.files.settings.write import Change, Put, rewritten, update_studio
from plateside.model.errors import SettingsError
from plateside.model.first_answers import Answers
from plateside.model.mistakes import Mistake
from plateside.model.studio import Studio
from plateside.plan.dish_kinds import KINDS, kind_of
from plateside.tasks.studio.first_outside import (
    USUAL_OUTSIDE,
    floor_above_ground_m,
    opposite_changes,
    second_lens_changes,
)
from plateside.tasks.studio.new import NewReport, sensor, start
from plateside.words.figures import number_text
from plateside.words.first_run import ANSWER
from plateside.words.mistakes import said

LONGEST_NAME = 60
_DEVICES = {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(10))}
"""Names that Windows keeps for itself."""

QUESTIONS: Mapping[str, tuple[str, ...]] = {
    "place": ("place",), "facing": ("facing_deg",), "room": ("width_m", "depth_m", "height_m"),
    "window": ("window_width_m", "window_height_m", "sill_m", "window_from_left_m"),
    "outside": ("floor", "outside", "outside_distance_m", "outside_height_m"),
    "table": ("table_from_window_m", "table_from_left_m", "table_height_m"),
    "camera": ("sensor", "megapixels", "focal_mm", "focal_to_mm", "f_number", "focal2_mm", "focal2_to_mm", "f_number2"),
    "shoot": ("dish", "kind", "date", "creator", "folder"),
}  # fmt: skip
"""The questions in their order, with the answers that each takes."""

_FIELD_OF: Mapping[tuple[str, str], str] = {
    ("room", "width_m"): "width_m", ("room", "depth_m"): "depth_m", ("room", "height_m"): "height_m",
    ("windows", "bearing_deg"): "facing_deg", ("windows", "width_m"): "window_width_m",
    ("windows", "height_m"): "window_height_m", ("windows", "sill_m"): "sill_m",
    ("windows", "from_left_m"): "window_from_left_m", ("spots", "from_left_m"): "table_from_left_m",
    ("windows", "floor_above_ground_m"): "floor", ("windows", "distance_m"): "outside_distance_m",
    ("windows", "top_above_ground_m"): "outside_height_m",
    ("spots", "from_front_m"): "table_from_window_m", ("spots", "height_m"): "table_height_m",
    ("cameras", "sensor_width_mm"): "sensor", ("cameras", "pixels_high"): "megapixels",
    ("cameras", "pixels_wide"): "megapixels", ("lenses", "focal_length_mm"): "focal_mm",
    ("lenses2", "focal_length_mm"): "focal2_mm", ("lenses2", "focal_length_to_mm"): "focal2_to_mm",
    ("lenses2", "widest_aperture"): "f_number2", ("lenses", "widest_aperture"): "f_number",
    ("lenses", "focal_length_to_mm"): "focal_to_mm",
}  # fmt: skip
"""Field of the starter studio, and the answer that it comes from."""

MEGAPIXELS = (0.5, 200)
"""Million pixels that a camera may have."""

LARGEST_NUMBER = 1e9
"""Answers up to here are told with the range that is possible; no drawing or sum bears more."""

LONGEST_MM = 1200
"""The settings' own longest focal length."""
FLOORS = (-3, 150)

NEAREST_WALL_M = 0.1
"""The middle of a small plate stands no nearer to a wall."""


def folder_for(home: Path, name: str) -> Path:
    """The folder of that name in `home`; no name is `home` itself. Nothing is made or written.

    Raises SettingsError when the name is no plain folder name, or when a shoot or a studio lies there already.
    """
    name = name.strip()
    folder = home / name if name else home
    if code := _wrong_folder(name, folder):
        count = len(name)
        _refuse(
            code, "folder", got=name, count=count, most=LONGEST_NAME, where=f'"{name}"' if name else home.name
        )
    return folder


def _wrong_folder(name: str, folder: Path) -> str:
    """What is wrong with a folder of that name, by its code; '' when it can be made."""
    if name and not re.fullmatch(r"\w[\w .,'()&+-]*", name):
        return "folder characters"
    if name.endswith((".", " ")) or ".." in name or name.split(".")[0].strip().casefold() in _DEVICES:
        return "folder name refused"
    if len(name.encode()) > LONGEST_NAME * 2 or len(name) > LONGEST_NAME:
        return "long folder name"
    if folder.is_symlink():
        return "folder is a link"
    if folder.exists() and not folder.is_dir():
        return "folder is a file"
    return "folder in use" if any((folder / file).exists() for file in (SHOOT_FILE, STUDIO_FILE)) else ""


def free_name(home: Path, wish: str) -> str:
    """A folder name near `wish` that is still free."""
    base = "-".join(re.findall(r"\w+", wish.casefold()))[: LONGEST_NAME - 4] or "shoot"
    if base in _DEVICES:
        base = f"{base}-shoot"
    for number in range(1, 1000):
        name = base if number == 1 else f"{base}-{number}"
        if not (home / name).exists():
            return name
    return base


def begin_first_shoot(home: Path, given: Mapping[str, Any]) -> NewReport:
    """Write studio.toml and shoot.toml from the answers of QUESTIONS. Nothing is written over.

    Raises SettingsError; each mistake's path is the answer's name.
    """
    answers, puts = _answers(given)
    raise_if_any([_mistake(f"no {name}", name) for name in ("dish", "creator") if not _text(given, name)])
    return _begin(folder_for(home, _text(given, "folder")), answers, puts)


def begin_in(
    folder: Path, given: Mapping[str, Any], *, force: bool = False, notes: tuple[str, ...] = ()
) -> NewReport:
    """The same into a folder that was named at a terminal, with usual words where none were given.

    Raises SettingsError, InputError when files are there and `force` is not given.
    """
    answers, puts = _answers(
        {**given, **{name: given.get(name) or usual for name, usual in _PLACEHOLDERS.items()}}
    )
    return _begin(folder, answers, puts, force=force, notes=notes)


def _begin(
    folder: Path,
    answers: Answers,
    puts: tuple[Change, ...],
    *,
    force: bool = False,
    notes: tuple[str, ...] = (),
) -> NewReport:
    _judge(answers, puts)
    report = start(folder, answers, force=force, notes=notes)
    if puts:
        update_studio(folder, puts)
    return report


def wrong_answers(given: Mapping[str, Any], question: str = "") -> dict[str, str]:
    """What is wrong with the answers to one question of QUESTIONS, by answer; to all of them when none is named.

    An answer that only clashes with one of a later question is not wrong yet: she has not come to it.
    """
    names = QUESTIONS.get(question) or tuple(name for asked in QUESTIONS.values() for name in asked)
    try:
        _judge(*_answers(given))
    except SettingsError as error:
        wrong = {m.key: said(m, page=True) for m in error.mistakes}
        return {name: words for name, words in wrong.items() if name in names}
    return {}


def _judge(answers: Answers, puts: tuple[Change, ...]) -> None:
    """Raises SettingsError, each mistake at its answer and in the words of its question."""
    studio = judge_studio(studio_text(answers), STUDIO_FILE)
    if not studio.mistakes:
        studio = _with_puts(studio_text(answers), puts)
    shoot = judge_shoot(shoot_text(answers), SHOOT_FILE, None)
    raise_if_any([_of_answer(m) for m in (*studio.mistakes, *shoot.mistakes)])
    from_left = next(
        (put.value for put in puts if isinstance(put, Put) and put.where == ("spots", 0, "from_left_m")), None
    )
    places = {"table_from_window_m": answers.from_window_m, "table_from_left_m": from_left}
    near = [name for name, value in places.items() if value is not None and value < NEAREST_WALL_M]
    raise_if_any([_mistake("too near a wall", name, least=NEAREST_WALL_M) for name in near])


def begin_next_shoot(home: Path, studio_of: Path, given: Mapping[str, Any]) -> NewReport:
    """A further shoot in the studio of another one: its shoot.toml points at that studio file."""
    folder = folder_for(home, _text(given, "folder"))
    if folder == home:
        _refuse("own folder", "folder")
    studio_file = shoot_folder(studio_of, load_shoot(studio_of / SHOOT_FILE)).studio_file
    place = load_studio(studio_file).place
    answers = Answers(
        place_name=place.name, country=place.country, latitude_deg=place.latitude_deg,
        longitude_deg=place.longitude_deg, timezone=place.timezone, facing_deg=0.0, date=_date(given),
        dish=_text(given, "dish") or _PLACEHOLDERS["dish"], creator=_text(given, "creator") or _creator(studio_of),
        **_dish_of(given), studio=Path(os.path.relpath(studio_file, folder)).as_posix(),
    )  # fmt: skip
    return start(folder, answers, studio=studio_file)


def _creator(root: Path) -> str:
    return load_shoot(root / SHOOT_FILE).creator.name


def _answers(given: Mapping[str, Any]) -> tuple[Answers, tuple[Change, ...]]:
    place = given.get("place")
    if not isinstance(place, dict) or not place.get("timezone"):
        _refuse("no place", "place")
    size = sensor(_text(given, "sensor") or USUAL["sensor"])
    pixels = given.get("pixels") or pixels_of(_number(given, "megapixels"), size)
    focal_mm = _number(given, "focal_mm")
    lens_mm = f"{focal_mm:g}"
    if given.get("focal_to_mm") is not None:
        lens_mm += f"-{_long_end(given, focal_mm):g}"
    answers = Answers(
        place_name=_text(place, "name"), country=_text(place, "country_code"),
        latitude_deg=_number(place, "latitude_deg"), longitude_deg=_number(place, "longitude_deg"),
        timezone=_text(place, "timezone"), facing_deg=round(_number(given, "facing_deg") % 360, 1),
        window_m=(_number(given, "window_width_m"), _number(given, "window_height_m")), sill_m=_number(given, "sill_m"),
        from_window_m=_number(given, "table_from_window_m"),
        room_m=(_number(given, "width_m"), _number(given, "depth_m"), _number(given, "height_m")), lens_name=lens_mm,
        focal_mm=focal_mm, widest_aperture=_number(given, "f_number"), sensor_mm=size, pixels=pixels,
        floor_above_ground_m=floor_above_ground_m(_floor(given)), dish=_text(given, "dish"),
        creator=_text(given, "creator"), date=_date(given), **_dish_of(given),
    )  # fmt: skip
    puts: list[Change] = [*_outside(given, answers.facing_deg), *_second_lens(given, lens_mm)]
    if given.get("window_from_left_m") is not None:
        puts.append(Put(("windows", 0, "from_left_m"), _number(given, "window_from_left_m")))
    if given.get("table_from_left_m") is not None:
        puts.append(Put(("spots", 0, "from_left_m"), _number(given, "table_from_left_m")))
    elif given.get("window_from_left_m") is not None:
        before_it = round(_number(given, "window_from_left_m") + answers.window_m[0] / 2, 3)
        puts.append(Put(("spots", 0, "from_left_m"), before_it))
    if given.get("focal_to_mm") is not None:
        puts.append(Put(("lenses", 0, "focal_length_to_mm"), _long_end(given, answers.focal_mm)))
    if given.get("table_height_m") is not None:
        puts.append(Put(("spots", 0, "height_m"), _number(given, "table_height_m")))
    return answers, tuple(puts)


def _long_end(given: Mapping[str, Any], short_mm: float) -> float:
    """The long end of a zoom [mm]. What is wrong is told where both ends are written: at focal_mm."""
    long_mm = _number(given, "focal_to_mm")
    if not short_mm < long_mm <= LONGEST_MM:
        _refuse("zoom ends", "focal_mm")
    return long_mm


def _floor(given: Mapping[str, Any]) -> float:
    floor = _number(given, "floor")
    if not FLOORS[0] <= floor <= FLOORS[1]:
        _refuse("no floor", "floor")
    return floor


def _outside(given: Mapping[str, Any], facing_deg: float) -> list[Change]:
    outside = _text(given, "outside")
    usual = USUAL_OUTSIDE.get(outside)
    if usual is None:
        return []
    sizes_m = {"outside_distance_m": usual.distance_m, "outside_height_m": usual.height_m}
    distance_m, height_m = (
        _number(given, name) if given.get(name) not in (None, "") else at for name, at in sizes_m.items()
    )
    return opposite_changes(outside, facing_deg, distance_m, height_m)


def _second_lens(given: Mapping[str, Any], first: str) -> list[Change]:
    if given.get("focal2_mm") in (None, ""):
        return []
    focal_mm, to_mm = _number(given, "focal2_mm"), None
    if given.get("focal2_to_mm") is not None:
        to_mm = _number(given, "focal2_to_mm")
        if not focal_mm < to_mm <= LONGEST_MM:
            _refuse("zoom ends", "focal2_mm")
    if given.get("f_number2") in (None, ""):
        _refuse("no aperture", "f_number2")
    return second_lens_changes(focal_mm, to_mm, _number(given, "f_number2"), first)


def kind_of_dish(dish: str) -> str:
    """The shape that stands in for a dish of that name; '' when the name speaks of none."""
    return kind_of(dish)


def _dish_of(given: Mapping[str, Any]) -> dict[str, Any]:
    """Shape, size and shine of the dish: by the kind that was chosen, else by its name."""
    kind = _text(given, "kind")
    if kind not in KINDS:
        kind = kind_of(_text(given, "dish")) or _FIRST.stand_in
    what = KINDS[kind]
    return {"stand_in": kind, "dish_mm": (what.width_mm, what.height_mm), "glossy": what.glossy}


def _with_puts(text: str, puts: tuple[Change, ...]) -> Any:
    try:
        return rewritten(text.encode(), puts, Studio, STUDIO_FILE)[1]
    except SettingsError as error:
        raise_if_any([_of_answer(m) for m in error.mistakes])
        raise


def pixels_of(megapixels: float, sensor_mm: tuple[float, float]) -> tuple[int, int]:
    """Pixels along the long and the short side of a sensor with that many million."""
    low, high = MEGAPIXELS
    if not low <= megapixels <= high:
        # a count of pixels in place of one in millions
        meant = number_text(megapixels / 1e6) if low <= megapixels / 1e6 <= high else ""
        raise_if_any([
            replace(
                _mistake("megapixels", "megapixels", count=number_text(megapixels)),
                lowest=low, highest=high, meant=meant,
            )
        ])  # fmt: skip
    wide = math.sqrt(megapixels * 1e6 * sensor_mm[0] / sensor_mm[1])
    return round(wide / 8) * 8, round(wide * sensor_mm[1] / sensor_mm[0] / 8) * 8


_FIRST = Answers(
    place_name="", country="", latitude_deg=0, longitude_deg=0, timezone="", facing_deg=0, date=""
)
USUAL: Mapping[str, Any] = {
    "facing_deg": 0, "width_m": _FIRST.room_m[0], "depth_m": _FIRST.room_m[1], "height_m": _FIRST.room_m[2],
    "window_width_m": _FIRST.window_m[0], "window_height_m": _FIRST.window_m[1], "sill_m": _FIRST.sill_m,
    "window_from_left_m": None, "floor": 0, "outside": "open", "outside_distance_m": None, "outside_height_m": None,
    "table_from_window_m": _FIRST.from_window_m, "table_from_left_m": None,
    "table_height_m": 0.75, "sensor": "aps-c", "megapixels": 24, "focal_mm": _FIRST.focal_mm, "focal_to_mm": None,
    "f_number": _FIRST.widest_aperture,
    "focal2_mm": None, "focal2_to_mm": None, "f_number2": None, "dish": "", "kind": "", "creator": "", "folder": "",
}  # fmt: skip
"""What each question offers before it is answered."""
_PLACEHOLDERS = {"dish": _FIRST.dish, "creator": _FIRST.creator}
"""What is written where a command was given no words; `check` reminds of the name."""


def usual_answers(today: dt.date) -> dict[str, Any]:
    """USUAL, and the next Saturday."""
    saturday = today + dt.timedelta(days=(5 - today.weekday()) % 7 or 7)
    return {**USUAL, "date": saturday.isoformat()}


def _date(given: Mapping[str, Any]) -> str:
    date = _text(given, "date")
    if not date:
        _refuse("no day", "date")
    first, last = YEARS
    if re.fullmatch(r"[0-9]{4}-.*", date) and not first <= int(date[:4]) <= last:
        _refuse("year", "date", year=int(date[:4]), first=first, last=last)
    if a_date(date) is not None:
        _refuse("no such day", "date", got=date)
    return date


def _text(given: Mapping[str, Any], name: str) -> str:
    value = given.get(name, "")
    if not isinstance(value, str):
        return ""
    return " ".join("".join(c if c.isprintable() else " " for c in value).split())[:200]


def _number(given: Mapping[str, Any], name: str) -> float:
    value = given.get(name)
    if value is None or value == "":
        value = USUAL.get(name) or 0.0
    if isinstance(value, bool) or not isinstance(value, int | float) or math.isnan(value):
        _refuse("no number", name)
    if abs(value) > LARGEST_NUMBER:
        _refuse("number too large", name)
    return float(value)


def _of_answer(mistake: Mistake) -> Mistake:
    """The mistake at the answer it came from, under the name of its question; no file is there yet."""
    keys = [part for part in mistake.path if isinstance(part, str)]
    # of an array only its first item is asked for, but for the second lens
    second = "2" if keys and keys[0] == "lenses" and 1 in mistake.path else ""
    name = _FIELD_OF.get((keys[0] + second, keys[-1]), keys[-1]) if keys else ""
    label = ANSWER.get(name, mistake.label)
    return replace(
        mistake, file="", line=None, head="", name="", path=(name,), label=label, fix="", example=False
    )


def _mistake(code: str, name: str, got: str = "", most: float | None = None, **facts: Any) -> Mistake:
    return Mistake(code, path=(name,), label=ANSWER[name], got=got, highest=most, facts=facts)


def _refuse(code: str, name: str, got: str = "", most: float | None = None, **facts: Any) -> NoReturn:
    raise_if_any([_mistake(code, name, got, most, **facts)])
    raise AssertionError(code)
