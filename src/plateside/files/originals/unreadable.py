"""A file in the frames folder that cannot be used, as a fact: its name, a code, one sentence.

Every fault of a file, wherever it is found, becomes one of these here. The codes:

    empty         no byte in it
    incomplete    it stops before its end
    other kind    a kind that is not read, or not what its name says
    damaged       it cannot be decoded
    too large     more pixels than are taken
    too small     too few pixels for a photograph
    too slow      built so that it takes minutes to open
    ends          it ended, or held, the process that opened it
    no permission, unread   the system refuses it; the disk or the card cannot read it
    gone          it is no longer there (nobody needs to hear that)
    link          it points to nothing, in a circle, or out of the folder
    no file       a pipe, a socket, a device
    name          its name cannot be written down or shown
    copy          its content is there under another name
    unjudged      it was read, but judging it failed
"""

import contextlib
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from plateside.model.errors import CouldNotError, InputError, PlatesideError
from plateside.words.frame_files import said as sentence


@dataclass(frozen=True)
class Unreadable:
    """A file in the frames folder that is not used, and why."""

    name: str
    """Within the frames folder, with forward slashes; what cannot be shown in it is spelled out."""
    reason: str
    """One sentence."""
    code: str = ""


def fault(code: str, words: str) -> InputError:
    """An error to raise for a file that cannot be used."""
    error = InputError(words)
    error.code = code
    return error


def unread(name: str, error: OSError) -> CouldNotError:
    """What the system said when the file was to be opened or read."""
    name = shown(name)
    found = CouldNotError(sentence("unread", name=name, why=error.strerror or error))
    found.code = (
        "gone" if isinstance(error, FileNotFoundError)
        else "no permission" if isinstance(error, PermissionError) else "unread"
    )  # fmt: skip
    return found


def unreadable(name: str, error: Exception) -> Unreadable:
    """The fact that an error leaves behind."""
    if isinstance(error, OSError):
        error = unread(name.rsplit("/", 1)[-1], error)
    if isinstance(error, PlatesideError):
        return Unreadable(shown(name), str(error), error.code or "damaged")
    words = sentence("unjudged", name=shown(name), why=type(error).__name__)
    return Unreadable(shown(name), words, "unjudged")


@contextlib.contextmanager
def faults_in_words(name: str) -> Iterator[None]:
    """Whatever a reader of somebody else's format raises becomes one of our errors, in words.

    Readers of damaged files raise nearly anything: struct.error, ValueError, MemoryError, RecursionError, their own.
    """
    try:
        yield
    except PlatesideError:
        raise
    except OSError as error:
        # a decoder's own complaints are OSErrors as well, but bear no number
        if error.errno is not None:
            raise unread(name, error) from error
        raise _damaged(name, error) from error
    except Exception as error:
        raise _damaged(name, error) from error


def _damaged(name: str, error: Exception) -> InputError:
    said = " ".join(str(error).split())[:120] or type(error).__name__
    return fault("damaged", sentence("damaged", name=shown(name), why=said))


_BIDI = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_HIDDEN = frozenset({"Cc", "Cs", "Zl", "Zp"})


def shown(name: str) -> str:
    """A name as it may be shown and written down: what would move the cursor or turn the line is spelled out."""
    if name.isascii() and name.isprintable():
        return name
    return "".join(_spelled(c) if _cannot_be_shown(c) else c for c in name)


def can_be_shown(name: str) -> bool:
    """Whether a name is UTF-8 without control characters, line breaks or marks that turn the reading direction."""
    return (name.isascii() and name.isprintable()) or not any(_cannot_be_shown(c) for c in name)


def _cannot_be_shown(character: str) -> bool:
    return character in _BIDI or unicodedata.category(character) in _HIDDEN


def _spelled(character: str) -> str:
    number = ord(character)
    if 0xDC80 <= number <= 0xDCFF:  # a byte that is no UTF-8, as Python hands it over (PEP 383)
        return f"\\x{number - 0xDC00:02x}"
    return f"\\x{number:02x}" if number < 0x100 else f"\\u{number:04x}"


def stem_key(path: Path) -> tuple[str, str]:
    """What a raw and its JPEG share: folder, and name without ending, whatever its case and Unicode spelling."""
    return str(path.parent), unicodedata.normalize("NFC", path.stem).casefold()
