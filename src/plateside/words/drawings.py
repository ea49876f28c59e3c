"""What drawings say: their titles, their keys, their labels, and what is read out to those who cannot see them.

Lengths come as the drawing writes them ('0.6 m'); times by the clock.
"""

from collections.abc import Sequence
from datetime import date

from plateside.words.counting import day_of_year, listed

GOOD = "good light"
SUNRISE, SUNSET = "sunrise", "sunset"
DIRECT_SUN = "direct sun on the dish"
SPREAD = "light on the dish, and its likely range"

DAY_TITLE = "Light on the dish through the day"


def day_told(most_at: str, sunny: Sequence[str], good: Sequence[str]) -> str:
    """The curve of a day: when it is highest, when sun is on the dish, when the light is good."""
    sun = f"Direct sun on the dish: {_runs(sunny)}."
    return f"{DAY_TITLE}, in stops; most at {most_at}. {sun} Good light: {_runs(good)}."


def _runs(runs: Sequence[str]) -> str:
    return ", ".join(runs) or "none"


def span(starts: str, ends: str) -> str:
    """'07:05 to 09:00'."""
    return f"{starts} to {ends}"


def marked(clock: str, lux: str, shutter: str) -> str:
    """A moment pointed at."""
    return f"{clock}  about {lux} lx, {shutter}"


def sun_on_dish(when: str) -> str:
    """On the plot, where the sun reaches the dish."""
    return f"sun on the dish {when}"


def good_when(when: str) -> str:
    """On the bar under the plot."""
    return f"good {when}"


YEAR_TITLE = "The year: days across, hours down"
RISE_AND_SET = f"{SUNRISE}, {SUNSET}"


def year_told(good_days: int, days: int, good_hours: float, longest: date | None, sunny_days: int) -> str:
    """The calendar; `longest`: the day with most good light."""
    most = f", most on {day_of_year(longest)}" if longest else ""
    return (
        f"{YEAR_TITLE}. Good light on {good_days} of {days} days, {good_hours:.0f} hours in all{most}. Direct sun on "
        f"the dish on {sunny_days} days."
    )


def clock_change(minutes: int) -> str:
    """Where the clocks change."""
    return f"clocks {'forward' if minutes > 0 else 'back'} {abs(minutes) / 60:g} h"


ROOM_TITLE = "Plan of the room"
ROOM_VIEWS = ("Plan", "Section through the main window")
SUN_DOWN = "sun below the horizon"
HATCHED = "hatched: sun"


def scale(part: int) -> str:
    """Beside the bar of one metre."""
    return f"1:{part} when printed at full size"


def sun_at(bearing_deg: float, high_deg: float) -> str:
    """Beside the compass."""
    return f"sun at {bearing_deg:.0f}°, {high_deg:.0f}° high"


def not_labelled(names: Sequence[str]) -> str:
    """Names that found no place in a crowded room."""
    return f"Not labelled above: {', '.join(names)}"


def room_told(
    size: tuple[str, str, str], windows: Sequence[str], dish: str, sun: tuple[float, float] | None
) -> str:
    """The room as it is drawn. windows, dish: as window_told and dish_told say them."""
    wide, deep, high = size
    parts = [f"The room is {wide} wide, {deep} deep and {high} high", *windows, *([dish] if dish else [])]
    if sun is not None:
        parts.append(f"the sun at {sun[0]:.0f} degrees, {sun[1]:.0f} degrees high")
    return "; ".join(parts) + "."


def window_told(name: str, wall: str, wide: str, high: str, sill: str) -> str:
    """A window of the room."""
    return f"{name} in the {wall} wall, {wide} wide and {high} high, its sill at {sill}"


def dish_told(spot: str, from_left: str, from_front: str, high: str) -> str:
    """Where the dish is."""
    return (
        f"the dish on {spot}, {from_left} from the left wall, {from_front} from the front wall, {high} high"
    )


def from_above(shot: str) -> str:
    """A set-up's drawing."""
    return f"{shot} from above"


def from_above_told(to_front: str) -> str:
    """The same, read out."""
    return f"The dish {to_front} from the front wall, to scale."


def from_the_side(shot: str) -> str:
    """A set-up's drawing."""
    return f"{shot} from the side"


def from_the_side_told(above_table: str) -> str:
    """The same, read out."""
    return f"The lens {above_table} above the table, to scale."


def lens_at(far: str) -> str:
    """Across the floor from the dish to the lens."""
    return f"lens {far}"


def sensor_at(high: str) -> str:
    """How high the sensor is."""
    return f"sensor {high}"


def arm_of(long: str) -> str:
    """How far an arm reaches."""
    return f"arm {long}"


