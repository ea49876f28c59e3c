"""Which shot a frame belongs to when nobody said: a guess, and marked as one.

Frames are taken in order of time. Each frame has a fit to each shot (file name that starts with the shot's name,
the hour the shot is planned in, focal length, upright or lying, shutter against what moves); staying with a shot
is likelier than changing, and going on to the next one on the list is likelier than going back. The best
chain of shots over all frames is found exactly (Viterbi, "Error bounds for convolutional codes", IEEE Trans. Inf.
Theory 13 (1967)). Costs are ours: common practice, no source.
"""

import math
from collections.abc import Sequence
from datetime import time

import numpy as np

from plateside.model.frame import Frame
from plateside.model.shoot import Shot
from plateside.model.studio import Studio

STAY, NEXT, SKIP, BACK = 0.0, 0.9, 1.6, 2.4
PAUSE_MIN = 4.0
"""After a pause this long, a change of shot costs nothing extra."""


def guess_shots(frames: Sequence[Frame], shots: Sequence[Shot], studio: Studio | None = None) -> list[str]:
    """The best-fitting shot's name for each frame; `frames` in order of time. Empty when there are no shots."""
    if not shots or not frames:
        return ["" for _ in frames]
    cost = np.array([[_misfit(f, s, studio) for s in shots] for f in frames])
    n = len(shots)
    step = np.array([[_change(a, b) for b in range(n)] for a in range(n)])
    # starting with a later shot is a skip as well
    best = cost[0] + np.array([0.3 * min(k, 3) for k in range(n)])
    back: list[np.ndarray] = []
    for i in range(1, len(frames)):
        ease = _ease(frames[i - 1], frames[i])
        total = best[:, None] + step * ease
        came = np.argmin(total, axis=0)
        back.append(came)
        best = total[came, np.arange(n)] + cost[i]
    k = int(np.argmin(best))
    chain = [k]
    for came in reversed(back):
        k = int(came[k])
        chain.append(k)
    return [shots[k].name for k in reversed(chain)]


def _change(a: int, b: int) -> float:
    if a == b:
        return STAY
    if b == a + 1:
        return NEXT
    return SKIP if b > a else BACK


def _ease(before: Frame, after: Frame) -> float:
    """1 for frames seconds apart, falling to 0.25 after a pause: then a change is likely."""
    a, b = before.settings.taken_at, after.settings.taken_at
    if a is None or b is None:
        return 1.0
    minutes = abs((b - a).total_seconds()) / 60
    changed = before.settings.focal_length_mm != after.settings.focal_length_mm
    return max(0.25, (0.6 if changed else 1.0) - 0.75 * min(minutes / PAUSE_MIN, 1.0))


def _misfit(frame: Frame, shot: Shot, studio: Studio | None) -> float:
    settings = frame.settings
    cost = 0.0
    stem = frame.name.rsplit("/", 1)[-1].lower()
    folder = frame.name.lower().split("/")[:-1]
    if stem.startswith(shot.name.lower()) or shot.name.lower() in folder:
        cost -= 12.0
    if settings.taken_at is not None and (shot.from_time or shot.to_time):
        cost += 1.5 * min(_minutes_outside(settings.taken_at.time(), shot) / 30, 2.0)
    if settings.focal_length_mm is not None and shot.lens and studio is not None:
        lens = next((x for x in studio.lenses if x.name == shot.lens), None)
        if lens is not None:
            low, high = lens.focal_length_mm, lens.focal_length_to_mm or lens.focal_length_mm
            if not low * 0.97 <= settings.focal_length_mm <= high * 1.03:
                cost += 2.5
    upright = frame.height_px > frame.width_px
    wanted = shot.orientation
    if wanted == "auto":
        wanted = "portrait" if shot.frame_height_mm > 1.05 * shot.frame_width_mm else "landscape"
        cost += 0.5 if upright != (wanted == "portrait") else 0.0
    else:
        cost += 1.5 if upright != (wanted == "portrait") else 0.0
    if settings.exposure_s is not None:
        slow = math.log2(settings.exposure_s * 60)  # stops slower than 1/60 s
        slowest = {"nothing": 99.0, "steam": 99.0, "frozen drops": -1.0, "falling sugar": -1.0}.get(
            shot.moves, 2.0
        )
        if slow > slowest:
            cost += 0.8
        elif shot.moves == "nothing" and slow < -1:
            cost += 0.3
    return cost


def _minutes_outside(at: time, shot: Shot) -> float:
    now = at.hour * 60 + at.minute
    start, end = _minutes(shot.from_time, 0), _minutes(shot.to_time, 24 * 60)
    return float(max(start - now, now - end, 0))


def _minutes(text: str, default: int) -> int:
    hours, _, minutes = text.partition(":")
    return int(hours) * 60 + int(minutes) if hours.isdigit() and minutes.isdigit() else default
