"""The first run: a newcomer's answers, question by question, into a studio and a shoot in a folder of their own."""

import datetime as dt
import math
import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

from plateside.files.folder import SHOOT_FILE, STUDIO_FILE, shoot_folder
from plateside.files.settings.forms import YEARS, a_date
from plateside.files.settings.lines import number_text
from plateside.files.settings.load import judge_shoot, judge_studio, load_shoot, load_studio
from plateside.files.settings.mistakes import Mistake, raise_if_any
from plateside.files.settings.starter import shoot_text, studio_text
from plateside.files.settings.write import Put, rewritten, update_studio
from plateside.model.errors import PlatesideError, SettingsError
from plateside.model.first_answers import Answers
from plateside.model.studio import Studio
from plateside.tasks.studio.first_words import answer_words
from plateside.tasks.studio.new import NewReport, sensor, start

LONGEST_NAME = 60
_DEVICES = {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(10))}
"""Names that Windows keeps for itself."""

QUESTIONS: Mapping[str, tuple[str, ...]] = {
    "place": ("place",), "facing": ("facing_deg",), "room": ("width_m", "depth_m", "height_m"),
    "window": ("window_width_m", "window_height_m", "sill_m", "window_from_left_m"),
    "table": ("table_from_window_m", "table_from_left_m", "table_height_m"),
    "camera": ("sensor", "megapixels", "focal_mm", "focal_to_mm", "f_number"),
    "shoot": ("dish", "date", "creator", "folder"),
}  # fmt: skip
"""The questions in their order, with the answers that each takes."""

_FIELD_OF: Mapping[tuple[str, str], str] = {
    ("room", "width_m"): "width_m", ("room", "depth_m"): "depth_m", ("room", "height_m"): "height_m",
    ("windows", "bearing_deg"): "facing_deg", ("windows", "width_m"): "window_width_m",
    ("windows", "height_m"): "window_height_m", ("windows", "sill_m"): "sill_m",
    ("windows", "from_left_m"): "window_from_left_m", ("spots", "from_left_m"): "table_from_left_m",
    ("spots", "from_front_m"): "table_from_window_m", ("spots", "height_m"): "table_height_m",
    ("cameras", "sensor_width_mm"): "sensor", ("cameras", "pixels_high"): "megapixels",
    ("cameras", "pixels_wide"): "megapixels", ("lenses", "focal_length_mm"): "focal_mm",
    ("lenses", "widest_f_number"): "f_number",
}  # fmt: skip
"""Field of the starter studio, and the answer that it comes from."""

_ANSWER_OF_PUT: Mapping[tuple[str | int, ...], str] = {
    ("windows", 0, "from_left_m"): "window_from_left_m", ("spots", 0, "from_left_m"): "table_from_left_m",
    ("spots", 0, "height_m"): "table_height_m", ("lenses", 0, "focal_length_to_mm"): "focal_to_mm",
}  # fmt: skip
"""What is put into the starter studio, and the answer that it comes from."""

MEGAPIXELS = (0.5, 200)
"""Million pixels that a camera may have."""

LARGEST_NUMBER = 1e9
"""Answers up to here are told with the range that is possible; no drawing or sum bears more."""

NEAREST_WALL_M = 0.1
"""The middle of a small plate stands no nearer to a wall."""


@dataclass(frozen=True)
class ListedShoot:
    """One shoot of the list on the start page."""

    key: str
    """The folder, from home; '.' is home itself."""
    title: str
    date: str
    place: str
    frames: int
    wrong: str
    """Why it cannot be read, in one sentence; empty when it can."""


def shoots_listed(home: Path, roots: Sequence[Path]) -> list[ListedShoot]:
    """The shoots in these folders, as the start page lists them: latest day first, those to mend last."""
    given = [_listed_shoot(home, root) for root in roots]
    return sorted(given, key=lambda t: (not t.wrong, t.date), reverse=True)


def shoot_key(home: Path, root: Path) -> str:
    """What a shoot of the list is called by: its folder, from home."""
    return Path(os.path.relpath(root, home)).as_posix()


