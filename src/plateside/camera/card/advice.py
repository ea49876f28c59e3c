"""What to move, in words, from the pose that the card tells and the set-up that was wanted."""

import math
from dataclasses import dataclass
from typing import Protocol

LEVEL_GOOD_DEG = 0.5
"""Level to half a degree: beyond it straight lines in the set are seen to converge (half a degree: common
practice, no source)."""
HEIGHT_GOOD_SHARE = 0.02
ELEVATION_GOOD_DEG = 1.0
ROLL_GOOD_DEG = 0.5
OVERHEAD_DEG = 80.0


class Stands(Protocol):
    """How the camera stands, as a CardPose or what was kept of one tells it."""

    @property
    def elevation_deg(self) -> float: ...
    @property
    def roll_deg(self) -> float: ...
    @property
    def tilt_right_deg(self) -> float: ...
    @property
    def tilt_up_deg(self) -> float: ...
    @property
    def distance_mm(self) -> float: ...


@dataclass(frozen=True)
class Wanted:
    """Where the camera should be."""

    elevation_deg: float
    distance_mm: float
    """lens to the card's middle"""


def what_to_move(pose: Stands, wanted: Wanted | None) -> tuple[str, ...]:
    """Instructions, the most useful first; empty when the camera stands as wanted."""
    acts: list[tuple[float, str]] = []
    overhead = (wanted.elevation_deg if wanted else pose.elevation_deg) >= OVERHEAD_DEG
    if overhead:
        acts += _level(pose.tilt_right_deg, "left", "right")
        acts += _level(pose.tilt_up_deg, "bottom", "top")
    else:
        if abs(pose.roll_deg) > ROLL_GOOD_DEG:
            way = "anticlockwise" if pose.roll_deg > 0 else "clockwise"
            size = abs(pose.roll_deg) / ROLL_GOOD_DEG
            acts.append(
                (size, f"level: turn the camera {abs(pose.roll_deg):.1f}° {way}, seen from behind it")
            )
        if wanted and abs(pose.elevation_deg - wanted.elevation_deg) > ELEVATION_GOOD_DEG:
            off = pose.elevation_deg - wanted.elevation_deg
            way = "lower" if off > 0 else "higher"
            act = f"{abs(off):.0f}° {way}: {pose.elevation_deg:.0f}° now, {wanted.elevation_deg:.0f}° wanted"
            acts.append((abs(off) / ELEVATION_GOOD_DEG, act))
    if wanted:
        off_mm = pose.distance_mm - wanted.distance_mm
        if abs(off_mm) > HEIGHT_GOOD_SHARE * wanted.distance_mm:
            way = (
                ("lower by" if off_mm > 0 else "raise by")
                if overhead
                else ("nearer by" if off_mm > 0 else "back by")
            )
            acts.append(
                (abs(off_mm) / (HEIGHT_GOOD_SHARE * wanted.distance_mm), f"{way} {_round_mm(off_mm):.0f} mm")
            )
    return tuple(words for _size, words in sorted(acts, key=lambda a: -a[0]))


def _level(tilt_deg: float, away: str, towards: str) -> list[tuple[float, str]]:
    """The lens looks towards one side: tip the camera back to the other."""
    if abs(tilt_deg) <= LEVEL_GOOD_DEG:
        return []
    side = away if tilt_deg > 0 else towards
    words = f"level {abs(tilt_deg):.1f}°: tip the lens towards the frame's {side}"
    return [(abs(tilt_deg) / LEVEL_GOOD_DEG, words)]


def _round_mm(off_mm: float) -> float:
    step = 5.0 if abs(off_mm) >= 20 else 1.0
    return math.copysign(step * round(abs(off_mm) / step), 1)
