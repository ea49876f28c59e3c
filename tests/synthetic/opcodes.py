"""Lists of opcodes as a DNG holds them (Adobe, *Digital Negative Specification* 1.7, chapter 6): big-endian bytes."""

import struct
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

MOSAIC, PICTURE = 51009, 51022


def listed(*opcodes: tuple[int, bytes]) -> bytes:
    """A list of opcodes: each its number and its parameters."""
    body = b"".join(struct.pack(">IIII", code, 0x01030000, 0, len(data)) + data for code, data in opcodes)
    return struct.pack(">I", len(opcodes)) + body


def rectilinear(
    planes: Sequence[Sequence[float]], centre: tuple[float, float] = (0.5, 0.5)
) -> tuple[int, bytes]:
    """WarpRectilinear: of each plane kr0 to kr3, kt0, kt1."""
    numbers = [float(v) for plane in planes for v in plane] + list(centre)
    return 1, struct.pack(f">I{len(numbers)}d", len(planes), *numbers)


def rectilinear_2(radial: Sequence[float], *, reciprocal: bool = False) -> tuple[int, bytes]:
    """WarpRectilinear2 of one plane: kr0 to kr14; no tangents, valid everywhere."""
    numbers = [*radial, *([0.0] * (15 - len(radial))), 0.0, 0.0, 0.0, 1.0, 0.5, 0.5]
    return 14, struct.pack(">I21dI", 1, *numbers, int(reciprocal))


def fisheye(terms: Sequence[float]) -> tuple[int, bytes]:
    """WarpFisheye of one plane."""
    return 2, struct.pack(">I6d", 1, *terms, 0.5, 0.5)


def vignette(terms: Sequence[float], centre: tuple[float, float] = (0.5, 0.5)) -> tuple[int, bytes]:
    """FixVignetteRadial: k0 to k4."""
    return 3, struct.pack(">7d", *terms, *centre)


def gain_map(
    table: NDArray[np.float64], size: tuple[int, int], *, first: tuple[int, int] = (0, 0), pitch: int = 1
) -> tuple[int, bytes]:
    """GainMap over a whole picture of that width and height: a table (rows, columns) from edge to edge."""
    rows, columns = table.shape
    width, height = size
    head = struct.pack(
        ">10I", first[0], first[1], height, width, 0, 1 if pitch > 1 else 3, pitch, pitch, rows, columns
    )
    where = struct.pack(">4dI", 1 / max(rows - 1, 1), 1 / max(columns - 1, 1), 0.0, 0.0, 1)
    return 9, head + where + table.astype(">f4").tobytes()


def add_lists(path: Path, lists: dict[int, bytes]) -> None:
    """Put lists into the first directory of a little-endian TIFF file."""
    add_tags(path, {code: (7, blob) for code, blob in lists.items()})


def add_texts(path: Path, texts: dict[int, str]) -> None:
    """Put texts there, or in the place of others: make 271, model 272, lens 42036."""
    add_tags(path, {code: (2, text.encode() + b"\0") for code, text in texts.items()})


def add_tags(path: Path, tags: dict[int, tuple[int, bytes]]) -> None:
    """Of each its type and bytes (of one value, or of a byte each): the directory is written anew at the end."""
    data = bytearray(path.read_bytes())
    assert data[:4] == b"II*\0"
    (at,) = struct.unpack_from("<I", data, 4)
    (count,) = struct.unpack_from("<H", data, at)
    found = [bytes(data[at + 2 + 12 * n : at + 14 + 12 * n]) for n in range(count)]
    entries = [entry for entry in found if struct.unpack_from("<H", entry)[0] not in tags]
    after = bytes(data[at + 2 + 12 * count : at + 6 + 12 * count])
    for code, (kind, blob) in tags.items():
        data += b"\0" * (len(data) % 2)
        where = struct.pack("<I", len(data)) if len(blob) > 4 else blob.ljust(4, b"\0")
        entries.append(struct.pack("<HHI", code, kind, 1 if kind == 5 else len(blob)) + where)
        data += blob if len(blob) > 4 else b""
    data += b"\0" * (len(data) % 2)
    entries.sort(key=lambda entry: struct.unpack_from("<H", entry)[0])
    struct.pack_into("<I", data, 4, len(data))
    data += struct.pack("<H", len(entries)) + b"".join(entries) + after
    path.write_bytes(bytes(data))
