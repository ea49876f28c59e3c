"""More light, and what each way costs."""

from plateside.camera.findings import Remedy
from plateside.ground.exposure import f_number_words, iso_words, shutter_words
from plateside.words.counting import clock, stops
from plateside.words.units import Units, length, length_mm

ALIKE_STOPS = 0.02
"""Fall-offs that differ by less are said to be alike."""


def remedy_sentence(r: Remedy, units: Units) -> str:
    """'+1 stop: f/4 instead of f/5.6 (depth of field 41 to 29 mm, 35 mm needed)', without a full stop."""
    sign = "-" if r.gains_stops < 0 else "+"
    return f"{sign}{stops(r.gains_stops)}: {remedy_phrase(r, units)} ({price_phrase(r, units)})"


def remedy_phrase(r: Remedy, units: Units) -> str:
    """What to do: 'f/4 instead of f/5.6'."""
    if r.code == "hour":
        return f"at {clock(r.when)}, when the light is best" if r.when else "when the light is best"
    if r.code == "support":
        return "a tripod or an arm instead of hand-held"
    here, there = r.here or 1.0, r.there or 1.0
    return {
        "aperture": f"{f_number_words(there)} instead of {f_number_words(here)}",
        "iso": f"{iso_words(there)} instead of {iso_words(here)}",
        "shutter": f"{shutter_words(there)} instead of {shutter_words(here)}",
        "nearer": f"the dish {length(there, units)} from the window instead of {length(here, units)}",
        "board": f"the {r.name} board {length(there, units)} from the dish, opposite the key light",
    }[r.code]


def price_phrase(r: Remedy, units: Units) -> str:
    """What it costs: 'more noise: signal to noise 71 to 50'."""
    here, there, limit = r.price_here or 0.0, r.price_there or 0.0, r.price_limit or 0.0
    depth = (
        f"{length_mm(here, units, 1)} to {length_mm(there, units, 1)}, {length_mm(limit, units, 1)} needed"
    )
    alike = abs(there - here) < ALIKE_STOPS
    falls = "falls off alike" if alike else "falls off faster" if there > here else "falls off more slowly"
    return {
        "aperture": f"depth of field {depth}",
        "iso": f"more noise: signal to noise {here:.0f} to {there:.0f}",
        "shutter": f"streak {here:.0f} to {there:.0f} px, {limit:.0f} allowed",
        "hour": "the dish must wait for it",
        "nearer": f"{falls}: {here:.2f} to {there:.2f} stops over {length(0.2, units)}",
        "board": f"softer: shadows get {100 * there:.0f} % of the key light, fewer dark edges",
        "support": "slower to move" if r.name else "slower to move; buy or borrow one",
    }[r.code]