def _listed_shoot(home: Path, root: Path) -> ListedShoot:
    key = shoot_key(home, root)
    try:
        shoot = load_shoot(root / SHOOT_FILE)
        folder = shoot_folder(root, shoot)
        place = load_studio(folder.studio_file).place.name
        frames = (
            sum(1 for p in folder.frames_dir.iterdir() if p.is_file()) if folder.frames_dir.is_dir() else 0
        )
        return ListedShoot(key, shoot.recipe.title, shoot.date, place, frames, "")
    except (PlatesideError, OSError) as error:
        return ListedShoot(key, root.name, "", "", 0, str(error).splitlines()[0])


def folder_for(home: Path, name: str) -> Path:
    """The folder of that name in `home`; no name is `home` itself. Nothing is made or written.

    Raises SettingsError when the name is no plain folder name, or when a shoot or a studio lies there already.
    """
    name = name.strip()
    said = ""
    if name and not re.fullmatch(r"\w[\w .,'()&+-]*", name):
        said = "A folder's name here has letters, digits, spaces and - _ . only, and begins with a letter or digit."
    elif name.endswith((".", " ")) or ".." in name or name.split(".")[0].strip().casefold() in _DEVICES:
        said = f'Not every computer can keep a folder called "{name}". Choose another name.'
    elif len(name.encode()) > LONGEST_NAME * 2 or len(name) > LONGEST_NAME:
        said = f"That name has {len(name)} letters; {LONGEST_NAME} at most."
    folder = home / name if name else home
    if not said and folder.is_symlink():
        said = f'"{name}" leads to another place. Choose another name.'
    if not said and folder.exists() and not folder.is_dir():
        said = f'There is a file called "{name}" already. Choose another name.'
    if not said and any((folder / file).exists() for file in (SHOOT_FILE, STUDIO_FILE)):
        where = f'in "{name}"' if name else "in this folder"
        said = f"A shoot lies {where} already. Choose another name: nothing is ever written over."
    if said:
        _refuse({"folder": said})
    return folder


def free_name(home: Path, wish: str) -> str:
    """A folder name near `wish` that is still free."""
    base = "-".join(re.findall(r"\w+", wish.casefold()))[: LONGEST_NAME - 4] or "shoot"
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
    if missing := _unanswered(given):
        _refuse(missing)
    folder = folder_for(home, _text(given, "folder"))
    _judge(answers, puts)
    report = start(folder, answers)
    if puts:
        update_studio(folder, puts)
    return report


def _unanswered(given: Mapping[str, Any]) -> dict[str, str]:
    """What nobody but she can know, by answer: no usual value would be hers, and it goes out with her pictures."""
    asked = {
        "dish": "Say what it is; one word will do, such as soup.",
        "creator": "Write your name: it goes out with your pictures.",
    }
    return {name: words for name, words in asked.items() if not _text(given, name)}


def wrong_answers(given: Mapping[str, Any], question: str = "") -> dict[str, str]:
    """What is wrong with the answers to one question of QUESTIONS, by answer; to all of them when none is named.

    An answer that only clashes with one of a later question is not wrong yet: she has not come to it.
    """
    names = QUESTIONS.get(question) or tuple(name for asked in QUESTIONS.values() for name in asked)
    try:
        _judge(*_answers(given))
    except SettingsError as error:
        wrong = {str(m.path[0]): m.said for m in error.mistakes if isinstance(m, Mistake) and m.path}
        return {name: words for name, words in wrong.items() if name in names}
    return {}


def _judge(answers: Answers, puts: tuple[Put, ...]) -> None:
    """Raises SettingsError, each mistake at its answer and in the words of its question."""
    studio = judge_studio(studio_text(answers), STUDIO_FILE)
    more = {str(_ANSWER_OF_PUT[put.where]): float(put.value) for put in puts}
    if not studio.mistakes:
        _data, studio = _with_puts(studio_text(answers), puts, answers, more)
    shoot = judge_shoot(shoot_text(answers), SHOOT_FILE, None)
    raise_if_any([_of_answer(m, answers, more) for m in (*studio.mistakes, *shoot.mistakes)])
    at_wall = {
        name: f"The middle of the dish cannot be less than {NEAREST_WALL_M} m from a wall."
        for name, value in (
            ("table_from_window_m", answers.from_window_m),
            ("table_from_left_m", more.get("table_from_left_m")),
        )
        if value is not None and value < NEAREST_WALL_M
    }
    if at_wall:
        _refuse(at_wall)


