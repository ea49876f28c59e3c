"""Where a frame is sharp and where it is not, and by what kind of blur.

Measured on edges (see `edges`): the sharpest quarter of the edges of a region stands for it, because soft things
(shadows, steam, cream) have soft edges in the sharpest picture. Spread is fitted over the edges' directions:
s^2(angle) = level + along x (1 + cos 2(angle - direction)) / 2.
"""

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.blur_features import alone
from plateside.frames.edges import Edges, at_rank, find_edges, smoothed
from plateside.frames.facts import Box, FocusFacts
from plateside.frames.subject import on_subject

FEWEST = 40
"""A region with fewer edges says nothing."""
TILES = (12, 8)
WORK_PX = 1500
ACROSS_RAD = float(np.radians(30))
SHARP_PX2 = 0.6
FEWEST_TILES = 5
CORE, FEWEST_IN_CORE = 0.75, 150
"""Of the hero's box, each way."""
WAYS, FEWEST_OF_A_WAY, CLEAR = 4, 8, 0.5
"""Of a tile's edges of one direction: half of them are sharp."""
STREAK_AT_1, STREAK_POWER = 3.65, 0.514
QUARTER = 25
ROWS = 24


def profile(edges: Edges, percentile: float = QUARTER) -> tuple[float, float, float]:
    """(level, along, direction): least spread^2, what one direction adds [px^2], that direction [deg, 0..180).

    Twelve directions of edges, each given by its sharper edges; a least-squares fit over those that have enough.
    """
    if len(edges.by_direction) < 5:
        level = float(np.percentile(edges.spread2, percentile)) if len(edges) else 0.0
        return level, 0.0, 0.0
    a = np.array([middle for middle, _ in edges.by_direction])
    values = np.array([at_rank(here, percentile / 100) for _, here in edges.by_direction])
    numbers = np.array([here.size for _, here in edges.by_direction])
    design = np.stack([np.ones_like(a), np.cos(2 * a), np.sin(2 * a)], axis=1)
    w = np.minimum(numbers, 400) ** 0.5
    mean, c, s = np.linalg.lstsq(design * w[:, None], values * w, rcond=None)[0]
    swing = float(np.hypot(c, s))
    # image angles grow downwards; people count them upwards
    direction = float(-np.degrees(np.arctan2(s, c) / 2) % 180.0)
    return max(float(mean) - swing, 0.0), 2 * swing, direction


