"""What the light is asked for on its page: read from words, with what there is to choose from, and a key for the cache.

Nothing here computes light, so that a server can ask it without loading the engine.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from plateside import __version__
from plateside.files.atomic import disk_faults_in_words
from plateside.files.cache import Cache, picture_or_none
from plateside.files.settings.forms import YEARS, a_date, a_time
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.model.errors import InputError
from plateside.tasks.named import check_spots, check_windows
from plateside.words.light import refusals
from plateside.words.light.skies import CIE_SKIES

SKIES = ("clear", "hazy", "broken", "overcast")
CIE_NAMES = {f"cie:{number}": f"{number}: {words}" for number, words in CIE_SKIES.items()}
"""The CIE's general skies, as the command takes them, and in words."""
SKY_FILES = {"forecast": "forecast.csv", "typical year": "weather.txt"}
"""Skies that a file of yours gives, and the file's name in the shoot's folder `sky`."""
LEAST_LX, MOST_LX = 0.0, 20000.0
CACHE_FORMAT = 4
"""Raised when what is kept changes its shape."""
ROOM_OF_STUDIO = ("place", "room", "windows", "spots", "boards", "diffusers", "furniture", "readings", "fit")
"""The parts of the studio that the light depends on."""
SET_OF_SHOT = (
    "spot", "boards", "camera_faces_deg", "angle", "elevation_deg", "frame_width_mm", "frame_height_mm",
    "dish_width_mm", "dish_height_mm", "fill_stops", "least_lx", "direct_sun",
)  # fmt: skip


@dataclass(frozen=True)
class LightChoice:
    """One choice of set, sky and needs."""

    spot: str = ""
    """Table spot; empty: the shot's, else the first."""
    shot: str = ""
    sky: str = ""
    """clear, hazy, broken or overcast; her forecast or typical year; cie:1 to cie:16; empty: the shoot's own."""
    at_least_lx: float | None = None
    """None: what the shoot's shots need."""
    no_direct_sun: bool = True
    at_most_key_fill_stops: float | None = None


@dataclass(frozen=True)
class Offered:
    """What there is to choose from, and where it begins."""

    place: str
    timezone: str
    spots: tuple[str, ...]
    shots: tuple[str, ...]
    spot_of_shot: dict[str, str]
    skies: tuple[str, ...]
    own_sky: str
    shoot_day: date
    today: date
    clock: str
    """The studio's own time, HH:MM."""


class WrongFieldError(InputError):
    """What was written in one field of the page cannot be used; `field` is its name there."""

    def __init__(self, words: str, field: str) -> None:
        super().__init__(words)
        self.field = field


def choice_of(asked_for: Mapping[str, Any]) -> LightChoice:
    """A choice from what a page tells: spot, shot, sky, lux, sun ('yes' allows it), fill. Raises InputError."""
    sky = str(asked_for.get("sky") or "")
    if sky and sky not in (*SKIES, *SKY_FILES, *CIE_NAMES):
        raise InputError(refusals.no_sky(sky, (*SKIES, *SKY_FILES), None, len(CIE_NAMES)))
    fill = _number(asked_for, "fill", 0.0, 10.0, "stops")
    least = _number(asked_for, "lux", LEAST_LX, MOST_LX, "lx")
    return LightChoice(
        spot=str(asked_for.get("spot") or ""),
        shot=str(asked_for.get("shot") or ""),
        sky=sky,
        at_least_lx=least,
        no_direct_sun=str(asked_for.get("sun") or "") != "yes",
        at_most_key_fill_stops=fill,
    )


def _number(asked_for: Mapping[str, Any], name: str, low: float, high: float, unit: str) -> float | None:
    words = str(asked_for.get(name, "") if asked_for.get(name) is not None else "").strip().replace(",", ".")
    if not words:
        return None
    try:
        value = float(words)
    except ValueError:
        raise WrongFieldError(refusals.no_number(words, low, high, unit), name) from None
    if not low <= value <= high:
        raise WrongFieldError(refusals.out_of_range(words, low, high, unit), name)
    return value


def offered(root: Path, now: datetime | None = None) -> Offered:
    """What this shoot's page offers. Raises SettingsError with every mistake in the files, and when the studio has no
    window or no table spot."""
    opened = open_shoot(root)
    place = opened.studio.place
    here = (now or datetime.now(ZoneInfo(place.timezone))).astimezone(ZoneInfo(place.timezone))
    check_windows(opened.studio)
    check_spots(opened.studio)
    first = opened.studio.spots[0].name
    return Offered(
        place=place.name or place.timezone,
        timezone=place.timezone,
        spots=tuple(s.name for s in opened.studio.spots),
        shots=tuple(s.name for s in opened.shoot.shots),
        spot_of_shot={s.name: s.spot or first for s in opened.shoot.shots},
        skies=(*SKIES, *(kind for kind in SKY_FILES if sky_file(root, kind).is_file())),
        own_sky=opened.shoot.sky,
        shoot_day=date.fromisoformat(opened.shoot.date),
        today=here.date(),
        clock=f"{here:%H:%M}",
    )


