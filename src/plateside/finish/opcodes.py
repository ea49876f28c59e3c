"""What a DNG says of its lens, out of its lists of opcodes: warps, shading, and in which order they come.

Adobe, *Digital Negative Specification* 1.7, chapter 6: WarpRectilinear (1), WarpFisheye (2), FixVignetteRadial (3),
GainMap (9), WarpRectilinear2 (14). Each list is big-endian. The others are of the sensor (bad pixels, tables) or of
the picture's margins and are passed over. Nothing of a list is believed until all of it was read and is of a size that
a lens can have: one that is damaged is left alone as a whole.
"""

import struct
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Doubles = NDArray[np.float64]
_MOST_OPCODES, _MOST_OF_LENS, _MOST_POINTS = 256, 16, 1 << 20
_PLANES = (1, 3)
_LEAST_GAIN, _MOST_GAIN = 1 / 16, 64.0
_RADIAL_TERMS = 15


class DamagedOpcodesError(ValueError):
    """A list that ends too soon, or says what no lens does."""


@dataclass(frozen=True, eq=False)
class Warp:
    """Where a corrected picture's pixels come from, by their distance from the middle of the lens."""

    radial: Doubles
    """(planes, 15): factor on the distance r by powers of r; of a fisheye (planes, 4), by odd powers of its angle"""
    tangential: Doubles
    """(planes, 2)"""
    valid: Doubles
    """(planes, 2): the least and largest r at which the factor is looked up"""
    centre: tuple[float, float]
    """x and y, shares of the picture"""
    fisheye: bool = False
    reciprocal: bool = False

    @property
    def planes(self) -> int:
        """1: all colours alike; 3: each its own."""
        return len(self.radial)

    def moves(self) -> bool:
        """Whether it does anything."""
        plain = np.zeros_like(self.radial)
        plain[:, 0] = 1
        return self.fisheye or bool(np.any(self.radial != plain) or np.any(self.tangential))

    def source(self, x: Doubles, y: Doubles, size: tuple[int, int], plane: int) -> tuple[Doubles, Doubles]:
        """Where places of a corrected picture of that width and height come from [px]."""
        (cx, cy), longest = _middle(self.centre, size)
        dx, dy = (x - cx) / longest, (y - cy) / longest
        squares = dx * dx + dy * dy
        k = self.radial[plane]
        r = np.sqrt(squares)
        if self.fisheye:
            angle = np.arctan(r)
            t2 = angle * angle
            turned = angle * (k[0] + t2 * (k[1] + t2 * (k[2] + t2 * k[3])))
            factor = np.where(r > 1e-9, turned / np.maximum(r, 1e-9), k[0])
        else:
            low, high = self.valid[plane]
            # what is asked beyond the furthest corner lies around the picture: the same law goes on
            within = np.clip(r, low, high if high < 1 else None)
            factor = np.polynomial.polynomial.polyval(within, k)
            factor = 1 / factor if self.reciprocal else factor
        t0, t1 = self.tangential[plane]
        along = t1 * (squares + 2 * dx * dx) + 2 * t0 * dx * dy
        down = t0 * (squares + 2 * dy * dy) + 2 * t1 * dx * dy
        return cx + longest * (dx * factor + along), cy + longest * (dy * factor + down)


@dataclass(frozen=True)
class Radial:
    """Light lost towards the corners, put back."""

    terms: tuple[float, ...]
    """of r squared, to the fourth, and so on: added to 1"""
    centre: tuple[float, float]

    def gain(self, x: Doubles, y: Doubles, size: tuple[int, int]) -> Doubles:
        """By what the light at these places is multiplied."""
        (cx, cy), longest = _middle(self.centre, size)
        squares = np.minimum(((x - cx) ** 2 + (y - cy) ** 2) / longest**2, 1.0)
        return np.asarray(np.polynomial.polynomial.polyval(squares, [1.0, *self.terms]))


