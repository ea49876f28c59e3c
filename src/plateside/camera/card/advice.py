"""What to move, from the pose that the card tells and the set-up that was wanted."""

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


@dataclass(frozen=True)
class Move:
    """One thing to move."""

    code: str
    """level (tip the lens), roll, height (the elevation), distance"""
    amount: float
    """degrees; distance: mm, rounded"""
    way: str
    """level: the frame's side; roll: clockwise or anticlockwise; height: lower or higher; distance: lower, raise,
    nearer or back"""
    now: float | None = None
    wanted: float | None = None


def what_to_move(pose: Stands, wanted: Wanted | None) -> tuple[Move, ...]:
    """What to move, the most useful first; empty when the camera stands as wanted."""
    found: list[tuple[float, Move]] = []
    overhead = (wanted.elevation_deg if wanted else pose.elevation_deg) >= OVERHEAD_DEG
    if overhead:
        found += _level(pose.tilt_right_deg, "left", "right")
        found += _level(pose.tilt_up_deg, "bottom", "top")
    else:
        if abs(pose.roll_deg) > ROLL_GOOD_DEG:
            way = "anticlockwise" if pose.roll_deg > 0 else "clockwise"
            found.append((abs(pose.roll_deg) / ROLL_GOOD_DEG, Move("roll", abs(pose.roll_deg), way)))
        if wanted and abs(pose.elevation_deg - wanted.elevation_deg) > ELEVATION_GOOD_DEG:
            off = pose.elevation_deg - wanted.elevation_deg
            way = "lower" if off > 0 else "higher"
            move = Move("height", abs(off), way, pose.elevation_deg, wanted.elevation_deg)
            found.append((abs(off) / ELEVATION_GOOD_DEG, move))
    if wanted:
        off_mm = pose.distance_mm - wanted.distance_mm
        if abs(off_mm) > HEIGHT_GOOD_SHARE * wanted.distance_mm:
            ways = ("lower", "raise") if overhead else ("nearer", "back")
            move = Move("distance", _round_mm(off_mm), ways[0 if off_mm > 0 else 1])
            found.append((abs(off_mm) / (HEIGHT_GOOD_SHARE * wanted.distance_mm), move))
    return tuple(move for _size, move in sorted(found, key=lambda f: -f[0]))


def _level(tilt_deg: float, away: str, towards: str) -> list[tuple[float, Move]]:
    """The lens looks towards one side: tip the camera back to the other."""
    if abs(tilt_deg) <= LEVEL_GOOD_DEG:
        return []
    side = away if tilt_deg > 0 else towards
    return [(abs(tilt_deg) / LEVEL_GOOD_DEG, Move("level", abs(tilt_deg), side))]


def _round_mm(off_mm: float) -> float:
    step = 5.0 if abs(off_mm) >= 20 else 1.0
    return step * round(abs(off_mm) / step)
