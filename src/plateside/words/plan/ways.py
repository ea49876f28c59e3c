"""Ways out of what is not as asked: parts of sentences, joined with 'or'."""

from collections.abc import Sequence

from plateside.camera.findings import Way
from plateside.ground.exposure import F_NUMBERS, f_number_words, nearest, shutter_words
from plateside.words.counting import listed, stops
from plateside.words.units import Units, length, size_mm

_PLAIN = {
    "arm": "use an arm that reaches over the table",
    "clamp": "clamp the camera to the table",
    "column on table": "put the column on the table",
    "dish to edge": "move the dish to the table's edge",
    "far soft": "let the far end go soft",
    "soft or crop": "let the far end go soft, or shoot from further away and crop",
    "frame tighter": "frame tighter",
    "higher fall": "pour from higher up",
    "higher table": "use a higher table",
    "hold other side": "shoot from another side, or put the camera on a support",
    "let blur": "let what moves blur (mark the blur as deliberate)",
    "longer lens": "use a longer lens",
    "lower table": "use a lower table",
    "move table": "move the table",
    "other side": "put it on the other side",
    "other support": "use another support",
    "own frame": "shoot a tighter frame for it",
    "own shape": "add a channel with this frame's shape",
    "shorter lens": "use a shorter lens",
    "slower shutter": "use a slower shutter speed",
    "step aside": "step aside for the frame",
    "support": "use a tripod or an arm",
    "turn set": "turn the set, or use a longer lens from further away",
}


def sides_phrase(sides: Sequence[float], units: Units) -> str:
    """Width and height [mm]: '600 x 400 mm'."""
    return size_mm(sides[0], sides[1], units)


def held_phrase(orientation: str) -> str:
    """'portrait', 'landscape'."""
    return orientation


def way_phrase(way: Way, units: Units) -> str:
    """One way out: 'use the lens 60 macro'. No capital, no full stop."""
    if way.code in _PLAIN:
        return _PLAIN[way.code]
    return _named_phrase(way, units) if way.name else _figured_phrase(way, units)


def _named_phrase(way: Way, units: Units) -> str:
    size = sides_phrase(way.size, units) if way.size else ""
    zoom = "" if way.value is None else f" at {way.value:.0f} mm"
    return {
        "hold": f"hold the camera {held_phrase(way.name)}: {size}",
        "lens": f"use the lens {way.name}",
        "nearer lens": f"use the lens {way.name}{zoom}, from nearer",
        "second frame": f"shoot a second frame for it, {held_phrase(way.name)}, {size}",
        "leave out": f"leave {way.name} out for this shot",
        "spot": f"shoot at the table spot {way.name}",
        "remedy": f"gain {stops(way.stops or 0.0)}",
    }[way.code]


def _figured_phrase(way: Way, units: Units) -> str:
    value = way.value or 0.0
    if way.code == "crop":
        few = f", too few for {listed(way.names)}" if way.names else ""
        return f"crop to it: {way.size[0]:.0f} x {way.size[1]:.0f} px{few}"
    if way.code == "ask for":
        return f"ask for {sides_phrase(way.size, units)}, which fits every channel"
    return {
        "aperture": f"stop down to {f_number_words(value)}, for {stops(way.stops or 0.0)} of light",
        "background": f"put the background {length(value, units)} behind the dish",
        "board at": f"at {length(value, units)} from the dish it fills it",
        "deliver": f"deliver it {value:.0f} px wide",
        "face": f"turn the camera to face {value:.0f}° instead of {way.was or 0.0:.0f}°",
        "macro": f"use a lens that focuses to {value:.2f} times life size (macro, or a close-up lens)",
        "shutter": f"use {shutter_words(value or 1.0)}, for {stops(way.stops or 0.0)} of light",
        "stack": f"shoot {way.count} frames, moving the focus {length(value / 1000.0, units, 1)} between them",
        "wider": f"open up to {nearest(F_NUMBERS, value or 1.0).words}, with less depth of field",
    }[way.code]


def ways_phrase(ways: Sequence[Way], units: Units) -> str:
    """All of them: 'frame tighter, or use a shorter lens'; empty when there are none."""
    return ", or ".join(way_phrase(w, units) for w in ways)
