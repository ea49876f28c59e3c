"""The first run: its questions once, for command and page, and what is wrong with an answer.

QUESTION, HINT         each question, and how to answer it
ANSWER, ANSWER_HINT    each answer of a question, and what an empty one means
prompt                 a question at a terminal
FIRST_RUN              what is wrong with an answer, by code
"""

import math
from collections.abc import Mapping, Sequence

from plateside.words.commands import typed
from plateside.words.counting import listed, plural

QUESTION: Mapping[str, str] = {
    "place": "Where is your kitchen?",
    "facing": "Which way does the window face?",
    "room": "How large is the room?",
    "window": "How large is the window?",
    "outside": "What stands outside?",
    "table": "Where does the dish go?",
    "camera": "What do you shoot with?",
    "shoot": "What, and when?",
}
HINT: Mapping[str, str] = {
    "place": "Your town gives the path of the sun and the time zone. It is looked up on this computer.",
    "facing": "Stand inside and look straight out. Turn the arrow to the direction you see. A map shows it best: north "
    "is at the top.",
    "room": "A tape measure is best; paces of one metre will do for now.",
    "window": "The opening in the wall, with its frame.",
    "outside": "Houses and trees take sky from your window. In a town they decide how much light you have.",
    "table": "You can add more places later, and drag them.",
    "camera": "",
    "shoot": "",
}
ANSWER: Mapping[str, str] = {
    "place": "Town",
    "facing_deg": "The way the window faces",
    "width_m": "Along the window wall",
    "depth_m": "From the window wall to the wall behind you",
    "height_m": "From floor to ceiling",
    "window_width_m": "Window width",
    "window_height_m": "Window height",
    "sill_m": "Sill height above the floor",
    "window_from_left_m": "From the left corner of the wall to the window",
    "floor": "Which floor are you on?",
    "outside": "Opposite the window",
    "outside_distance_m": "How far away?",
    "outside_height_m": "How high, from the ground?",
    "table_from_window_m": "From the window wall to the dish",
    "table_from_left_m": "From the left wall to the dish",
    "table_height_m": "Table height",
    "sensor": "Sensor",
    "megapixels": "How many megapixels?",
    "lens": "Lens",
    "focal_mm": "Focal length",
    "focal_to_mm": "Long end of the zoom",
    "f_number": "Widest aperture",
    "focal2_mm": "A second lens, if you have one",
    "focal2_to_mm": "Long end of the second zoom",
    "f_number2": "Its widest aperture",
    "dish": "What are you going to photograph?",
    "kind": "Which of these looks most like it?",
    "date": "On which day?",
    "creator": "Your name, as it goes under your pictures",
    "folder": "Folder",
}
ANSWER_HINT: Mapping[str, str] = {
    "window_from_left_m": "Left empty: in the middle of the wall.",
    "table_from_left_m": "Left empty: in front of the middle of the window.",
    "focal_mm": "A zoom: both ends, 24-70.",
    "f_number": "A zoom marked 3.5-5.6: give 5.6, which it has at every length.",
    "floor": "0 is the ground floor, 1 the first floor up.",
    "outside_distance_m": "Paces of one metre will do for now.",
    "outside_height_m": "Count 3 m for each storey, and 3 m for a roof.",
    "focal2_mm": "Left empty: one lens.",
    "kind": "It stands in for your dish until there is a picture of it.",
    "folder": "Left empty, it is named after the dish. Nothing is ever overwritten.",
}
SENSORS: Mapping[str, tuple[str, str]] = {
    "aps-c": ("APS-C", "interchangeable lenses, 23.5 × 15.6 mm"),
    "full-frame": ("Full frame", "36 × 24 mm"),
    "four-thirds": ("Four thirds", "17 × 13 mm"),
    "one-inch": ("One inch", "larger compacts"),
}
LENSES: Mapping[str, tuple[str, str]] = {
    "35/1.8": ("35 mm f/1.8", ""),
    "50/1.8": ("50 mm f/1.8", ""),
    "18-55/5.6": ("The kit zoom", "18-55 mm, f/3.5-5.6: counted as f/5.6, which it has at every length"),
    "": ("Another", ""),
}
OUTSIDE: Mapping[str, tuple[str, str]] = {
    "open": ("Open sky", "nothing higher than far roofs or hills"),
    "street": ("Houses across the street", ""),
    "near": ("Houses or a wall close by", "a courtyard, a narrow street"),
    "trees": ("Trees", ""),
}
KIND_NAMES: Mapping[str, str] = {
    "soup": "Something in a bowl", "tart": "A tart or a pie", "stack": "A stack", "loaf": "A loaf or a cake",
    "drink": "A drink in a glass", "noodles": "Noodles or pasta", "leaves": "Leaves, a salad",
    "buns": "Several small things",
}  # fmt: skip
"""The shapes that may stand in for a dish, by the words of the shot's field."""

