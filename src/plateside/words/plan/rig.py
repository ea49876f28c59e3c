"""A support's statics. Arithmetic, not approval: the maker's limits decide."""

import math

from plateside.camera.setup import Rig
from plateside.words.units import Units, length


def factor_phrase(factor: float) -> str:
    """'8.4', or that nothing tips it."""
    return f"{factor:.1f}" if math.isfinite(factor) else "no tipping moment"


def rig_phrases(rig: Rig, units: Units) -> list[str]:
    """Where the column goes, whether it tips, what to hang from it, and how long it settles."""
    out = _arm_phrases(rig, units) if rig.side else [_column_phrase(rig)]
    if rig.over_load_limit and rig.load_limit_kg is not None:
        out.append(
            f"camera and lens weigh {rig.load_kg:.2f} kg, over the maker's limit of {rig.load_limit_kg:.2f} kg: use "
            "another support"
        )
    return [*out, f"use a remote or the timer, and wait {rig.settle_s:.0f} s after a touch"]


def _column_phrase(rig: Rig) -> str:
    folded = ", the arm folded back" if rig.arm_folded else ""
    return f"camera over the column{folded}: no tipping moment; a bag on the column steadies it"


def _arm_phrases(rig: Rig, units: Units) -> list[str]:
    over, between = factor_phrase(rig.safety_over_leg), factor_phrase(rig.safety_between_legs)
    if rig.safety_between_legs < rig.wanted_safety:
        out = [
            f"column on the {rig.side} side, arm over a leg: safety against tipping {over}; between legs only {between}"
        ]
    else:
        out = [
            f"column on the {rig.side} side: safety against tipping {over} over a leg, {between} between legs"
        ]
    if rig.bag_kg > 0.005:
        balance = f"{rig.counterweight_kg:.1f} kg {length(rig.counterweight_at_m, units)} behind it balances the arm"
        out.append(
            f"or hang {rig.bag_kg:.2f} kg on the column for a safety of {rig.wanted_safety:g} between legs ({balance})"
        )
    if rig.safety_over_leg < rig.wanted_safety:
        out.append(f"even over a leg the safety is {over}: do not use it without the bag")
    return [*out, f"torque on the arm's clamp {rig.torque_n_m:.1f} N m"]
