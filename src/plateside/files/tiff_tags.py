"""Tags and directories of TIFF 6.0, little-endian: what DNG and EXIF are made of."""

import struct
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

BYTE, ASCII, SHORT, LONG, RATIONAL, UNDEFINED, SRATIONAL, DOUBLE = 1, 2, 3, 4, 5, 7, 10, 12
_PACK = {BYTE: "B", SHORT: "H", LONG: "I", DOUBLE: "d"}


@dataclass(frozen=True)
class Tag:
    """One field: its number, its type and its values."""

    code: int
    kind: int
    values: Sequence[float] | bytes | str

    def encoded(self) -> tuple[int, bytes]:
        """Count and bytes of the values."""
        if isinstance(self.values, str):
            data = self.values.encode("utf-8") + b"\0"
            return len(data), data
        if isinstance(self.values, bytes):
            return len(self.values), self.values
        if self.kind in (RATIONAL, SRATIONAL):
            code = "<II" if self.kind == RATIONAL else "<ii"
            return len(self.values), b"".join(struct.pack(code, *_ratio(v)) for v in self.values)
        code = _PACK[self.kind]
        whole = [v if self.kind == DOUBLE else int(v) for v in self.values]
        return len(whole), struct.pack(f"<{len(whole)}{code}", *whole)


@dataclass
class Directory:
    """An image file directory; `below` are directories its tags point at, `strip` its image data."""

    tags: list[Tag]
    below: dict[int, "Directory"] = field(default_factory=dict)
    """Pointer tag (SubIFDs 330, EXIF 34665) to the directory it points at."""
    strip: bytes = b""


def _ratio(value: float) -> tuple[int, int]:
    exact = Fraction(value).limit_denominator(100_000)
    return exact.numerator, exact.denominator


def file_bytes(first: Directory) -> bytes:
    """A whole TIFF file: header, directories, values, image strips."""
    out = bytearray(b"II*\0\0\0\0\0")
    offset = _lay(first, out)
    struct.pack_into("<I", out, 4, offset)
    return bytes(out)


def _lay(directory: Directory, out: bytearray) -> int:
    """Append strip, directories below and the directory itself; return the directory's offset."""
    tags = list(directory.tags)
    for code, child in directory.below.items():
        tags.append(Tag(code, LONG, [_lay(child, out)]))
    if directory.strip:
        _align(out)
        tags += [Tag(273, LONG, [len(out)]), Tag(279, LONG, [len(directory.strip)])]
        out += directory.strip
    tags.sort(key=lambda tag: tag.code)
    entries = []
    for tag in tags:
        count, data = tag.encoded()
        if len(data) > 4:
            _align(out)
            where = struct.pack("<I", len(out))
            out += data
        else:
            where = data.ljust(4, b"\0")
        entries.append(struct.pack("<HHI", tag.code, tag.kind, count) + where)
    _align(out)
    offset = len(out)
    out += struct.pack("<H", len(entries)) + b"".join(entries) + b"\0\0\0\0"
    return offset


def _align(out: bytearray) -> None:
    if len(out) % 2:
        out += b"\0"
