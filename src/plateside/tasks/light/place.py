"""Where and how the light is asked for: studio, table spot, camera, boards, and the moment in the studio's zone."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from plateside.files.folder import SHOOT_FILE, STUDIO_FILE
from plateside.files.settings.forms import YEARS
from plateside.files.settings.guesses import nearest
from plateside.files.settings.load import load_studio, open_shoot
from plateside.light.boards import all_standing
from plateside.light.sun import zone_of
from plateside.model.errors import InputError
from plateside.model.light_answers import StandingBoard
from plateside.model.room import Spot, Window
from plateside.model.shoot import Shoot, Shot
from plateside.model.studio import Studio
from plateside.tasks.named import check_spots, check_windows
from plateside.words.light import refusals


@dataclass(frozen=True)
class LightStand:
    """What stands in the room when the light is asked for."""

    studio: Studio
    studio_file: Path
    shoot: Shoot | None
    shot: Shot | None
    spot: Spot
    camera_faces_deg: float
    camera_given: bool
    """False when nobody said where the camera looks, and the usual side light was taken."""
    camera_elevation_deg: float
    boards: tuple[StandingBoard, ...]
    frame_mm: tuple[float, float]
    dish_width_mm: float
    dish_height_mm: float

    @property
    def zone(self) -> ZoneInfo:
        """The studio's own time zone."""
        return zone_of(self.studio.place)

    @property
    def place_name(self) -> str:
        """What you call the place, else its time zone."""
        return self.studio.place.name or self.studio.place.timezone


def studio_file_of(given: Path) -> tuple[Path, Shoot | None, Studio]:
    """The studio that a path means: a studio.toml, a folder with one, or a shoot's folder.

    Raises InputError when there is neither, SettingsError with every mistake in the files.
    """
    if given.is_file() and given.name != SHOOT_FILE:
        return given, None, load_studio(given)
    folder = given.parent if given.name == SHOOT_FILE else given
    if (folder / SHOOT_FILE).is_file():
        opened = open_shoot(folder)
        return opened.folder.studio_file, opened.shoot, opened.studio
    if (folder / STUDIO_FILE).is_file():
        return folder / STUDIO_FILE, None, load_studio(folder)
    raise InputError(refusals.no_settings(given, STUDIO_FILE, SHOOT_FILE))


def open_stand(
    given: Path,
    spot: str = "",
    shot: str = "",
    camera_faces_deg: float | None = None,
    camera_elevation_deg: float | None = None,
) -> LightStand:
    """Read the files and find spot and shot by name; a shot brings its spot, camera, boards and frame.

    Raises InputError with the nearest name and the list when a name is not there.
    """
    studio_file, shoot, studio = studio_file_of(given)
    chosen: Shot | None = None
    if shot:
        if shoot is None:
            raise InputError(refusals.shot_without_shoot(shot, SHOOT_FILE))
        chosen = shoot.shots[index_of(shot, [s.name for s in shoot.shots], "shot")]
    window_of(studio)
    place = spot_of(studio, spot or (chosen.spot if chosen else ""))
    faces = (
        camera_faces_deg if camera_faces_deg is not None else (chosen.camera_faces_deg if chosen else 90.0)
    )
    high = (
        camera_elevation_deg if camera_elevation_deg is not None else (chosen.elevation if chosen else 45.0)
    )
    return LightStand(
        studio=studio,
        studio_file=studio_file,
        shoot=shoot,
        shot=chosen,
        spot=place,
        camera_faces_deg=faces,
        camera_given=camera_faces_deg is not None or chosen is not None,
        camera_elevation_deg=high,
        boards=all_standing(studio, place, chosen.boards, faces) if chosen else (),
        frame_mm=(chosen.frame_width_mm, chosen.frame_height_mm) if chosen else (450.0, 300.0),
        dish_width_mm=chosen.dish_width_mm if chosen else 260.0,
        dish_height_mm=max(chosen.dish_height_mm, 1.0) if chosen else 60.0,
    )


def spot_of(studio: Studio, name: str = "") -> Spot:
    """The spot of that name; none named: the first."""
    check_spots(studio)
    if not name:
        return studio.spots[0]
    return studio.spots[index_of(name, [s.name for s in studio.spots], "table spot")]


def window_of(studio: Studio, name: str = "") -> Window:
    """The window of that name; none named: the first."""
    check_windows(studio)
    if not name:
        return studio.windows[0]
    return studio.windows[index_of(name, [w.name for w in studio.windows], "window")]


def index_of(name: str, names: list[str], what: str) -> int:
    """Where a name stands in a list. Raises InputError with the nearest name and all of them."""
    if name in names:
        return names.index(name)
    raise InputError(refusals.not_named(name, names, what, nearest(name, names)))


def moment_in(zone: ZoneInfo, words: str) -> datetime:
    """A local date and time such as 2027-07-15T13:30 as an aware moment in the studio's zone.

    An hour that comes twice when clocks go back means the first. Raises InputError for one that does not exist.
    """
    try:
        given = datetime.fromisoformat(words)
    except ValueError:
        raise InputError(refusals.no_moment(words)) from None
    if "T" not in words and " " not in words:
        raise InputError(refusals.no_time_of_day(words))
    _of_these_years(given)
    if given.tzinfo is not None:
        return given.astimezone(zone)
    moment = given.replace(tzinfo=zone)
    if moment.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != given:
        raise InputError(refusals.skipped_time(words, zone.key))
    return moment


def day_in(words: str) -> date:
    """A date such as 2027-07-15. Raises InputError."""
    try:
        day = date.fromisoformat(words)
    except ValueError:
        raise InputError(refusals.no_date(words)) from None
    _of_these_years(day)
    return day


def _of_these_years(day: date) -> None:
    if not YEARS[0] <= day.year <= YEARS[1]:
        raise InputError(refusals.no_such_year(day.year, YEARS))
