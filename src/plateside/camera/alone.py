"""How many frames to take, alone in the picture, for a likely good one.

The assumptions, common practice with no source unless said: a person blinks about 15 times a minute and the eyes
are not open for about 0.35 s each time; a hand is where it should be in half of the frames; a pour looks right in
one frame of three; grains or drops fall well in one of four; steam stands well in one of three. Frames are taken
as independent of each other, which holds when they are half a second or more apart.
"""

import math
from dataclasses import dataclass

BLINKS_PER_S = 15.0 / 60.0
BLINK_S = 0.35
GOOD_SHARE = {
    "nothing": 0.9,
    "hand": 0.5,
    "silk pour": 1 / 3,
    "frozen drops": 0.25,
    "steam": 1 / 3,
    "falling sugar": 0.25,
}


def eyes_open(exposure_s: float, people: int = 1) -> float:
    """Chance that all eyes are open through an exposure: exp(-rate (duration + t)) for each person."""
    return math.exp(-BLINKS_PER_S * (BLINK_S + exposure_s) * people)


def frames_needed(good_share: float, wanted: float = 0.95) -> int:
    """Frames for at least one good one with the chance wanted: ln(1 - wanted)/ln(1 - p)."""
    if good_share >= 1.0:
        return 1
    return max(1, math.ceil(math.log(1.0 - wanted) / math.log(1.0 - good_share) - 1e-9))


@dataclass(frozen=True)
class BurstAdvice:
    """Frames to take, and why."""

    frames: int
    good_share: float
    wanted: float
    """Chance of at least one good frame."""
    moves_share: float | None
    """Share of the frames in which what moves is right; None when nothing moves."""
    eyes_share: float | None
    """Share in which the eyes are open; None without a person."""


def burst(moves: str, person: bool, exposure_s: float, wanted: float = 0.95) -> BurstAdvice:
    """Frames to take for a shot."""
    share = GOOD_SHARE[moves]
    eyes = eyes_open(exposure_s) if person else None
    good = share if eyes is None else share * eyes
    return BurstAdvice(frames_needed(good, wanted), good, wanted, None if moves == "nothing" else share, eyes)
