"""The directories of a TIFF (Adobe, *TIFF Revision 6.0*), sub-directories with them, as a DNG has them.

Only directories and the tags that are asked for are read, a few kilobytes; what points out of the file, or into itself,
is passed over.
"""

import contextlib
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

_MOST_DIRECTORIES, _MOST_TAGS = 32, 1024
_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4}
_PHOTOMETRIC, _BELOW, _DNG_VERSION = 262, 330, 50706
_OF_A_SENSOR = (32803, 34892)
"""Colour filter array, linear raw."""
_TO_LOOK_AT = (0, 1, 2, 3, 5, 6, 8)
"""Grey, RGB, palette, CMYK, YCbCr, CIELAB."""


@dataclass(frozen=True)
class Directory:
    """One directory of an open file."""

    file: BinaryIO
    order: str
    """Of bytes, as `struct` says it."""
    entries: dict[int, tuple[int, int, bytes]]
    """By tag: type, count, the four bytes that are the value or point at it."""

    @property
    def of_a_sensor(self) -> bool:
        """Whether its picture is a raw."""
        return any(kind in _OF_A_SENSOR for kind in self.numbers(_PHOTOMETRIC)[:1])

    def numbers(self, tag: int) -> list[int]:
        """Whole numbers (SHORT, LONG, IFD); empty: none."""
        return [int(v) for v in self._unpacked(tag, {3: "H", 4: "I", 13: "I"})]

    def doubles(self, tag: int) -> list[float]:
        """Numbers in double precision (DOUBLE); empty: none."""
        return self._unpacked(tag, {12: "d"})

    def data(self, tag: int, most: int) -> bytes:
        """Bytes (BYTE, UNDEFINED), at most so many; cut short by the end of the file, they come as far as they go."""
        kind, count, value = self.entries.get(tag, (0, 0, b""))
        if kind not in (1, 7):
            return b""
        return value[:count] if count <= 4 else self._at(value, min(count, most))

    def _unpacked(self, tag: int, codes: dict[int, str]) -> list[float]:
        kind, count, value = self.entries.get(tag, (0, 0, b""))
        if kind not in codes or not 0 < count <= _MOST_DIRECTORIES:
            return []
        length = _SIZES[kind] * count
        data = value[:length] if length <= 4 else self._at(value, length)
        return list(struct.unpack(f"{self.order}{count}{codes[kind]}", data)) if len(data) == length else []

    def _at(self, value: bytes, length: int) -> bytes:
        self.file.seek(struct.unpack(self.order + "I", value)[0])
        return self.file.read(length)


def directories(file: BinaryIO) -> Iterator[Directory]:
    """All of them, from the first on; none where the file is no TIFF."""
    file.seek(0)
    head = file.read(8)
    order = {b"II*\0": "<", b"MM\0*": ">"}.get(head[:4], "")
    todo, seen = [struct.unpack(order + "I", head[4:])[0]] if order and len(head) == 8 else [], set[int]()
    while todo and len(seen) < _MOST_DIRECTORIES:
        at = todo.pop(0)
        if at in seen or at < 8:
            continue
        seen.add(at)
        file.seek(at)
        count = file.read(2)
        if len(count) < 2:
            continue
        rows = file.read(12 * min(struct.unpack(order + "H", count)[0], _MOST_TAGS))
        entries: dict[int, tuple[int, int, bytes]] = {}
        for place in range(0, len(rows) - 11, 12):
            tag, kind, values = struct.unpack(order + "HHI", rows[place : place + 8])
            entries.setdefault(tag, (kind, values, rows[place + 8 : place + 12]))
        following = file.read(4)
        directory = Directory(file, order, entries)
        yield directory
        todo += directory.numbers(_BELOW)
        todo += [struct.unpack(order + "I", following)[0]] if len(following) == 4 else []


def is_picture(path: Path) -> bool:
    """Whether a file is a TIFF to look at and no raw: by its first directory, and none of a sensor."""
    with contextlib.suppress(OSError), path.open("rb") as file:
        found = list(directories(file))
        if found and _DNG_VERSION not in found[0].entries and not any(one.of_a_sensor for one in found):
            return any(kind in _TO_LOOK_AT for kind in found[0].numbers(_PHOTOMETRIC)[:1])
    return False