def begin_next_shoot(home: Path, studio_of: Path, given: Mapping[str, Any]) -> NewReport:
    """A further shoot in the studio of another one: its shoot.toml points at that studio file."""
    folder = folder_for(home, _text(given, "folder"))
    if folder == home:
        _refuse({"folder": "Give the new shoot a folder of its own."})
    studio_file = shoot_folder(studio_of, load_shoot(studio_of / SHOOT_FILE)).studio_file
    place = load_studio(studio_file).place
    answers = Answers(
        place_name=place.name, country=place.country, latitude_deg=place.latitude_deg,
        longitude_deg=place.longitude_deg, timezone=place.timezone, facing_deg=0.0, date=_date(given),
        dish=_text(given, "dish") or "My dish", creator=_text(given, "creator") or _creator(studio_of),
        studio=Path(os.path.relpath(studio_file, folder)).as_posix(),
    )  # fmt: skip
    return start(folder, answers, studio=studio_file)


def _creator(root: Path) -> str:
    return load_shoot(root / SHOOT_FILE).creator.name


def _answers(given: Mapping[str, Any]) -> tuple[Answers, tuple[Put, ...]]:
    place = given.get("place")
    if not isinstance(place, dict) or not place.get("timezone"):
        _refuse({"place": "Say where the kitchen is: type your town, then choose it from the list."})
    width, depth, height = (
        _number(given, k, u) for k, u in (("width_m", 4.0), ("depth_m", 3.5), ("height_m", 2.5))
    )
    window = _number(given, "window_width_m", 1.2), _number(given, "window_height_m", 1.2)
    size = sensor(_text(given, "sensor") or "aps-c")
    pixels = pixels_of(_number(given, "megapixels", 24.0), size)
    lens_mm = f"{_number(given, 'focal_mm', 35.0):g}"
    if given.get("focal_to_mm") is not None:
        lens_mm += f"-{_long_end(given, float(lens_mm)):g}"
    answers = Answers(
        place_name=_text(place, "name"), country=_text(place, "country_code"),
        latitude_deg=_number(place, "latitude_deg", 0.0), longitude_deg=_number(place, "longitude_deg", 0.0),
        timezone=_text(place, "timezone"), facing_deg=round(_number(given, "facing_deg", 0.0) % 360, 1),
        window_m=window, sill_m=_number(given, "sill_m", 0.85), from_window_m=_number(given, "table_from_window_m", 0.7),
        room_m=(width, depth, height), lens_name=lens_mm, focal_mm=_number(given, "focal_mm", 35.0),
        widest_f_number=_number(given, "f_number", 1.8), sensor_mm=size, pixels=pixels,
        dish=_text(given, "dish"), creator=_text(given, "creator"), date=_date(given),
    )  # fmt: skip
    puts = []
    if given.get("window_from_left_m") is not None:
        puts.append(Put(("windows", 0, "from_left_m"), _number(given, "window_from_left_m", 0.0)))
    if given.get("table_from_left_m") is not None:
        puts.append(Put(("spots", 0, "from_left_m"), _number(given, "table_from_left_m", 0.0)))
    elif puts:
        before_it = round(_number(given, "window_from_left_m", 0.0) + window[0] / 2, 3)
        puts.append(Put(("spots", 0, "from_left_m"), before_it))
    if given.get("focal_to_mm") is not None:
        puts.append(Put(("lenses", 0, "focal_length_to_mm"), _long_end(given, answers.focal_mm)))
    if given.get("table_height_m") is not None:
        puts.append(Put(("spots", 0, "height_m"), _number(given, "table_height_m", 0.75)))
    return answers, tuple(puts)


def _long_end(given: Mapping[str, Any], short_mm: float) -> float:
    """The long end of a zoom [mm]. What is wrong is told where both ends are written: at focal_mm."""
    long_mm = _number(given, "focal_to_mm", short_mm)
    if not short_mm < long_mm <= 1200:
        _refuse({"focal_mm": "A zoom is written from its short to its long end, as 24-70; 1200 mm at most."})
    return long_mm


