"""Frames of a burst grouped, the best one named with the measured reason.

A burst is a run of frames whose starts lie closer together than the camera's slowest press-to-press by hand: a second
after the end of the exposure before. Best is the sharpest on the subject among those that lost no more of its
highlights than the rest; of a pour, the best stream among those that are as sharp (unbroken before broken, then calm
before splashing); among equals the one nearest to the burst's exposure.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.facts import Box, FrameFacts
from plateside.frames.stream import Stream
from plateside.model.frame import Frame

HERO = "the hero"
GAP_S = 1.0
WHOLE_SECONDS_GAP_S = 1.99
"""Most cameras write whole seconds: two frames of one burst may seem up to nearly two seconds apart."""
SAME_SHARPNESS = 0.0005
"""Of fine contrast: what grain does to it. On made bursts three thousandths less was up to a quarter more blur."""
AS_SHARP = 0.015
"""Of fine contrast on the hand: so much less is given away for a better stream."""
LEAST_STREAM = 0.3
"""Of its fall: below, the pour had not begun or was over."""
DROPS = 3
"""Fewer drops than this are not told apart."""
LOST_MORE = 0.05
"""Share of the hero that may be clipped beyond the frame that lost least; blur alone hides a few hundredths."""


@dataclass(frozen=True)
class Burst:
    """Frames of one burst, by id, in order of time."""

    number: int
    frames: tuple[str, ...]


@dataclass(frozen=True)
class WhyBest:
    """Why a frame is the best of its burst."""

    code: str
    """only (that can be used), sharpest, as sharp (as any; then the exposure decided) or poured (the stream decided)"""
    on: str = HERO
    """where that was measured: the hero, the eyes, the hand, what moves"""
    low_share: float = 1.0
    high_share: float = 1.0
    """fine contrast of the others, shares of this frame's"""
    there: bool = True
    breaks: int = 0
    """of a pour: whether its stream is there, and its gaps"""
    worse_streams: int = 0
    softer: int = 0
    wilder: int = 0
    """of a pour: how many of the others have a worse stream, are softer, splash more"""


@dataclass(frozen=True)
class BestOf:
    """The best frame of a burst."""

    frame: str
    why: WhyBest | None
    """None: your own choice"""
    others: tuple[str, ...]
    """The rest, best first: kept as alternates."""
    on_hero: bool = False
    """It was chosen by nothing but the sharpness of the hero."""


def bursts(frames: Sequence[Frame]) -> tuple[Burst, ...]:
    """Runs of two or more frames taken in one go; frames without a time belong to none."""
    timed = [f for f in frames if f.settings.taken_at is not None]
    timed.sort(key=lambda f: (f.settings.taken_at, f.name))
    runs: list[list[Frame]] = []
    for frame in timed:
        if runs and _joined(runs[-1][-1], frame):
            runs[-1].append(frame)
        else:
            runs.append([frame])
    return tuple(
        Burst(n, tuple(f.id for f in run)) for n, run in enumerate((r for r in runs if len(r) > 1), start=1)
    )


def _joined(before: Frame, after: Frame) -> bool:
    a, b = before.settings, after.settings
    if a.taken_at is None or b.taken_at is None:
        return False
    whole = a.taken_at.microsecond == 0 and b.taken_at.microsecond == 0
    gap = (b.taken_at - a.taken_at).total_seconds() - (a.exposure_s or 0.0)
    # a bracket or a turned zoom is no burst of one moment
    same = a.focal_length_mm == b.focal_length_mm and a.f_number == b.f_number
    return same and gap <= (WHOLE_SECONDS_GAP_S if whole else GAP_S)


Detail = tuple[float, float, float]
"""Fine contrast by direction: mean of gx gx, gx gy, gy gy (the structure tensor) over the squared mean level."""
_TURNS = np.radians(np.arange(0, 180, 15))


def detail_in(picture: NDArray[np.uint8] | NDArray[np.float32], box: Box) -> Detail | None:
    """Fine contrast inside a box of a display picture (height x width, or x 3, 0..255): grows with sharpness.

    Mean square of the gradient (Tenengrad; Krotkov 1988, as surveyed by Pertuz, Puig and Garcia 2013) by direction,
    over the squared mean level, so that a brighter frame counts no more; smoothed by a pixel first, so that grain
    counts little. It compares frames of one scene with each other (`sharpnesses`) and says nothing alone. None when
    the box is empty or dark.
    """
    high, wide = picture.shape[:2]
    x0, y0, x1, y1 = (round(v * n) for v, n in zip(box, (wide, high, wide, high), strict=True))
    part = picture[max(y0, 0) : y1, max(x0, 0) : x1]
    if min(part.shape[:2]) < 8:
        return None
    light = part if part.ndim == 2 else cv2.cvtColor(part, cv2.COLOR_RGB2GRAY)
    level = cv2.GaussianBlur(light.astype(np.float32), (0, 0), 1.0)
    mean = float(level.mean())
    if mean < 2:
        return None
    across, down = cv2.Sobel(level, cv2.CV_32F, 1, 0), cv2.Sobel(level, cv2.CV_32F, 0, 1)
    xx, xy, yy = (
        float(np.mean(a * b)) / mean**2 for a, b in ((across, across), (across, down), (down, down))
    )
    return xx, xy, yy


