"""What cannot be asked of the light: what you typed, what is allowed, and the fix."""

from collections.abc import Sequence

from plateside.words.commands import typed
from plateside.words.counting import listed


def no_settings(given: object, studio_file: str, shoot_file: str) -> str:
    return (
        f"There is no {studio_file} and no {shoot_file} in {given}. Name the folder that has one, or write a starter "
        f"with: plateside new {typed(given)}"
    )


def shot_without_shoot(shot: str, shoot_file: str) -> str:
    return f"You named the shot {shot!r}, but there is no {shoot_file} here: name the shoot's folder."


def not_named(name: str, names: Sequence[str], what: str, near: str | None) -> str:
    meant = f"Did you mean {near!r}? " if near else ""
    return (
        f"There is no {what} named {name!r}. {meant}There are: {', '.join(repr(n) for n in names) or 'none'}."
    )


def no_moment(words: str) -> str:
    return f"{words!r} is not a date and time; write the studio's local time like 2027-07-15T13:30."


def no_time_of_day(words: str) -> str:
    return f"{words!r} has no time of day; write it like {words}T13:30, or ask for --day {words}."


def skipped_time(words: str, zone: str) -> str:
    return f"{words} does not exist in {zone}: clocks jump over it that day. Give a time before or after."


def no_date(words: str) -> str:
    return f"{words!r} is not a date; write it like 2027-07-15."


def no_such_year(year: int, years: tuple[int, int]) -> str:
    return f"The year {year} is too far off to plan for: choose one from {years[0]} to {years[1]}."


def no_year(year: object) -> str:
    return f"You asked for the year {year}: write a year from 1900 to 2200, such as 2027."


FORECAST_IS_NO_YEAR = (
    "A forecast does not cover a year: ask with a sky in words, or with a typical year's file.",
    "Use --sky or --weather.",
)
READING_NEEDS_A_MOMENT = (
    "A reading needs its moment: plateside light --read 900 --at 2027-07-15T13:30 --sky overcast"
)
WHAT_IF_NEEDS_A_MOMENT = "--what-if needs a moment: add --at, for instance --at 2027-07-15T13:30"
TWO_SKY_FILES = "You gave both --weather and --forecast; choose one of the two."
NO_TEXT_FILE = (
    "That is not a text file. A forecast is lines of a time and the cloud cover in percent, such as "
    "2027-07-15 13:00, 80; a picture or a spreadsheet will not do: save it as CSV, or type the lines."
)
FILE_CUT = "The file did not come through whole. Give it again."
PICTURE_NEEDS_AN_HOUR = "A planned picture needs a time of day, and a quality: rough or clean."
PICTURE_GONE = "That picture is gone. Make it again."
NO_SUCH_FILE_KEPT = "There is no such file."


def least_below_zero(value: float) -> str:
    return f"--at-least is {value:g}; give lux, 0 or more."


def forecast_misses(first: str, last: str, day: str) -> tuple[str, str]:
    return (
        f"Your forecast runs from {first} to {last}, without {day}: give one for that day, or ask with a sky in "
        "words.",
        "Paste lines for that day, or use --sky.",
    )


def no_file(path: object, option: str) -> str:
    return f"There is no file {path}: give {option} the path of a text file."


def unread_file(path: object, error: object) -> str:
    return f"{path} could not be read: {error}."


def no_sky(sky: str, skies: Sequence[str], near: str | None, types: int) -> str:
    meant = f" Did you mean {near}?" if near else ""
    return f"The sky {sky!r} is not known; use {', '.join(skies)}, or cie:1 to cie:{types}.{meant}"


def no_sky_type(sky: str) -> str:
    return f"The sky type {sky!r} is not known; write cie:1 to cie:15, or cie:16 for the overcast sky."


def file_too_large(most_bytes: int) -> str:
    return f"That file is too large: at most {most_bytes // 1_000_000} MB."


def sky_file_gone(kind: str) -> str:
    return f"The file of the {kind} is gone: give it again, or choose a sky in words."


def no_number(words: str, low: float, high: float, unit: str) -> str:
    return f"'{words}' is not a number; give {low:g} to {high:g} {unit}."


def out_of_range(words: str, low: float, high: float, unit: str) -> str:
    return f"{words} {unit} is out of range; give {low:g} to {high:g} {unit}."


def no_day(words: str, years: tuple[int, int]) -> str:
    return f"'{words[:40]}' is not a day; write it like 2027-07-15, from {years[0]} to {years[1]}."


def no_quality(quality: str, qualities: Sequence[str]) -> str:
    return f"There is no quality '{quality}'; there are: {', '.join(qualities)}."


# ---- Readings -------------------------------------------------------------------------------------------------


def no_time_in_frame(name: str) -> tuple[str, str]:
    return f"{name} does not say when you took it.", "Add --at with the local time."


def no_exposure_in_frame(name: str) -> str:
    return f"{name} does not hold f-number, time and ISO: use a raw as the camera wrote it."


def no_such_raw(name: str) -> str:
    return f"There is no raw {name!r} among this shoot's frames any more. Choose another."


def no_raw(name: str) -> str:
    return (
        f"{name} is not a raw: in a JPEG the camera has changed the brightness, by up to a stop. Use the raw of the "
        "same frame."
    )


def patch_outside(patch: Sequence[float]) -> str:
    shares = ", ".join(f"{v:g}" for v in patch)
    return f"The card's patch ({shares}) is not within the picture: left, top, width and height are shares from 0 to 1."


def patch_uneven(name: str) -> tuple[str, str]:
    return (
        f"The patch in {name} is not even: the grey card does not fill it. Say where in the picture the card is.",
        "Add --patch LEFT TOP WIDTH HEIGHT, as shares of the picture.",
    )


def reading_out_of_range(lx: float, low: float, high: float) -> str:
    return f"You read {lx:g} lx; light on a dish is from {low:g} to {high:.0f} lx."


def reading_without_sky(sky: str, skies: Sequence[str]) -> str:
    got = f"The sky {sky!r} is not known" if sky else "A reading needs its sky"
    return f"{got}; say how it was, with --sky {'|'.join(skies)} ({listed(skies, 'or')})."


def reading_in_the_dark(at: str) -> str:
    return (
        f"At {at} the sun is so far down that the window gives no light: check date and time (and switch lamps off "
        "before a reading)."
    )


def unread_note(note: str) -> str:
    return (
        f"The noted moment {note!r} cannot be read. Write when the sun grazed the wall, as "
        "'--bearing 2027-07-15T11:24 left', or where a corner of the sun patch was, as "
        "'--bearing 2027-07-15T09:30 top-left 1.20 0.85 0' (metres along the wall from its left end seen from inside, "
        "from the wall, above the floor)."
    )