def sky_file(root: Path, kind: str) -> Path:
    """Where her file of a kind of SKY_FILES lies in the shoot."""
    return root / "sky" / SKY_FILES[kind]


def take_sky_away(root: Path, kind: str) -> None:
    """Take her file of a sky away. Raises InputError when there is no such kind, CouldNotError when it stays."""
    if kind not in SKY_FILES:
        raise InputError(refusals.NO_SUCH_FILE_KEPT)
    path = sky_file(root, kind)
    with disk_faults_in_words(path):
        path.unlink(missing_ok=True)


def day_words(words: str) -> str:
    """The day as it was written, such as 2027-07-15. Raises InputError when there is no such day."""
    if a_date(words) is not None:
        raise InputError(refusals.no_day(words, YEARS))
    return words


def clock_words(words: str) -> str:
    """The time of day as it was written, such as 13:30; empty when it is none."""
    return words if a_time(words) is None else ""


def cached_picture(root: Path, key: str) -> bytes | None:
    """A drawn picture's JPEG by its key; None when it is not kept (any more)."""
    cache = picture_cache(root)
    asked_for = cache.get(f"{key}/told") if key.isalnum() and len(key) == 32 else None
    return picture_or_none(cache.path(key, "") / str(asked_for["file"])) if asked_for else None


def light_cache(root: Path) -> Cache:
    """Where years are kept."""
    return Cache(root / ".plateside" / "light", most=40)


def answer_cache(root: Path) -> Cache:
    """Where days, weeks and what-ifs are kept: many and small, so that they never drive out a year."""
    return Cache(root / ".plateside" / "light-answers")


def picture_cache(root: Path) -> Cache:
    """Where drawn pictures are kept, a folder each."""
    return Cache(root / ".plateside" / "light-pictures", most=60)


def key_of(root: Path, choice: LightChoice, *more: object) -> str:
    """A key that changes with anything the answer depends on: room, set, sky, needs, what else is named."""
    needs = (choice.at_least_lx, choice.no_direct_sun, choice.at_most_key_fill_stops)
    opened = open_shoot(root)
    gear = _gear_parts(opened) if choice.at_least_lx is None else ()
    return _key(*_place_parts(opened, choice), _sky_mark(root, choice), needs, gear, *more)


def key_without_needs(root: Path, choice: LightChoice, *more: object) -> str:
    """The same, for answers that every need shares."""
    return _key(*_place_parts(open_shoot(root), choice), _sky_mark(root, choice), *more)


def picture_key(root: Path, choice: LightChoice, *more: object) -> str:
    """A key for a drawn picture: it depends on everything in both files that may stand in the picture."""
    opened = open_shoot(root)
    shots = [s for s in opened.shoot.shots if s.name == choice.shot]
    return _key(
        opened.studio,
        shots,
        _gear_parts(opened),
        choice.sky or opened.shoot.sky,
        opened.shoot.channels,
        *more,
    )


def _sky_mark(root: Path, choice: LightChoice) -> str:
    """What her file says, so that another one gives another answer; empty for a sky in words."""
    if choice.sky not in SKY_FILES:
        return ""
    try:
        return hashlib.sha256(sky_file(root, choice.sky).read_bytes()).hexdigest()
    except OSError:
        raise InputError(refusals.sky_file_gone(choice.sky)) from None


def _gear_parts(opened: OpenShoot) -> tuple[object, ...]:
    """What decides how much light the shots need."""
    studio, shoot = opened.studio, opened.shoot
    return studio.cameras, studio.lenses, studio.supports, shoot.shots, shoot.channels


def _place_parts(opened: OpenShoot, choice: LightChoice) -> list[object]:
    studio = [getattr(opened.studio, name) for name in ROOM_OF_STUDIO]
    shot = [[getattr(s, name) for name in SET_OF_SHOT] for s in opened.shoot.shots if s.name == choice.shot]
    return [studio, shot, choice.spot, choice.shot, choice.sky or opened.shoot.sky]


def settings_key(root: Path) -> str:
    """A key that changes with anything in both files: what a page shows under another is of the settings before."""
    opened = open_shoot(root)
    return _key(opened.studio, opened.shoot)


def _key(*parts: object) -> str:
    # frozen dataclasses of plain values: their repr is the same in every process
    return hashlib.sha256(repr((__version__, CACHE_FORMAT, parts)).encode()).hexdigest()[:32]


def kept_year_key(root: Path, choice: LightChoice, year: int) -> str:
    """The key that a year's whole answer, with its drawing, is kept under."""
    return key_of(root, choice, "year and calendar", year)
