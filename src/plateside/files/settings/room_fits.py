"""Geometry and gear that cannot be: a window off its wall, a spot outside the room, a lens longer than itself."""

from plateside.files.settings.lines import number_text, pair_line
from plateside.files.settings.positions import Where
from plateside.files.settings.reader import ReadFile
from plateside.model.studio import Studio, Window

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
    _blocks(reading)
    _diffusers(reading)
    _gear(reading)


def _window(reading: ReadFile[Studio], n: int, window: Window) -> None:
    studio, here = reading.value, ("windows", n)
    front: Where = ("room", "front_bearing_deg")
    if studio.room.front_bearing_deg is None and studio.windows:
        front = ("windows", 0, "bearing_deg")
    turn = (window.bearing_deg - studio.front_bearing_deg) % 90
    off = min(turn, 90 - turn)
    if off > _SQUARE_DEG:
        quarter = round(((window.bearing_deg - studio.front_bearing_deg) % 360) / 90) * 90
        square = (studio.front_bearing_deg + quarter) % 360
        reading.complain(
            (*here, "bearing_deg"),
            f"bearing_deg is {number_text(window.bearing_deg)}, but the front wall faces "
            f"{number_text(studio.front_bearing_deg)}, and the room is a box: a window faces a quarter turn from "
            f"it, within {number_text(_SQUARE_DEG)} degrees.",
            pair_line("bearing_deg", float(f"{square:.6g}")),
            rests_on=(front,),
        )
    wall, length = studio.wall_of(window), studio.wall_length_m(window)
    across = "width" if wall in ("front", "back") else "depth"
    rests = (front, ("room", f"{across}_m"), (*here, "bearing_deg"), (*here, "width_m"))
    if window.width_m > length + _SLACK_M:
        reading.complain(
            (*here, "width_m"),
            f"the window is {number_text(window.width_m)} m wide, but the {wall} wall is only "
            f"{number_text(length)} m long (the room's {across}). Mend the one that is wrong.",
            rests_on=rests,
        )
    elif studio.window_left_m(window) + window.width_m > length + _SLACK_M:
        reading.complain(
            (*here, "from_left_m"),
            f"the window begins {number_text(studio.window_left_m(window))} m from the wall's left end and is "
            f"{number_text(window.width_m)} m wide, which runs past the {wall} wall's {number_text(length)} m.",
            pair_line("from_left_m", _round_m(length - window.width_m)),
            rests_on=rests,
        )
    top = window.sill_m + window.height_m
    if top > studio.room.height_m + _SLACK_M:
        reading.complain(
            (*here, "height_m"),
            f"the window begins {number_text(window.sill_m)} m above the floor and is {number_text(window.height_m)} m "
            f"high, which puts its top at {number_text(_round_m(top))} m, above the ceiling at "
            f"{number_text(studio.room.height_m)} m (the room's height). Mend the one that is wrong.",
            rests_on=((*here, "sill_m"), ("room", "height_m")),
        )
    _opposite(reading, n, window)


def _opposite(reading: ReadFile[Studio], n: int, window: Window) -> None:
    for k, thing in enumerate(window.opposite):
        here = ("windows", n, "opposite", k)
        rests = ((*here, "bearing_to_deg"), ("windows", n, "bearing_deg"))
        left, right = thing.bearing_from_deg, thing.bearing_to_deg
        width = (right - left) % 360
        if width == 0 or width > 180:
            swap = 0 < (left - right) % 360 <= 180
            reading.complain(
                (*here, "bearing_from_deg"),
                f"from {number_text(left)} clockwise to {number_text(right)} degrees is "
                f"{number_text(width)} degrees wide; from its left end to its right end, as seen from the window, "
                "must be more than 0 and at most 180." + (" Are the two swapped?" if swap else ""),
                f"{pair_line('bearing_from_deg', right)}\n{pair_line('bearing_to_deg', left)}"
                if swap
                else "",
                rests_on=rests,
            )
            continue
        nearer = [abs((edge - window.bearing_deg + 180) % 360 - 180) for edge in (left, right)]
        across = (window.bearing_deg - left) % 360 <= width
        if min(nearer) >= 90 and not across:
            reading.complain(
                (*here, "bearing_from_deg"),
                f"bearings {number_text(left)} to {number_text(right)} lie behind the wall of a window that faces "
                f"{number_text(window.bearing_deg)}: it sees 90 degrees to either side. Bearings are from true "
                "north, not from the window's middle.",
                rests_on=rests,
            )


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
                rests = tuple(
                    ("windows", k, f)
                    for k in (a, b)
                    for f in ("bearing_deg", "width_m", "height_m", "sill_m", "from_left_m")
                )
                reading.complain(
                    ("windows", b, "from_left_m"),
                    f'it overlaps the window "{first.name}" in the {studio.wall_of(first)} wall. Say where each '
                    "begins with from_left_m, seen from inside.",
                    pair_line("from_left_m", _round_m(studio.window_left_m(first) + first.width_m + 0.1)),
                    rests_on=(*rests, ("room", "width_m"), ("room", "depth_m")),
                )