def sharp_for(deep: str) -> str:
    """Beside the depth of field."""
    return f"sharp {deep}"


def bag_of(kg: float) -> str:
    """Beside the bag that hangs from a column."""
    return f"bag {kg:.1f} kg"


def front_wall(far: str) -> str:
    """A front wall that is not in the drawing."""
    return f"front wall {far}"


def to_left_wall(far: str) -> str:
    """Along the tape, to a wall that is in the drawing."""
    return f"{far} to the left wall"


def dish_from_left(far: str) -> str:
    """To a wall that is not."""
    return f"dish {far} from the left wall"


def board_name(name: str) -> str:
    """A board beside the dish."""
    return f"{name} board"


SHOOT_DAY = "The day"
SHOOT_DAY_TOLD = (
    "The day: good light, kitchen and camera. Pale is setting up, or cooking that needs no hands; full is the hero, "
    "or your hands."
)
LANES = ("light", "kitchen", "camera")


KEY = (
    ("good", GOOD), ("setting", "setting up with the stand-in"), ("hero", "the hero"), ("hands", "kitchen, your hands"),
    ("no-hands", "kitchen, by itself"),
)  # fmt: skip
"""What the blocks of the day's lanes mean; without any light known, the first is left out."""


def good_block(when: str) -> str:
    """A stretch of the lane of light."""
    return f"{GOOD} {when}"


def cooking_block(step: str, *, hands: bool) -> str:
    """A step in the kitchen."""
    return step if hands else f"{step}, by itself"


def setting_block(shot: str) -> str:
    """Before the hero comes."""
    return f"{shot}: set up with the stand-in"


def hero_block(shot: str) -> str:
    """While it is photographed."""
    return f"{shot}: the hero"


def light_told(shot: str, most_lx: str, low_lx: str, high_lx: str) -> str:
    """A shot's light over the day."""
    return f"Light on {shot}: at most about {most_lx} lx ({low_lx}-{high_lx})."


def strip_told(shot: str, good: Sequence[str] | None, slot: tuple[str, str] | None) -> str:
    """A shot's lane: its good light (None: not known), and when it is set up and when the hero is in."""
    light = "light not known" if good is None else f"{GOOD} {', '.join(good)}" if good else f"no {GOOD}"
    return f"{shot}: {light}; {f'set up {slot[0]}, the hero in {slot[1]}' if slot else 'no hour'}"


def kitchen_told(steps: Sequence[tuple[str, str]]) -> str:
    """The kitchen's lane: (when, what)."""
    return f"Kitchen: {'; '.join(f'{when} {what}' for when, what in steps) or 'nothing to cook today'}"


STUDIO_TOLD = (
    "Plan of the room. Tab moves from thing to thing; the arrow keys move the one you are on by a centimetre, with "
    "Shift by ten."
)


def window_thing(name: str, wall: str, from_left: str, wide: str, hung: Sequence[str]) -> str:
    """A window that can be dragged, with what hangs before it."""
    veiled = f", with {listed(hung)}" if hung else ""
    return f"Window {name}: {from_left} from the left end of the {wall} wall, {wide} wide{veiled}"


def spot_thing(name: str, from_left: str, from_front: str) -> str:
    """A table spot that can be dragged."""
    return f"Table spot {name}: {from_left} from the left wall, {from_front} from the front wall"


def block_thing(name: str, from_left: str, from_front: str, high: str) -> str:
    """A piece of furniture that can be dragged."""
    return f"{name}: {from_left} from the left wall, {from_front} from the front wall, {high} high"


def outside_thing(name: str, window: str, from_deg: float, to_deg: float, away: str) -> str:
    """What is outside a window."""
    return f"{name or 'Something outside'}, seen from {window}: {from_deg:.0f} to {to_deg:.0f} degrees, {away} away"


def outside_label(name: str, away: str) -> str:
    """The same, on the drawing."""
    return f"{name or 'outside'}, {away}"


def wall_handle(*, right: bool, size: str) -> str:
    """A wall that can be dragged."""
    return f"{'Right' if right else 'Back'} wall: the room is {size} {'wide' if right else 'deep'}"


def board_label(name: str, far: str) -> str:
    """A board on the plan."""
    return f"{name} {far}"


_SIDES = {
    "left": "on the left",
    "right": "on the right",
    "far": "on the far side",
    "near": "on the near side",
}


def board_thing(name: str, shot: str, far: str, side: str, wide: str) -> str:
    """A board that can be dragged."""
    where = f"{far} from the dish, {_SIDES[side]} as the camera sees it"
    return f"Board {name} of {shot}: {where}, {wide} wide. Arrow keys move it."
