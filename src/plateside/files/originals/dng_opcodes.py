"""What a DNG carries of its lens: the lists of opcodes, as they stand in the file, and the size they speak of.

Adobe, *Digital Negative Specification* 1.7: OpcodeList2 (51009), of the sensor's mosaic; OpcodeList3 (51022), of the
picture after it; ActiveArea (50829). Both lists are big-endian whatever the file is.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from plateside.files.originals.tiff_directories import directories
from plateside.files.originals.unreadable import unread

MOST_BYTES = 8 << 20
"""Of one list: a gain map for each photosite of a mosaic's cell has some 10 kB."""
_WIDTH, _HEIGHT, _ACTIVE, _PATTERN = 256, 257, 50829, 33422
_LISTS = {51009: "mosaic", 51022: "picture"}


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

    corner: tuple[int, int] = (0, 0)
    """column and row of the sensor at which the active area begins"""

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
    for directory in directories(file):
        if not directory.of_a_sensor:
            continue
        lists = {name: directory.data(tag, MOST_BYTES) for tag, name in _LISTS.items()}
        # four bytes say that no opcode follows
        lists = {name: data if len(data) > 4 else b"" for name, data in lists.items()}
        width, height, area = (directory.numbers(tag) for tag in (_WIDTH, _HEIGHT, _ACTIVE))
        if not any(lists.values()) or not width or not height:
            continue
        size, corner = (width[0], height[0]), (0, 0)
        if len(area) == 4 and 0 <= area[0] < area[2] <= height[0] and 0 <= area[1] < area[3] <= width[0]:
            size, corner = (area[3] - area[1], area[2] - area[0]), (area[1], area[0])
        cell = tuple(directory.data(_PATTERN, MOST_BYTES))
        pattern = cell if len(cell) == 4 and max(cell) < 3 else ()
        return LensOpcodes(lists["mosaic"], lists["picture"], size, pattern, corner)
    return None