SIZES: Mapping[str, str] = {
    "room": "The room",
    "window": "The window",
    "sill": "The sill",
    "from-window": "The distance from the window",
    "focal": "The focal length",
    "f-number": "The aperture",
    "megapixels": "The camera's megapixels",
}
"""What a flag of `new` measures, where its text cannot be read."""

FIRST_RUN: Mapping[str, str] = {
    "no place": "Say where your kitchen is: type your town, then choose it from the list.",
    "too near a wall": "The middle of the dish cannot be less than {least} m from a wall.",
    "no dish": "Say what it is; one word will do, such as soup.",
    "no creator": "Write your name: it goes out with your pictures.",
    "zoom ends": "Write a zoom from its short to its long end, such as 24-70; 1200 mm at most.",
    "megapixels": "{count} megapixels: allowed are {lowest} to {highest}.",
    "no floor": "Write the floor as a whole number: 0 is the ground floor, -1 the basement.",
    "no aperture": "Write the widest aperture of the second lens, such as 2.8.",
    "no number": "Write a number here.",
    "number too large": "That number is far too large.",
    "no day": "Choose a day.",
    "year": "The year {year} cannot be right: choose a day from {first} to {last}.",
    "no such day": '"{got}" is not in the calendar. Choose a day.',
    "own folder": "Give the new shoot a folder of its own.",
    "folder characters": "A folder name here has letters, digits, spaces and - _ . only, and begins with a letter or "
    "digit.",
    "folder name refused": 'Not every computer can keep a folder called "{got}". Choose another name.',
    "long folder name": "That name has {count} characters; at most {highest}.",
    "folder is a link": '"{got}" leads to another place. Choose another name.',
    "folder is a file": 'There is a file called "{got}" already. Choose another name.',
    "folder in use": "There is a shoot in {where} already. Choose another name: nothing is ever overwritten.",
}


TITLE = "A new kitchen"
ASK: Mapping[str, Mapping[str, object]] = {
    "question": QUESTION,
    "hint": HINT,
    "answer": ANSWER,
    "answer_hint": ANSWER_HINT,
    "sensors": SENSORS,
    "lenses": LENSES,
    "outside": OUTSIDE,
    "kinds": KIND_NAMES,
}
"""All of it, for the page's template."""

DEMO_STAGES = (
    "Copying the demo kitchen", "Light: the day and the year", "Plan: set-ups and an hour for each shot",
    "Set: rendering frames with known faults, judging them", "Choose: a select for each shot",
    "Finish: developing the selects", "Deliver: crops, sizes, words",
)  # fmt: skip

PROMPT_HINT: Mapping[str, str] = {
    "place": "Name your town.",
    "facing": "Degrees from true north, or a word such as NNE.",
}


def prompt(question: str, answers: Sequence[str], unit: str = "") -> str:
    """A question at a terminal: 'How large is the window? Window width x window height [m]'."""
    parts = [ANSWER[a] if n == 0 else ANSWER[a][:1].lower() + ANSWER[a][1:] for n, a in enumerate(answers)]
    more = "" if answers else PROMPT_HINT.get(question, "")
    line = " ".join(p for p in (QUESTION.get(question, ""), " x ".join(parts), more) if p)
    return f"{line} [{unit}]" if unit else line


