"""What you set by hand, for one picture or for the whole series. Light to import: journal and pages read it too."""

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields

LIMITS: Mapping[str, float] = {
    "brighter_stops": 3.0, "warmer_mired": 80.0, "magenta_cc": 30.0, "turned_degrees": 15.0,
}  # fmt: skip
"""Furthest either way of each."""


@dataclass(frozen=True)
class Hand:
    """Changes by hand; all 0: none."""

    brighter_stops: float = 0.0
    """brighter [stops]"""
    warmer_mired: float = 0.0
    """warmer [mired]"""
    magenta_cc: float = 0.0
    """more magenta, negative greener [CC: hundredths of density in green]"""
    turned_degrees: float = 0.0
    """turned clockwise, to straighten [degrees]"""

    @property
    def changes(self) -> bool:
        """Whether anything is set."""
        return self != UNTOUCHED

    def and_(self, other: "Hand") -> "Hand":
        """Both, as a picture gets what is set for it and for its series."""
        mine, theirs = asdict(self), asdict(other)
        return Hand(**{n: round(_within(n, mine[n] + theirs[n]), 4) for n in LIMITS})


UNTOUCHED = Hand()


def hand_of(values: object) -> Hand:
    """From a row or a page. Raises ValueError with the name of what is no number within its limits."""
    if not isinstance(values, Mapping):  # a damaged list may hold anything
        raise ValueError("hand")
    found = {}
    for name in (field.name for field in fields(Hand)):
        value = values.get(name, 0.0)
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise ValueError(name)
        if abs(value) > LIMITS[name]:
            raise ValueError(name)
        found[name] = float(value)
    return Hand(**found)


def _within(name: str, value: float) -> float:
    return min(max(value, -LIMITS[name]), LIMITS[name])
