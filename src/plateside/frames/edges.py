"""Where a picture has edges, how blurred each one is, and in which direction it lies.

A step blurred by a spread of s pixels (standard deviation of the blur across the edge) and then by a Gaussian of
s1 has a gradient in proportion to 1/sqrt(s^2 + s1^2). The ratio R of the gradients after two Gaussians a < b
therefore gives s^2 = (b^2 - a^2 R^2)/(R^2 - 1): Zhuo and Sim, "Defocus map estimation from a single image",
Pattern Recognition 44 (2011). A defocus disc of radius r spreads every edge by r/2; a shake of length L spreads
the edges across its direction by L/sqrt(12) and leaves those along it sharp. So the spread as a function of the
edge's direction tells the kinds of blur apart.

`smoothed`    the two Gaussians of a picture
`find_edges`  the edges of a picture with their spread
`spread_at`   the spread of one picture at the edges of another (the reference)
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import cv2
import numpy as np
from numba import njit, prange
from numpy.typing import NDArray

Array = NDArray[np.float32]

FINE_PX = 1.0
COARSE_PX = 2.2
WIDEST_PX2 = 64.0
"""Spreads of 8 px and more are all called 8 px: beyond it the two Gaussians no longer differ."""
DIFFERENCE_PX2 = 1.0 / 3.0
"""A central difference is itself a box two pixels wide: variance 4/12, taken off every spread."""
FEWEST_OF_A_DIRECTION = 12
_BLOCKS = 64


@dataclass(frozen=True, eq=False)
class Smoothed:
    """A grey picture (0..1, encoded) after the fine and the coarse Gaussian, with its noise."""

    fine: Array
    coarse: Array
    noise: float
    """Standard deviation of the grain in the picture itself, from its finest detail."""


@dataclass(frozen=True, eq=False)
class Edges:
    """Edge points: parallel arrays."""

    x: NDArray[np.int32]
    y: NDArray[np.int32]
    angle: Array
    """Direction in which brightness grows, across the edge [rad], 0 to the right, pi/2 down."""
    spread2: Array
    """Squared spread of the blur across the edge [px^2]; 0 to 64."""
    step: Array
    """Height of the step, in the picture's numbers."""

    def __len__(self) -> int:
        return int(self.x.size)

    @cached_property
    def sharpest_first(self) -> NDArray[np.intp]:
        """The points in order of their spread, to a thousandth of a px^2 (widest 64): counted, not compared."""
        return np.argsort((self.spread2 * 1000).astype(np.uint16), kind="stable")

    @cached_property
    def by_direction(self) -> tuple[tuple[float, Array], ...]:
        """(direction [rad], squared spreads, sharpest first) of those of twelve directions that have enough edges."""
        parts = self.parted((np.floor((self.angle % np.pi) / np.pi * 12).astype(np.uint8)) % 12, 12)
        enough = ((k, here) for k, here in enumerate(parts) if here.size >= FEWEST_OF_A_DIRECTION)
        return tuple(((k + 0.5) * np.pi / 12, here) for k, here in enough)

    def parted(self, where: NDArray[np.uint8], number: int) -> list[Array]:
        """Squared spreads, sharpest first, of each of `number` parts; `where`: the part of each point."""
        where = where[self.sharpest_first]
        order = np.argsort(where, kind="stable")
        cuts = np.searchsorted(where[order], np.arange(number + 1))
        spread2 = self.spread2[self.sharpest_first][order]
        return [spread2[cuts[k] : cuts[k + 1]] for k in range(number)]

    def chosen(self, mask: NDArray[Any]) -> "Edges":
        """Some of the points."""
        return Edges(self.x[mask], self.y[mask], self.angle[mask], self.spread2[mask], self.step[mask])


def rank(values: NDArray[Any], share: float) -> float:
    """The value that `share` of the values lie below, by nearest rank; ten times as quick as a percentile."""
    k = min(int(share * values.size), values.size - 1)
    return float(np.partition(values, k)[k])


def grey(picture: NDArray[np.uint8]) -> Array:
    """Encoded luma 0..1 of an sRGB picture."""
    luma = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY) if picture.ndim == 3 else picture
    return np.multiply(luma, np.float32(1 / 255), dtype=np.float32)


