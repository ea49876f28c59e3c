"""Softer than the reference: the same edges measured in both frames, so that what was always soft is forgiven."""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.edges import Array, Edges, Smoothed, find_edges, rank, spread_at
from plateside.frames.facts import Box
from plateside.frames.part_blur import PartBlur
from plateside.frames.register import Registration, moved
from plateside.frames.subject import on_subject

MOST_EDGES = 60000
STEP_RANGE = (0.35, 2.6)
REACH_PX = 7
TILES = (12, 8)
WITHIN = float(np.radians(35))
"""An edge lies across a direction, or along it, within this."""
GREW, STAYED = 0.4, 0.25
"""Of the squared spread [px^2]: softer, and as sharp as before."""
FEWEST_TILES = 3
FAR = 1.4
"""Times the hero's box: what lies beyond is around it without doubt."""
FEWEST_FAR, FAR_STAYED, FAR_SLACK = 5, 0.3, 0.3
PART_TILES = 10
PART_EDGES = 12
PART_GREW = 0.7
PART_SOFT = 0.4


@dataclass(frozen=True)
class Softening:
    """How the spread of the reference's edges grew, in squared pixels (negative: sharper now)."""

    subject_level: float
    """In the direction in which it grew least."""
    subject_along: float
    """How much more it grew in the other direction."""
    subject_direction_deg: float
    around_level: float
    around_along: float
    around_direction_deg: float
    subject_edges: int
    around_edges: int
    subject_median: float
    around_median: float
    around_sharper_share: float
    """Share of the tiles around the subject that are clearly sharper than in the reference."""
    around_softer_share: float
    subject_softer_share: float
    found_share: float
    """Share of the reference's edges that were found again at all."""
    subject_spread2: float
    """Squared spread of the subject's sharper edges, in this frame."""
    around_spread2: float
    reference_subject_spread2: float
    reference_around_spread2: float
    direction_share: float = -1.0
    """How much less edges grew that lie along the direction than those across it, in the same part of the frame: 1 for
    a straight streak, 0 for a lens out of focus; of all tiles; -1 where too few show both."""
    around_direction_share: float = -1.0
    """The same around the subject alone."""
    stayed_share: float = -1.0
    """Of the tiles in which edges across the direction are seen: those where these did not grow."""
    part_share: float = 0.0
    """Of the subject's tiles: the largest connected part that grew softer while most others stayed sharp."""
    part_at: tuple[float, float] = (0.5, 0.5)
    """Middle of that part, shares of the frame."""
    part_along: float = -1.0
    """How much of that part's blur is in one direction (`part_blur`), 0 to 1; -1 where it does not tell."""
    far_stayed_share: float = -1.0
    """Of the tiles well away from the hero: those that are as sharp as before; -1 where there are too few. Beside the
    hero's box lies what of the hero does not fit into it."""
    around_streaked: float = 0.0
    """How much better fine detail well away from the hero is explained by the hero's streak than as it was
    (`streaked_around`): above nothing the camera moved, below it stood still; 0 where that does not tell."""


def reference_edges(pair: Smoothed) -> Edges:
    """The edges of a reference by which later frames are judged: clear ones, a fixed sample of at most 60,000."""
    edges = find_edges(pair, 0.06)
    if len(edges) > MOST_EDGES:
        edges = edges.chosen(np.random.default_rng(0).permutation(len(edges))[:MOST_EDGES])
    return edges


