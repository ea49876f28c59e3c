"""The light in sentences: what a photographer would say of it, no more digits than are known."""

import math
from datetime import date, datetime

from plateside.ground.exposure import exposure_s, shutter_words
from plateside.light.answers import DayLight, Interval, Needs, SpotLight, Spread, rounded
from plateside.light.boards import dish_xyz
from plateside.light.near import distance_m
from plateside.light.needs import usable_intervals
from plateside.tasks.light.place import Stand
from plateside.words.compass import wind

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

NO_DAYLIGHT = "No daylight on this day: block the window, use one lamp, and set the white balance to it."
CAUTION = (
    "Never look at the sun, least of all through a lens or a finder: "
    "watch the edge of the light on wall, floor or paper."
)
TOO_DARK_LX = 1.0
"""Below this a still life would need minutes at f/8 and ISO 100, and colour goes."""
LONGEST_S = 61.0
"""Longer exposures are not named: dusk changes while they run."""


def day_words(day: date) -> str:
    """'Thursday 15 July 2027'."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}"


def compass_words(bearing_deg: float) -> str:
    """'south-south-west'."""
    return wind(bearing_deg)


def minutes_words(minutes: float) -> str:
    """'5 h 20 min'."""
    whole = round(minutes)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def times_words(spans: tuple[Interval, ...]) -> str:
    """'06:40-09:15, 19:50-20:40', or 'at no time'."""
    return ", ".join(span.words() for span in spans) if spans else "at no time"


def stops_between(lx: float, against_lx: float) -> float:
    """How many stops brighter one light is than another; 0 when either is dark."""
    return math.log2(lx / against_lx) if lx > 0 and against_lx > 0 else 0.0


def written_lines(paths: tuple[str, ...]) -> list[str]:
    """Which pictures were written."""
    return [f"Picture: {path}" for path in paths]


def exposure_words(light: Spread, f_number: float = 8.0, iso: float = 100.0) -> str:
    """'1/3 s (between 1/2 s and 1/5 s)' at f/8 and ISO 100."""
    if exposure_s(f_number, max(light.value, 1e-6), iso) > LONGEST_S:
        return "beyond a minute"
    middle = shutter_words(exposure_s(f_number, light.value, iso))
    slow = shutter_words(exposure_s(f_number, max(light.low, 0.1), iso))
    fast = shutter_words(exposure_s(f_number, light.high, iso))
    return middle if slow == fast else f"{middle} (between {slow} and {fast})"


def seen_words(needs: Needs) -> str:
    """Where the least light is meant: level on the table (empty), or as a slanting camera sees the dish."""
    return " as the camera sees the dish" if needs.level_share < 0.995 else ""


def needs_words(needs: Needs) -> str:
    """'no direct sun, at least 300 lx'."""
    parts = ["no direct sun" if needs.no_direct_sun else "sun allowed"]
    if needs.at_least_lx > 0:
        why = f" for {needs.because}" if needs.because else ""
        least = rounded(needs.at_least_lx) if needs.because else f"{needs.at_least_lx:g}"
        parts.append(f"at least {least} lx{seen_words(needs)}{why}")
    if needs.at_most_key_fill_stops is not None:
        parts.append(f"shadow side at most {needs.at_most_key_fill_stops:g} stops darker")
    return ", ".join(parts)


def stops_words(stops: float) -> str:
    """'+1.2 stops', 'the same'."""
    if not math.isfinite(stops):
        return "no light left" if stops < 0 else "all of the light"
    return "the same" if abs(stops) < 0.05 else f"{stops:+.1f} stops"


def key_side(light: SpotLight, stand: Stand) -> str:
    """From which side of the camera the key comes: 'from the left'."""
    turn = math.radians(light.key_bearing_deg - stand.studio.front_bearing_deg - stand.camera_faces_deg)
    across = math.sin(turn)
    if light.key_elevation_deg > 70:
        return "from above"
    if abs(across) < 0.26:  # within 15 degrees of straight ahead or behind
        return "from behind the dish" if math.cos(turn) > 0 else "from the camera's side"
    return "from the right" if across > 0 else "from the left"


def sun_sentence(light: SpotLight, stand: Stand) -> str:
    """Where the sun stands, and whether it reaches the dish or how near it comes."""
    elevation, bearing = light.sun_elevation_deg, light.sun_bearing_deg
    if elevation <= 0:
        return f"Sun below the horizon ({elevation:.0f} degrees, to the {compass_words(bearing)})."
    where = f"Sun {elevation:.0f} degrees high, bearing {bearing:.0f} ({compass_words(bearing)})"
    if light.sun_on_dish:
        return f"{where}: it falls on the dish{f' through {light.sun_window}' if light.sun_window else ''}."
    if not light.sun_patch:
        return f"{where}: it does not fall on the dish."
    x, y, _ = dish_xyz(stand.studio, stand.spot)
    near = min(distance_m((x, y), polygon) for polygon in light.sun_patch)
    if near < stand.dish_width_mm / 2000:
        return f"{where}: it falls on the table and on the edge of the dish, {near * 100:.0f} cm from its middle."
    return f"{where}: it falls on the table, {near * 100:.0f} cm from the middle of the dish."


def colour_sentence(light: SpotLight) -> str:
    """Colour temperature and cast."""
    return f"Colour {light.cct_k.words('K')}; cast of the room {light.cast.words}."


def moment_lines(light: SpotLight, stand: Stand) -> list[str]:
    """The light at one moment, a fact a line."""
    lines = [sun_sentence(light, stand)]
    if light.horizontal_lx.value < TOO_DARK_LX:
        return [*lines, "No daylight to speak of at this moment: wait, or block the window and use one lamp."]
    lines += [
        f"Light on the dish {light.horizontal_lx.words('lx')}.",
        f"Exposure at f/8, ISO 100: {exposure_words(light.horizontal_lx)}.",
    ]
    looking = f"camera looking {stand.camera_faces_deg:.0f} degrees from straight out of the front wall"
    how = looking if stand.camera_given else f"{looking}, as nothing else was said"
    lines += [
        f"Key {key_side(light, stand)}: {light.key_direction} light; shadow side "
        f"{light.key_fill_stops.words('stops')} darker ({how}).",
        f"Modelling {light.modelling} (vector to scalar {light.vector_scalar_ratio.words()}).",
        colour_sentence(light),
        f"Evenness: {rounded(light.evenness_plate_stops.value)} stops over a {light.plate_mm:.0f} mm plate, "
        f"{rounded(light.evenness_frame_stops.value)} over the frame.",
        f"Shadow edge {light.shadow_edge_mm.words('mm')} wide, from something {light.shadow_of_mm:.0f} mm high.",
    ]
    return lines


def sun_day_lines(day: DayLight) -> list[str]:
    """The sun's day: rise, noon, setting; polar day and night said, not computed around."""
    if day.never_up:
        return ["The sun does not rise on this day.", NO_DAYLIGHT]
    noon = f"highest at {day.transit:%H:%M}"
    if day.always_up:
        return [f"The sun does not set on this day; {noon}."]
    rise = (
        f"Sunrise {_clock(day.sunrise, day)}"
        if day.sunrise
        else "No sunrise: the sun is up from the day before"
    )
    setting = (
        f"sunset {_clock(day.sunset, day)}" if day.sunset else "no sunset: the sun stays up into the next day"
    )
    return [f"{rise}, {noon}, {setting}."]


