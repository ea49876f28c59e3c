"""ISO base-media boxes (ISO/IEC 14496-12, 4.2) of a HEIF picture (ISO/IEC 23008-12) or a CR3 raw: how far they reach.

What is needed is read, nothing is decoded; every length is held against the file's before it is believed.
"""

import struct
from collections.abc import Iterator
from typing import BinaryIO

_MOST_BOXES = 4096
_MOST_META = 1 << 22
"""Of a box that is read into memory [bytes]; a phone's has some kilobytes, a larger one is not looked into."""


def end_of_boxes(file: BinaryIO, size: int, needs: frozenset[bytes]) -> int:
    """The last byte that the file needs to be whole: `size` or less when it is there, more when it is not.

    needs   names of the boxes without which it is not whole
    """
    at, box_names, last = 0, set[bytes](), 0
    for _ in range(_MOST_BOXES):
        if at >= size:
            break
        file.seek(at)
        head = file.read(16)
        if len(head) < 8:
            return size + 1
        length, name = struct.unpack(">I4s", head[:8])
        skip = 8
        if length == 1:
            if len(head) < 16:
                return size + 1
            length, skip = int(struct.unpack(">Q", head[8:])[0]), 16
        elif length == 0:
            length = size - at  # to the end of the file
        if name == b"\0\0\0\0" or length < skip:
            return (
                size + 1 if needs - box_names else max(last, at)
            )  # room that was kept free, or no box at all
        if name == b"meta" and at + length <= size and length <= _MOST_META:
            file.seek(at + skip)
            last = max(last, _end_of_items(file.read(length - skip), size))
        box_names.add(name)
        at += length
    return size + 1 if needs - box_names else max(last, at)


def _inside(data: bytes, start: int, end: int) -> Iterator[tuple[bytes, int, int]]:
    """Name, start and end of the content of each box in a stretch of bytes."""
    for _ in range(_MOST_BOXES):
        if start + 8 > end:
            return
        length, name = struct.unpack_from(">I4s", data, start)
        if length < 8 or start + length > end:
            return
        yield name, start + 8, start + length
        start += length


def _end_of_items(meta: bytes, size: int) -> int:
    """The last byte of the items' data that an `iloc` box places in the file (14496-12, 8.11.3)."""
    for name, start, end in _inside(meta, 4, len(meta)):
        if name == b"iloc":
            try:
                return _end_of_iloc(meta[start:end])
            except (struct.error, IndexError):
                return size + 1
    return 0


def _end_of_iloc(box: bytes) -> int:
    version, sizes, more = box[0], box[4], box[5]
    offset_size, length_size, base_size = sizes >> 4, sizes & 15, more >> 4
    index_size = more & 15 if version in (1, 2) else 0
    at, last = 6, 0

    def number(width: int) -> int:
        nonlocal at
        if width == 0:
            return 0
        if width not in (2, 4, 8) or at + width > len(box):
            raise struct.error("iloc")
        at += width
        return int.from_bytes(box[at - width : at], "big")

    for _ in range(number(4 if version == 2 else 2)):
        number(4 if version == 2 else 2)  # the item's number
        in_file = version == 0 or number(2) & 15 == 0
        number(2)  # data reference
        base = number(base_size)
        extents = number(2)
        if extents * (index_size + offset_size + length_size) > len(box):
            raise struct.error("iloc")
        for _ in range(extents):
            number(index_size)
            if not index_size + offset_size + length_size:
                break  # nothing is said of any of them
            start, length = number(offset_size), number(length_size)
            if in_file:
                last = max(last, base + start + length)
    return last