@dataclass(frozen=True, eq=False)
class GainMap:
    """Light put back by a table, for every pixel of a part, or for one place of each cell of the mosaic."""

    area: tuple[int, int, int, int]
    """first and last (not included) row and column"""
    pitch: tuple[int, int]
    """down and across"""
    plane: int
    planes: int
    spacing: tuple[float, float]
    """down and across, shares of the picture"""
    origin: tuple[float, float]
    table: Doubles
    """(rows, columns, planes)"""

    def gain(self, x: Doubles, y: Doubles, size: tuple[int, int], plane: int) -> Doubles:
        """By what the light of one colour at these places is multiplied; 1 outside its part."""
        if not self.plane <= plane < self.plane + self.planes:
            return np.ones(np.broadcast(x, y).shape)
        width, height = size
        rows, columns = self.table.shape[:2]
        down = np.clip(((y + 0.5) / height - self.origin[0]) / max(self.spacing[0], 1e-12), 0, rows - 1)
        over = np.clip(((x + 0.5) / width - self.origin[1]) / max(self.spacing[1], 1e-12), 0, columns - 1)
        i, j = (
            np.minimum(down.astype(int), max(rows - 2, 0)),
            np.minimum(over.astype(int), max(columns - 2, 0)),
        )
        v, u = down - i, over - j
        table = self.table[..., min(plane - self.plane, self.table.shape[2] - 1)]
        i1, j1 = np.minimum(i + 1, rows - 1), np.minimum(j + 1, columns - 1)
        found = (table[i, j] * (1 - u) + table[i, j1] * u) * (1 - v) + (
            table[i1, j] * (1 - u) + table[i1, j1] * u
        ) * v
        top, bottom, left, right = self.area
        (over_rows, over_columns) = self.pitch
        if (
            top < over_rows
            and left < over_columns
            and bottom > height - over_rows
            and right > width - over_columns
        ):
            return np.asarray(found)
        return np.where((y >= top) & (y < bottom) & (x >= left) & (x < right), found, 1.0)

    def covers(self, row: int, column: int) -> bool:
        """Whether it speaks of a place of a mosaic's cell of 2 x 2."""
        top, _bottom, left, _right = self.area
        down, over = self.pitch
        return (row - top) % min(down, 2) == 0 and (column - left) % min(over, 2) == 0


Opcode = Warp | Radial | GainMap


def _middle(centre: tuple[float, float], size: tuple[int, int]) -> tuple[tuple[float, float], float]:
    """The middle of the lens [px], and its distance from the furthest corner [px]: the spec's m."""
    (width, height), (x, y) = size, centre
    cx, cy = x * (width - 1), y * (height - 1)
    return (cx, cy), max(float(np.hypot(max(cx, width - 1 - cx), max(cy, height - 1 - cy))), 1.0)


def fitted_warp(
    x: Doubles, y: Doubles, to_x: Doubles, to_y: Doubles, size: tuple[int, int]
) -> tuple[Doubles, Doubles]:
    """A warp's radial (15) and tangential (2) terms by least squares, of places and where they come from [px]."""
    (cx, cy), longest = _middle((0.5, 0.5), size)
    dx, dy = (x.ravel() - cx) / longest, (y.ravel() - cy) / longest
    squares = dx * dx + dy * dy
    powers = np.sqrt(squares)[:, None] ** np.arange(_RADIAL_TERMS)
    over = np.column_stack([powers * dx[:, None], 2 * dx * dy, squares + 2 * dx * dx])
    down = np.column_stack([powers * dy[:, None], squares + 2 * dy * dy, 2 * dx * dy])
    wanted = np.concatenate([(to_x.ravel() - cx) / longest, (to_y.ravel() - cy) / longest])
    terms = np.linalg.lstsq(np.vstack([over, down]), wanted, rcond=None)[0]
    return terms[:_RADIAL_TERMS], terms[_RADIAL_TERMS:]


def opcodes_of(data: bytes) -> tuple[Opcode, ...]:
    """What a list says of the lens, in its order. Raises DamagedOpcodesError."""
    if not data:
        return ()
    try:
        return _opcodes_of(data)
    except (struct.error, ValueError, OverflowError) as error:
        raise DamagedOpcodesError(str(error)) from error


def _opcodes_of(data: bytes) -> tuple[Opcode, ...]:
    (count,) = struct.unpack_from(">I", data)
    if count > _MOST_OPCODES:
        raise DamagedOpcodesError("too many")
    found: list[Opcode] = []
    at = 4
    for _ in range(count):
        code, _version, _flags, length = struct.unpack_from(">IIII", data, at)
        at += 16
        if length > len(data) - at:
            raise DamagedOpcodesError("ends too soon")
        if code in _READERS:
            one = _READERS[code](data[at : at + length])
            if not isinstance(one, Warp) or one.moves():
                found.append(one)
        at += length
    if len(found) > _MOST_OF_LENS:
        raise DamagedOpcodesError("too many")
    return tuple(found)


