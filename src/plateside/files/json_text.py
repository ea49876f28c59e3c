"""JSON from a disk or a wire that may be damaged: read, or refused by one kind of error.

The standard reader takes more than JSON is (RFC 8259): NaN and Infinity, lone halves of a surrogate pair, which no
file, terminal or page can be written with afterwards. And it fails in more ways than one: too deep, too many digits.
"""

import json
import math
import re
from pathlib import Path
from typing import Any, NoReturn

LARGEST_BYTES = 256 * 1024 * 1024
_SURROGATE = re.compile(rb"\\u[dD][89a-fA-F]")


def read_json(data: bytes | str, *, quick: bool = False) -> Any:
    """The value in a JSON text, any byte order mark passed over. Raises ValueError for whatever is no sound JSON.

    quick  several times faster for long texts, and 1e999 becomes infinite: whoever asks for this checks every number
    """
    raw = data.encode("utf-8") if isinstance(data, str) else data
    try:
        text = raw.decode("utf-8-sig")
        value = json.loads(text, parse_constant=_refused, parse_float=None if quick else _finite)
        if _SURROGATE.search(raw):
            json.dumps(value, ensure_ascii=False).encode("utf-8")  # half a letter cannot be written
    except RecursionError:
        raise ValueError("nested too deep") from None
    return value


def read_json_file(path: Path) -> Any:
    """The value in a JSON file. Raises OSError when it cannot be read, ValueError when it is no sound JSON."""
    return read_json(whole_bytes(path))


def whole_bytes(path: Path, largest: int = LARGEST_BYTES) -> bytes:
    """A regular file's content. Raises OSError; ValueError for what is no file, or larger than any of ours."""
    size = path.stat().st_size
    if not path.is_file():
        raise ValueError("not a file")
    if size > largest:
        raise ValueError(f"{size / 1e6:.0f} MB")
    return path.read_bytes()


def _refused(word: str) -> NoReturn:
    raise ValueError(f"{word}")


def _finite(digits: str) -> float:
    value = float(digits)
    if math.isinf(value):
        raise ValueError(f"{digits[:20]}")
    return value
