"""A retouched file that comes back: of which finished picture it is, by its name and by what its XMP still says.

Every finished file carries a mark of its frame and of all it was made from as xmpMM:OriginalDocumentID, which a program
that saves under another name leaves as it was (ISO 16684-1; XMP specification, part 2, 1.2.2.3).
"""

import re
import unicodedata
from collections.abc import Collection
from dataclasses import dataclass

ENDINGS = frozenset({".tif", ".tiff", ".png", ".jpg", ".jpeg"})
"""What a retouched file may be."""
_DIGITS = 16
_MARK = re.compile(rb"plateside:picture:([0-9a-f]{16}):([0-9a-f]{16})")
_ADDED = re.compile(
    r"-+(edit|edits|edited|editing|retouch|retouched|retouching|ret|copy|final|finished|done|new|flat|flattened"
    r"|v\d{1,3}|edit\d{1,3}|\d{1,3})$"
)
"""What programs and people add to a name; common practice, no source."""
_COPY_OF = re.compile(r"^(copy-of|edited|edit|retouched)-+")
_ALREADY_ASIDE = re.compile(r"-by-hand-\d+$", re.IGNORECASE)


@dataclass(frozen=True)
class Mark:
    """What a file's XMP says of the finished picture that it began as."""

    frame: str
    """first digits of the frame's id"""
    made_from: str
    """first digits of the key of all the picture was made from"""


def mark_of(frame: str, made_from: str) -> str:
    """The mark of a finished picture: `frame` its frame's id, `made_from` the key of all it was made from."""
    return f"plateside:picture:{frame[:_DIGITS]:0>{_DIGITS}}:{made_from[:_DIGITS]:0>{_DIGITS}}"


def marks_in(xmp: bytes) -> tuple[Mark, ...]:
    """Every mark in a packet, whatever form it is written in."""
    found = dict.fromkeys(_MARK.findall(xmp))
    return tuple(Mark(frame.decode(), made.decode()) for frame, made in found)


def is_of_frame(mark: Mark, frame: str) -> bool:
    """Whether a mark speaks of this frame."""
    return bool(frame) and frame[:_DIGITS] == mark.frame


def is_made_from(one: str, other: str) -> bool:
    """Whether two keys, each whole or its first digits, are of one state of a picture."""
    return bool(one) and one[:_DIGITS] == other[:_DIGITS]


def picture_named(stem: str, names: Collection[str]) -> str:
    """The picture that a file's name (without its ending) speaks of; empty: none.

    The name itself first, then without what was added to it, one part after another: 'cup-2' is the picture cup-2 when
    there is one, else a second version of cup.
    """
    by_plain = {_plain(name): name for name in names}
    rest = _plain(stem)
    while rest:
        if rest in by_plain:
            return by_plain[rest]
        shorter = _ADDED.sub("", rest)
        if shorter == rest:
            shorter = _COPY_OF.sub("", rest)
        if shorter == rest:
            return ""
        rest = shorter
    return ""


def is_set_aside(stem: str) -> bool:
    """Whether a file is one that was kept under this name because another select took its place."""
    return bool(_ALREADY_ASIDE.search(stem))


def _plain(name: str) -> str:
    """Lower case, one form for every letter, a hyphen for whatever stands between words."""
    text = unicodedata.normalize("NFC", name).casefold()
    return re.sub(r"[\s_.()\[\]-]+", "-", text).strip("-")
