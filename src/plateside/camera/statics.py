"""Whether the tripod stands: tipping with a horizontal arm, bag and counterweight, settling.

`footing_m`            centre to the tipping edge: R over a leg, R/2 between legs, and any direction between
`Mass`, `safety_factor`, `bag_kg`, `counterweight_kg`, `arm_torque_n_m`, `settle_s`
`Statics`, `of_arm`    the whole of one rig

Static sums of moments about the edge of the foot triangle (three feet on a circle). A bump, a cable, a soft
carpet or a leg that is not locked is not in them, and the maker's limits override them.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from plateside.camera.motion import GRAVITY_M_S2


@dataclass(frozen=True)
class Mass:
    """A mass at a distance from the column, along the arm (negative: behind the column)."""

    mass_kg: float
    at_m: float


def footing_m(feet_radius_m: float, from_leg_deg: float = 0.0) -> float:
    """Distance from the column to the edge of the foot triangle, in a direction [m].

    `from_leg_deg` is the direction against the nearest leg: 0 over a leg gives R, 60 (between legs) gives R/2.
    """
    away = from_leg_deg % 120.0
    return feet_radius_m * 0.5 / math.cos(math.radians(abs(away - 60.0)))


def moments(masses: Sequence[Mass], edge_m: float) -> tuple[float, float]:
    """Overturning and restoring moments about the edge [kg m]."""
    # a mass on the edge itself neither tips nor holds, whatever the last bit of the cosine says
    over = sum(m.mass_kg * (m.at_m - edge_m) for m in masses if m.at_m > edge_m + 1e-9)
    back = sum(m.mass_kg * (edge_m - m.at_m) for m in masses if m.at_m <= edge_m)
    return over, back


def safety_factor(masses: Sequence[Mass], edge_m: float) -> float:
    """Restoring over overturning moment about the tipping edge; infinite when nothing hangs beyond it."""
    over, back = moments(masses, edge_m)
    return math.inf if over <= 0 else back / over


def bag_kg(masses: Sequence[Mass], edge_m: float, wanted: float = 2.0) -> float:
    """Bag hung from the column that brings the safety factor to `wanted` [kg]; 0 when it is there already."""
    over, back = moments(masses, edge_m)
    return max(0.0, (wanted * over - back) / edge_m)


def counterweight_kg(masses: Sequence[Mass], behind_m: float) -> float:
    """Weight `behind_m` behind the column that balances all that stands out in front of it [kg]."""
    return sum(m.mass_kg * m.at_m for m in masses if m.at_m > 0) / behind_m


def arm_torque_n_m(masses: Sequence[Mass]) -> float:
    """Torque on the arm's clamp at the column [N m]."""
    return GRAVITY_M_S2 * sum(m.mass_kg * m.at_m for m in masses if m.at_m > 0)


def settle_s(arm_reach_m: float, tip_mass_kg: float) -> float:
    """Wait after a touch [s]: five time constants of the sway.

    Time constant from 0.2 s (no arm) to about 0.6 s (a long, loaded arm), so 1 to 3 s: common practice, no source.
    """
    tau = 0.2 + 0.4 * min(1.0, arm_reach_m * max(tip_mass_kg, 0.0) / 0.6)
    return 5.0 * tau


@dataclass(frozen=True)
class Statics:
    """The sums of one rig."""

    over_leg: float
    between_legs: float
    bag_for_2_kg: float
    bag_for_3_kg: float
    counterweight_kg: float
    torque_n_m: float


def of_arm(
    *,
    tip_kg: float,
    reach_m: float,
    arm_kg: float,
    tripod_kg: float,
    feet_radius_m: float,
    behind_m: float = 0.3,
) -> Statics:
    """Sums for a camera (with lens and head) at the end of a horizontal arm on a tripod."""
    masses = (Mass(tip_kg, reach_m), Mass(arm_kg, reach_m / 2.0), Mass(tripod_kg, 0.0))
    over, between = footing_m(feet_radius_m, 0.0), footing_m(feet_radius_m, 60.0)
    return Statics(
        over_leg=safety_factor(masses, over),
        between_legs=safety_factor(masses, between),
        bag_for_2_kg=bag_kg(masses, between, 2.0),
        bag_for_3_kg=bag_kg(masses, between, 3.0),
        counterweight_kg=counterweight_kg(masses, behind_m),
        torque_n_m=arm_torque_n_m(masses),
    )
