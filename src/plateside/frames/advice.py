"""Corrections as marks of the dials: which one to turn, from where to where."""

import math

from plateside.ground.exposure import F_NUMBERS, ISOS, SHUTTERS, ScaleMark, nearest
from plateside.model.frame import Dial, Settings

SLOWEST_S = 30.0
STILL = ("nothing", "steam")


def exposure_dial(
    stops: float, settings: Settings, moves: str = "nothing", base_iso: int = 100
) -> Dial | None:
    """The dial that gives the next frame this many stops, to the nearest third; None when the file tells no settings.

    stops   brighter positive
    moves   what moves in the shot: when something does, the shutter is left alone and ISO is changed
    """
    stops = round(stops * 3) / 3
    time, iso, number = settings.exposure_s, settings.iso, settings.f_number
    by_iso = iso is not None and iso * 2**stops >= base_iso * 0.9
    # Less light is given back first by a lower ISO (less noise); a still subject is otherwise served by time.
    lower_iso = stops < 0 and by_iso and iso is not None and iso > base_iso
    if time is not None and moves in STILL and not lower_iso and time * 2**stops <= SLOWEST_S:
        return _dial("shutter", SHUTTERS, time, stops)
    if by_iso and iso is not None:
        return _dial("iso", ISOS, iso, stops)
    if time is not None and stops < 0:
        return _dial("shutter", SHUTTERS, time, stops)
    if number is not None:
        return _dial("aperture", F_NUMBERS, number, -stops / 2)
    return None


def faster_dial(settings: Settings, streak_px: float, allowed_px: float) -> Dial | None:
    """The shutter that shortens a streak to what is allowed; None when the file tells no shutter."""
    if settings.exposure_s is None:
        return None
    steps = max(1, math.ceil(3 * math.log2(max(streak_px / allowed_px, 1.0)) - 1e-6))
    return _dial("shutter", SHUTTERS, settings.exposure_s, -steps / 3)


def _dial(name: str, scale: tuple[ScaleMark, ...], now: float, octaves: float) -> Dial:
    mark = nearest(scale, now)
    return Dial(name, mark.exact, nearest(scale, mark.exact * 2**octaves).exact)