def smoothed(picture: NDArray[np.uint8]) -> Smoothed:
    """Prepare a picture (height x width x 3, uint8 sRGB) for edge measures."""
    plain = grey(picture)
    fine = cv2.GaussianBlur(plain, (0, 0), FINE_PX)
    coarse = cv2.GaussianBlur(fine, (0, 0), float(np.sqrt(COARSE_PX**2 - FINE_PX**2)))
    # Immerkaer's mask (1996) on a sample of rows and columns: blind to edges and slopes, it sees grain.
    part = plain[::2, ::2]
    mask = np.array([[1, -2, 1], [-2, 4, -2], [1, -2, 1]], np.float32) / 6.0
    grain = np.abs(cv2.filter2D(part, -1, mask))
    noise = float(np.median(grain) / 0.6745)
    return Smoothed(np.asarray(fine), np.asarray(coarse), noise)


def at_rank(ordered: NDArray[Any], share: float) -> float:
    """`rank` of values that are in order."""
    return float(ordered[min(int(share * ordered.size), ordered.size - 1)])


@njit(cache=True, fastmath=True)
def _spread2(ratio: float) -> float:
    a2, b2 = FINE_PX * FINE_PX, COARSE_PX * COARSE_PX
    r2 = ratio * ratio
    if r2 <= 1.0 + (b2 - a2) / (a2 + WIDEST_PX2 + DIFFERENCE_PX2):
        return WIDEST_PX2
    s2 = (b2 - a2 * r2) / (r2 - 1.0) - DIFFERENCE_PX2
    return max(s2, 0.0)


