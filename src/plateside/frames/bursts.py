"""Frames of a burst grouped, the best one named with the measured reason.

A burst is a run of frames whose starts lie closer together than the camera's slowest press-to-press by hand: a second
after the end of the exposure before. Best is the sharpest on the subject among those that are neither clipped nor
differently exposed; within a tenth of the best sharpness the one nearest to the burst's exposure wins.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from plateside.frames.facts import FrameFacts
from plateside.model.frame import Frame

GAP_S = 1.0
WHOLE_SECONDS_GAP_S = 1.99
"""Most cameras write whole seconds: two frames of one burst may seem up to nearly two seconds apart."""
SAME_SHARPNESS = 0.10


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


def best_of(
    facts: Sequence[tuple[str, FrameFacts]], spreads: Mapping[str, float] | None = None, on: str = ""
) -> BestOf | None:
    """The best of a burst from (frame id, facts); None when nothing in it can be measured.

    spreads, on  instead of the subject's: the edge spread [px] on what matters more in each frame, and its name
    """
    if not on or spreads is None:
        spreads, on = {}, "the subject"
    known = [(i, f, spreads.get(i, f.focus.subject_spread_px)) for i, f in facts]
    measured = [(i, f, s) for i, f, s in known if s is not None]
    if not measured:
        return None
    levels = sorted(f.exposure.middle_level for _, f, _ in measured)
    middle = levels[len(levels) // 2]
    sharpest = min(_soft(s) for _, _, s in measured)

    def order(one: tuple[str, FrameFacts, float]) -> tuple[float, float, float]:
        _, f, s = one
        lost = 1.0 if f.exposure.lost_on_subject_share > 0.02 else 0.0
        close = 0.0 if _soft(s) <= sharpest * (1 + SAME_SHARPNESS) else _soft(s)
        return lost, close, abs(f.exposure.middle_level - middle)

    ranked = sorted(measured, key=order)
    first, _, spread = ranked[0]
    rest = [_soft(s) for _, _, s in ranked[1:]]
    if not rest:
        return BestOf(first, f"the only one that can be used (edges on {on} {_wide(spread)})", ())
    least, most = _wide(min(rest)), _wide(max(rest))
    others = least if least == most else f"{least} to {most}"
    best = "sharpest" if _soft(spread) < min(rest) else "as sharp as any"
    how = "" if best == "sharpest" else ", exposed like the rest"
    reason = f"{best} on {on}{how}: edges {_wide(spread)}, the others {others}"
    return BestOf(first, reason, tuple(i for i, _, _ in ranked[1:]))


def _wide(spread_px: float) -> str:
    return f"{_soft(spread_px):.1f} px wide"


def _soft(spread_px: float) -> float:
    """Spreads below a quarter of a pixel are all as sharp as can be told."""
    return max(spread_px, 0.25)