def of_the_day(moment: datetime | None, day: DayLight) -> datetime | None:
    """A rise or setting when it falls on the civil day itself, as a drawing of the day can show it; else None."""
    return moment if moment is not None and moment.date() == day.day else None


def _clock(moment: datetime, day: DayLight) -> str:
    """'00:03 the next day'."""
    ahead = (moment.date() - day.day).days
    return f"{moment:%H:%M}" + {0: "", 1: " the next day", -1: " the day before"}.get(
        ahead, f" on {moment:%d %B}"
    )


def good_lines(day: DayLight) -> list[str]:
    """When the needs are met."""
    total = day.good_min
    words = f"Good light ({needs_words(day.needs)}): {times_words(day.good)}"
    told = [f"{words}, {minutes_words(total)} in all." if len(day.good) > 1 else f"{words}."]
    usable = usable_intervals(day)
    return [*told, f"Usable with a tripod, when nothing moves: {times_words(usable)}."] if usable else told


def light_left_sentence(day: DayLight, at: datetime) -> str:
    """'Light left: 5 h 20 min, until 18:50.'"""
    left = day.light_left_min(at)
    if left > 0:
        until = datetime.fromtimestamp(at.timestamp() + 60 * left, at.tzinfo)
        return f"Light left: {minutes_words(left)}, until {until:%H:%M}."
    again = good_again(day, at)
    return (
        f"Not good now; good again from {again:%H:%M}."
        if again
        else "Not good now, and not again on this day."
    )


def good_again(day: DayLight, at: datetime) -> datetime | None:
    """When the next good light of the day begins; None when none comes."""
    return next((span.start for span in day.good if span.start.timestamp() > at.timestamp()), None)