def tile_spreads(edges: Edges, width: int, height: int) -> NDArray[np.float64]:
    """Squared spread of each tile's sharper edges, rows x columns; nan where there are too few."""
    columns, rows = TILES
    where = np.asarray((edges.y * rows // height) * columns + edges.x * columns // width, np.uint8)
    parts = edges.parted(where, columns * rows)
    ranks = [at_rank(p, QUARTER / 100) if p.size >= FEWEST // 2 else np.nan for p in parts]
    return np.array(ranks).reshape(rows, columns)


def sharp_across(edges: Edges, direction_deg: float, width: int, height: int) -> float:
    """Of the tiles in which edges across the direction are seen: those where they are sharp; -1 where these are few.

    A camera that moved has moved everything: no such edge stays sharp anywhere.
    """
    off = np.abs((edges.angle + np.radians(direction_deg) + np.pi / 2) % np.pi - np.pi / 2)
    tiles = tile_spreads(edges.chosen(off < ACROSS_RAD), width, height)
    known = tiles[np.isfinite(tiles)]
    return float((known < SHARP_PX2).mean()) if known.size >= FEWEST_TILES else -1.0


def clear_share(edges: Edges, width: int, height: int) -> float:
    """Of the tiles that show edges of several directions: those where they are sharp in each; -1 where these are few.

    A camera that moved leaves edges sharp in one direction only, a lens out of focus in none.
    """
    columns, rows = TILES
    tile = (edges.y * rows // height) * columns + edges.x * columns // width
    way = (np.floor((edges.angle % np.pi) / np.pi * WAYS).astype(np.intp)) % WAYS
    where = tile * WAYS + way
    number = np.bincount(where, minlength=columns * rows * WAYS).reshape(-1, WAYS)
    sharp = np.bincount(where, edges.spread2 < SHARP_PX2, columns * rows * WAYS).reshape(-1, WAYS)
    seen = number >= FEWEST_OF_A_WAY
    known = seen.sum(axis=1) >= 2
    clear = ((sharp >= CLEAR * number) | ~seen).all(axis=1) & known
    return float(clear.sum() / known.sum()) if int(known.sum()) >= FEWEST_TILES else -1.0


def inner(box: Box) -> Box:
    """The middle of a hero's box, which the hero fills whatever its shape."""
    x, y = (1 - CORE) / 2 * (box[2] - box[0]), (1 - CORE) / 2 * (box[3] - box[1])
    return box[0] + x, box[1] + y, box[2] - x, box[3] - y


def at_work_size(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The picture no longer than WORK_PX: blur that is not seen there is not seen on a page either."""
    height, width = picture.shape[:2]
    if max(height, width) <= WORK_PX:
        return picture
    scale = WORK_PX / max(height, width)
    size = (round(width * scale), round(height * scale))
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)


def focus_of(picture: NDArray[np.uint8], subject_box: Box, *, early: bool = False) -> FocusFacts:
    """Focus facts of a display picture (height x width x 3, uint8).

    The hero's spread is measured in the picture as given; all else at working size and at half of it, and told in
    pixels of the picture as given.

    early  the hero's is measured at working size as well: a quick look, made whole by `in_full`
    """
    height, width = picture.shape[:2]
    work = at_work_size(picture)
    high, wide = work.shape[:2]
    half = np.asarray(cv2.resize(work, (wide // 2, high // 2), interpolation=cv2.INTER_AREA), np.uint8)
    pair = smoothed(work)
    work_edges = find_edges(pair)
    work_subject, work_around = _parts(work_edges, wide, high, subject_box)
    work_tiles = tile_spreads(work_edges, wide, high)
    half_subject, half_around = _parts(find_edges(smoothed(half)), wide // 2, high // 2, subject_box)
    scale = max(width, height) / max(wide, high)
    x0, y0, x1, y1 = subject_box
    best_on_subject = _least(tile_spreads(work_subject, wide, high))
    area_px = (x1 - x0) * (y1 - y0) * wide * high
    features = alone(
        work_subject, work_around, half_subject, half_around, work_tiles, best_on_subject, area_px
    )
    core_box = inner(subject_box)
    work_core, half_core = (_parts(e, w, h, core_box)[0] for e, w, h in (
        (work_subject, wide, high), (half_subject, wide // 2, high // 2)
    ))  # fmt: skip
    core = () if len(work_core) < FEWEST_IN_CORE else alone(
        work_core, work_around, half_core, half_around, work_tiles, _least(tile_spreads(work_core, wide, high)),
        area_px * CORE**2,
    )  # fmt: skip
    best, at = None, None
    if np.any(np.isfinite(work_tiles)):
        row, column = np.unravel_index(int(np.nanargmin(work_tiles)), work_tiles.shape)
        best = float(np.sqrt(work_tiles[row, column])) * scale
        at = ((column + 0.5) / work_tiles.shape[1], (row + 0.5) / work_tiles.shape[0])
    around_spread, spread = _spread(work_around), _spread(work_subject)
    _, along, direction = profile(work_subject)
    _, around_along, around_direction = profile(work_around)
    focus = FocusFacts(
        subject_spread_px=None if spread is None else spread * scale,
        around_spread_px=None if around_spread is None else around_spread * scale,
        best_spread_px=best,
        sharpest_at=at,
        along_px2=along,
        direction_deg=direction,
        around_along_px2=around_along,
        around_direction_deg=around_direction,
        edges_on_subject=len(work_subject),
        edges_around=len(work_around),
        noise=pair.noise,
        measured_px=max(width, height),
        features=features,
        rows_px2=row_spreads(work_edges, high),
        sharp_across=sharp_across(work_around, direction, wide, high),
        core=core,
        clear_share=clear_share(work_edges, wide, high),
    )
    return focus if early else in_full(focus, picture, subject_box)


def in_full(focus: FocusFacts, picture: NDArray[np.uint8], subject_box: Box) -> FocusFacts:
    """With the hero, which alone is worth it, measured at the picture's full size."""
    if max(picture.shape[:2]) <= WORK_PX:
        return focus
    subject = _subject_edges(picture, subject_box)
    return replace(focus, subject_spread_px=_spread(subject), edges_on_subject=len(subject))


def row_spreads(edges: Edges, height: int) -> tuple[float, ...]:
    """Squared spread of the sharper edges in ROWS bands from top to bottom; -1 where there are too few."""
    band = np.asarray(edges.y * ROWS // height, np.uint8)
    parts = edges.parted(band, ROWS)
    return tuple(round(at_rank(p, QUARTER / 100), 4) if p.size >= FEWEST else -1.0 for p in parts)


def _subject_edges(picture: NDArray[np.uint8], box: Box) -> Edges:
    """Edges of the hero, from its part of the picture at full size."""
    height, width = picture.shape[:2]
    left, top = max(int(box[0] * width) - 8, 0), max(int(box[1] * height) - 8, 0)
    part = picture[top : int(box[3] * height) + 8, left : int(box[2] * width) + 8]
    edges = find_edges(smoothed(np.ascontiguousarray(part)))
    return edges.chosen(on_subject(edges.x + left, edges.y + top, box, width, height))


def _parts(edges: Edges, width: int, height: int, box: Box) -> tuple[Edges, Edges]:
    inside = on_subject(edges.x, edges.y, box, width, height)
    return edges.chosen(inside), edges.chosen(~inside)


def _least(tiles: NDArray[np.float64]) -> float:
    known = tiles[np.isfinite(tiles)]
    return float(np.sqrt(known.min())) if known.size else 4.0


def _spread(edges: Edges) -> float | None:
    return float(np.sqrt(np.percentile(edges.spread2, QUARTER))) if len(edges) >= FEWEST else None


def streak_px(along_px2: float) -> float:
    """Length of a streak [px of the picture measured] from how much its direction adds to the squared spread.

    Fitted on made shakes of 4 to 17 px (bench/frames.py): among other edges a long streak shows less than the
    box it is, so the square root that theory gives for a lone edge is too steep.
    """
    return float(STREAK_AT_1 * max(along_px2, 0.0) ** STREAK_POWER)
