"""Start: a commented studio.toml and shoot.toml for a person's own room, and the folder where frames land."""

import datetime as dt
import re
from dataclasses import dataclass
from pathlib import Path

from plateside.files.atomic import disk_faults_in_words, write_text
from plateside.files.folder import SHOOT_FILE, STUDIO_FILE
from plateside.files.settings.guesses import compass_deg, number_in
from plateside.files.settings.load import judge_shoot_alone, judge_studio, load_studio
from plateside.files.settings.mistakes import raise_if_any
from plateside.files.settings.places import City, country_code, find_cities, near_spellings
from plateside.files.settings.starter import shoot_text, studio_text
from plateside.model.errors import InputError
from plateside.model.first_answers import SENSORS_MM, Answers
from plateside.words import first_run as words

_OUTSTANDS = 10
"""A place with this many times the people of the next of its name is taken without asking."""


@dataclass(frozen=True)
class NewReport:
    """What was written, and what to do next."""

    folder: Path
    written: tuple[Path, ...]
    place: str
    timezone: str
    facing_deg: float
    notes: tuple[str, ...]

    def lines(self) -> list[str]:
        """One line per fact."""
        return words.written_lines(self.written, self.place, self.timezone, self.notes, self.folder)


def start(
    folder: Path,
    answers: Answers,
    *,
    force: bool = False,
    notes: tuple[str, ...] = (),
    studio: Path | None = None,
) -> NewReport:
    """Write the starter files into `folder`; with `studio`, only the shoot, pointing at that studio file.

    Raises InputError when a file is there already and `force` is not given, SettingsError when the answers cannot be
    one room; CouldNotError when the disk refuses.
    """
    texts = {folder / SHOOT_FILE: shoot_text(answers)}
    if studio is None:
        texts = {folder / STUDIO_FILE: studio_text(answers), **texts}
    if not force:
        refuse_to_overwrite(folder, studio_too=studio is None)
    for path, text in texts.items():
        judge = judge_studio if path.name == STUDIO_FILE else judge_shoot_alone
        raise_if_any(judge(text, path.name).mistakes)
    frames = folder / "frames"
    with disk_faults_in_words(frames):
        frames.mkdir(parents=True, exist_ok=True)
    for path, text in texts.items():
        write_text(path, text)
    return NewReport(
        folder=folder,
        written=(*texts, frames),
        place=answers.place_name if studio is None else "",
        timezone=answers.timezone,
        facing_deg=answers.facing_deg,
        notes=notes,
    )


def refuse_to_overwrite(folder: Path, *, studio_too: bool = True) -> None:
    """Raise InputError when one of the files is there already: ask before the questions, and once more at the end."""
    names = (STUDIO_FILE, SHOOT_FILE) if studio_too else (SHOOT_FILE,)
    there = [name for name in names if (folder / name).exists()]
    if there:
        raise InputError(words.existing_shoot(there, folder))


@dataclass(frozen=True)
class Where:
    """Where the studio is, as the starter needs it."""

    name: str
    country: str
    latitude_deg: float
    longitude_deg: float
    timezone: str


def outstanding(found: list[City]) -> City | None:
    """The first of places of one name, most people first, when it is so much larger that it is taken unasked."""
    if not found or (len(found) > 1 and found[0].population < _OUTSTANDS * found[1].population):
        return None
    return found[0]


def choose_city(name: str, country: str = "") -> tuple[City, tuple[str, ...]]:
    """The place of that name, and notes about the choice.

    Raises InputError with the candidates when several fit, or with the nearest spellings when none does.
    """
    if country and country_code(country) is None:
        raise InputError(words.not_a_country(country))
    found = find_cities(name, country)
    if not found:
        raise InputError(
            words.no_such_city(name, country, [c.full_name() for c in near_spellings(name, country)])
        )
    first, *rest = found
    if outstanding(found) is None:
        raise InputError(
            words.several_cities(
                name, [c.full_name() for c in found], f"{first.name}, {first.region or first.country}"
            )
        )
    notes: tuple[str, ...] = ()
    if rest:
        notes = (words.largest_taken(first.full_name(), len(found), [c.full_name() for c in rest[:2]]),)
    return first, notes


def facing(text: str) -> tuple[float, tuple[str, ...]]:
    """A bearing [deg] from degrees or a compass word, and notes. Raises InputError."""
    point = compass_deg(text)
    value = point if point is not None else number_in(text, "deg")
    if value is None or not -360 <= value <= 360:
        raise InputError(words.not_a_direction(text))
    return value % 360, (words.true_north(value % 360),)


