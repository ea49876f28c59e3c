"""A lens's faults as a table: where the pixels of a picture without them come from, and what light was lost.

Both are smooth, so they are known at places a few pixels apart and drawn straight between (an error below a hundredth
of a pixel at 16 pixels); whatever moves the picture besides is put together with them, and each pixel is taken once.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.finish.lens_facts import DISTORTION, FRINGES, SHADING
from plateside.finish.opcodes import DamagedOpcodesError, Opcode, Radial, Warp

Doubles = NDArray[np.float64]
Floats = NDArray[np.float32]
LEAST_SHARE = 0.5
"""Of a picture's width that a lens may leave; what asks for more is no lens."""
_MOST_STEP, _LEAST_STEP, _ACROSS = 16, 4, 320
_OUTSIDE_PX = 0.75
"""How far around the picture a place may lie: its edge stands for that."""
_NEARLY_WHITE = 1.2
"""Linear light; clipped white lies at 1.4 (`develop.STANDARD_LIFT`)."""


@dataclass(frozen=True, eq=False)
class Lens:
    """Of one picture; places and steps are pixels of it."""

    size: tuple[int, int]
    """width and height of the picture"""
    start: tuple[float, float]
    """x and y of the table's first place"""
    step: tuple[float, float]
    """across and down"""
    to_frame: Doubles | None
    """(rows, columns, 1 or 3, 2): x and y in the frame, of each place in the picture without faults; None: no move"""
    gain: Doubles | None
    """(rows, columns, 1 or 3): what the frame's own light at each place is to be multiplied by; None: nothing"""

    @property
    def does(self) -> tuple[str, ...]:
        """What it puts right."""
        found = []
        if self.to_frame is not None:
            found.append(DISTORTION)
            if self.to_frame.shape[2] == 3:
                found.append(FRINGES)
        return (*found, *([SHADING] if self.gain is not None else []))

    def sources(self, x: Doubles, y: Doubles) -> Doubles:
        """Where places of the picture come from in the frame: (..., 1 or 3, 2)."""
        if self.to_frame is None:
            return np.stack(np.broadcast_arrays(x, y), axis=-1)[..., None, :]
        return self._drawn(self.to_frame, x, y)

    def places(self, x: Doubles, y: Doubles) -> tuple[Doubles, Doubles]:
        """Where places of the frame come to lie in the picture, by their green: the way back, by Picard's iteration."""
        at_x, at_y = np.asarray(x, float), np.asarray(y, float)
        to_x, to_y = at_x.copy(), at_y.copy()
        for _ in range(60 if self.to_frame is not None else 0):
            found = self.sources(to_x, to_y)
            found = found[..., found.shape[-2] // 2, :]
            # what lies far outside has no way back, and must not run away
            to_x = np.clip(to_x + at_x - found[..., 0], -4 * self.size[0], 5 * self.size[0])
            to_y = np.clip(to_y + at_y - found[..., 1], -4 * self.size[1], 5 * self.size[1])
        return to_x, to_y

    def shading(self, part: tuple[int, int, int, int]) -> Floats | None:
        """For rows and columns of the frame, what its light is multiplied by: (h, w) or (h, w, 3)."""
        if self.gain is None:
            return None
        top, bottom, left, right = part
        rows = _drawn_along(self.gain, (np.arange(top, bottom) - self.start[1]) / self.step[1], 0)
        found = _drawn_along(rows, (np.arange(left, right) - self.start[0]) / self.step[0], 1).astype(
            np.float32
        )
        return found[..., 0] if found.shape[-1] == 1 else found

    def gain_at(self, x: Doubles, y: Doubles) -> Doubles | None:
        """What the frame's light at these places is multiplied by: (..., 1 or 3)."""
        return None if self.gain is None else self._drawn(self.gain[..., None], x, y)[..., 0]

    def scaled(self, size: tuple[int, int]) -> "Lens":
        """The same of the picture made another size."""
        if size == self.size:
            return self
        share = size[0] / self.size[0], size[1] / self.size[1]
        start = (self.start[0] + 0.5) * share[0] - 0.5, (self.start[1] + 0.5) * share[1] - 0.5
        step = self.step[0] * share[0], self.step[1] * share[1]
        moved = None if self.to_frame is None else (self.to_frame + 0.5) * np.asarray(share) - 0.5
        return Lens(size, start, step, moved, self.gain)

    def upright(self, orientation: int) -> "Lens":
        """Of the picture turned as EXIF's orientation (1 to 8) says."""
        across, turn_x, turn_y = _TURNS.get(orientation, _TURNS[1])
        table, gain = self.to_frame, self.gain
        size, start, step = self.size, self.start, self.step
        if across:
            size, start, step = size[::-1], start[::-1], step[::-1]
            table = None if table is None else table.transpose(1, 0, 2, 3)[..., ::-1]
            gain = None if gain is None else gain.transpose(1, 0, 2)
        some = table if table is not None else gain
        if some is None:
            return self
        rows, columns = some.shape[:2]
        x, y = start
        if turn_x:
            table = None if table is None else _mirrored(table[:, ::-1], 0, size[0])
            gain = None if gain is None else gain[:, ::-1]
            x = size[0] - 1 - (x + (columns - 1) * step[0])
        if turn_y:
            table = None if table is None else _mirrored(table[::-1], 1, size[1])
            gain = None if gain is None else gain[::-1]
            y = size[1] - 1 - (y + (rows - 1) * step[1])
        return Lens(size, (x, y), step, table, gain)

    def kept(self) -> tuple[int, int, int, int]:
        """The largest part about the middle, of the picture's own shape, that the frame fills: x, y, width, height.

        Raises DamagedOpcodesError when that is less than LEAST_SHARE of it.
        """
        width, height = self.size
        if self.to_frame is None or self._filled(0):
            return 0, 0, width, height
        most = int(width * (1 - LEAST_SHARE) / 2)
        if not self._filled(most):
            raise DamagedOpcodesError("no lens")
        fits, too_wide = most, 0
        while fits - too_wide > 1:
            middle = (fits + too_wide) // 2
            fits, too_wide = (middle, too_wide) if self._filled(middle) else (fits, middle)
        return (fits, *self._rows(fits))

    def _rows(self, cut: int) -> tuple[int, int, int]:
        width, height = self.size
        down = round(cut * height / width)
        return down, width - 2 * cut, height - 2 * down

    def _filled(self, cut: int) -> bool:
        width, height = self.size
        down, wide, high = self._rows(cut)
        xs, ys = np.linspace(cut, cut + wide - 1, 129), np.linspace(down, down + high - 1, 129)
        x = np.concatenate([xs, xs, np.full(129, xs[0]), np.full(129, xs[-1])])
        y = np.concatenate([np.full(129, ys[0]), np.full(129, ys[-1]), ys, ys])
        found = self.sources(x, y)
        low, high_x, high_y = -_OUTSIDE_PX, width - 1 + _OUTSIDE_PX, height - 1 + _OUTSIDE_PX
        inside = (found >= low).all(axis=-1) & (found[..., 0] <= high_x) & (found[..., 1] <= high_y)
        return bool(inside.all())

    def _drawn(self, table: Doubles, x: Doubles, y: Doubles) -> Doubles:
        x, y = np.broadcast_arrays(x, y)
        rows, columns = table.shape[:2]
        over = (x - self.start[0]) / self.step[0]
        down = (y - self.start[1]) / self.step[1]
        # beyond the table its last two places go on in a straight line
        j = np.clip(np.floor(over).astype(int), 0, columns - 2)
        i = np.clip(np.floor(down).astype(int), 0, rows - 2)
        u, v = (over - j)[..., None, None], (down - i)[..., None, None]
        above = table[i, j] * (1 - u) + table[i, j + 1] * u
        below = table[i + 1, j] * (1 - u) + table[i + 1, j + 1] * u
        return np.asarray(above * (1 - v) + below * v)


_TURNS = {
    1: (False, False, False), 2: (False, True, False), 3: (False, True, True), 4: (False, False, True),
    5: (True, False, False), 6: (True, True, False), 7: (True, True, True), 8: (True, False, True),
}  # fmt: skip
"""Of each orientation: rows become columns; then mirrored left to right; top to bottom."""


def _mirrored(table: Doubles, axis: int, size: int) -> Doubles:
    table = table.copy()
    table[..., axis] = size - 1 - table[..., axis]
    return table


def _drawn_along(table: Doubles, at: NDArray[np.floating], axis: int) -> Doubles:
    first = np.clip(np.floor(at).astype(int), 0, table.shape[axis] - 2)
    shape = [1] * table.ndim
    shape[axis] = len(at)
    share = (at - first).reshape(shape)
    return np.asarray(np.take(table, first, axis) * (1 - share) + np.take(table, first + 1, axis) * share)


def places_of(size: tuple[int, int]) -> tuple[float, Doubles, Doubles]:
    """The step [px], and x (1, columns) and y (rows, 1) of a table's places, which reach to the picture's end."""
    step = float(min(max(round(max(size) / _ACROSS), _LEAST_STEP), _MOST_STEP))
    columns, rows = (max(int(np.ceil((side - 1) / step)) + 1, 2) for side in size)
    x, y = (np.arange(count, dtype=np.float64) * step for count in (columns, rows))
    return step, x[None, :], y[:, None]


def lens_of_opcodes(
    mosaic: Sequence[Opcode], picture: Sequence[Opcode], size: tuple[int, int], pattern: Sequence[int]
) -> Lens:
    """What a DNG says of its lens, of the sensor as it lies.

    mosaic, picture  opcodes for the mosaic, and for the picture that comes of it
    size             width and height [px]
    pattern          colours of the mosaic's cell of 2 x 2; empty: no mosaic
    Raises DamagedOpcodesError for what no lens does.
    """
    step, x, y = places_of(size)
    done = [*((one, True) for one in mosaic), *((one, False) for one in picture)]
    warps = [one for one, _ in done if isinstance(one, Warp)]
    moved = None
    if warps:
        each = [
            _through(warps, x, y, size, plane)
            for plane in range(3 if any(w.planes > 1 for w in warps) else 1)
        ]
        moved = np.stack([np.stack(np.broadcast_arrays(*one), axis=-1) for one in each], axis=2)
    gain = _gain(done, x, y, size, pattern)
    return believed(Lens(size, (0.0, 0.0), (step, step), moved, gain))


def _through(
    warps: Sequence[Warp], x: Doubles, y: Doubles, size: tuple[int, int], plane: int
) -> tuple[Doubles, Doubles]:
    with np.errstate(all="ignore"):
        for warp in reversed(warps):
            x, y = warp.source(x, y, size, min(plane, warp.planes - 1))
    return x, y


def _gain(
    done: Sequence[tuple[Opcode, bool]], x: Doubles, y: Doubles, size: tuple[int, int], pattern: Sequence[int]
) -> Doubles | None:
    """Light comes before or after a warp; all of it is told of the frame as it is before them."""
    shape = (*np.broadcast(x, y).shape, 3)
    cells, colours = np.ones((*shape[:2], 4)), np.ones(shape)
    before: list[Warp] = []
    for one, of_mosaic in done:
        if isinstance(one, Warp):
            before.append(one)
            continue
        at_x, at_y = _back(before, x, y, size)
        if isinstance(one, Radial):
            colours *= one.gain(at_x, at_y, size)[..., None]
        elif of_mosaic and len(pattern) == 4:
            table = one.gain(at_x, at_y, size, one.plane)
            for n in range(4):
                cells[..., n] *= table if one.covers(n // 2, n % 2) else 1.0
        else:
            for plane in range(3):
                colours[..., plane] *= one.gain(at_x, at_y, size, plane)
    if len(pattern) == 4:
        for which in range(3):
            of = [n for n, colour in enumerate(pattern) if colour == which]
            colours[..., which] *= cells[..., of].mean(axis=-1) if of else 1.0
    if np.abs(colours - 1).max() < 1e-6:
        return None
    return colours[..., :1] if np.ptp(colours, axis=-1).max() < 1e-6 else colours


def _back(warps: Sequence[Warp], x: Doubles, y: Doubles, size: tuple[int, int]) -> tuple[Doubles, Doubles]:
    if not warps:
        return x, y
    to_x, to_y = (np.array(v) for v in np.broadcast_arrays(x, y))
    with np.errstate(all="ignore"):
        for _ in range(40):
            found_x, found_y = _through(warps, to_x, to_y, size, 1)
            to_x, to_y = to_x + x - found_x, to_y + y - found_y
    width, height = size
    return np.clip(np.nan_to_num(to_x), -width, 2 * width), np.clip(np.nan_to_num(to_y), -height, 2 * height)


def believed(lens: Lens) -> Lens:
    """The same lens. Raises DamagedOpcodesError when it folds the picture, or leaves too little of it."""
    if lens.gain is not None and not (
        np.isfinite(lens.gain).all() and lens.gain.min() > 0 and lens.gain.max() < 256
    ):
        raise DamagedOpcodesError("gain")
    if lens.to_frame is None:
        return lens
    if not np.isfinite(lens.to_frame).all():
        raise DamagedOpcodesError("numbers")
    x, y, wide, high = lens.kept()
    xs, ys = np.linspace(x, x + wide - 1, 65)[None, :], np.linspace(y, y + high - 1, 65)[:, None]
    found = lens.sources(xs, ys)
    across, down = np.diff(found[..., 0], axis=1), np.diff(found[..., 1], axis=0)
    if across.min() <= 0.02 * wide / 64 or down.min() <= 0.02 * high / 64:
        raise DamagedOpcodesError("folded")
    return lens


def put_right(linear: Floats, gain: Floats, matrix: Floats | None) -> Floats:
    """A picture's light (h, w, 3), linear sRGB, put back where the lens lost it.

    gain    (h, w), or (h, w, 3) where the camera's own colours lost differently
    matrix  (3, 3) from the camera's balanced colours to linear sRGB; None: the picture's colours are taken for them
    """
    if gain.ndim == 2:
        return np.asarray(linear * gain[..., None], np.float32)
    # where all three are clipped it is white, whatever each has lost
    white = np.clip((linear.min(axis=-1, keepdims=True) - _NEARLY_WHITE) / _NEARLY_WHITE * 6, 0, 1)
    gain = gain + (gain.mean(axis=-1, keepdims=True) - gain) * white
    if matrix is None:
        return np.asarray(linear * gain, np.float32)
    back = np.linalg.inv(matrix.astype(np.float64)).astype(np.float32)
    return np.asarray(((linear @ back.T) * gain) @ matrix.T, np.float32)
