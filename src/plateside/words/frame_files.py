"""Files in the frames folder, and pictures, that cannot be used: what is wrong with them, and what to do."""

from collections.abc import Mapping
from typing import Any

from plateside.words.figures import filled

SAID: Mapping[str, str] = {
    "empty": "{name} is empty (0 bytes); copy it again from the memory card.",
    "not a JPEG": "{name} is not a JPEG, whatever its name says; remove it or give it its right name.",
    "too large": "{name} is {wide} x {high} pixels; at most {most} megapixels can be used. Export it smaller.",
    "too small": "{name} is {wide} x {high} pixels: too small to be a photograph.",
    "pipe": "{name} is not a file but a pipe, a socket or a device; it is left alone.",
    "name": "{name}: this name cannot be written down as it is; give the file another name.",
    "link to nothing": "{name} is a link to a file that is not there; copy the file itself here.",
    "link out": "{name} is a link to something outside the frames folder; copy the file itself here.",
    "link to a folder": "{name} is a link to a folder; its frames are used from the folder itself.",
    "other kind": "{name} is not read ({kind}); frames are JPEG, HEIC or raw.{hint}",
    "neither by name": "{name} is neither a JPEG nor a raw by its name; frames are JPEG, HEIC or raw.",
    "not a raw": "{name} is not a raw that can be read, or is damaged ({why}); copy it again from the memory card.",
    "no folder": "There is no folder {name}; make it and put the camera's files there.",
    "copy": "{name} is a copy of {other}; it is used once.",
    "unjudged": "{name} could not be judged ({why}); copy it again from the memory card.",
    "unread": "{name} cannot be read ({why}); check the file's permissions and the memory card.",
    "damaged": "{name} is damaged and cannot be decoded ({why}); copy it again from the memory card.",
    "stops": "{name} stops in the middle ({size:,} bytes); copy it again from the memory card.",
    "not its kind": "{name} is not a {wanted} that can be read, whatever its name says{is_a}; remove it or give it its "
    "right name.{hint}",
    "cannot hold": "{name} says that it has {wide} x {high} pixels, which {size:,} bytes cannot hold; copy it again "
    "from the memory card.",
    "too slow": "{name} is built up in more than {most} passes and would take minutes to open; save it again in an "
    "editor.",
    "ends": "{name} has ended Plateside, or held it for minutes, each time it was opened: it is left out. Copy it "
    "again from the memory card.",
    "takes too long": "{name} takes more than {most} s to open. It is left out from now on: run the same command "
    "again.",
    "waiting": "{name} seems to be still copying: {size:,} bytes so far.",
    "no such picture": "There is no such picture.",
    # colours
    "print colours": "{name} is in print colours (CMYK) without a profile: save it as RGB with its profile.",
    "print profile damaged": "{name} is in print colours (CMYK) and its profile is damaged: save it as RGB with its "
    "profile.",
    "high range": "{name} is a high dynamic range picture: save it in sRGB, or another space for displays.",
    "profile damaged": "Its colour profile is damaged: the colours are read as sRGB.",
    "untagged": "It does not say its colour space: the colours are read as sRGB.",
    "from print": "It was in print colours (CMYK), converted to sRGB by its profile.",
    # pictures that Plateside writes
    "no such format": "{kind} is not a picture format here; allowed: {allowed:or}.",
    "encoder refused": "The {kind} encoder refused the picture: {why}.",
    "not read back": "A picture just made cannot be read back: {why}.",
    "not written": "{name} could not be written ({why}). Free some space or choose another folder, then try again.",
    "picture unread": "{name} cannot be read ({why}); make it again with: plateside finish",
    "drawn": "planned picture: drawn, not a photograph",
}


def said(code: str, **facts: Any) -> str:
    """A sentence of the table; `name` is the file's name as it may be shown."""
    return filled(SAID[code], facts)


def unknown_kind(ending: str) -> str:
    """What a file of a kind nobody knows is called: '.xyz file'."""
    return f"{ending} file" if len(ending) > 1 else "file without an ending"


def ending_hint(ending: str) -> str:
    """For a frame whose name has the wrong ending, or none."""
    return f" Give it the ending {ending} if it is a frame." if ending else ""


def picture_hint(kind: str) -> str:
    """For a picture that another program made."""
    return " Save it as a JPEG if it is a frame." if "picture" in kind else ""


def is_a(kind: str) -> str:
    """What a file really is, inside another sentence."""
    return f": it is a {kind}" if kind else ""