def existing_shoot(names: Sequence[str], folder: object) -> str:
    """Where `new` would write over what is there."""
    return f"{listed(names)} in {folder} would be overwritten. Choose another folder, or add --force to replace them."


def flag_missing(flag: str) -> str:
    """A question that has no usual answer, and nobody to ask."""
    return (
        f"{flag} is missing. An example: plateside new my-shoot --city Lisbon --facing NNE --window 1.2x1.2 "
        "--from-window 0.6"
    )


STOPPED = "Stopped. Nothing was written."


def not_a_country(country: str) -> str:
    """A country that is not in the list."""
    return f'No country is called "{country}". Use its two letters (PT, GB, AU) or its English name.'


def no_such_city(name: str, country: str, near: Sequence[str]) -> str:
    """A place that is not in the list, with the places whose names are most like it."""
    lines = "".join(f"\n  {city}" for city in near)
    hint = f" Did you mean one of these?{lines}" if near else ""
    return (
        f'No place called "{name}"{f" in {country}" if country else ""} is in the list.{hint}\n'
        "For a place that is not in it, give --at LATITUDE,LONGITUDE and --timezone, or name the nearest town."
    )


def several_cities(name: str, found: Sequence[str], first: str, most: int = 8) -> str:
    """Places of one name, and how to say which."""
    lines = "".join(f"\n  {city}" for city in found[:most])
    more = f"\n  and {len(found) - most} smaller ones" if len(found) > most else ""
    return (
        f'{len(found)} places are called "{name}":{lines}{more}\n'
        f'Add the region or country behind a comma: "{first}"'
    )


def largest_taken(first: str, count: int, others: Sequence[str]) -> str:
    """Which of several places of one name was taken."""
    return f"Took {first}, the largest of {count} places of that name. Others: {'; '.join(others)}."


def not_a_direction(text: str) -> str:
    """A direction that is neither degrees nor a compass word."""
    return (
        f'"{text}" is not a direction. Write degrees clockwise from true north, such as 20, or a compass word: north, '
        "NNE, south-west."
    )


def true_north(bearing_deg: float) -> str:
    """A reminder beside every direction that was typed."""
    return (
        f"The window faces {bearing_deg:g} degrees from true north. A compass, and many phones, show magnetic north, "
        "which can be several degrees off: measure on a map, and correct bearing_deg."
    )


def height_taken(height_m: float) -> str:
    """A room of which only the floor was given."""
    return f"You gave no room height: {height_m:g} m is used. Measure it, and correct height_m."


def not_outside(text: str) -> str:
    """What stands outside, in a word that is none of ours."""
    return f'"{text}" is none of these: {listed(tuple(OUTSIDE), "or")}.'


def not_a_day(text: str) -> str:
    """A --date that is none."""
    return f'--date is "{text}"; allowed: a day as year-month-day, such as 2027-07-15.'


def not_sizes(what: str, text: str, count: int) -> str:
    """Lengths that cannot be read."""
    examples = {1: ("1.2", "120"), 2: ("1.2x1.4", "120x140"), 3: ("4.2x3.1x2.5", "420x310x250")}
    metres, centimetres = examples[count]
    return (
        f'{what} is "{text}"; allowed: {plural(count, "length")} in metres, such as {metres}, or with a unit, such as '
        f"{centimetres}cm."
    )


def taken_as_cm(what: str, text: str, metres: Sequence[float]) -> str:
    """Lengths without a unit that can only be centimetres."""
    return f'{what}: "{text}" is read as centimetres, {" x ".join(f"{v:g}" for v in metres)} m.'


def not_a_number(what: str, text: str, unit: str) -> str:
    """A number that cannot be read, or is not above zero."""
    return f'{what} is "{text}"; allowed: a number{f" in {unit}" if unit else ""}, such as 35 or 1.8.'


