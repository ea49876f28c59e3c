"""What cannot be planned, set up or drawn: one sentence that says what to do."""

from collections.abc import Sequence
from datetime import datetime

from plateside.words.counting import clock, day_of_year, listed

NO_SHOTS = "The shoot has no shots: write one [[shots]] for each picture you want in shoot.toml."
NO_HOUR = "Give the time, as 13:30, or the light in lux."
LUX_RANGE = "Write the light as a number of lux, from 0.01 to 200000."
NO_METERED = "Say aperture, shutter and ISO, and what the camera looked at: grey card or white paper."
_SETTINGS = {
    "f_number": ("aperture", "8, for f/8"),
    "shutter": ("shutter", "1/60, or 2 for two seconds"),
    "iso": ("ISO", "100"),
}
CARD_PAPERS = "The set card comes on A4, A5 or Letter."
NOT_DRAWN = "That planned picture is not rendered yet."
NO_PICTURE = "There is no such planned picture."
CHANGED = "The shot was changed meanwhile."


def no_daylight(shot: str, when: datetime | None, illuminance_lx: float) -> str:
    """Too dark to set a shot up for."""
    at = f" at {clock(when)}" if when else ""
    return (
        f"Shot '{shot}': no daylight on the dish{at} ({illuminance_lx:.1f} lx facing the camera): choose another "
        "hour, or block the window, light the set with one lamp and set the white balance to it."
    )


def no_shot(name: str, known: Sequence[str]) -> str:
    """A shot that is not on the list."""
    return f"No shot is named '{name}'; the shots are {', '.join(known)}."


def no_time(text: str) -> str:
    """Text that is no time of day."""
    return f"'{text}' is not a time of day; write it as 13:30."


def no_lux(lux: float) -> str:
    """A light that nothing can be planned for."""
    return f"{lux:g} lx is not a light to plan for; give 0.01 to 200000 lx."


def day_ends_first(begins: str, ends: str) -> str:
    """A working day that ends before it begins."""
    return f"Your day ends at {ends}, before it begins at {begins}: change one of the two."


def no_hour_for(shot: str) -> str:
    """A shot that the day has no hour for."""
    return f"The day's plan has no hour for '{shot}'."


def no_set_up_for(shot: str) -> str:
    """A shot without a set-up."""
    return f"The plan has no set-up for '{shot}'."


def no_folder(folder: object, why: str | None) -> str:
    """A folder that the disk refuses."""
    return f"The folder {folder} cannot be made: {why}. Give another with --out."


def no_what_if(name: str, known: Sequence[str]) -> str:
    """A what-if that there is not."""
    return f"There is no what-if '{name}'; there are {listed(known)}."


def no_quality(name: str, known: Sequence[str]) -> str:
    """A quality that there is not."""
    return f"There is no quality '{name}'; there are {listed(known)}."


def no_sky(name: str, known: Sequence[str]) -> str:
    """A sky that there is not."""
    return f"There is no sky '{name}'; there are {listed(known)}."


def no_size(size_px: tuple[int, int], largest_px: int) -> str:
    """A size that no picture can have."""
    return f"A picture cannot be {size_px[0]} x {size_px[1]} px; give 32 to {largest_px} a side."


def no_size_text(text: str) -> str:
    """Text that is no size."""
    return f"'{text}' is not a size; write it as 480x320."


def dark_hours(clocks: Sequence[str], when: datetime) -> str:
    """None of the hours of a sheet has daylight."""
    return f"There is no daylight at {listed(clocks)} on {day_of_year(when.date())}: choose another day."


def no_setting(name: str, typed: str) -> str:
    """Of a camera's setting that cannot be read; `name` f_number, shutter or iso."""
    what, form = _SETTINGS[name]
    given = f"“{typed}” is no {what}" if typed.strip() else f"The {what} is missing"
    return f"{given}. Write it as {form}."


def no_shot_there(spot: str) -> str:
    """Of a table spot at which no shot stands."""
    return f"No shot stands at “{spot}”. Choose one of your shots above, or add one on Plan."
