"""A command as it can be copied and typed, and what its help says."""

import re
import shlex
from collections.abc import Mapping, Sequence

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
IN_TURN = "Another finish of this shoot is running. This one begins when it ends. Ctrl-C stops the wait."


def does_not_fit(given: Sequence[str]) -> str:
    return f"{' '.join(given)!r} does not fit here. The lines above show what does."


def not_a_number(text: str) -> str:
    return f"{text!r} is not a number: write one, such as 400 or 0.5"


def not_whole(text: str) -> str:
    return f"{text!r} is not a whole number: write one, such as 3"


SHOOT_ARGUMENT = "the shoot's folder"
SHOOT_OR_HERE = "the shoot's folder (default: here)"
LIGHT_HELP = "find out when your window gives good light: at a moment, over a day, a week or a year"
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
    "--camera-faces": "which way the camera looks, in degrees clockwise from facing the front wall: at 90 the window "
    "is on its left",
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
    "--bearing": "find which way a window faces, from when you saw the sun: TIME left|right as it grazed the wall, "
    "or TIME top-left ALONG FROM_WALL [HIGH] for a corner of its patch",
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
NEW_HELP = "write a starter studio.toml and shoot.toml for your own room, with comments"
NEW_FLAGS: Mapping[str, str] = {
    "folder": "the shoot's folder, made where there is none (default: here)",
    "--city": 'your city, in any language; "Richmond, Virginia" to tell it apart (place names: GeoNames, CC BY 4.0)',
    "--country": "the city's country, by name or two letters",
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
    "--f-number": "the lens's widest aperture, such as 1.8",
    "--floor": "the floor you are on: 0 is the ground floor",
    "--outside": "what you see from the window: open (sky), street (houses across it), near (a wall close by), trees",
    "--second-focal": "focal length of a second lens [mm]",
    "--second-f-number": "its widest aperture",
    "--kind": "the shape that stands in for the dish (default: by the dish's name)",
    "--dish": "what you are going to photograph",
    "--creator": "your name, as it goes under the pictures",
    "--date": "the day of the shoot, such as 2027-07-15 (default: next Saturday)",
    "--studio": "use this studio.toml, and write a shoot.toml only",
    "--force": "replace files that are there",
}
PLAN_HELP = "plan the day: good light and a set-up for every shot, and when to cook for it"
PLAN_FLAGS: Mapping[str, str] = {
    "--out": "write the call sheet (a page, and a PDF to print) and a shot sheet for each shot into this folder",
    "--lux": "measured light facing the camera, in lux (used instead of the forecast)",
}
SETUP_HELP = "find where the camera goes for a shot, its settings, and what each costs you"
SETUP_FLAGS: Mapping[str, str] = {
    "shot": "the shot's name (default: all of them)",
    "--at": "local time instead of the planned hour",
    "--lux": PLAN_FLAGS["--lux"],
}
PICTURE_HELP = "render the planned picture of a shot: light, blur and exposure on a stand-in dish"
PICTURE_FLAGS: Mapping[str, str] = {
    "shot": "the shot's name",
    "--at": SETUP_FLAGS["--at"],
    "--what-if": "several pictures on one sheet: with other boards, hours or apertures",
    "--out": "write it into this folder (default: SHOOT/pictures)",
    "--size": "largest width and height in pixels, such as 480x320",
    "--quality": "rough is ready in a moment, clean is good enough to judge by, fine is for a page (default: clean)",
    "--clipped": "hatch what clips",
}
SHOT_HELP = "name the shot you are taking, put frames with a shot, or take back your last decision"
SHOT_FLAGS: Mapping[str, str] = {
    "shot": "the shot's name (left out: show where the shoot is)",
    "--frames": "frames of this shot",
    "--lamp-off": "check for a lamp in the picture: take the shot's next frame with the lamps off",
    "--grey-card": "where your grey card is in this frame: across and down from the upper left, as shares of the "
    "picture (0.62,0.40)",
    "--next": "go on to the next shot of the day's plan",
    "--undo": "take back your last decision",
}
WATCH_HELP = "judge each frame as it comes in, in letters large enough to read from the set"
WATCH_FLAGS: Mapping[str, str] = {
    "--once": "judge what is there and what is coming in, then stop",
    "--quiet": "no sound",
    "--plain": "one line for each frame instead of large letters",
    "--second-disk": 'copy each original to this folder on a second disk as it lands ("" to end that)',
    "--memory-card": 'take the photographs of the memory card in this folder ("" to end that)',
}
JUDGE_HELP = "judge frames: good, adjust or again, with the one thing to change"
JUDGE_FLAGS: Mapping[str, str] = {
    "frames": "the shoot's folder (default: here), then frames by name (default: all of them)",
    "--layer": "keep the named frame as a layer of its shot's scene",
    "--layers": "show the layers you kept of this shot",
    "--out": "with --layers: write the newest layer beside an earlier one here, with what changed outlined",
    "--beside": "with --out: which earlier layer (default: the one before)",
    "--dry": "judge only: write nothing to the journal",
}
CHOOSE_HELP = "choose a select and an alternate for each shot, with reasons; your own choice always wins"
CHOOSE_FLAGS: Mapping[str, str] = {
    "--select": "your own select of a shot",
    "--alternate": "your own alternate of a shot",
    "--test-frame": "the test frame of a shot: its later frames are compared with it",
    "--keep": "a frame to keep",
    "--again": "a frame to take again",
    "--best": "your own best frame of a burst",
}
FINISH_HELP = "develop your selects, and match exposure and white balance across the series"
FINISH_FLAGS: Mapping[str, str] = {
    "--kind": "tiff is 16 bits a colour, jpeg 8 (default: tiff)",
    "--match-to": "match the series to this shot",
    "--grey": "where that shot's select shows your grey card: left, top, width and height as shares of the picture",
    "--accept": "keep this shot's picture as taken though it is not matched; may be given again for other shots",
    "--every-shoot": "finish every shoot in this folder and up to two folders below, several at once",
    "--cluster": "with --every-shoot: let a running Dask cluster do it (HOST:PORT here, tls://HOST:PORT elsewhere)",
    "--cluster-keys": "folder with ca.pem, cert.pem and key.pem for tls://",
    "--extra": "finish this frame as well as its shot's select; may be given again for other frames",
    "--no-extra": "no longer finish this frame beside its shot's select",
    "--chart": "this raw shows a colour chart of 24 patches: make the series' colours by it; none takes it back",
    "--corners": "the chart's corners as x,y shares: brown, end of its row, black, white (default: it is looked for)",
    "--lens": "correct the lenses, by the raws themselves or by profiles: on (default), off, or the profile to use "
    "where several fit",
    "--for": "set the next six for this shot only (default: the whole series)",
    "--brighter": "set by hand: brighter, negative darker, up to 3 stops; 0 takes it back",
    "--warmer": "set by hand: warmer, negative cooler, up to 80 mired; 0 takes it back",
    "--magenta": "set by hand: more magenta, negative greener, up to 30 CC; 0 takes it back",
    "--straighten": "set by hand: turned clockwise, negative the other way, up to 15 degrees; 0 takes it back",
    "--square": "make something flat in that shot's frame square to the picture: its four corners as x,y shares, card "
    "(the set card), or none; needs --for",
    "--shape": "with --square: the rectangle's width and height, such as 3:2 (default: told by its perspective)",
}
DELIVER_HELP = (
    "crop and size the finished pictures for your channels, with alt texts, rights and the recipe page"
)
PACK_HELP = "pack the delivery to hand over, or the whole shoot to keep, with checksums"
PACK_FLAGS: Mapping[str, str] = {
    "--archive": "pack the whole shoot, to keep: originals, settings, journal and pictures",
    "--channel": "pack only this channel's pictures, for one client",
    "--to": "write the package into this folder (default: SHOOT/packages)",
}
VERIFY_HELP = "check a package or a delivery: every file there, and none changed"
VERIFY_FLAGS: Mapping[str, str] = {"folder": "a package, a delivery folder, or a shoot"}
CHECK_HELP = "read studio.toml and shoot.toml, and show every mistake at once"
CHECK_FLAGS: Mapping[str, str] = {
    "folder": "the shoot's folder, or a studio.toml (default: here)",
    "--fields": "show instead what every line of both files means; or one table or field, such as windows or sill_m",
}
