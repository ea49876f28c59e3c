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
