"""Where a frame is sharp and where it is not, and by what kind of blur.

Measured on edges (see `edges`): the sharpest quarter of the edges of a region stands for it, because soft things
(shadows, steam, cream) have soft edges in the sharpest picture. Spread is fitted over the edges' directions:
s^2(angle) = level + along x (1 + cos 2(angle - direction)) / 2.
"""

import numpy as np
from numpy.typing import NDArray

from plateside.frames.edges import Edges, find_edges, smoothed
from plateside.frames.facts import Box, FocusFacts

FEWEST = 40
"""A region with fewer edges says nothing."""
TILES = (12, 8)
NOMINAL_WIDTH_PX = 3000
QUARTER = 25


def profile(edges: Edges, percentile: float = QUARTER) -> tuple[float, float, float]:
    """(level, along, direction): least spread^2, what one direction adds [px^2], that direction [deg, 0..180).

    Twelve directions of edges, each given by its sharper edges; a least-squares fit over those that have enough.
    """
    bins = (np.floor((edges.angle % np.pi) / np.pi * 12).astype(int)) % 12
    middles, values, weights = [], [], []
    for k in range(12):
        here = edges.spread2[bins == k]
        if here.size >= 12:
            middles.append((k + 0.5) * np.pi / 12)
            values.append(float(np.percentile(here, percentile)))
            weights.append(min(here.size, 400) ** 0.5)
    if len(middles) < 5:
        level = float(np.percentile(edges.spread2, percentile)) if len(edges) else 0.0
        return level, 0.0, 0.0
    a = np.array(middles)
    design = np.stack([np.ones_like(a), np.cos(2 * a), np.sin(2 * a)], axis=1)
    w = np.array(weights)
    mean, c, s = np.linalg.lstsq(design * w[:, None], np.array(values) * w, rcond=None)[0]
    swing = float(np.hypot(c, s))
    # image angles grow downwards; people count them upwards
    direction = float(-np.degrees(np.arctan2(s, c) / 2) % 180.0)
    return max(float(mean) - swing, 0.0), 2 * swing, direction


def in_box(edges: Edges, box: Box, width: int, height: int) -> NDArray[np.bool_]:
    """Which edges lie in a box of shares."""
    x0, y0, x1, y1 = box
    across = (edges.x >= x0 * width) & (edges.x < x1 * width)
    return np.asarray(across & (edges.y >= y0 * height) & (edges.y < y1 * height))


def tile_spreads(edges: Edges, width: int, height: int) -> NDArray[np.float64]:
    """Squared spread of each tile's sharper edges, rows x columns; nan where there are too few."""
    columns, rows = TILES
    where = (edges.y * rows // height) * columns + edges.x * columns // width
    order = np.argsort(where, kind="stable")
    cuts = np.searchsorted(where[order], np.arange(columns * rows + 1))
    out = np.full(columns * rows, np.nan)
    for i in range(columns * rows):
        part = edges.spread2[order[cuts[i] : cuts[i + 1]]]
        if part.size >= FEWEST // 2:
            out[i] = np.percentile(part, QUARTER)
    return out.reshape(rows, columns)


def focus_of(picture: NDArray[np.uint8], subject_box: Box) -> FocusFacts:
    """Focus facts of a display picture (height x width x 3, uint8)."""
    pair = smoothed(picture)
    return focus_of_edges(find_edges(pair), picture.shape[1], picture.shape[0], subject_box, pair.noise)


def focus_of_edges(edges: Edges, width: int, height: int, subject_box: Box, noise: float) -> FocusFacts:
    """As `focus_of`, of edges already found."""
    unit = NOMINAL_WIDTH_PX / max(width, height)
    inside = in_box(edges, subject_box, width, height)
    subject, around = edges.chosen(inside), edges.chosen(~inside)
    tiles = tile_spreads(edges, width, height)
    best, at = None, None
    if np.any(np.isfinite(tiles)):
        row, column = np.unravel_index(int(np.nanargmin(tiles)), tiles.shape)
        best = float(np.sqrt(tiles[row, column])) * unit
        at = ((column + 0.5) / tiles.shape[1], (row + 0.5) / tiles.shape[0])
    _, along, direction = profile(subject)
    _, around_along, around_direction = profile(around)
    return FocusFacts(
        subject_spread_px=_spread(subject, unit),
        around_spread_px=_spread(around, unit),
        best_spread_px=best,
        sharpest_at=at,
        along_px2=along * unit**2,
        direction_deg=direction,
        around_along_px2=around_along * unit**2,
        around_direction_deg=around_direction,
        edges_on_subject=len(subject),
        edges_around=len(around),
        noise=noise,
    )


def _spread(edges: Edges, unit: float) -> float | None:
    return float(np.sqrt(np.percentile(edges.spread2, QUARTER))) * unit if len(edges) >= FEWEST else None
