"""Whether a file is there to its end, told without decoding it: a torn card copy, a file still being written.

A JPEG ends with its end-of-image marker (ITU-T T.81, B.1.1.3). A TIFF-like raw (DNG and most makers' own)
states where its strips or tiles lie (TIFF 6.0; DNG 1.4), an ISO base-media raw how long its boxes are
(ISO/IEC 14496-12, 4.2): all must lie within the file.
"""

import struct
from pathlib import Path
from typing import BinaryIO

from plateside.files.originals.kinds import is_jpeg

_TAIL = 1 << 16
_SUB_IFDS = 330
_OFFSETS_AND_LENGTHS = ((273, 279), (324, 325), (513, 514))
_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1, 13: 4}


def why_torn(path: Path) -> str | None:
    """One sentence when the file plainly stops too early, else None (unknown kinds of raw: None)."""
    size = path.stat().st_size
    if size == 0:
        return f"{path.name} is empty (0 bytes); copy it again from the card."
    with path.open("rb") as file:
        head = file.read(16)
        if is_jpeg(path):
            if head[:2] != b"\xff\xd8":
                return (
                    f"{path.name} is not a JPEG, whatever its name says; remove it or give it its right name."
                )
            file.seek(max(0, size - _TAIL))
            torn = b"\xff\xd9" not in file.read()
        elif head[:2] in (b"II", b"MM"):
            torn = _end_of_tiff(file, head[:2], size) > size
        elif head[4:8] == b"ftyp":
            torn = _end_of_boxes(file, size) > size
        else:
            torn = False
    if torn:
        return f"{path.name} stops in the middle ({size:,} bytes); copy it again from the card."
    return None


def _end_of_tiff(file: BinaryIO, order: bytes, size: int) -> int:
    """The last byte that the TIFF structure needs, as far as it can be followed."""
    end = "<" if order == b"II" else ">"
    file.seek(4)
    todo, done, last = [struct.unpack(end + "I", file.read(4))[0]], set[int](), 8
    while todo and len(done) < 64:
        at = todo.pop()
        if at == 0 or at in done:
            continue
        done.add(at)
        if at + 2 > size:
            return size + 1
        file.seek(at)
        count = struct.unpack(end + "H", file.read(2))[0]
        table = file.read(12 * count + 4)
        if len(table) < 12 * count:
            return size + 1
        entries: dict[int, list[int]] = {}
        for i in range(count):
            tag, kind, number = struct.unpack_from(end + "HHI", table, 12 * i)
            if tag == _SUB_IFDS or any(tag in pair for pair in _OFFSETS_AND_LENGTHS):
                values = _whole_numbers(file, end, table[12 * i + 8 : 12 * i + 12], kind, number, size)
                if values is None:
                    return size + 1
                entries[tag] = values
        todo += entries.get(_SUB_IFDS, [])
        if len(table) >= 12 * count + 4:
            todo.append(struct.unpack_from(end + "I", table, 12 * count)[0])
        for offsets, lengths in _OFFSETS_AND_LENGTHS:
            for start, length in zip(entries.get(offsets, []), entries.get(lengths, []), strict=False):
                last = max(last, start + length)
    return last


def _whole_numbers(
    file: BinaryIO, end: str, field: bytes, kind: int, number: int, size: int
) -> list[int] | None:
    width = _SIZES.get(kind, 0)
    if width not in (2, 4) or number > 1_000_000:
        return []
    data = field
    if width * number > 4:
        at = struct.unpack(end + "I", field)[0]
        if at + width * number > size:
            return None
        file.seek(at)
        data = file.read(width * number)
    return list(struct.unpack(f"{end}{number}{'H' if width == 2 else 'I'}", data[: width * number]))


def _end_of_boxes(file: BinaryIO, size: int) -> int:
    at = 0
    while at + 8 <= size:
        file.seek(at)
        length, _ = struct.unpack(">I4s", file.read(8))
        if length == 1:
            length = struct.unpack(">Q", file.read(8))[0]
        if length == 0:
            return size
        at += max(int(length), 8)
    return at
