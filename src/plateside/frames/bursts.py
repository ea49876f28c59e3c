"""Frames of a burst grouped, the best one named with the measured reason.

A burst is a run of frames whose starts lie closer together than the camera's slowest press-to-press by hand: a second
after the end of the exposure before. Best is the sharpest on the subject among those that are neither clipped nor
differently exposed; within three thousandths of the most fine contrast the one nearest to the burst's exposure wins.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.facts import Box, FrameFacts
from plateside.model.frame import Frame

GAP_S = 1.0
WHOLE_SECONDS_GAP_S = 1.99
"""Most cameras write whole seconds: two frames of one burst may seem up to nearly two seconds apart."""
SAME_SHARPNESS = 0.003
"""Of fine contrast: on made bursts a twentieth less of it was up to twice the blur (`python -m bench bursts`)."""
LOST = 0.02
"""Share of the hero that may be clipped."""


@dataclass(frozen=True)
class Burst:
    """Frames of one burst, by id, in order of time."""

    number: int
    frames: tuple[str, ...]


@dataclass(frozen=True)
class BestOf:
    """The best frame of a burst."""

    frame: str
    reason: str
    others: tuple[str, ...]
    """The rest, best first: kept as alternates."""


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


def detail_in(picture: NDArray[np.uint8], box: Box) -> float | None:
    """Fine contrast inside a box of a display picture (height x width x 3, uint8): grows with sharpness.

    Root mean square of the gradient (Tenengrad; Krotkov 1988, as surveyed by Pertuz, Puig and Garcia 2013) over the
    mean level, so that a brighter frame counts no more; smoothed by a pixel first, so that grain counts little. It
    compares frames of one scene with each other and says nothing alone. None when the box is empty or dark.
    """
    high, wide = picture.shape[:2]
    x0, y0, x1, y1 = (round(v * n) for v, n in zip(box, (wide, high, wide, high), strict=True))
    part = picture[max(y0, 0) : y1, max(x0, 0) : x1]
    if min(part.shape[:2]) < 8:
        return None
    level = cv2.GaussianBlur(cv2.cvtColor(part, cv2.COLOR_RGB2GRAY).astype(np.float32), (0, 0), 1.0)
    mean = float(level.mean())
    if mean < 2:
        return None
    across, down = cv2.Sobel(level, cv2.CV_32F, 1, 0), cv2.Sobel(level, cv2.CV_32F, 0, 1)
    return float(np.sqrt(np.mean(across**2 + down**2))) / mean


def best_of(
    facts: Sequence[tuple[str, FrameFacts]], details: Mapping[str, float] | None = None, on: str = "the hero"
) -> BestOf | None:
    """The best of a burst from (frame id, facts); None when nothing in it can be measured.

    details  fine contrast of each frame on what matters (`detail_in`), and its name; without them, one over the
             spread of the hero's edges, which tells only gross blur from sharp
    """
    known = [(i, f, (details or {}).get(i) or _from_edges(f)) for i, f in facts]
    if details:
        known = [(i, f, details.get(i)) for i, f, _ in known]
    measured = [(i, f, d) for i, f, d in known if d is not None]
    if not measured:
        return None
    levels = sorted(f.exposure.middle_level for _, f, _ in measured)
    middle = levels[len(levels) // 2]
    usable = [d for _, f, d in measured if f.exposure.lost_on_subject_share <= LOST] or [
        d for _, _, d in measured
    ]
    sharpest = max(usable)

    def order(one: tuple[str, FrameFacts, float]) -> tuple[float, float, float]:
        _, f, d = one
        lost = 1.0 if f.exposure.lost_on_subject_share > LOST else 0.0
        close = 0.0 if d >= sharpest * (1 - SAME_SHARPNESS) else sharpest / d
        return lost, close, abs(f.exposure.middle_level - middle)

    ranked = sorted(measured, key=order)
    first, _, detail = ranked[0]
    rest = [d for _, f, d in ranked[1:] if f.exposure.lost_on_subject_share <= LOST]
    if not rest:
        return BestOf(first, f"the only one that can be used on {on}", ())
    least, most = (f"{100 * d / detail:.0f}" for d in (min(rest), max(rest)))
    others = f"{least} %" if least == most else f"{least} to {most} %"
    best = "sharpest" if detail > max(rest) else "as sharp as any"
    how = "" if best == "sharpest" else ", exposed like the rest"
    reason = f"{best} on {on}{how}: the others have {others} of its fine contrast"
    return BestOf(first, reason, tuple(i for i, _, _ in ranked[1:]))


def _from_edges(facts: FrameFacts) -> float | None:
    spread = facts.focus.subject_spread_px
    # spreads below a quarter of a pixel are all as sharp as can be told
    return None if spread is None else 1 / max(spread, 0.25)