def softening(reference: Edges, frame: Smoothed, fit: Registration, subject_box: Box) -> Softening:
    """Compare a frame (same size as the reference) with the reference's edges."""
    height, width = frame.fine.shape
    x, y = moved(reference.x.astype(np.float32), reference.y.astype(np.float32), fit.matrix)
    turned = reference.angle + np.float32(np.radians(fit.turn_deg))
    inside = (x > 4) & (y > 4) & (x < width - 5) & (y < height - 5)
    unit = max(width, height) / 1200
    now, step = spread_at(frame, x, y, turned, round(REACH_PX * max(unit, 1.0)))
    ratio = step / np.maximum(reference.step, 1e-3)
    found = (now >= 0) & (ratio > STEP_RANGE[0]) & (ratio < STEP_RANGE[1]) & inside
    rx, ry = reference.x, reference.y
    hero = on_subject(rx, ry, subject_box, width, height)
    grown = now - reference.spread2
    subject, around = found & hero, found & ~hero
    s_level, s_along, s_direction = grown_profile(reference.angle[subject], grown[subject])
    a_level, a_along, a_direction = grown_profile(reference.angle[around], grown[around])
    tiles = _tile_medians(rx, ry, grown, found, width, height)
    middle = _tile_inside(subject_box)
    turn = a_direction if a_along > s_along else s_direction
    share, around_share, stayed = _in_place(
        reference.angle, rx, ry, grown, found, turn, middle, width, height
    )
    part, part_at = _softer_part(rx, ry, grown, subject, subject_box, width, height)
    far = found & ~on_subject(rx, ry, widened(subject_box), width, height)
    # of what was melted before, less can be told
    change = grown / (1 + FAR_SLACK * reference.spread2)
    far_stayed = _stayed(reference.angle, rx, ry, change, far, turn, width, height)
    return Softening(
        s_level, s_along, s_direction, a_level, a_along, a_direction,
        int(subject.sum()), int(around.sum()),
        _median(grown[subject]), _median(grown[around]),
        _share(tiles[~middle] < -0.6), _share(tiles[~middle] > 1.2), _share(tiles[middle] > 1.2),
        float(found.sum() / max(int(inside.sum()), 1)),
        _quarter(now[subject]), _quarter(now[around]),
        _quarter(reference.spread2[subject]), _quarter(reference.spread2[around]),
        share, around_share, stayed, part, part_at, far_stayed_share=far_stayed,
    )  # fmt: skip


def with_part(soft: Softening, part: PartBlur) -> Softening:
    """With the blurred part of the hero that was found without its edges, where that is the larger."""
    if part.share <= 0:
        return soft
    if part.share < soft.part_share:
        return replace(soft, part_along=part.along)
    return replace(soft, part_share=part.share, part_at=part.at, part_along=part.along)


def grown_profile(angle: Array, grown: Array) -> tuple[float, float, float]:
    """(level, along [px^2], direction [deg]): least growth, what one direction adds, that direction."""
    bins = (np.floor((angle % np.pi) / np.pi * 12).astype(int)) % 12
    middles, values, weights = [], [], []
    for k in range(12):
        here = grown[bins == k]
        if here.size >= 10:
            middles.append((k + 0.5) * np.pi / 12)
            values.append(rank(here, 0.5))
            weights.append(min(here.size, 400) ** 0.5)
    if len(middles) < 5:
        return _median(grown), 0.0, 0.0
    a, w = np.array(middles), np.array(weights)
    design = np.stack([np.ones_like(a), np.cos(2 * a), np.sin(2 * a)], axis=1)
    mean, c, s = np.linalg.lstsq(design * w[:, None], np.array(values) * w, rcond=None)[0]
    swing = float(np.hypot(c, s))
    return float(mean) - swing, 2 * swing, float(-np.degrees(np.arctan2(s, c) / 2) % 180.0)


