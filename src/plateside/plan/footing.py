"""Where a support's feet and the person at the camera find room: walls, furniture, the table.

`leg_turn`      how to turn a tripod so that its feet stand free, and how much is short
`point_short`   how far a point on the floor lies in a wall or in furniture
`body_places`   where somebody can stand at the camera
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from plateside.camera.place import direction
from plateside.camera.setup import Point
from plateside.model.room import Block, Spot
from plateside.model.studio import Studio
from plateside.plan.scene import table_edge_m

XY = tuple[float, float]

FOOT_M = 0.02
"""From the middle of a foot to its edge."""
BODY_M = 0.25
"""Half of what a standing person takes up: shoulders about 0.5 m broad (DIN 33402-2, 95th percentile, from memory)."""
BEHIND_M, HAND_M = 0.45, 0.25
"""From the camera to the middle of whoever stands behind it: at a tripod, and with the camera in the hands."""
BESIDE_M = 0.42
"""The same for somebody beside it."""
_STEP_DEG = 5
_HEAD_M, _SHIN_M = 1.8, 0.1


@dataclass(frozen=True)
class Short:
    """How much room is short [m] (0: none), and of what."""

    by_m: float
    what: str = ""


def feet(column: XY, radius_m: float, turn_deg: float) -> list[XY]:
    """The three feet; one points to `turn_deg` (clockwise from +y)."""
    out = []
    for i in range(3):
        to = direction(turn_deg + 120.0 * i)
        out.append((column[0] + radius_m * float(to[0]), column[1] + radius_m * float(to[1])))
    return out


def leg_turn(studio: Studio, column: XY, radius_m: float, wished_deg: float) -> tuple[float, Short]:
    """Direction of one leg [deg] at which the feet stand freest, as near to the wished one as may be."""
    best: tuple[float, Short] | None = None
    for step in range(0, 61, _STEP_DEG):
        for turn in (wished_deg + step, wished_deg - step):
            short = max(
                (point_short(studio, p, FOOT_M, on_floor=True) for p in feet(column, radius_m, turn)),
                key=lambda s: s.by_m,
            )
            if short.by_m <= 1e-9:
                return turn % 360.0, short
            if best is None or short.by_m < best[1].by_m - 1e-9:
                best = turn % 360.0, short
    assert best is not None  # noqa: S101 - at least one turn was tried
    return best


def point_short(studio: Studio, p: XY, margin_m: float, *, on_floor: bool = False) -> Short:
    """How far a disc of radius `margin_m` about a point reaches into a wall or furniture.

    on_floor  only what stands on the floor counts, as for a foot; else whatever is between shin and head
    """
    room = studio.room
    found = [
        Short(margin_m - p[0], "left wall"),
        Short(p[0] + margin_m - room.width_m, "right wall"),
        Short(margin_m - p[1], "back wall"),
        Short(p[1] + margin_m - room.depth_m, "front wall"),
    ]
    for block in studio.furniture:
        low, high = block.bottom_m, block.bottom_m + block.height_m
        if low < (_SHIN_M if on_floor else _HEAD_M) and high > (0.0 if on_floor else _SHIN_M):
            found.append(Short(_into(p, margin_m, *block_sides(studio, block)), block.name or "furniture"))
    worst = max(found, key=lambda s: s.by_m)
    return worst if worst.by_m > 0.0 else Short(0.0)


def block_sides(studio: Studio, block: Block) -> tuple[XY, XY]:
    """Low and high corner of a piece of furniture on the floor, in the room's coordinates."""
    far = studio.room.depth_m - block.from_front_m
    return (block.from_left_m, far - block.depth_m), (block.from_left_m + block.width_m, far)


def _into(p: XY, radius_m: float, low: XY, high: XY) -> float:
    """How far a disc reaches into a rectangle: the way out is the shortest."""
    nearest = (min(max(p[0], low[0]), high[0]), min(max(p[1], low[1]), high[1]))
    away = math.dist(p, nearest)
    if away > 0.0:
        return radius_m - away
    return radius_m + min(p[0] - low[0], high[0] - p[0], p[1] - low[1], high[1] - p[1])


def into_table(studio: Studio, spot: Spot, p: XY, radius_m: float) -> float:
    """How far a disc reaches into the spot's table [m]; nothing or less: it stands free of it."""
    x, y = spot.from_left_m, studio.room.depth_m - spot.from_front_m
    w, d = spot.table_width_m / 2.0, spot.table_depth_m / 2.0
    return _into(p, radius_m, (x - w, y - d), (x + w, y + d))


def body_places(sensor: Point, faces_deg: float, *, in_hand: bool) -> dict[str, XY]:
    """Where somebody stands at a camera that looks across the table, best first; in the hands only behind it."""
    ways = {"behind": (180.0, HAND_M if in_hand else BEHIND_M)}
    if not in_hand:
        ways |= {"left of": (270.0, BESIDE_M), "right of": (90.0, BESIDE_M)}
    out = {}
    for name, (turn, far) in ways.items():
        to = direction(faces_deg + turn)
        out[name] = (sensor[0] + far * float(to[0]), sensor[1] + far * float(to[1]))
    return out


def table_places(studio: Studio, spot: Spot, faces_deg: float, names: Sequence[str]) -> dict[str, XY]:
    """Where somebody stands at the table under a camera that hangs above it, by the side seen from the camera."""
    turns = {"near": 180.0, "left": 270.0, "right": 90.0, "far": 0.0}
    x, y = spot.from_left_m, studio.room.depth_m - spot.from_front_m
    out = {}
    for name in names:
        to = direction(faces_deg + turns[name])
        far = table_edge_m(studio, spot, faces_deg + turns[name]) + BODY_M * (
            abs(float(to[0])) + abs(float(to[1]))
        )
        out[name] = (x + (far + 0.02) * float(to[0]), y + (far + 0.02) * float(to[1]))
    return out