def _spots(reading: ReadFile[Studio]) -> None:
    room = reading.value.room
    for n, spot in enumerate(reading.value.spots):
        limits = (
            ("from_left_m", spot.from_left_m, "width_m", room.width_m),
            ("from_front_m", spot.from_front_m, "depth_m", room.depth_m),
            ("height_m", spot.height_m, "height_m", room.height_m),
        )
        _inside(reading, ("spots", n), limits, "the spot")


def _blocks(reading: ReadFile[Studio]) -> None:
    room = reading.value.room
    for n, block in enumerate(reading.value.blocks):
        limits = (
            ("width_m", block.from_left_m + block.width_m, "width_m", room.width_m + _SLACK_M),
            ("depth_m", block.from_front_m + block.depth_m, "depth_m", room.depth_m + _SLACK_M),
            ("height_m", block.bottom_m + block.height_m, "height_m", room.height_m + _SLACK_M),
        )
        _inside(reading, ("blocks", n), limits, "the far side of it")


def _inside(
    reading: ReadFile[Studio],
    here: Where,
    limits: tuple[tuple[str, float, str, float], ...],
    thing: str,
) -> None:
    for key, reach, size, limit in limits:
        if reach > limit:
            reading.complain(
                (*here, key),
                f"{key} puts {thing} {number_text(_round_m(reach))} m along, outside the room, whose {size} is "
                f"{number_text(_round_m(limit))}. Mend the one that is wrong.",
                rests_on=(("room", size),),
            )


def _diffusers(reading: ReadFile[Studio]) -> None:
    for n, sheet in enumerate(reading.value.diffusers):
        total = sheet.diffuse_transmittance + sheet.clear_transmittance + sheet.reflectance
        if total > 1 + 1e-9:
            here = ("diffusers", n)
            reading.complain(
                (*here, "diffuse_transmittance"),
                f"diffuse_transmittance, clear_transmittance and reflectance make {number_text(_round_m(total))} "
                "together; a sheet cannot give out more light than it gets: at most 1.",
                pair_line(
                    "diffuse_transmittance", _round_m(max(0.0, sheet.diffuse_transmittance - total + 1))
                ),
                rests_on=((*here, "clear_transmittance"), (*here, "reflectance")),
            )


def _gear(reading: ReadFile[Studio]) -> None:
    studio = reading.value
    for n, camera in enumerate(studio.cameras):
        here: Where = ("cameras", n)
        sensor = camera.sensor_width_mm / camera.sensor_height_mm
        pixels = camera.pixels_wide / camera.pixels_high
        sizes = tuple((*here, k) for k in ("sensor_width_mm", "sensor_height_mm", "pixels_wide"))
        if sensor < 1 or pixels < 1:
            reading.complain(
                (*here, "sensor_width_mm" if sensor < 1 else "pixels_wide"),
                "width is meant along the sensor's long side, as the camera lies on the table: it must not be less "
                "than the height.",
                rests_on=(*sizes, (*here, "pixels_high")),
            )
        elif abs(sensor / pixels - 1) > _ASPECT_SLACK:
            reading.complain(
                (*here, "pixels_high"),
                f"the sensor is {sensor:.3f} times as wide as high ({number_text(camera.sensor_width_mm)} x "
                f"{number_text(camera.sensor_height_mm)} mm), the picture {pixels:.3f} times "
                f"({camera.pixels_wide} x {camera.pixels_high} px): they must agree within 2 %.",
                pair_line("pixels_high", round(camera.pixels_wide / sensor)),
                rests_on=sizes,
            )
        _not_above(reading, here, "base_iso", camera.base_iso, "highest_iso", camera.highest_iso)
        _not_above(reading, here, "fastest_s", camera.fastest_s, "slowest_s", camera.slowest_s)
    for n, lens in enumerate(studio.lenses):
        here = ("lenses", n)
        if lens.focal_length_to_mm is not None:
            _not_above(
                reading,
                here,
                "focal_length_mm",
                lens.focal_length_mm,
                "focal_length_to_mm",
                lens.focal_length_to_mm,
            )
        _not_above(
            reading,
            here,
            "widest_f_number",
            lens.widest_f_number,
            "smallest_f_number",
            lens.smallest_f_number,
        )
    for n, support in enumerate(studio.supports):
        _not_above(reading, ("supports", n), "lowest_m", support.lowest_m, "highest_m", support.highest_m)


def _not_above(
    reading: ReadFile[Studio], here: Where, low_key: str, low: float, high_key: str, high: float
) -> None:
    if low > high:
        reading.complain(
            (*here, low_key),
            f"{low_key} is {number_text(low)}, above {high_key} {number_text(high)}. Are the two swapped?",
            f"{pair_line(low_key, high)}\n{pair_line(high_key, low)}",
            rests_on=((*here, high_key),),
        )


def _round_m(value: float) -> float:
    return round(value, 3)
