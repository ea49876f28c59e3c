"""Asking for a frame of the grey card: calmly, and with why."""

from typing import Protocol

from plateside.words.counting import stops


class _Asked(Protocol):
    @property
    def why(self) -> str: ...
    @property
    def stops(self) -> float | None: ...
    @property
    def mired(self) -> float | None: ...


SHORT = "grey card now"


def grey_card_sentence(asked: _Asked) -> str:
    """'Photograph the grey card now: the light fell 0.4 stop since the last one.'"""
    if asked.why == "set-up":
        return "Photograph the grey card now: a new set-up."
    moved = []
    if asked.stops is not None and abs(asked.stops) >= 0.05:
        moved.append(f"{'rose' if asked.stops > 0 else 'fell'} {stops(asked.stops)}")
    if asked.mired is not None and abs(asked.mired) >= 10:
        moved.append(f"turned {abs(asked.mired):.0f} mired {'warmer' if asked.mired > 0 else 'cooler'}")
    return f"Photograph the grey card now: the light {' and '.join(moved)} since the last one."