def not_coordinates(text: str, timezone: str) -> str:
    """Latitude and longitude, or their time zone, that are missing."""
    return (
        f'--at is "{text}" and --timezone "{timezone}"; both are needed, such as --at 38.72,-9.14 --timezone '
        "Europe/Lisbon."
    )


def not_a_sensor(text: str, names: Sequence[str]) -> str:
    """A sensor that is neither a known name nor a size."""
    return f'Sensor is "{text}"; allowed: {", ".join(names)}, or width x height in mm, such as 23.5x15.6.'


def not_pixels(text: str) -> str:
    """A picture size that cannot be read."""
    return f'The picture size is "{text}"; allowed: width x height in pixels, such as 6000x4000.'


def written_lines(
    written: Sequence[object], place: str, timezone: str, notes: Sequence[str], folder: object
) -> list[str]:
    """What was written, and what to do next."""
    return [
        *(f"Wrote {path}" for path in written),
        *([f"Place: {place}, time zone {timezone}."] if place else []),
        *notes,
        f"Next: open the files, correct what is not yours, then: plateside check {typed(folder)}",
    ]


_COORDINATES = (
    "latitude and longitude as a map shows them, such as 38.72, -9.14 (south and west with a minus)"
)


def several_places(text: str, count: int) -> str:
    """On the page: which of several towns."""
    return f"{count} places are called “{text}”. Choose yours from the list."


def no_place(text: str, *, any_near: bool) -> str:
    """On the page: a town that is not known."""
    choose = "Choose one of these names, name" if any_near else "Name"
    return f"No place called “{text}” is known here. {choose} the nearest town, or give {_COORDINATES}."


COORDINATES_OUT = "Latitude goes from -90 to 90, longitude from -180 to 180: is one of them mistyped?"


def zone_from(town: str, away_km: float) -> str:
    """Where the time zone of coordinates is from."""
    return f"Time zone of {town}, {away_km:.0f} km away."


def near_town(town: str) -> str:
    """What a place given by coordinates is called."""
    return f"near {town}"


NOT_DRAWN = "A room or a window of that size cannot be drawn."
NO_PLACE_YET = "The sun's path depends on where you are."
WALL_SEEN = "The window wall, seen from inside."
WINDOW_DOES_NOT_FIT = "The window does not fit into this wall."
UNDER_ROOM: Mapping[str, str] = {
    "facing": "The window wall is at the top.",
    "outside": "What stands opposite is reckoned across the whole view. You can draw it more closely in Studio.",
    "room": "Your room from above, with the window wall at the top.",
    "table": "The dish on its table.",
    "shoot": "That is all. You can change everything later, in Studio.",
}
"""Under the room as it is drawn for each question."""
YELLOW = "Yellow on the compass: the sun's way on the longest day (outer) and the shortest (inner)."


def noon_sun(place: str, noons_deg: Sequence[float]) -> str:
    """How high the sun is at noon on the longest and the shortest day."""
    said = listed(
        tuple(
            f"{high:.0f}° high on the {day} day" if high > 0 else f"below the horizon on the {day} day"
            for high, day in zip(noons_deg, ("longest", "shortest"), strict=True)
        )
    )
    return f"{place or 'There'}: at noon the sun is {said}."


def no_focal(low_mm: float, high_mm: float) -> str:
    """A focal length that no lens has."""
    return f"Give a focal length from {low_mm:g} to {high_mm:g} mm."


def lens_sees(half_rad: float, zoomed_mm: float | None) -> str:
    """How much a lens sees side to side: as an angle, and at 75 cm. zoomed_mm: of a zoom, at which length."""
    at = f" at {zoomed_mm:g} mm" if zoomed_mm is not None else ""
    wide = f"{math.degrees(2 * half_rad):.0f}°"
    return f"Your lens{at} sees {wide} side to side: {150 * math.tan(half_rad):.0f} cm of the table from 75 cm away."
