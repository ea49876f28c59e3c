"""The first run's drawing, of what was answered so far, and the words under it (words/first_run.py). Nothing is
refused: what cannot be drawn is said so, and judged when the question is left (first_run.wrong_answers)."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from plateside.drawing.first_sketch import WindowWall, empty_sketch, room_sketch, sun_sketch, wall_sketch
from plateside.model.errors import InputError
from plateside.model.room import Place, Room, Spot, Window
from plateside.model.studio import Studio
from plateside.tasks.studio.new import sensor
from plateside.words import first_run as words
from plateside.words.compass import wind

TILT_DEG = 23.44
"""Obliquity of the ecliptic (IAU 2006: 23.4393 degrees at J2000)."""
FOCAL_MM = (4.0, 1200.0)
"""The settings' own range of focal lengths."""
LARGEST_M = 1000.0
"""More than any room that can be told from a slip of the hand."""
SIZES = ("width_m", "depth_m", "height_m", "window_width_m", "window_height_m")
WITH_TABLE = ("table", "camera", "shoot")


@dataclass(frozen=True)
class Sketched:
    """A drawing and what is said of it."""

    svg: str
    words: str


def first_sketch(step: str, answers: Mapping[str, Any]) -> Sketched:
    """The drawing for a question of the first run."""
    if step == "place":
        return _sun(answers.get("place"))
    if not all(0 < _number(answers, name) <= LARGEST_M for name in SIZES):
        return Sketched(empty_sketch(), words.NOT_DRAWN)
    if step == "window":
        return _wall(answers)
    return _room(step, answers)


def _number(answers: Mapping[str, Any], name: str, usual: float = 0.0) -> float:
    value = answers.get(name)
    plain = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
    return float(value) if plain and value is not None else usual


def _sun(place: Any) -> Sketched:
    if not isinstance(place, Mapping):
        return Sketched(sun_sketch(()), words.NO_PLACE_YET)
    latitude = abs(_number(place, "latitude_deg"))
    noons = tuple(90 - abs(latitude - TILT_DEG * sign) for sign in (1, -1))
    return Sketched(sun_sketch(noons), words.noon_sun(str(place.get("name") or ""), noons))


def _left_m(answers: Mapping[str, Any]) -> float:
    middle = (_number(answers, "width_m") - _number(answers, "window_width_m")) / 2
    return _number(answers, "window_from_left_m", middle)


def _wall(answers: Mapping[str, Any]) -> Sketched:
    numbers = {
        name: _number(answers, name) for name in ("width_m", "height_m", "window_width_m", "window_height_m")
    }
    wall = WindowWall(left_m=_left_m(answers), sill_m=max(0.0, _number(answers, "sill_m")), **numbers)
    return Sketched(wall_sketch(wall), words.WALL_SEEN if wall.fits else words.WINDOW_DOES_NOT_FIT)


def _studio(answers: Mapping[str, Any]) -> Studio:
    facing, left = _number(answers, "facing_deg"), _left_m(answers)
    width = _number(answers, "window_width_m")
    return Studio(
        place=Place(latitude_deg=0.0, longitude_deg=0.0, timezone="UTC"),
        room=Room(**{name: _number(answers, name) for name in ("width_m", "depth_m", "height_m")}),
        windows=(
            Window(name="", bearing_deg=facing % 360, width_m=width, height_m=_number(answers, "window_height_m"),
                   sill_m=0.0, from_left_m=left),
        ),
        spots=(
            Spot(name="", from_left_m=_number(answers, "table_from_left_m", left + width / 2),
                 from_front_m=_number(answers, "table_from_window_m")),
        ),
    )  # fmt: skip


def _room(step: str, answers: Mapping[str, Any]) -> Sketched:
    facing = _number(answers, "facing_deg")
    said = words.UNDER_ROOM.get(step, "")
    if step == "facing" and answers.get("place"):
        said = f"{said} {words.YELLOW}"
    half = None
    if step == "camera":
        half, said = _view(answers)
    svg = room_sketch(
        _studio(answers), looks=f"{wind(facing)}, {round(facing, 1):g}°", measured=step != "facing",
        lit=step != "room", with_table=step in WITH_TABLE, from_window=step == "table", half_view_rad=half,
    )  # fmt: skip
    return Sketched(svg, said)


def _view(answers: Mapping[str, Any]) -> tuple[float | None, str]:
    """Half of what the lens sees side to side [rad], and that in words."""
    focal = _number(answers, "focal_mm")
    if not FOCAL_MM[0] <= focal <= FOCAL_MM[1]:
        return None, words.no_focal(*FOCAL_MM)
    try:
        wide = sensor(str(answers.get("sensor") or "aps-c"))[0]
    except InputError:
        wide = sensor("aps-c")[0]
    half = math.atan(wide / 2 / focal)
    return half, words.lens_sees(half, focal if answers.get("focal_to_mm") else None)
