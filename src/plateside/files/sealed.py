"""Files that only save time, written with a seal, so that a single flipped bit is found before anybody leans on it.

The seal is one line after the content: readers of pictures stop before it. What is damaged is noted and counts as not
there: it is made again.
"""

import hashlib
import json
from pathlib import Path
from typing import Any

from plateside.files import damage
from plateside.files.atomic import write_bytes
from plateside.files.json_text import read_json, whole_bytes
from plateside.words.files import KEPT_COPY

_MARK = b"\n#sealed "
_HEX = 32
_LENGTH = len(_MARK) + _HEX + 1


def sealed(data: bytes) -> bytes:
    """The content with its seal."""
    return data + _MARK + digest(data).encode() + b"\n"


def unsealed(data: bytes) -> bytes | None:
    """The content without its seal; None when the seal is not there or does not fit."""
    content, seal = data[:-_LENGTH], data[-_LENGTH:]
    return content if len(data) >= _LENGTH and seal == sealed(content)[-_LENGTH:] else None


def digest(data: bytes) -> str:
    """32 hexadecimal digits (BLAKE2b, RFC 7693) that change with any bit."""
    return hashlib.blake2b(data, digest_size=_HEX // 2).hexdigest()


def write_sealed(path: Path, data: bytes) -> None:
    """Write content with its seal, whole or not at all. Raises CouldNotError with the mend."""
    write_bytes(path, sealed(data))


def read_sealed(path: Path, what: str) -> bytes | None:
    """The content; None when it is not there. A damaged file is noted (as `what`), and None as well."""
    try:
        content = unsealed(whole_bytes(path))
    except FileNotFoundError:
        return None
    except (OSError, ValueError):
        content = None
    if content is None:
        damage.made_again(path, what)
    return content


def write_sealed_json(path: Path, value: Any) -> None:
    """Write a value as sealed JSON. Raises CouldNotError; ValueError for what JSON has no word for."""
    write_sealed(path, json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode())


def read_sealed_json(path: Path, what: str) -> Any:
    """The value; None when the file is not there, or damaged (which is noted)."""
    content = read_sealed(path, what)
    if content is None:
        return None
    try:
        return read_json(content)
    except ValueError:  # sealed by hand
        damage.made_again(path, what)
        return None


def picture_or_none(path: Path) -> bytes | None:
    """A kept JPEG's bytes; None when it is not there, or damaged: then it is noted and taken away to be made again."""
    try:
        data = whole_bytes(path)
    except FileNotFoundError:
        return None
    except (OSError, ValueError):
        data = b""
    content = unsealed(data)
    if (
        content is None
        and _MARK not in data[-_LENGTH:]
        and data[:2] == b"\xff\xd8"
        and data[-2:] == b"\xff\xd9"
    ):
        content = data  # put there by somebody else
    if content is None:
        damage.made_again(path, KEPT_COPY)
        try:
            path.unlink()
        except OSError:
            return None
    return content
