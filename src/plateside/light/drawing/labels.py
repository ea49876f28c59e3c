"""What stands on the drawings of light themselves, and their descriptions for who cannot see them.

These are a drawing's own labels, as a page's are in its template: the core that places them needs their width. What is
said *of* the light, above and below a drawing, comes from words/light/drawn.py.
"""

from collections.abc import Sequence

# ---- The day --------------------------------------------------------------------------------------------------

SPREAD = "light on the dish and its spread"


def sun_from_to(starts: str, ends: str) -> str:
    return f"sun on the dish {starts} to {ends}"


def describe_day(brightest: str, sun: Sequence[str], good: Sequence[str]) -> str:
    """brightest is a clock's time; sun and good are spans, as 10:00 to 11:30."""
    return (
        f"Light on the dish over the day in stops; most at {brightest}. Direct sun on the dish: "
        f"{', '.join(sun) or 'none'}. Good light: {', '.join(good) or 'none'}."
    )


# ---- The year -------------------------------------------------------------------------------------------------

DIRECT_SUN = "direct sun on the dish"
SUN_TIMES = "sunrise, sunset"


def describe_year(good_days: int, days: int, hours: float, longest: str, sunny_days: int) -> str:
    """longest is the day with the most good light, as 3 May; '' when there is none."""
    best = f", longest on {longest}" if longest else ""
    return (
        f"Days across, hours of the clock down. Good light on {good_days} of {days} days, {hours:.0f} hours in "
        f"all{best}. Direct sun falls on the dish on {sunny_days} days."
    )


# ---- The plan -------------------------------------------------------------------------------------------------

PLAN = "Plan of the room"
VIEWS = ("Plan", "Section through the main window")
BELOW_HORIZON = "sun below the horizon"
HATCHED = "hatched: where the sun falls"


def not_named(names: Sequence[str]) -> str:
    return f"No room above for: {', '.join(names)}"


def sun_at(bearing_deg: float, high_deg: float) -> str:
    return f"sun at {bearing_deg:.0f}°, {high_deg:.0f}° high" if high_deg > 0 else BELOW_HORIZON


def printed_at(scale: int) -> str:
    return f"1 : {scale} printed at full size"


def describe_room(wide: str, deep: str, high: str) -> str:
    """Lengths as they are read out, in metres."""
    return f"Room {wide} m wide, {deep} m deep, {high} m high"


def describe_window(name: str, wall: str, wide: str, high: str, sill: str) -> str:
    return f"; {name} in the {wall} wall, {wide} by {high} m, sill at {sill} m"


def describe_dish(spot: str, left: str, front: str, high: str) -> str:
    return (
        f"; the dish at {spot}, {left} m from the left wall and {front} m from the front wall, {high} m high"
    )


def describe_sun(bearing_deg: float, high_deg: float) -> str:
    return f"; sun at bearing {bearing_deg:.0f} degrees, {high_deg:.0f} degrees high"
