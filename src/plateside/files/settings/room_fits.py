"""Geometry and gear that cannot be: a window off its wall, a spot outside the room, a lens longer than itself."""

from collections.abc import Mapping
from typing import Any

from plateside.files.settings.grammar import entries
from plateside.files.settings.lines import pair_line
from plateside.files.settings.positions import Where
from plateside.files.settings.reader import ReadFile
from plateside.model.gear import Camera
from plateside.model.mistakes import Mistake
from plateside.model.room import Window
from plateside.model.studio import Studio

_SQUARE_DEG = 3.0
"""How far a window's bearing may be from a quarter turn off the front wall: the room is a box."""
_SLACK_M = 1e-6
_ASPECT_SLACK = 0.02
"""Makers round sensor sizes to 0.1 mm."""


def check_room(reading: ReadFile[Studio]) -> None:
    """All checks of studio.toml that look at more than one field."""
    studio = reading.value
    for n, window in enumerate(studio.windows):
        _window(reading, n, window)
    _overlaps(reading)
    _spots(reading)
    _furniture(reading)
    _diffusers(reading)
    _gear(reading)


def _window(reading: ReadFile[Studio], n: int, window: Window) -> None:
    studio, here = reading.value, ("windows", n)
    front: Where = ("room", "front_bearing_deg")
    if studio.room.front_bearing_deg is None and studio.windows:
        front = ("windows", 0, "bearing_deg")
    turn = (window.bearing_deg - studio.front_bearing_deg) % 90
    off = min(turn, 90 - turn)
    facts: dict[str, Any]
    if off > _SQUARE_DEG:
        quarter = round(((window.bearing_deg - studio.front_bearing_deg) % 360) / 90) * 90
        square = (studio.front_bearing_deg + quarter) % 360
        facts = {"faces": window.bearing_deg, "front": studio.front_bearing_deg, "within": _SQUARE_DEG}
        line = pair_line("bearing_deg", float(f"{square:.6g}"))
        _cannot(reading, (*here, "bearing_deg"), "window not square", facts, line, rests_on=(front,))
    wall, length = studio.wall_of(window), studio.wall_length_m(window)
    across = "width" if wall in ("front", "back") else "depth"
    rests = (front, ("room", f"{across}_m"), (*here, "bearing_deg"), (*here, "width_m"))
    left = studio.window_left_m(window)
    facts = {"width": window.width_m, "wall": wall, "wall_length": length, "across": across}
    if window.width_m > length + _SLACK_M:
        _cannot(reading, (*here, "width_m"), "window too wide", facts, rests_on=rests)
    elif left + window.width_m > length + _SLACK_M:
        line = pair_line("from_left_m", _round_m(length - window.width_m))
        facts |= {"left": left, "end": _round_m(left + window.width_m)}
        _cannot(reading, (*here, "from_left_m"), "window past wall", facts, line, rests_on=rests)
    top = window.sill_m + window.height_m
    if top > studio.room.height_m + _SLACK_M:
        facts = {
            "sill": window.sill_m, "height": window.height_m, "top": _round_m(top), "ceiling": studio.room.height_m,
        }  # fmt: skip
        above = ((*here, "sill_m"), ("room", "height_m"))
        _cannot(reading, (*here, "height_m"), "window above ceiling", facts, rests_on=above)
    _opposite(reading, n, window)


def _opposite(reading: ReadFile[Studio], n: int, window: Window) -> None:
    for k, thing in enumerate(window.opposite):
        here = ("windows", n, "opposite", k)
        rests = ((*here, "bearing_to_deg"), ("windows", n, "bearing_deg"))
        left, right = thing.bearing_from_deg, thing.bearing_to_deg
        width = (right - left) % 360
        facts = {"left": left, "right": right, "width": width, "faces": window.bearing_deg}
        if width == 0 or width > 180:
            swap = 0 < (left - right) % 360 <= 180
            lines = (
                f"{pair_line('bearing_from_deg', right)}\n{pair_line('bearing_to_deg', left)}" if swap else ""
            )
            _cannot(reading, (*here, "bearing_from_deg"), "view too wide", facts, lines, rests_on=rests)
            continue
        nearer = [abs((edge - window.bearing_deg + 180) % 360 - 180) for edge in (left, right)]
        across = (window.bearing_deg - left) % 360 <= width
        if min(nearer) >= 90 and not across:
            _cannot(reading, (*here, "bearing_from_deg"), "view behind wall", facts, rests_on=rests)


def _overlaps(reading: ReadFile[Studio]) -> None:
    studio = reading.value
    for b, second in enumerate(studio.windows):
        for a, first in enumerate(studio.windows[:b]):
            if studio.wall_of(first) != studio.wall_of(second):
                continue
            left = max(studio.window_left_m(first), studio.window_left_m(second))
            right = min(
                studio.window_left_m(first) + first.width_m, studio.window_left_m(second) + second.width_m
            )
            low = max(first.sill_m, second.sill_m)
            high = min(first.sill_m + first.height_m, second.sill_m + second.height_m)
            if right - left > _SLACK_M and high - low > _SLACK_M:
                rests: tuple[Where, ...] = tuple(
                    ("windows", k, f)
                    for k in (a, b)
                    for f in ("bearing_deg", "width_m", "height_m", "sill_m", "from_left_m")
                )
                line = pair_line("from_left_m", _round_m(studio.window_left_m(first) + first.width_m + 0.1))
                facts = {"other": first.name, "wall": studio.wall_of(first)}
                rests = (*rests, ("room", "width_m"), ("room", "depth_m"))
                _cannot(
                    reading, ("windows", b, "from_left_m"), "windows overlap", facts, line, rests_on=rests
                )


