"""The light that a camera's own meter reads off a card or paper at the dish."""

from collections.abc import Mapping
from typing import Any

from plateside.files.settings.guesses import number_in
from plateside.ground.exposure import ev100, illuminance_lx
from plateside.ground.figures import rounded
from plateside.model.errors import InputError
from plateside.words.plan import refusals

REFLECTS: Mapping[str, float] = {"grey card": 0.18, "white paper": 0.80}
"""Share of the light given back: the card's by its definition, plain office paper's by common practice, no source."""
_LIMITS = {"f_number": (0.7, 64.0), "shutter": (1 / 32000, 30.0), "iso": (10.0, 1_000_000.0)}
"""Beyond them nobody meters a table by daylight: '60' for 1/60 s is asked again rather than taken for a minute."""


def metered_lx(by: Any) -> float:
    """Light on the dish [lx] from {f_number, shutter, iso, off}: texts as they were typed.

    ISO 2720: E = C N^2 / (t S), C = 250, is the light in which a metered 18 % card stands at its level; what gives
    more back needs less light for the same reading. Raises InputError for what is no setting.
    """
    if not isinstance(by, dict) or by.get("off") not in REFLECTS:
        raise InputError(refusals.NO_METERED)
    n, t, iso = _setting(by, "f_number", ""), _setting(by, "shutter", "s"), _setting(by, "iso", "")
    lux = illuminance_lx(ev100(n, t, iso)) * REFLECTS["grey card"] / REFLECTS[by["off"]]
    return float(rounded(lux, 3))


def _setting(by: Mapping[str, Any], name: str, unit: str) -> float:
    typed = str(by.get(name, ""))[:40]
    value = number_in(typed.lower().replace("iso", ""), unit)
    low, high = _LIMITS[name]
    if value is None or not low <= value <= high:
        raise InputError(refusals.no_setting(name, typed))
    return value