def _with_puts(text: str, puts: tuple[Put, ...], answers: Answers, more: Mapping[str, float]) -> Any:
    try:
        return rewritten(text.encode(), puts, Studio, STUDIO_FILE)
    except SettingsError as error:
        raise_if_any([_of_answer(m, answers, more) for m in error.mistakes if isinstance(m, Mistake)])
        raise


def pixels_of(megapixels: float, sensor_mm: tuple[float, float]) -> tuple[int, int]:
    """Pixels along the long and the short side of a sensor with that many million."""
    low, high = MEGAPIXELS
    if not low <= megapixels <= high:
        size = "few" if megapixels < low else "many"
        # a count of pixels in place of one in millions
        guess = f" Did you mean {number_text(megapixels / 1e6)}?" if low <= megapixels / 1e6 <= high else ""
        said = (
            f"{number_text(megapixels)} million pixels are too {size}; from {low:g} to {high:g} is possible."
        )
        _refuse({"megapixels": f"{said}{guess}"})
    wide = math.sqrt(megapixels * 1e6 * sensor_mm[0] / sensor_mm[1])
    return round(wide / 8) * 8, round(wide * sensor_mm[1] / sensor_mm[0] / 8) * 8


def usual_answers(today: dt.date) -> dict[str, Any]:
    """What each question offers before it is answered."""
    usual = Answers(
        place_name="", country="", latitude_deg=0, longitude_deg=0, timezone="", facing_deg=0, date=""
    )
    saturday = today + dt.timedelta(days=(5 - today.weekday()) % 7 or 7)
    return {
        "facing_deg": 0, "width_m": usual.room_m[0], "depth_m": usual.room_m[1], "height_m": usual.room_m[2],
        "window_width_m": usual.window_m[0], "window_height_m": usual.window_m[1], "sill_m": usual.sill_m,
        "window_from_left_m": None, "table_from_window_m": usual.from_window_m, "table_from_left_m": None,
        "table_height_m": 0.75, "sensor": "aps-c", "megapixels": 24, "focal_mm": usual.focal_mm, "focal_to_mm": None,
        "f_number": usual.widest_f_number, "dish": "", "creator": "", "date": saturday.isoformat(), "folder": "",
    }  # fmt: skip


def _date(given: Mapping[str, Any]) -> str:
    date = _text(given, "date")
    if not date:
        _refuse({"date": "Choose a day."})
    first, last = YEARS
    if re.fullmatch(r"[0-9]{4}-.*", date) and not first <= int(date[:4]) <= last:
        _refuse({"date": f"The year {int(date[:4])} cannot be: choose a day from {first} to {last}."})
    if a_date(date) is not None:
        _refuse({"date": f'"{date}" is no day of the calendar. Choose a day.'})
    return date


def _text(given: Mapping[str, Any], name: str) -> str:
    value = given.get(name, "")
    if not isinstance(value, str):
        return ""
    return " ".join("".join(c if c.isprintable() else " " for c in value).split())[:200]


def _number(given: Mapping[str, Any], name: str, usual: float) -> float:
    value = given.get(name)
    if value is None or value == "":
        return usual
    if isinstance(value, bool) or not isinstance(value, int | float) or math.isnan(value):
        _refuse({name: "A number is missing here."})
    if abs(value) > LARGEST_NUMBER:
        _refuse({name: "That number is far too large."})
    return float(value)


def _of_answer(mistake: Mistake, answers: Answers, more: Mapping[str, float]) -> Mistake:
    """The mistake at the answer it came from, in the words of its question."""
    keys = [part for part in mistake.path if isinstance(part, str)]
    name = _FIELD_OF.get((keys[0], keys[-1]), keys[-1] if keys else "") if keys else ""
    said = answer_words(name, mistake.said, answers, more)
    return Mistake(mistake.file, None, mistake.where, said, mistake.paste, (name,))


def _refuse(said: Mapping[str, str]) -> NoReturn:
    mistakes = tuple(Mistake("", None, "", words, "", (name,)) for name, words in said.items())
    raise SettingsError(mistakes, " ".join(said.values()))
