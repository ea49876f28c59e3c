"""Whether a file is there to its end, told without decoding it: a torn card copy, a file still being written.

A JPEG is walked to its own end marker (`jpeg_walk`), HEIF and CR3 by their boxes (`boxes`). A TIFF-like raw (DNG and
most makers' own) states where its strips or tiles lie (TIFF 6.0; DNG 1.4), a RAF where its three parts lie: all must
lie within the file. Some programs copy into a file of full size that is still empty behind: that is not whole either.
"""

import os
import struct
from pathlib import Path
from typing import BinaryIO

from plateside.files.originals.isobmff import end_of_boxes
from plateside.files.originals.jpeg_walk import MOST_PX_A_BYTE, walk
from plateside.files.originals.jpegs import check_passes, check_pixels
from plateside.files.originals.kinds import content_kind, is_display, jpeg_size
from plateside.files.originals.unreadable import fault, shown, unread
from plateside.words.frame_files import is_a, picture_hint, said

_HEAD = 1 << 18
_SUB_IFDS = 330
_OFFSETS_AND_LENGTHS = ((273, 279), (324, 325), (513, 514))
_SIZES = {3: 2, 4: 4, 13: 4}
# 42 of TIFF and DNG; the others of makers whose files are laid out the same way
_TIFF_MAGIC = frozenset({42, 0x4F52, 0x5352, 0x55})
_NOT_GIVEN = 0xFFFFFFFF
_MOST_IFDS = 64
_MOST_PARTS = 1_000_000


def check_whole(path: Path, wait_for_more: bool = False) -> str:
    """What the file is by its content (JPEG, HEIC, raw); raises when it cannot be a frame as it is.

    wait_for_more  incomplete as well when only pictures behind the first one are not there: they may still come, but an
                   editor may also have left them out and their index in
    Raises InputError, its code empty, incomplete, other kind, too large, too small, too slow or damaged; CouldNotError
    when it cannot be read.
    """
    try:
        with path.open("rb") as file:
            size = os.fstat(file.fileno()).st_size
            if size == 0:
                raise fault("empty", said("empty", name=shown(path.name)))
            return _checked(path, file, size, wait_for_more)
    except OSError as error:
        raise unread(path.name, error) from error


def _checked(path: Path, file: BinaryIO, size: int, wait_for_more: bool) -> str:
    head = file.read(_HEAD)
    kind = content_kind(head)
    if is_display(path):
        if kind == "JPEG":
            _check_jpeg(path.name, file, head, size, wait_for_more)
            return kind
        if kind == "HEIC":
            _hold(path.name, size, end_of_boxes(file, size, frozenset({b"ftyp", b"meta"})))
            return kind
        if head.strip(b"\0") == b"" or size < 12:
            raise _incomplete(path.name, size)
        raise other_kind(path.name, kind)
    if kind not in ("", "TIFF picture", "CR3 raw"):
        raise other_kind(path.name, kind)
    _check_raw(path.name, file, head, size)
    return "raw"


def _check_jpeg(name: str, file: BinaryIO, head: bytes, size: int, wait_for_more: bool) -> None:
    stated = jpeg_size(head)
    if stated is not None:
        check_pixels(*stated, name)
    begun = walk(head, whole=False)
    file.seek(size - 2)
    if begun.in_one_scan and not begun.more_until and file.read(2) == b"\xff\xd9":
        structure = begun
    else:
        file.seek(0)
        data = head if size <= len(head) else file.read()
        structure = walk(data)
        check_passes(structure, *(stated or (0, 0)), name)
        if structure.end is None or (wait_for_more and structure.more_until > len(data)):
            raise _incomplete(name, size)
    if stated is not None and stated[0] * stated[1] > MOST_PX_A_BYTE * size:
        raise fault(
            "damaged",
            said("cannot hold", name=shown(name), wide=stated[0], high=stated[1], size=size),
        )


def _check_raw(name: str, file: BinaryIO, head: bytes, size: int) -> None:
    if head.strip(b"\0") == b"" or size < 16:
        raise _incomplete(name, size)
    if head[:2] in (b"II", b"MM"):
        order = "<" if head[:2] == b"II" else ">"
        if struct.unpack(order + "H", head[2:4])[0] in _TIFF_MAGIC:
            _hold(name, size, _end_of_tiff(file, order, size))
    elif head[4:8] == b"ftyp":
        _hold(name, size, end_of_boxes(file, size, frozenset({b"ftyp", b"moov", b"mdat"})))
    elif head[:15] == b"FUJIFILMCCD-RAW":
        if len(head) < 108:
            raise _incomplete(name, size)
        # preview, metadata and sensor: where each begins and how long it is (layout from memory)
        parts = struct.unpack(">6I", head[84:108])
        _hold(name, size, max(parts[n] + parts[n + 1] for n in (0, 2, 4)))


