"""The commented starter files for a person's own room, filled in from a few answers."""

from importlib.resources import files
from string import Template

from plateside.files.settings.lines import value_text
from plateside.model.first_answers import Answers
from plateside.plan.dish_kinds import first_frames_mm


def studio_text(answers: Answers) -> str:
    """studio.toml for these answers, with comments."""
    room_width, room_depth, room_height = answers.room_m
    half = min(answers.from_window_m, room_depth - answers.from_window_m)
    values = {
        "name": answers.place_name,
        "country": answers.country,
        "latitude": answers.latitude_deg,
        "longitude": answers.longitude_deg,
        "timezone": answers.timezone,
        "room_width": room_width,
        "room_depth": room_depth,
        "room_height": room_height,
        "facing": answers.facing_deg,
        "window_width": answers.window_m[0],
        "window_height": answers.window_m[1],
        "sill": answers.sill_m,
        "floor": answers.floor_above_ground_m,
        "opposite_from": _bearing(answers.facing_deg - 60),
        "opposite_to": _bearing(answers.facing_deg + 60),
        "spot_left": round(room_width / 2, 3),
        "from_window": answers.from_window_m,
        "table_width": round(min(1.2, max(0.2, room_width - 0.2)), 2),
        "table_depth": round(min(0.8, max(0.2, 2 * half)), 2),
        "sensor_width": answers.sensor_mm[0],
        "sensor_height": answers.sensor_mm[1],
        "pixels_wide": answers.pixels[0],
        "pixels_high": answers.pixels[1],
        "lens_name": answers.lens_name or f"{answers.focal_mm:g}",
        "focal": answers.focal_mm,
        "widest": answers.widest_aperture,
    }
    written = {key: value_text(value) for key, value in values.items()}
    return _filled("studio.toml", {**written, "date_example": f"{answers.date}T13:30"})


def shoot_text(answers: Answers) -> str:
    """shoot.toml for these answers, with comments."""
    whole, close = first_frames_mm(*answers.dish_mm)
    values = {
        "date": answers.date,
        "studio": answers.studio,
        "creator": answers.creator,
        "dish": answers.dish,
        "stand_in": answers.stand_in,
        "dish_width": answers.dish_mm[0],
        "dish_height": answers.dish_mm[1],
        "glossy": answers.glossy,
        "whole_width": whole[0],
        "whole_height": whole[1],
        "close_width": close[0],
        "close_height": close[1],
    }
    return _filled("shoot.toml", {key: value_text(value) for key, value in values.items()})


def _bearing(value: float) -> float:
    return round(value % 360, 1)


def _filled(name: str, values: dict[str, str]) -> str:
    """The template with its gaps filled, comments behind values kept in their column."""
    text = files("plateside.files.settings").joinpath("starters", name).read_text(encoding="utf-8")
    lines = []
    for line in text.splitlines():
        filled = Template(line).substitute(values)
        if filled != line and "  #" in filled:
            code, note = filled.split("  #", 1)
            column = line.index("  #") + 2
            filled = (
                f"{code.rstrip():<{column}}#{note}"
                if len(code.rstrip()) < column
                else f"{code.rstrip()}  #{note}"
            )
        lines.append(filled)
    return "\n".join(lines) + "\n"