def _spots(reading: ReadFile[Studio]) -> None:
    room = reading.value.room
    for n, spot in enumerate(reading.value.spots):
        limits = (
            ("from_left_m", spot.from_left_m, "width_m", room.width_m, "dish past side"),
            ("from_front_m", spot.from_front_m, "depth_m", room.depth_m, "dish past back"),
            ("height_m", spot.height_m, "height_m", room.height_m, "dish above ceiling"),
        )
        _inside(reading, ("spots", n), limits)


def _furniture(reading: ReadFile[Studio]) -> None:
    room = reading.value.room
    for n, block in enumerate(reading.value.furniture):
        side, back = block.from_left_m + block.width_m, block.from_front_m + block.depth_m
        top = block.bottom_m + block.height_m
        limits = (
            ("width_m", side, "width_m", room.width_m + _SLACK_M, "furniture past side"),
            ("depth_m", back, "depth_m", room.depth_m + _SLACK_M, "furniture past back"),
            ("height_m", top, "height_m", room.height_m + _SLACK_M, "furniture above ceiling"),
        )
        _inside(reading, ("furniture", n), limits)


def _inside(
    reading: ReadFile[Studio], here: Where, limits: tuple[tuple[str, float, str, float, str], ...]
) -> None:
    for key, reach, size, limit, code in limits:
        if reach > limit:
            facts = {"reach": _round_m(reach), "limit": _round_m(limit)}
            _cannot(reading, (*here, key), code, facts, rests_on=(("room", size),))


def _diffusers(reading: ReadFile[Studio]) -> None:
    for n, sheet in enumerate(reading.value.diffusers):
        total = sheet.diffuse_transmittance + sheet.clear_transmittance + sheet.reflectance
        if total > 1 + 1e-9:
            here = ("diffusers", n)
            less = _round_m(max(0.0, sheet.diffuse_transmittance - total + 1))
            _cannot(
                reading,
                (*here, "diffuse_transmittance"),
                "too much light",
                {"total": _round_m(total)},
                pair_line("diffuse_transmittance", less),
                rests_on=((*here, "clear_transmittance"), (*here, "reflectance")),
            )


def _gear(reading: ReadFile[Studio]) -> None:
    studio = reading.value
    for n, camera in enumerate(studio.cameras):
        here: Where = ("cameras", n)
        _sensor(reading, here, camera)
        _not_above(reading, here, "base_iso", "highest_iso", camera)
        _not_above(reading, here, "fastest_s", "slowest_s", camera)
    for n, lens in enumerate(studio.lenses):
        if lens.focal_length_to_mm is not None:
            _not_above(reading, ("lenses", n), "focal_length_mm", "focal_length_to_mm", lens)
        _not_above(reading, ("lenses", n), "widest_aperture", "smallest_aperture", lens)
    for n, support in enumerate(studio.supports):
        _not_above(reading, ("supports", n), "lowest_m", "highest_m", support)


def _sensor(reading: ReadFile[Studio], here: Where, camera: Camera) -> None:
    sensor = camera.sensor_width_mm / camera.sensor_height_mm
    pixels = camera.pixels_wide / camera.pixels_high
    sizes = tuple((*here, k) for k in ("sensor_width_mm", "sensor_height_mm", "pixels_wide"))
    if sensor < 1 or pixels < 1:
        key = "sensor_width_mm" if sensor < 1 else "pixels_wide"
        _cannot(reading, (*here, key), "sides swapped", {}, rests_on=(*sizes, (*here, "pixels_high")))
    elif abs(sensor / pixels - 1) > _ASPECT_SLACK:
        facts = {
            "sensor_width": camera.sensor_width_mm, "sensor_height": camera.sensor_height_mm,
            "sensor_shape": f"{sensor:.3f}", "picture_shape": f"{pixels:.3f}",
            "pixels_wide": camera.pixels_wide, "pixels_high": camera.pixels_high,
        }  # fmt: skip
        line = pair_line("pixels_high", round(camera.pixels_wide / sensor))
        _cannot(reading, (*here, "pixels_high"), "sensor shape", facts, line, rests_on=sizes)


def _not_above(reading: ReadFile[Studio], here: Where, low_key: str, high_key: str, thing: Any) -> None:
    low, high = getattr(thing, low_key), getattr(thing, high_key)
    if low > high:
        known = entries(type(thing))
        facts = {
            "low": low, "high": high, "low_label": known[low_key].label, "high_label": known[high_key].label.lower(),
        }  # fmt: skip
        lines = f"{pair_line(low_key, high)}\n{pair_line(high_key, low)}"
        _cannot(reading, (*here, low_key), "swapped", facts, lines, rests_on=((*here, high_key),))


def _cannot(
    reading: ReadFile[Studio],
    where: Where,
    code: str,
    facts: Mapping[str, Any],
    fix: str = "",
    *,
    rests_on: tuple[Where, ...],
) -> None:
    reading.complain(where, Mistake(code, fix=fix, facts=dict(facts)), rests_on=rests_on)


def _round_m(value: float) -> float:
    return round(value, 3)
