"""Whether a frame of the grey card is wanted now, by what the verdicts say of the light. From the journal alone."""

from collections.abc import Mapping
from typing import Any

from plateside.files.journal.state import ShootState
from plateside.frames.grey_asked import GreyCardAsked, LightOfFrame, card_asked


def grey_card_asked(state: ShootState, shot: str) -> GreyCardAsked | None:
    """For a shot; None when nothing is wanted, or its frames were judged by a version that did not say."""
    found = lights_of(state, shot)
    return None if found is None else card_asked(found)


def lights_of(state: ShootState, shot: str) -> list[LightOfFrame] | None:
    """The light of a shot's frames in the order of landing; None when a verdict does not say of a card."""
    found = []
    marked = state.grey_cards.get(shot, ("", None))[0]
    for frame in state.landed:
        if state.shot_of.get(frame) != shot or frame in state.cards:
            continue
        verdict: Mapping[str, Any] = state.verdicts.get(frame, {})
        if not verdict and frame != marked:
            continue  # it is being judged
        light = verdict.get("light")
        if not isinstance(light, dict) and frame != marked:
            return None
        found.append(_read(frame, light if isinstance(light, dict) else {}, marked == frame))
    return found


def has_card(state: ShootState, shot: str) -> bool | None:
    """Whether a grey card is in a frame of the shot; None when its frames were judged by a version that did not say."""
    found = lights_of(state, shot)
    return None if found is None else any(one.card for one in found)


def _read(frame: str, light: Mapping[str, Any], marked: bool) -> LightOfFrame:
    stops, mired = (light.get(name) for name in ("stops", "mired"))
    number = isinstance(stops, int | float) and isinstance(mired, int | float)
    return LightOfFrame(
        frame,
        marked or light.get("card") is True,
        str(light.get("against", "")) if number else "",
        float(stops) if isinstance(stops, int | float) else None,
        float(mired) if isinstance(mired, int | float) else None,
    )