def _planes(data: bytes, bytes_each: int, rest: int) -> int:
    (planes,) = struct.unpack_from(">I", data)
    if planes not in _PLANES or len(data) != 4 + planes * bytes_each + rest:
        raise DamagedOpcodesError("planes")
    return int(planes)


def _doubles(data: bytes, at: int, count: int) -> Doubles:
    values = np.frombuffer(data, ">f8", count, at).astype(np.float64)
    if not np.isfinite(values).all() or np.abs(values).max(initial=0) > 1e6:
        raise DamagedOpcodesError("numbers")
    return values


def _centre(data: bytes, at: int) -> tuple[float, float]:
    x, y = (float(v) for v in _doubles(data, at, 2))
    if not (0 <= x <= 1 and 0 <= y <= 1):
        raise DamagedOpcodesError("centre")
    return x, y


def _rectilinear(data: bytes) -> Warp:
    planes = _planes(data, 48, 16)
    given = _doubles(data, 4, 6 * planes).reshape(planes, 6)
    radial = np.zeros((planes, _RADIAL_TERMS))
    radial[:, 0:7:2] = given[:, :4]
    valid = np.tile([0.0, 1.0], (planes, 1))
    return Warp(radial, given[:, 4:], valid, _centre(data, 4 + 48 * planes))


def _rectilinear_2(data: bytes) -> Warp:
    each = _RADIAL_TERMS + 4
    planes = _planes(data, 8 * each, 20)
    given = _doubles(data, 4, each * planes).reshape(planes, each)
    valid = given[:, _RADIAL_TERMS + 2 :]
    if not np.all((valid[:, 0] >= 0) & (valid[:, 0] < valid[:, 1]) & (valid[:, 1] <= 1)):
        raise DamagedOpcodesError("radius")
    centre = _centre(data, 4 + 8 * each * planes)
    (reciprocal,) = struct.unpack_from(">I", data, len(data) - 4)
    tangential = given[:, _RADIAL_TERMS : _RADIAL_TERMS + 2]
    return Warp(given[:, :_RADIAL_TERMS], tangential, valid, centre, reciprocal=reciprocal != 0)


def _fisheye(data: bytes) -> Warp:
    planes = _planes(data, 32, 16)
    given = _doubles(data, 4, 4 * planes).reshape(planes, 4)
    valid = np.tile([0.0, 1.0], (planes, 1))
    return Warp(given, np.zeros((planes, 2)), valid, _centre(data, 4 + 32 * planes), fisheye=True)


def _radial(data: bytes) -> Radial:
    if len(data) != 56:
        raise DamagedOpcodesError("vignette")
    terms = tuple(float(v) for v in _doubles(data, 0, 5))
    _believed(np.polynomial.polynomial.polyval(np.linspace(0, 1, 33), [1.0, *terms]))
    return Radial(terms, _centre(data, 40))


def _gain_map(data: bytes) -> GainMap:
    top, left, bottom, right, plane, planes, down, over, rows, columns = struct.unpack_from(">10I", data)
    spacing_v, spacing_h, origin_v, origin_h = (float(v) for v in _doubles(data, 40, 4))
    (map_planes,) = struct.unpack_from(">I", data, 72)
    if not (top < bottom < 1 << 20 and left < right < 1 << 20 and 0 < planes <= 4 and 0 < map_planes <= 4):
        raise DamagedOpcodesError("part")
    if not (0 < down < 1 << 20 and 0 < over < 1 << 20 and rows > 0 and columns > 0 and plane < 4):
        raise DamagedOpcodesError("pitch")
    if spacing_v < 0 or spacing_h < 0 or rows * columns * map_planes > _MOST_POINTS:
        raise DamagedOpcodesError("table")
    if len(data) != 76 + 4 * rows * columns * map_planes:
        raise DamagedOpcodesError("table")
    table = np.frombuffer(data, ">f4", rows * columns * map_planes, 76).astype(np.float64)
    _believed(table)
    return GainMap(
        (top, bottom, left, right), (down, over), plane, planes, (spacing_v, spacing_h), (origin_v, origin_h),
        table.reshape(rows, columns, map_planes),
    )  # fmt: skip


_READERS: Mapping[int, Callable[[bytes], Opcode]] = {
    1: _rectilinear, 2: _fisheye, 3: _radial, 9: _gain_map, 14: _rectilinear_2,
}  # fmt: skip


def _believed(gains: NDArray[np.floating]) -> None:
    if not np.isfinite(gains).all() or gains.min() < _LEAST_GAIN or gains.max() > _MOST_GAIN:
        raise DamagedOpcodesError("gain")