def _tile_medians(
    x: NDArray, y: NDArray, grown: Array, found: NDArray[np.bool_], width: int, height: int
) -> NDArray[np.float64]:
    columns, rows = TILES
    where = ((y * rows // height) * columns + x * columns // width)[found]
    values = grown[found]
    order = np.argsort(where, kind="stable")
    cuts = np.searchsorted(where[order], np.arange(columns * rows + 1))
    out = np.full(columns * rows, np.nan)
    for i in range(columns * rows):
        part = values[order[cuts[i] : cuts[i + 1]]]
        if part.size >= 15:
            out[i] = rank(part, 0.5)
    return out.reshape(rows, columns)


def widened(box: Box) -> Box:
    """The hero's box with what lies next to it."""
    x, y = (FAR - 1) / 2 * (box[2] - box[0]), (FAR - 1) / 2 * (box[3] - box[1])
    return box[0] - x, box[1] - y, box[2] + x, box[3] + y


def _stayed(
    angle: Array, x: NDArray, y: NDArray, grown: Array, where: NDArray[np.bool_], turn_deg: float, width: int,
    height: int,
) -> float:  # fmt: skip
    """Share of the tiles in which neither all edges nor those across the direction grew; -1 when there are few."""
    off = np.abs((angle + np.radians(turn_deg) + np.pi / 2) % np.pi - np.pi / 2)
    every = _tile_medians(x, y, grown, where, width, height)
    across = _tile_medians(x, y, grown, where & (off < WITHIN), width, height)
    measured = np.isfinite(every)
    if int(measured.sum()) < FEWEST_FAR:
        return -1.0
    changed = np.fmax(np.abs(every), np.abs(across))[measured]
    return float((changed < FAR_STAYED).mean())


def _in_place(
    angle: Array, x: NDArray, y: NDArray, grown: Array, found: NDArray[np.bool_], turn_deg: float,
    middle: NDArray[np.bool_], width: int, height: int,
) -> tuple[float, float, float]:  # fmt: skip
    """(direction share, the same around, stayed share) from edges of the same tile in both directions."""
    off = np.abs((angle + np.radians(turn_deg) + np.pi / 2) % np.pi - np.pi / 2)
    across = _tile_medians(x, y, grown, found & (off < WITHIN), width, height)
    along = _tile_medians(x, y, grown, found & (off > np.pi / 2 - WITHIN), width, height)
    measured = np.isfinite(across)
    both = measured & np.isfinite(along) & (np.maximum(across, along) > GREW)
    part = (across - along) / np.maximum(np.maximum(across, along), GREW)
    share, around = (
        float(np.median(part[where])) if int(where.sum()) >= FEWEST_TILES else -1.0
        for where in (both, both & ~middle)
    )
    stayed = float((across[measured] < STAYED).mean()) if int(measured.sum()) >= FEWEST_TILES else -1.0
    return share, around, stayed


def _softer_part(
    x: NDArray, y: NDArray, grown: Array, subject: NDArray[np.bool_], box: Box, width: int, height: int
) -> tuple[float, tuple[float, float]]:
    """(share, middle) of the largest part of the subject that grew softer by itself."""
    x0, y0, x1, y1 = box[0] * width, box[1] * height, box[2] * width, box[3] * height
    column = np.clip((x[subject] - x0) / max(x1 - x0, 1.0) * PART_TILES, 0, PART_TILES - 1).astype(int)
    row = np.clip((y[subject] - y0) / max(y1 - y0, 1.0) * PART_TILES, 0, PART_TILES - 1).astype(int)
    tile, cells = row * PART_TILES + column, PART_TILES * PART_TILES
    softer = np.bincount(tile, grown[subject] > PART_GREW, cells)
    sharper = np.bincount(tile, grown[subject] < -PART_GREW, cells)
    number = np.bincount(tile, minlength=cells)
    known = number >= PART_EDGES
    # what was laid on the dish meanwhile makes some edges softer and others sharper
    soft = known & (softer - 2 * sharper > PART_SOFT * number)
    if not soft.any():
        return 0.0, (0.5, 0.5)
    shape = (PART_TILES, PART_TILES)
    _, labels = cv2.connectedComponents(soft.reshape(shape).astype(np.uint8), connectivity=8)
    sizes = np.bincount(labels.ravel())
    sizes[0] = 0
    largest = labels == int(np.argmax(sizes))
    rows, columns = np.nonzero(largest)
    at = (
        box[0] + (float(columns.mean()) + 0.5) / PART_TILES * (box[2] - box[0]),
        box[1] + (float(rows.mean()) + 0.5) / PART_TILES * (box[3] - box[1]),
    )
    return float(largest.sum() / max(int(known.sum()), 1)), at


def _tile_inside(box: Box) -> NDArray[np.bool_]:
    columns, rows = TILES
    across = (np.arange(columns) + 0.5) / columns
    down = (np.arange(rows) + 0.5) / rows
    inside_x = (across > box[0]) & (across < box[2])
    inside_y = (down > box[1]) & (down < box[3])
    return np.asarray(inside_y[:, None] & inside_x[None, :])


def _median(values: NDArray) -> float:
    return float(np.median(values)) if values.size else 0.0


def _quarter(values: NDArray) -> float:
    return float(np.percentile(values, 25)) if values.size >= 40 else -1.0


def _share(flags: NDArray[np.bool_]) -> float:
    return float(flags.mean()) if flags.size else 0.0
