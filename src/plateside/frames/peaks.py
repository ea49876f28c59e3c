"""Where a frame is sharpest, drawn: its sharp edges themselves, and the parts of the frame that they stand in."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.frames.edges import find_edges, smoothed
from plateside.frames.sharpness import at_work_size, tile_spreads

_WORSE = 1.3
_SLACK_PX2 = 0.1
"""An edge counts as sharp up to so many times the best part's squared spread and so much more [px^2]: chosen by eye on
rendered frames with a known plane of focus, no source."""


@dataclass(frozen=True, eq=False)
class Peaks:
    """What is sharp."""

    mask: NDArray[np.uint8]
    """1 at sharp edges, at the working size (`sharpness.WORK_PX`)"""
    sharpest_at: tuple[float, float] | None
    """middle of the sharpest part, shares of the frame; None in a frame without edges"""


def peaks_of(picture: NDArray[np.uint8]) -> Peaks:
    """Sharp edges of a display picture (height x width x 3, uint8)."""
    work = at_work_size(picture)
    high, wide = work.shape[:2]
    edges = find_edges(smoothed(work))
    tiles = tile_spreads(edges, wide, high)
    mask = np.zeros((high, wide), np.uint8)
    if not np.any(np.isfinite(tiles)):
        return Peaks(mask, None)
    rows, columns = tiles.shape
    row, column = np.unravel_index(int(np.nanargmin(tiles)), tiles.shape)
    most = float(tiles[row, column]) * _WORSE + _SLACK_PX2
    # a lone sharp edge in a soft part is chance
    part = tiles[edges.y * rows // high, edges.x * columns // wide]
    sharp = (edges.spread2 <= most) & (part <= most)
    mask[edges.y[sharp], edges.x[sharp]] = 1
    return Peaks(mask, ((column + 0.5) / columns, (row + 0.5) / rows))
