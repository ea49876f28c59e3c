"""Numbers by which the kinds of blur are told apart, from one frame alone or against its reference.

Each list is documented by its NAMES; `kinds` turns them into probabilities with weights that
`tests/synthetic/fit_kinds.py` fitted. Squared spreads enter as signed square roots (pixels), so that small differences
near sharpness count most.
"""

import numpy as np
from numpy.typing import NDArray

from plateside.frames.edges import Edges, at_rank
from plateside.frames.softer import Softening

ALONE_NAMES = (
    "subject 10 %", "subject 25 %", "subject 50 %", "around 10 %", "around 25 %", "around 50 %",
    "subject sharp share", "around sharp share",
    "subject least direction", "subject most direction", "around least direction", "around most direction",
    "directions agree", "subject 25 % at half size", "around 25 % at half size",
    "subject along at half size", "around along at half size", "subject minus around", "subject's sharpest tile",
    "tiles sharp", "subject's edges",
)  # fmt: skip
AGAINST_NAMES = (
    "subject median", "around median", "subject least direction", "subject along", "around least direction",
    "around along", "directions agree", "subject softer share", "around softer share", "around sharper share",
    "subject along over level", "around along over level", "subject minus around",
)  # fmt: skip

SHARP_PX2 = 1.0


def root(value: float) -> float:
    """Square root that keeps the sign."""
    return float(np.sign(value) * np.sqrt(abs(value)))


def _quantiles(edges: Edges) -> tuple[float, float, float]:
    if len(edges) < 30:
        return 4.0, 4.0, 4.0
    a, b, c = np.percentile(edges.spread2, [10, 25, 50])
    return float(np.sqrt(a)), float(np.sqrt(b)), float(np.sqrt(c))


def _sharp_share(edges: Edges) -> float:
    return float(np.mean(edges.spread2 < SHARP_PX2)) if len(edges) else 0.0


def directional(edges: Edges) -> tuple[float, float, float, float]:
    """(least, most, along, direction [rad]) of the spread over twelve directions [px, px, px^2]."""
    if len(edges.by_direction) < 5:
        return 0.0, 0.0, 0.0, 0.0
    a = np.array([middle for middle, _ in edges.by_direction])
    values = np.array([at_rank(here, 0.25) for _, here in edges.by_direction])
    design = np.stack([np.ones_like(a), np.cos(2 * a), np.sin(2 * a)], axis=1)
    mean, c, s = np.linalg.lstsq(design, values, rcond=None)[0]
    swing = float(np.hypot(c, s))
    return root(float(mean) - swing), root(float(mean) + swing), 2 * swing, float(np.arctan2(s, c) / 2)


def alone(
    subject: Edges,
    around: Edges,
    subject_half: Edges,
    around_half: Edges,
    tiles: NDArray[np.float64],
    best_on_subject: float,
    area_px: float,
) -> tuple[float, ...]:
    """Features of a frame by itself, in the order of ALONE_NAMES.

    `..._half`: edges of the picture at half size; `tiles`: squared spreads of the tiles;
    `best_on_subject`: spread of the subject's sharpest tile [px];
    `area_px`: pixels of the subject.
    """
    s, a = _quantiles(subject), _quantiles(around)
    s_low, s_high, s_along, s_turn = directional(subject)
    a_low, a_high, a_along, a_turn = directional(around)
    agree = float(np.cos(2 * (s_turn - a_turn)) * min(s_along, a_along, 4.0))
    _, _, s_half_along, _ = directional(subject_half)
    _, _, a_half_along, _ = directional(around_half)
    known = tiles[np.isfinite(tiles)]
    return (
        *s, *a, _sharp_share(subject), _sharp_share(around), s_low, s_high, a_low, a_high, agree,
        _quantiles(subject_half)[1], _quantiles(around_half)[1], root(s_half_along), root(a_half_along), s[1] - a[1],
        best_on_subject,
        float(np.mean(known < 1.5)) if known.size else 0.0,
        float(np.log10((len(subject) + 1) / area_px)),
    )  # fmt: skip


def against(soft: Softening) -> tuple[float, ...]:
    """Features of a frame against its reference, in the order of AGAINST_NAMES."""
    agree = float(
        np.cos(2 * np.radians(soft.subject_direction_deg - soft.around_direction_deg))
        * min(soft.subject_along, soft.around_along, 4.0)
    )
    s_level, a_level = max(soft.subject_level, 0.0), max(soft.around_level, 0.0)
    return (
        root(soft.subject_median), root(soft.around_median), root(soft.subject_level), root(soft.subject_along),
        root(soft.around_level), root(soft.around_along), agree, soft.subject_softer_share,
        soft.around_softer_share, soft.around_sharper_share,
        float(np.log((soft.subject_along + 0.2) / (s_level + 0.2))),
        float(np.log((soft.around_along + 0.2) / (a_level + 0.2))),
        root(soft.subject_median) - root(soft.around_median),
    )  # fmt: skip