ROOM_HEIGHT_M = 2.5
"""Taken when nobody says how high the ceiling is."""


def room(text: str) -> tuple[tuple[float, ...], tuple[str, ...]]:
    """Width, depth and height [m] of the room, the height being optional, and notes. Raises InputError."""
    what = words.SIZES["room"]
    try:
        floor, notes = sizes(text, 2, what)
    except InputError:
        return sizes(text, 3, what)
    return (*floor, ROOM_HEIGHT_M), (*notes, words.height_taken(ROOM_HEIGHT_M))


def day(text: str) -> str:
    """A date as it stands in shoot.toml. Raises InputError."""
    try:
        return dt.date.fromisoformat(text.strip()).isoformat()
    except ValueError as error:
        raise InputError(words.not_a_day(text)) from error


def sizes(text: str, count: int, what: str) -> tuple[tuple[float, ...], tuple[str, ...]]:
    """Lengths [m] from '1.2x1.2', '4,2 x 3,1 x 2,5 m' or '120 x 120 cm', and notes. Raises InputError.

    Without a unit, numbers of 20 and more are centimetres, and a note says so: no room of ours is that large.
    """
    plain = text.strip().lower().replace("×", "x").replace("by", "x")
    match = re.fullmatch(r"([\d.,\sx]+?)\s*(m|cm|mm)?", plain)
    parts = [part.strip() for part in match[1].split("x")] if match else []
    values = [number_in(part, "m") for part in parts]
    if match is None or len(parts) != count or any(v is None or v <= 0 for v in values):
        raise InputError(words.not_sizes(what, text, count))
    numbers = [v for v in values if v is not None]
    unit = match[2] or ("cm" if min(numbers) >= 20 else "m")
    factor = {"m": 1.0, "cm": 0.01, "mm": 0.001}[unit]
    found = tuple(round(v * factor, 4) for v in numbers)
    if match[2] or unit == "m":
        return found, ()
    return found, (words.taken_as_cm(what, text.strip(), found),)


def size(text: str, unit: str, what: str) -> float:
    """One number above zero, in `unit` ('' for none), of what a person typed. Raises InputError."""
    value = number_in(text, unit)
    if value is None or value <= 0:
        raise InputError(words.not_a_number(what, text, unit))
    return value


def coordinates(text: str, timezone: str | None, name: str, country: str) -> Where:
    """A place by '38.72,-9.14' and its IANA time zone. Raises InputError when one of them is missing."""
    parts = [number_in(p, "") for p in text.split(",")]
    if len(parts) != 2 or parts[0] is None or parts[1] is None or not timezone:
        raise InputError(words.not_coordinates(text, timezone or ""))
    return Where(name, country.upper(), parts[0], parts[1], timezone)


def studio_there(given: Path) -> tuple[Path, Where, float]:
    """A studio that is there already: its file, where it is, and which way its front looks [degrees from north].

    given  the file, or the folder with a studio.toml
    Raises SettingsError with every mistake.
    """
    studio = load_studio(given)
    place = studio.place
    path = given / STUDIO_FILE if given.is_dir() else given
    where = Where(place.name, place.country, place.latitude_deg, place.longitude_deg, place.timezone)
    return path, where, studio.front_bearing_deg


def sensor(text: str) -> tuple[float, float]:
    """Sensor width and height [mm] from a trade name or '23.5x15.6'. Raises InputError."""
    name = (
        re.sub(r"[\s_]+", "-", text.strip().lower())
        .replace("apsc", "aps-c")
        .replace("fullframe", "full-frame")
    )
    if name in SENSORS_MM:
        return SENSORS_MM[name]
    match = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*[x×]\s*(\d+(?:[.,]\d+)?)\s*(?:mm)?", text.strip().lower())
    if match is None:
        raise InputError(words.not_a_sensor(text, list(SENSORS_MM)))
    return float(match[1].replace(",", ".")), float(match[2].replace(",", "."))


def pixels(text: str) -> tuple[int, int]:
    """Pixels along the long and short side from '6000x4000'. Raises InputError."""
    match = re.fullmatch(r"(\d+)\s*[x×]\s*(\d+)\s*(?:px)?", text.strip().lower())
    if match is None:
        raise InputError(words.not_pixels(text))
    wide, high = int(match[1]), int(match[2])
    return max(wide, high), min(wide, high)
