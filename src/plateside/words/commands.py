"""A command as it can be copied and typed, and what its help says."""

import re
import shlex
from collections.abc import Mapping

_PLAIN = re.compile(r"[\w@%+=:,./\\~-]+")
"""What no shell splits or reads as more than itself: letters of any alphabet, and the marks of a path."""


def typed(argument: object) -> str:
    """A folder or file name as an argument: in quotes when a shell would split it.

    Double quotes, which every system's shell knows; a name with a character that is read inside them too is quoted as
    POSIX shells want it (Windows allows no " in a name).
    """
    text = str(argument)
    if _PLAIN.fullmatch(text):
        return text
    return shlex.quote(text) if re.search(r'["$`!]', text) else f'"{text}"'


PROGRAM = "From a room, a window and a recipe to a matched, publishable series of food photographs."
JSON_FLAG = "print one JSON object instead of sentences"
STOPPED = "Stopped. What was finished is kept."


def not_a_number(text: str) -> str:
    return f"{text!r} is not a number: write one, such as 400 or 0.5"


def not_whole(text: str) -> str:
    return f"{text!r} is not a whole number: write one, such as 3"


LIGHT_HELP = "find out when your window gives good light: at a moment, over a day, a week, a year"
LIGHT_GROUPS: Mapping[str, str] = {
    "when": "when (left out: the day of the shoot, or today)",
    "where": "where and how",
    "sky": "sky",
    "needs": "good light",
    "more": "more",
    "learn": "measure the light in your room",
}
LIGHT_FLAGS: Mapping[str, str] = {
    "path": "the shoot's folder, or a studio.toml (default: here)",
    "--at": "a moment, in the studio's local time: 2027-07-15T13:30",
    "--day": "a day: 2027-07-15",
    "--week": "seven days from a date, and the best of them",
    "--year": "a whole year: 2027",
    "--spot": "the table spot (default: the shot's own, or the first)",
    "--shot": "a planned shot: its table spot, camera, boards and fill",
    "--camera-faces": "which way the camera looks, clockwise from straight out of the front wall: 90 has the window "
    "on its left",
    "--camera-elevation": "how high the camera looks from: 0 level, 90 straight down",
    "--sky": "sky to plan for: clear, hazy, broken, overcast, or cie:1 to cie:16",
    "--weather": "a typical year's weather: an EPW or TMY3 file",
    "--forecast": "a forecast: lines of a time and the cloud cover in percent",
    "--no-sun": "skip hours with sun on the dish (default)",
    "--sun-allowed": "keep hours with sun on the dish",
    "--at-least": "minimum light on the table, lux (left out: what your shots need at their settings)",
    "--at-most-ratio": "shadows at most this many stops darker (1 is soft, 3 is hard)",
    "--what-if": "with --at: what a sheer, boards or a nearer table would change, side by side",
    "--pictures": "write the plan, day or year as SVG into this folder",
    "--contour": "draw a line of equal light in the year's picture, at this many lux",
    "--read": "keep a light meter's reading in lux (with --at, --spot, --sky)",
    "--note": "a note to keep with the reading",
    "--card": "keep a reading from a raw of the grey card (with --spot, --sky)",
    "--patch": "with --card: where the grey card is, as shares of the picture (default: its middle fifth)",
    "--card-reflectance": "with --card: your grey card's reflectance (default 0.18)",
    "--fit": "match the studio to its readings and write [fit]",
    "--bearing": "when you saw the sun: TIME left|right when it grazed the wall, or TIME top-left ALONG FROM_WALL "
    "[HIGH] for a corner of its patch",
    "--window": "with --bearing: which window (default: the first)",
    "--keep": "with --bearing: write the bearing to studio.toml",
}
CARD_HELP = "print the set card, or read scale, level and height from a frame that shows it"
CARD_FLAGS: Mapping[str, str] = {
    "shoot": "with --read: the shoot's folder, for its camera",
    "--paper": "A4, Letter or A5 (default A4)",
    "--out": "where to write the PDF",
    "--read": "a frame that shows the set card",
    "--shot": "a planned shot: says what to move to match its set-up",
    "--ruler": "the printed ruler's length as you measured it",
    "--elevation": "how high the camera should look from: 0 level, 90 straight down",
    "--distance": "how far the lens should be from the set card",
}
SERVE_HELP = "open Plateside in your browser, on this computer"
SERVE_FLAGS: Mapping[str, str] = {
    "folder": "a shoot's folder, or the folder with all your shoots",
    "--port": "port to listen on (0: any free one)",
    "--no-browser": "do not open the browser",
    "--tablet-address": "this computer's address in your home network, for a tablet beside the set; nothing on the "
    "way is encrypted",
    "--no-watch": "do not judge frames as they come in",
}
DEMO_HELP = (
    "run the whole job on an invented kitchen and shoot, with rendered frames, and write a page about it"
)
DEMO_FLAGS: Mapping[str, str] = {"folder": "where to write (default: demo-out)"}
NEW_HELP = "write a commented starter studio.toml and shoot.toml for your own room"
NEW_FLAGS: Mapping[str, str] = {
    "folder": "where to write (default: here)",
    "--city": 'your city, in any language; "Richmond, Virginia" to tell it apart (place names: GeoNames, CC BY 4.0)',
    "--country": "its country, by name or two letters",
    "--at": "latitude and longitude instead of a city, such as 38.72,-9.14",
    "--timezone": "time zone for --at, such as Europe/Lisbon",
    "--facing": "the way the main window faces: north, SSW, or degrees from true north",
    "--window": "width x height of the window opening, such as 1.2x1.2 [m]",
    "--sill": "height of the sill above the floor [m]",
    "--from-window": "from the window wall to the middle of the table [m]",
    "--room": "the room along the window wall x away from it (x height), such as 4.2x3.1x2.5 or 4x3 [m]",
    "--sensor": "aps-c, full-frame, four-thirds, one-inch, or width x height in mm",
    "--pixels": "your camera's largest picture, such as 6000x4000",
    "--megapixels": "the same in megapixels, such as 24",
    "--focal": "focal length of your lens [mm]",
    "--f-number": "its widest aperture, such as 1.8",
    "--dish": "what you are going to photograph",
    "--creator": "your name, as it goes under the pictures",
    "--date": "the day of the shoot, such as 2027-07-15 (default: next Saturday)",
    "--studio": "use this studio.toml, and write a shoot.toml only",
    "--force": "replace files that are there",
}
CHECK_HELP = "read studio.toml and shoot.toml, and show everything that is wrong at once"
CHECK_FLAGS: Mapping[str, str] = {
    "folder": "the shoot's folder, or a studio.toml (default: here)",
    "--fields": "show instead what every line of both files means; or one table or field, such as windows or sill_m",
}
