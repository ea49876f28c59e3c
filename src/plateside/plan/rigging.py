"""The rig of a set-up: where the column stands, whether it tips, what to hang from it.

`rig_of`        statics of the support with camera and lens
`stand_for`     the side from which an arm best reaches over the table
"""

import math
from collections.abc import Sequence

from plateside.camera.gloss import Rectangle
from plateside.camera.place import direction
from plateside.camera.setup import Point, Rig
from plateside.camera.statics import Statics, of_arm, settle_s
from plateside.model.gear import Camera, Lens, Support
from plateside.model.room import Spot
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.plan.beside import SIDES
from plateside.plan.footing import leg_turn
from plateside.plan.scene import middle, table_edge_m

HOT_SAFETY, PLAIN_SAFETY = 3.0, 2.0
"""Wanted safety factors: 3 with people, glass or hot food beneath, 2 otherwise (common practice)."""
BEHIND_M = 0.30
"""Where a counterweight hangs behind the column."""


def stand_for(
    studio: Studio,
    spot: Spot,
    support: Support,
    camera_faces_deg: float,
    lens: Point,
    window: Rectangle | None,
    taken: Sequence[str] = (),
) -> tuple[str, Point]:
    """Side (seen from the camera) and floor point of an arm's column.

    A column stands beside the table, inside the room, as far from the window's side as may be, and not on a side
    `taken` by a board if another will do.
    """
    best: tuple[float, str, Point] | None = None
    for side, turn in SIDES.items():
        away = direction(camera_faces_deg + turn)
        column = (lens[0] + away[0] * support.arm_reach_m, lens[1] + away[1] * support.arm_reach_m, 0.0)
        _, short = leg_turn(
            studio, (float(column[0]), float(column[1])), support.feet_radius_m, camera_faces_deg
        )
        outside = short.by_m
        on_table = max(0.0, table_edge_m(studio, spot, camera_faces_deg + turn) - support.arm_reach_m)
        badness = 10.0 * outside + 5.0 * on_table + (1.5 if side in taken else 0.0)
        if window is not None:
            to = middle(window)
            reach = math.hypot(to[0] - lens[0], to[1] - lens[1]) or 1.0
            badness += (away[0] * (to[0] - lens[0]) + away[1] * (to[1] - lens[1])) / reach
        if best is None or badness < best[0]:
            best = (badness, side, (float(column[0]), float(column[1]), 0.0))
    assert best is not None  # noqa: S101 - SIDES is never empty
    return best[1], best[2]


def rig_of(
    support: Support, camera: Camera, lens: Lens, shot: Shot, column: Point | None, side: str
) -> Rig | None:
    """Statics and words of a support; None for hands."""
    if support.kind == "hand":
        return None
    tip = camera.weight_kg + lens.weight_kg + support.head_weight_kg
    load = camera.weight_kg + lens.weight_kg
    over = support.load_limit_kg is not None and load > support.load_limit_kg
    words: list[str] = []
    wanted = (
        HOT_SAFETY if shot.person or shot.moves in ("steam", "silk pour", "frozen drops") else PLAIN_SAFETY
    )
    if side:
        sums = of_arm(
            tip_kg=tip,
            reach_m=support.arm_reach_m,
            arm_kg=support.arm_weight_kg,
            tripod_kg=support.weight_kg,
            feet_radius_m=support.feet_radius_m,
            behind_m=BEHIND_M,
        )
        bag = sums.bag_for_3_kg if wanted >= HOT_SAFETY else sums.bag_for_2_kg
        words += _arm_words(sums, bag, wanted, side)
    else:
        sums = Statics(math.inf, math.inf, 0.0, 0.0, 0.0, 0.0)
        bag = 0.0
        folded = ", the arm folded back" if support.kind == "arm" else ""
        words.append(f"camera over the column{folded}: it stands; a bag on the column quietens it")
    if over:
        words.append(
            f"camera and lens weigh {load:.2f} kg, over the maker's limit of {support.load_limit_kg:.2f} kg: "
            "use another support"
        )
    settle = settle_s(support.arm_reach_m if side else 0.0, tip)
    words.append(f"remote or timer, and wait {settle:.0f} s after a touch")
    return Rig(
        safety_over_leg=sums.over_leg,
        safety_between_legs=sums.between_legs,
        bag_kg=bag,
        counterweight_kg=sums.counterweight_kg,
        counterweight_at_m=BEHIND_M,
        wanted_safety=wanted,
        settle_s=settle,
        over_load_limit=over,
        column_m=column,
        words=tuple(words),
    )


def factor_words(factor: float) -> str:
    """'8.4', or 'cannot tip by weight alone' in short."""
    return f"{factor:.1f}" if math.isfinite(factor) else "no tipping moment"


def _arm_words(sums: Statics, bag: float, wanted: float, side: str) -> list[str]:
    words = [
        f"column on the {side} side, arm over a leg: safety against tipping {factor_words(sums.over_leg)}; "
        f"between legs only {factor_words(sums.between_legs)}"
        if sums.between_legs < wanted
        else f"column on the {side} side: safety against tipping {factor_words(sums.over_leg)} over a leg, "
        f"{factor_words(sums.between_legs)} between legs"
    ]
    if bag > 0.005:
        words.append(
            f"or hang {bag:.2f} kg on the column for a safety of {wanted:g} between legs "
            f"({sums.counterweight_kg:.1f} kg {BEHIND_M:.2f} m behind it balances the arm)"
        )
    if sums.over_leg < wanted:
        words.append(
            f"even over a leg the safety is {factor_words(sums.over_leg)}: do not use it without the bag"
        )
    words.append(f"torque on the arm's clamp {sums.torque_n_m:.1f} N m")
    return words
