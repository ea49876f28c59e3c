"""What a DNG carries of its lens: the lists of opcodes, as they stand in the file, and the size they speak of.

Adobe, *Digital Negative Specification* 1.7: OpcodeList2 (51009), of the sensor's mosaic; OpcodeList3 (51022), of the
picture after it; ActiveArea (50829). Both lists are big-endian whatever the file is. Only directories and these tags
are read, a few kilobytes; what points out of the file, or into itself, is passed over.
"""

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from plateside.files.originals.unreadable import unread

MOST_BYTES = 8 << 20
"""Of one list: a gain map for each photosite of a mosaic's cell has some 10 kB."""
_MOST_DIRECTORIES, _MOST_TAGS = 32, 1024
_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4}
_WIDTH, _HEIGHT, _PHOTOMETRIC, _BELOW, _ACTIVE, _PATTERN = 256, 257, 262, 330, 50829, 33422
_LISTS = {51009: "mosaic", 51022: "picture"}
_OF_A_SENSOR = (32803, 34892)
"""Colour filter array, linear raw."""


@dataclass(frozen=True)
class LensOpcodes:
    """The lists of one file."""

    mosaic: bytes
    """OpcodeList2; empty: none"""
    picture: bytes
    """OpcodeList3"""
    size: tuple[int, int]
    """width and height of the active area, as the sensor lies [px]"""
    pattern: tuple[int, ...]
    """red 0, green 1, blue 2 of a cell of 2 x 2, row by row, from the active area's corner on; empty: no mosaic"""

    @property
    def any(self) -> bool:
        """Whether there is a list."""
        return bool(self.mosaic or self.picture)


def lens_opcodes(path: Path) -> LensOpcodes | None:
    """The lists of a DNG; None: it has none, or is no DNG. Raises CouldNotError when the file cannot be opened."""
    try:
        with path.open("rb") as file:
            return _read(file)
    except OSError as error:
        raise unread(path.name, error) from error


def _read(file: BinaryIO) -> LensOpcodes | None:
    head = file.read(8)
    order = {b"II*\0": "<", b"MM\0*": ">"}.get(head[:4], "")
    if not order or len(head) < 8:
        return None
    for tags in _directories(file, order, struct.unpack(order + "I", head[4:])[0]):
        photometric = _numbers(file, order, tags.get(_PHOTOMETRIC))
        if not photometric or photometric[0] not in _OF_A_SENSOR:
            continue
        lists = {name: _bytes(file, order, tags.get(code)) for code, name in _LISTS.items()}
        width, height = (_numbers(file, order, tags.get(code)) for code in (_WIDTH, _HEIGHT))
        area = _numbers(file, order, tags.get(_ACTIVE))
        if not any(lists.values()) or not width or not height:
            continue
        size = (width[0], height[0])
        if len(area) == 4 and 0 <= area[0] < area[2] <= height[0] and 0 <= area[1] < area[3] <= width[0]:
            size = (area[3] - area[1], area[2] - area[0])
        kind, count, cell = tags.get(_PATTERN, (0, 0, b""))
        pattern = tuple(cell) if kind in (1, 7) and count == 4 and max(cell) < 3 else ()
        return LensOpcodes(lists["mosaic"], lists["picture"], size, pattern)
    return None


_Entry = tuple[int, int, bytes]
"""Type, count, the four bytes that are the value or point at it."""


def _directories(file: BinaryIO, order: str, first: int) -> Iterator[dict[int, _Entry]]:
    todo, seen = [first], set[int]()
    while todo and len(seen) < _MOST_DIRECTORIES:
        at = todo.pop(0)
        if at in seen or at < 8:
            continue
        seen.add(at)
        file.seek(at)
        count = file.read(2)
        if len(count) < 2:
            continue
        entries = file.read(12 * min(struct.unpack(order + "H", count)[0], _MOST_TAGS))
        tags: dict[int, _Entry] = {}
        for place in range(0, len(entries) - 11, 12):
            code, kind, values = struct.unpack(order + "HHI", entries[place : place + 8])
            tags.setdefault(code, (kind, values, entries[place + 8 : place + 12]))
        following = file.read(4)
        yield tags
        todo += _numbers(file, order, tags.get(_BELOW))
        todo += [struct.unpack(order + "I", following)[0]] if len(following) == 4 else []


def _numbers(file: BinaryIO, order: str, entry: _Entry | None) -> list[int]:
    if entry is None or entry[0] not in (3, 4, 13) or not 0 < entry[1] <= _MOST_DIRECTORIES:
        return []
    kind, count, value = entry
    length = _SIZES[kind] * count
    data = value[:length] if length <= 4 else _at(file, struct.unpack(order + "I", value)[0], length)
    code = "H" if kind == 3 else "I"
    return list(struct.unpack(f"{order}{count}{code}", data)) if len(data) == length else []


def _bytes(file: BinaryIO, order: str, entry: _Entry | None) -> bytes:
    """A list of opcodes; cut short by the end of the file, it comes as far as it goes."""
    if entry is None or entry[0] not in (1, 7) or entry[1] <= 4:
        return b""
    return _at(file, struct.unpack(order + "I", entry[2])[0], min(entry[1], MOST_BYTES))


def _at(file: BinaryIO, place: int, length: int) -> bytes:
    file.seek(place)
    return file.read(length)
