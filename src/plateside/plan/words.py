"""A set-up in a photographer's lines."""

import math

from plateside.camera.setup import SetUp
from plateside.light.answers import rounded
from plateside.plan.unlit import ASSUMED


def metres(value_m: float) -> str:
    """'1.16 m', or '85 mm' under a tenth of a metre."""
    return f"{value_m:.2f} m" if abs(value_m) >= 0.1 else f"{value_m * 1000:.0f} mm"


def lens_words(s: SetUp) -> str:
    """'35 mm', with the lens's name when it is a zoom or tells more."""
    focal = f"{s.focal_length_mm:.0f} mm"
    return focal if s.lens in (f"{s.focal_length_mm:.0f}", focal) else f"{focal} ({s.lens})"


def place_words(s: SetUp) -> str:
    """Where the lens stands, as a tape measures it."""
    if s.elevation_deg >= 85.0:
        return (
            f"lens {s.lens_above_surface_m:.2f} m above the board (sensor {s.sensor_above_surface_m:.2f} m)"
        )
    return (
        f"lens {s.lens_distance_m:.2f} m from the dish (sensor {s.sensor_distance_m:.2f} m), "
        f"{metres(s.lens_above_surface_m)} above the board and {s.horizontal_offset_m:.2f} m back, "
        f"{s.elevation_deg:.0f} degrees down"
    )


def settings_words(s: SetUp) -> str:
    """'f/8, 1/6 s, ISO 100'."""
    return f"{s.f_number_words}, {s.exposure_words}, {s.iso_words}"


def support_words(s: SetUp) -> str:
    """'arm over a leg', 'travel tripod', 'by hand'."""
    if s.support_kind == "hand":
        return "by hand"
    if s.support_kind == "arm" and s.rig is not None and s.rig.safety_between_legs < s.rig.wanted_safety:
        return "arm over a leg" if s.support == "arm" else f"{s.support}, arm over a leg"
    return s.support


def headline(s: SetUp) -> str:
    """The set-up in one line."""
    facts = (lens_words(s), place_words(s), settings_words(s), support_words(s), f"{s.orientation} frame")
    return f"{s.shot}: {', '.join(facts)}"


def depth_words(s: SetUp) -> str:
    """Depth of field against what is needed."""
    return (
        f"depth of field {sharp_words(s)} "
        f"(sharp: no spot wider than {s.depth.circle_mm * 1000:.0f} µm on the sensor, {s.depth.circle_because}; the "
        f"small aperture alone makes {s.depth.diffraction_mm * 1000:.0f} µm)"
    )


def sharp_words(s: SetUp) -> str:
    """'just enough: 131 of 134 mm': the one sentence on whether the depth of field suffices."""
    d = s.depth
    if not math.isfinite(d.total_mm):
        return f"{d.verdict}: without end, {d.needed_mm:.0f} mm needed"
    if d.verdict == "not enough" and d.total_mm >= d.needed_mm:
        return f"not enough at one end: {d.total_mm:.0f} mm in all, {d.needed_mm:.0f} mm needed"
    return f"{d.verdict}: {d.total_mm:.0f} of {d.needed_mm:.0f} mm"


def not_as_asked(s: SetUp) -> list[str]:
    """The frame that cannot be had, with its reason and the ways out: said before anything else."""
    return [f"{s.shot}: {u.words}" for u in s.unmet if u.code == "frame"]


def light_words(s: SetUp) -> str:
    """The light reckoned with."""
    light = s.light
    if light.source == ASSUMED:
        return f"light not known yet, {rounded(s.illuminance_lx)} lx facing the camera assumed"
    low, high = (rounded(s.illuminance_lx * share) for share in (light.low_share, light.high_share))
    spread = f" ({low} to {high}, as the sky does)"
    at = f" at {light.when:%H:%M}" if light.when else ""
    loss = ""
    if s.close_loss_stops >= 0.05:
        loss = f"; focusing so near costs {s.close_loss_stops:.2f} stops, reckoned in already"
    return (
        f"light about {rounded(s.illuminance_lx)} lx{spread} facing the camera{at}, EV100 {s.ev100:.1f}{loss}"
    )


def setup_lines(s: SetUp) -> list[str]:
    """All of it, one fact a line."""
    rows = [*not_as_asked(s), headline(s)]
    rows.append(f"  {s.focus_words} ({s.focus_distance_m:.3f} m from the sensor); {depth_words(s)}")
    rows.append(f"  {light_words(s)}; {s.noise.words}")
    rows.append(f"  {s.framing.words}; {s.background_words}")
    if s.motion.words != "nothing moves":
        rows.append(f"  {s.motion.words}")
    rows += [f"  {c.words}" for c in s.coverage]
    if s.rig is not None:
        rows.append(f"  {'; '.join(s.rig.words)}")
    rows += [f"  {'' if c.ok else 'MIND: '}{c.words}" for c in s.checks if c.kind != "frame"]
    rows += [f"  {r.gains_stops:+.1f} stops: {r.words} ({r.price})" for r in s.remedies]
    if s.bracket is not None:
        rows.append(f"  {s.bracket.words}")
    if s.stack is not None:
        rows.append(f"  {s.stack.words}")
    rows.append(f"  {s.burst_words}")
    rows += [f"  caution: {c}" for c in s.cautions]
    return rows