@njit(cache=True, parallel=True, fastmath=True)
def _find(
    fine: Array, coarse: Array, least: float, room: int
) -> tuple[NDArray[np.int64], NDArray[np.int32], NDArray[np.float32]]:
    height, width = fine.shape
    counts = np.zeros(_BLOCKS, np.int64)
    places = np.empty((_BLOCKS, room, 2), np.int32)
    values = np.empty((_BLOCKS, room, 3), np.float32)
    least2 = np.float32(least * least)
    for block in prange(_BLOCKS):
        n = 0
        for y in range(max(block * height // _BLOCKS, 3), min((block + 1) * height // _BLOCKS, height - 3)):
            for x in range(3, width - 3):
                gx = (fine[y, x + 1] - fine[y, x - 1]) * np.float32(0.5)
                gy = (fine[y + 1, x] - fine[y - 1, x]) * np.float32(0.5)
                m2 = gx * gx + gy * gy
                if m2 < least2 or n >= room:
                    continue
                # the greatest gradient among the neighbours across the edge
                ax, ay = abs(gx), abs(gy)
                if ax > 2.414 * ay:
                    dx, dy = 1, 0
                elif ay > 2.414 * ax:
                    dx, dy = 0, 1
                elif (gx > 0) == (gy > 0):
                    dx, dy = 1, 1
                else:
                    dx, dy = 1, -1
                px = (fine[y + dy, x + dx + 1] - fine[y + dy, x + dx - 1]) * np.float32(0.5)
                py = (fine[y + dy + 1, x + dx] - fine[y + dy - 1, x + dx]) * np.float32(0.5)
                if px * px + py * py > m2:
                    continue
                px = (fine[y - dy, x - dx + 1] - fine[y - dy, x - dx - 1]) * np.float32(0.5)
                py = (fine[y - dy + 1, x - dx] - fine[y - dy - 1, x - dx]) * np.float32(0.5)
                if px * px + py * py >= m2:
                    continue
                cx = (coarse[y, x + 1] - coarse[y, x - 1]) * np.float32(0.5)
                cy = (coarse[y + 1, x] - coarse[y - 1, x]) * np.float32(0.5)
                m = np.sqrt(m2)
                c = (cx * gx + cy * gy) / m
                if c <= np.float32(0.0):
                    continue
                s2 = _spread2(m / c)
                places[block, n, 0] = x
                places[block, n, 1] = y
                values[block, n, 0] = np.arctan2(gy, gx)
                values[block, n, 1] = s2
                values[block, n, 2] = m * np.sqrt(
                    np.float32(6.2831853) * np.float32(s2 + DIFFERENCE_PX2 + FINE_PX * FINE_PX)
                )
                n += 1
        counts[block] = n
    return counts, places, values


def find_edges(pair: Smoothed, least_step: float = 0.04) -> Edges:
    """Edge points whose gradient stands clear of the noise and whose step is at least `least_step`."""
    # after the fine Gaussian, grain of n leaves a gradient noise of about n / (sqrt(8 pi) s^2) = 0.2 n
    floor = max(6.0 * 0.2 * pair.noise, 0.004)
    height, width = pair.fine.shape
    counts, places, values = _find(pair.fine, pair.coarse, floor, max(height * width // _BLOCKS // 6, 64))
    place = np.concatenate([places[i, :n] for i, n in enumerate(counts)])
    value = np.concatenate([values[i, :n] for i, n in enumerate(counts)])
    edges = Edges(
        np.ascontiguousarray(place[:, 0]), np.ascontiguousarray(place[:, 1]), np.ascontiguousarray(value[:, 0]),
        np.ascontiguousarray(value[:, 1]), np.ascontiguousarray(value[:, 2]),
    )  # fmt: skip
    return edges.chosen(edges.step >= least_step)


@njit(cache=True, parallel=True, fastmath=True)
def _at(
    fine: Array, coarse: Array, x: Array, y: Array, angle: Array, reach: int, out: NDArray[np.float32]
) -> None:
    height, width = fine.shape
    for i in prange(x.size):
        nx, ny = np.cos(angle[i]), np.sin(angle[i])
        best = np.float32(0.0)
        at = -1000
        for k in range(-reach, reach + 1):
            u = int(np.floor(x[i] + k * nx + 0.5))
            v = int(np.floor(y[i] + k * ny + 0.5))
            if u < 2 or v < 2 or u >= width - 2 or v >= height - 2:
                continue
            c = (
                (coarse[v, u + 1] - coarse[v, u - 1]) * nx + (coarse[v + 1, u] - coarse[v - 1, u]) * ny
            ) * 0.5
            # nearer wins when equal: an edge further off is more likely another edge
            c *= 1.0 - 0.03 * abs(k)
            if c > best:
                best = np.float32(c)
                at = k
        out[i, 0] = -1.0
        if at == -1000:
            continue
        fine_best = np.float32(0.0)
        coarse_there = np.float32(0.0)
        for k in range(at - 1, at + 2):
            u = int(np.floor(x[i] + k * nx + 0.5))
            v = int(np.floor(y[i] + k * ny + 0.5))
            if u < 2 or v < 2 or u >= width - 2 or v >= height - 2:
                continue
            f = ((fine[v, u + 1] - fine[v, u - 1]) * nx + (fine[v + 1, u] - fine[v - 1, u]) * ny) * 0.5
            if f > fine_best:
                fine_best = np.float32(f)
                coarse_there = np.float32(
                    ((coarse[v, u + 1] - coarse[v, u - 1]) * nx + (coarse[v + 1, u] - coarse[v - 1, u]) * ny)
                    * 0.5
                )
        if fine_best <= 0.0 or coarse_there <= 0.0:
            continue
        s2 = _spread2(float(fine_best / coarse_there))
        out[i, 0] = s2
        out[i, 1] = fine_best * np.sqrt(6.2831853 * (s2 + DIFFERENCE_PX2 + FINE_PX * FINE_PX))


def spread_at(pair: Smoothed, x: Array, y: Array, angle: Array, reach_px: int = 6) -> tuple[Array, Array]:
    """Squared spread [px^2] and step of `pair` at given edges, looked for up to `reach_px` across each edge.

    Where no edge of the same direction and sense is found, the spread is -1.
    """
    out = np.zeros((x.size, 2), np.float32)
    _at(
        pair.fine, pair.coarse, x.astype(np.float32), y.astype(np.float32), angle.astype(np.float32), reach_px, out
    )  # fmt: skip
    return np.ascontiguousarray(out[:, 0]), np.ascontiguousarray(out[:, 1])