def detail_of_width(width: float) -> Detail:
    """What a blur of this width [px, more than 0] leaves of fine contrast, alike in all directions."""
    return width**-2, 0.0, width**-2


def sharpnesses(details: Sequence[Detail], rulers: Sequence[int] | None = None) -> list[float]:
    """How sharp each frame of one scene is beside the sharpest, 0 to 1: in the direction in which it is softest.

    A shake along the edges of the scene hides among those across it: so each direction has its own ruler, the frame
    (of `rulers`, else of all) that has most contrast in it.
    """
    tensors = np.maximum(np.asarray(details, float), [1e-12, -np.inf, 1e-12])
    c, s = np.cos(_TURNS), np.sin(_TURNS)
    by_turn = (
        np.outer(tensors[:, 0], c * c) + np.outer(tensors[:, 1], 2 * c * s) + np.outer(tensors[:, 2], s * s)
    )
    by_turn = np.sqrt(np.maximum(by_turn, 1e-12))
    most = by_turn[list(range(len(details)) if rulers is None else rulers)].max(axis=0)
    return [float(v) for v in (by_turn / most).min(axis=1)]


@dataclass(frozen=True)
class _Measured:
    frame: str
    facts: FrameFacts
    detail: float
    stream: Stream | None
    lost: bool

    @property
    def shape(self) -> tuple[float, int, int]:
        """Less is better: a stream that is not there, broken, splashing."""
        if self.stream is None:
            return 0.0, 0, 0
        return float(self.stream.whole_share < LEAST_STREAM), self.stream.breaks, self.stream.drops // DROPS


def best_of(
    facts: Sequence[tuple[str, FrameFacts]],
    details: Mapping[str, Detail] | None = None,
    on: str = HERO,
    streams: Mapping[str, Stream] | None = None,
) -> BestOf | None:
    """The best of a burst from (frame id, facts); None when nothing in it can be measured.

    details  fine contrast of each frame on what matters (`detail_in`), and its name; without them, one over the
             spread of the hero's edges, which tells only gross blur from sharp
    streams  of a pour: each frame's stream
    """
    known = [(i, f, details.get(i) if details else _from_edges(f)) for i, f in facts]
    if not any(d is not None for _, _, d in known):
        return None
    dated = [(i, f, d) for i, f, d in known if d is not None]
    least = min(f.exposure.lost_on_subject_share for _, f, _ in dated)
    lost = [f.exposure.lost_on_subject_share > least + LOST_MORE for _, f, _ in dated]
    rulers = [n for n, gone in enumerate(lost) if not gone]
    measured = [
        _Measured(i, f, sharp, (streams or {}).get(i), gone)
        for (i, f, _), sharp, gone in zip(
            dated, sharpnesses([d for *_, d in dated], rulers), lost, strict=True
        )
    ]
    poured = all(one.stream is not None for one in measured)
    levels = sorted(one.facts.exposure.middle_level for one in measured)
    middle = levels[len(levels) // 2]
    sharpest = max(one.detail for one in measured if not one.lost)
    within = AS_SHARP if poured else SAME_SHARPNESS

    def order(one: _Measured) -> tuple[bool, float, tuple[float, int, int], float, float]:
        close = 0.0 if one.detail >= sharpest * (1 - within) else sharpest / one.detail
        exposed = abs(one.facts.exposure.middle_level - middle)
        # of a pour the stream decided among equals; what is left goes by sharpness
        return one.lost, close, one.shape, -one.detail if poured else 0.0, exposed

    ranked = sorted(measured, key=order)
    first, others = ranked[0], tuple(one.frame for one in ranked[1:])
    rest = [one for one in ranked[1:] if not one.lost]
    if not rest:
        return BestOf(first.frame, WhyBest("only", on), (), on == HERO)
    if first.stream is not None and poured:
        return BestOf(first.frame, _poured(first, rest, on), others)
    low, high = (round(one(r.detail for r in rest) / first.detail, 4) for one in (min, max))
    code = "sharpest" if first.detail > max(r.detail for r in rest) else "as sharp"
    return BestOf(first.frame, WhyBest(code, on, low, high), others, on == HERO)


def _poured(first: _Measured, rest: Sequence[_Measured], on: str) -> WhyBest:
    assert first.stream is not None  # noqa: S101 - asked for by best_of
    return WhyBest(
        "poured", on, there=first.stream.is_there, breaks=first.stream.breaks,
        worse_streams=sum(1 for r in rest if r.stream is not None and r.shape[:2] > first.shape[:2]),
        softer=sum(1 for r in rest if r.detail < first.detail * (1 - AS_SHARP)),
        wilder=sum(1 for r in rest if r.shape[:2] == first.shape[:2] and r.shape[2] > first.shape[2]),
    )  # fmt: skip


def _from_edges(facts: FrameFacts) -> Detail | None:
    spread = facts.focus.subject_spread_px
    # spreads below a quarter of a pixel are all as sharp as can be told
    if spread is None:
        return None
    return detail_of_width(max(spread, 0.25))