def _hold(name: str, size: int, needed: int) -> None:
    if needed > size:
        raise _incomplete(name, size)


def _incomplete(name: str, size: int) -> Exception:
    return fault("incomplete", said("stops", name=shown(name), size=size))


def other_kind(name: str, kind: str) -> Exception:
    """The error to raise for a file that is not what its name says; `kind` as of `content_kind`."""
    wanted = "JPEG or HEIC" if is_display(Path(name)) else "raw"
    hint = picture_hint(kind)
    return fault(
        "other kind", said("not its kind", name=shown(name), wanted=wanted, is_a=is_a(kind), hint=hint)
    )


def _end_of_tiff(file: BinaryIO, order: str, size: int) -> int:
    """The last byte that the TIFF needs, as far as it can be followed; more than `size` when it is not there."""
    file.seek(4)
    todo, done, last = [struct.unpack(order + "I", file.read(4))[0]], set[int](), 8
    parts: list[tuple[int, int]] = []
    while todo and len(done) < _MOST_IFDS:
        at = todo.pop()
        if at == 0 or at in done:
            continue
        done.add(at)
        if at + 2 > size:
            return size + 1
        file.seek(at)
        count = struct.unpack(order + "H", file.read(2))[0]
        table = file.read(12 * count + 4)
        if len(table) < 12 * count:
            return size + 1
        entries: dict[int, list[int]] = {}
        for i in range(count):
            tag, kind, number = struct.unpack_from(order + "HHI", table, 12 * i)
            if tag == _SUB_IFDS or any(tag in pair for pair in _OFFSETS_AND_LENGTHS):
                values = _whole_numbers(file, order, table[12 * i + 8 : 12 * i + 12], kind, number, size)
                if values is None:
                    return size + 1
                entries[tag] = values
        todo += entries.get(_SUB_IFDS, [])
        if len(table) >= 12 * count + 4:
            todo.append(struct.unpack_from(order + "I", table, 12 * count)[0])
        for offsets, lengths in _OFFSETS_AND_LENGTHS:
            # some makers leave a place open and give it by a tag of their own
            parts += [
                (start, length)
                for start, length in zip(entries.get(offsets, []), entries.get(lengths, []), strict=False)
                if start != _NOT_GIVEN and length
            ]
    last = max((start + length for start, length in parts), default=last)
    return size + 1 if last <= size and _empty_behind(file, parts) else last


def _empty_behind(file: BinaryIO, parts: list[tuple[int, int]]) -> bool:
    """Whether the last eighth of what the file holds is zeros: its place was made before its content came.

    Looked at in sixteen places; a sensor's counts are never all alike, and a masked edge is a smaller share.
    """
    total = sum(length for _, length in parts)
    left, places = total // 8, list[int]()
    for start, length in sorted(parts, reverse=True):
        begin = start + max(length - left, 0)
        places += [begin, start + length - 32]
        left -= length
        if left <= 0:
            break
    if total < 4096:
        return False
    step = max(len(places) // 16, 1)
    if len(places) <= 2:
        begin, end = places[0], places[-1]
        places, step = [begin + (end - begin) * n // 15 for n in range(16)], 1
    for place in places[::step]:
        file.seek(max(place, 0))
        if file.read(32).strip(b"\0"):
            return False
    return True


def _whole_numbers(
    file: BinaryIO, order: str, field: bytes, kind: int, number: int, size: int
) -> list[int] | None:
    """A field's numbers; nothing when it is of a kind that holds no place, None when it lies outside the file."""
    width = _SIZES.get(kind, 0)
    if width == 0 or number > _MOST_PARTS:
        return []
    data = field
    if width * number > 4:
        at = struct.unpack(order + "I", field)[0]
        if at + width * number > size:
            return None
        file.seek(at)
        data = file.read(width * number)
        if len(data) < width * number:
            return None
    return list(struct.unpack(f"{order}{number}{'H' if width == 2 else 'I'}", data[: width * number]))
