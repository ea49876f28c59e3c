"""Parts of sentences about the light: no capital, no full stop."""

from plateside.ground.exposure import (
    F_NUMBERS,
    ISOS,
    SHUTTERS,
    exposure_s,
    nearest,
    shutter_words,
)
from plateside.model.light_answers import Asker, LightNeeds, Spread
from plateside.model.light_facts import SkyAsked
from plateside.words.counting import about, figures, stops
from plateside.words.light.skies import cie_phrase

POINTS = ("north", "north-north-east", "north-east", "east-north-east", "east", "east-south-east", "south-east",
          "south-south-east", "south", "south-south-west", "south-west", "west-south-west", "west",
          "west-north-west", "north-west", "north-north-west")  # fmt: skip
LONGEST_S = 61.0
"""Longer exposures are not named: dusk changes while they run."""
LEVEL = "on the table"
FACING = "facing the camera"
LAMP = "Block the window, use one lamp, and set the white balance to it."
CAUTION = (
    "Never look at the sun, least of all through a lens or a finder: "
    "watch the edge of the light on wall, floor or paper."
)
FROM = {
    "left": "from the left", "right": "from the right", "behind": "from behind the dish",
    "camera": "from the camera's side", "above": "from above",
}  # fmt: skip


def compass_phrase(bearing_deg: float) -> str:
    """'south-south-west'."""
    return POINTS[round((bearing_deg % 360) / 22.5) % 16]


def sky_phrase(sky: SkyAsked) -> str:
    """'clear sky', 'CIE type 3, overcast, moderately graded', 'the typical year of Invented Bay (bay.epw)'."""
    file = f" ({sky.file})" if sky.file else ""
    if sky.kind == "word":
        return f"{sky.name} sky"
    if sky.kind == "cie":
        return cie_phrase(sky.name)
    return (
        f"the sky of your forecast{file}"
        if sky.kind == "forecast"
        else f"the typical year of {sky.name}{file}"
    )


def under_phrase(sky: SkyAsked) -> str:
    """The same behind 'under': 'a clear sky'."""
    words = sky_phrase(sky)
    if words.startswith("the ") or sky.kind == "cie":
        return words
    return f"an {words}" if words[0] in "aeiou" else f"a {words}"


def lux_phrase(light: Spread) -> str:
    """Level light: 'about 480 lx (300-750) on the table'."""
    return f"{about(light, 'lx')} {LEVEL}"


def exposure_phrase(light: Spread, f_number: float = 8.0, iso: float = 100.0) -> str:
    """'1/3 s (0.6 s to 1/6 s)' at f/8 and ISO 100: in the middle of the range, and at its ends."""
    if exposure_s(f_number, max(light.value, 1e-6), iso) > LONGEST_S:
        return "longer than a minute"
    middle = shutter_words(exposure_s(f_number, light.value, iso))
    slow = shutter_words(exposure_s(f_number, max(light.low, 0.1), iso))
    fast = shutter_words(exposure_s(f_number, light.high, iso))
    return middle if slow == fast else f"{middle} ({slow} to {fast})"


def middle_exposure_phrase(light: Spread) -> str:
    """The same without its range, where a sentence has figures enough."""
    return exposure_phrase(Spread(light.value, light.value, light.value))


def asker_phrase(asker: Asker) -> str:
    """'pour at f/9, 1/60 s, ISO 3200'."""
    settings = ", ".join(
        nearest(scale, value).words
        for scale, value in ((F_NUMBERS, asker.f_number), (SHUTTERS, asker.exposure_s), (ISOS, asker.iso))
    )
    if asker.shot:
        return f"{asker.shot} at {settings}"
    return f"{settings} on a tripod, until your shots and camera are in"


def least_phrase(needs: LightNeeds) -> str:
    """'at least 350 lx facing the camera for pour at f/9, 1/60 s, ISO 3200'; empty when any light will do."""
    if needs.at_least_lx <= 0:
        return ""
    least = figures(needs.at_least_lx) if needs.because else f"{needs.at_least_lx:g}"
    why = f" for {asker_phrase(needs.because)}" if needs.because else ""
    return f"at least {least} lx {LEVEL if needs.level else FACING}{why}"


def needs_phrase(needs: LightNeeds) -> str:
    """'no direct sun, shadow side at most 2 stops darker, at least 300 lx on the table'."""
    parts = ["no direct sun" if needs.no_direct_sun else "sun allowed"]
    if needs.at_most_key_fill_stops is not None:
        parts.append(f"shadow side at most {stops(needs.at_most_key_fill_stops, 2)} darker")
    return ", ".join(part for part in (*parts, least_phrase(needs)) if part)
