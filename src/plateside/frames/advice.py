"""Corrections in the photographer's words: thirds of a stop, marks of the dials."""

import math

from plateside.ground.exposure import F_NUMBERS, ISOS, SHUTTERS, nearest
from plateside.model.frame import Settings

_THIRDS = {1: "A third of a stop", 2: "Two thirds of a stop", 3: "One stop"}
SLOWEST_S = 30.0
STILL = ("nothing", "steam")


def stops_words(stops: float) -> str:
    """'Two thirds of a stop', 'One and a third stops', '2 stops'; the sign is left to the caller."""
    thirds = round(abs(stops) * 3)
    if thirds in _THIRDS:
        return _THIRDS[thirds]
    whole, rest = divmod(thirds, 3)
    number = {1: "One", 2: "Two", 3: "Three", 4: "Four", 5: "Five"}.get(whole, str(whole))
    return f"{number}{(' ', ' and a third ', ' and two thirds ')[rest]}stops"


def exposure_words(stops: float, settings: Settings, moves: str = "nothing", base_iso: int = 100) -> str:
    """'Two thirds of a stop brighter: 1/3 s to 1/2 s'.

    stops   what the next frame should get, brighter positive, to the nearest third
    moves   what moves in the shot: when something does, the shutter is left alone and ISO is changed
    """
    thirds = round(stops * 3)
    exact = thirds / 3
    start = f"{stops_words(stops)} {'brighter' if stops > 0 else 'darker'}"
    dial = _dial(exact, settings, moves, base_iso)
    return f"{start}: {dial}" if dial else start


def _dial(stops: float, settings: Settings, moves: str, base_iso: int) -> str:
    time, iso, number = settings.exposure_s, settings.iso, settings.f_number
    by_iso = iso is not None and iso * 2**stops >= base_iso * 0.9
    # Less light is given back first by a lower ISO (less grain); a still subject is otherwise served by time.
    lower_iso = stops < 0 and by_iso and iso is not None and iso > base_iso
    if time is not None and moves in STILL and not lower_iso and time * 2**stops <= SLOWEST_S:
        new = nearest(SHUTTERS, nearest(SHUTTERS, time).exact * 2**stops).words
        return f"{nearest(SHUTTERS, time).words} to {new}"
    if by_iso and iso is not None:
        return f"{nearest(ISOS, iso).words} to {nearest(ISOS, nearest(ISOS, iso).exact * 2**stops).words}"
    if time is not None and stops < 0:
        new = nearest(SHUTTERS, nearest(SHUTTERS, time).exact * 2**stops).words
        return f"{nearest(SHUTTERS, time).words} to {new}"
    if number is not None:
        new = nearest(F_NUMBERS, nearest(F_NUMBERS, number).exact * 2 ** (-stops / 2)).words
        return f"{nearest(F_NUMBERS, number).words} to {new}"
    return ""


def faster_words(settings: Settings, streak_px: float, allowed_px: float) -> str:
    """'1/60 s to 1/250 s': the shutter that shortens a streak to what is allowed; empty without a shutter."""
    if settings.exposure_s is None:
        return ""
    steps = max(1, math.ceil(3 * math.log2(max(streak_px / allowed_px, 1.0)) - 1e-6))
    now = nearest(SHUTTERS, settings.exposure_s)
    new = nearest(SHUTTERS, now.exact * 2 ** (-steps / 3))
    return f"{now.words} to {new.words}"
