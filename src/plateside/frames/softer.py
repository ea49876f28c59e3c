"""Softer than the reference: the same edges measured in both frames, so that what was always soft is forgiven."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.frames.edges import Array, Edges, Smoothed, find_edges, rank, spread_at
from plateside.frames.facts import Box
from plateside.frames.register import Fit, moved
from plateside.frames.subject import on_subject

MOST_EDGES = 60000
STEP_RANGE = (0.35, 2.6)
REACH_PX = 7
TILES = (12, 8)


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


def reference_edges(pair: Smoothed) -> Edges:
    """The edges of a reference by which later frames are judged: clear ones, a fixed sample of at most 60,000."""
    edges = find_edges(pair, 0.06)
    if len(edges) > MOST_EDGES:
        edges = edges.chosen(np.random.default_rng(0).permutation(len(edges))[:MOST_EDGES])
    return edges


def softening(reference: Edges, frame: Smoothed, fit: Fit, subject_box: Box) -> Softening:
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
    return Softening(
        s_level, s_along, s_direction, a_level, a_along, a_direction,
        int(subject.sum()), int(around.sum()),
        _median(grown[subject]), _median(grown[around]),
        _share(tiles[~middle] < -0.6), _share(tiles[~middle] > 1.2), _share(tiles[middle] > 1.2),
        float(found.sum() / max(int(inside.sum()), 1)),
        _quarter(now[subject]), _quarter(now[around]),
        _quarter(reference.spread2[subject]), _quarter(reference.spread2[around]),
    )  # fmt: skip


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
