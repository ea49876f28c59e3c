"""How long food may stand out: the rule of the place's own country by name, never a blend; and ISO 8601 durations.

`rule_of`          the holding rule for a two-letter country code
`minutes_of`       minutes of an ISO 8601 duration

Sources as in docs/plan.md: USDA text on two hours and one above 90 °F; US FDA Food Code 3-501.16 and 3-501.19; FSANZ
fact sheet on the 2-hour/4-hour guide; Food Standards Agency guidance on temperature control 2016 (the UK's tolerances
from memory); Regulation (EC) No 852/2004, Annex II, chapter IX, point 5 (OJ L 139, 30.4.2004), which names no minutes;
elsewhere the national food authority decides.
"""

import re
from dataclasses import dataclass
from functools import cache

from plateside.model.errors import InputError

_DURATION = re.compile(
    r"^P(?:(?P<w>\d+(?:\.\d+)?)W)?(?:(?P<d>\d+(?:\.\d+)?)D)?"
    r"(?:T(?:(?P<h>\d+(?:\.\d+)?)H)?(?:(?P<m>\d+(?:\.\d+)?)M)?(?:(?P<s>\d+(?:\.\d+)?)S)?)?$"
)


@cache
def minutes_of(duration: str) -> float:
    """Minutes of an ISO 8601 duration such as PT1H30M or P2D. Raises InputError for anything else."""
    found = _DURATION.match(duration.strip().upper())
    if not found or not any(found.groupdict().values()) or duration.strip().upper().endswith("T"):
        raise InputError(f"'{duration}' is not an ISO 8601 duration; write PT25M, PT1H30M or P2D.")
    parts = {k: float(v or 0) for k, v in found.groupdict().items()}
    return parts["w"] * 10080 + parts["d"] * 1440 + parts["h"] * 60 + parts["m"] + parts["s"] / 60


@dataclass(frozen=True)
class HoldingRule:
    """One body's rule for food held out of hot or cold keeping."""

    country: str
    body: str
    warn_after_min: float
    """When the plan warns: use, chill or finish by then."""
    discard_after_min: float
    hot_holding_c: float | None
    cold_holding_c: float | None
    words: str
    own: bool = True
    """False when it is only guidance, because no rule with minutes is stored for that country."""


_US = HoldingRule(
    country="US",
    body="USDA and US FDA Food Code",
    warn_after_min=90.0,
    discard_after_min=120.0,
    hot_holding_c=57.0,
    cold_holding_c=5.0,
    words="USDA: discard perishable food after 2 hours at room temperature in all, 1 hour above 32 °C (90 °F). "
    "Food Code 3-501.16: hold hot at 57 °C (135 °F) or above, cold at 5 °C (41 °F) or below.",
)
_FSANZ = HoldingRule(
    country="AU",
    body="FSANZ",
    warn_after_min=120.0,
    discard_after_min=240.0,
    hot_holding_c=60.0,
    cold_holding_c=5.0,
    words="FSANZ 2-hour/4-hour guide, time between 5 and 60 °C added up: under 2 hours use or chill again, "
    "2 to 4 hours use now, over 4 hours throw away.",
)
_UK = HoldingRule(
    country="GB",
    body="Food Standards Agency (Scotland: Food Standards Scotland)",
    warn_after_min=120.0,
    discard_after_min=240.0,
    hot_holding_c=63.0,
    cold_holding_c=8.0,
    words="UK: hot food at 63 °C or above; chilled at 8 °C or below in England, Wales and Northern Ireland; in "
    "Scotland in a refrigerator or a cool ventilated place. Out once only: hot food up to 2 hours, cold up to "
    "4 hours (tolerances from memory: check your guidance).",
)
_RULES = {"US": _US, "AU": _FSANZ, "NZ": _FSANZ, "GB": _UK, "UK": _UK}


_EU_CODES = "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK"
_EU = frozenset(_EU_CODES.split())
_EU_RULE = (
    "EU food law (Regulation (EC) No 852/2004, Annex II, chapter IX): the cold chain is not broken; food may be out of "
    "it for a limited time while it is handled and served, if that brings no risk to health. It names no minutes: the "
    "national food authority of {name} may, ask it. "
)
_GUIDANCE = "As guidance only (USDA): not over 2 hours out in all, 1 hour above 32 °C."


def rule_of(country: str, hot: bool = True, name: str = "") -> HoldingRule:
    """The holding rule for a two-letter country code; where none is stored, guidance that says so.

    hot   for the UK: whether the food is served hot, which has the shorter tolerance
    name  the country's name, for the words; left out, its code
    """
    code = country.strip().upper()
    rule = _RULES.get(code)
    if rule is None:
        told = name or code or "your country"
        return HoldingRule(
            country=code,
            body="guidance of the USDA; your national food authority decides",
            warn_after_min=90.0,
            discard_after_min=120.0,
            hot_holding_c=None,
            cold_holding_c=None,
            words=_EU_RULE.format(name=told) + _GUIDANCE
            if code in _EU
            else f"Ask the national food authority of {told}: its rule is not known here. {_GUIDANCE}",
            own=False,
        )
    if rule is _UK and hot:
        return HoldingRule(**{**vars(rule), "warn_after_min": 90.0, "discard_after_min": 120.0})
    return HoldingRule(**{**vars(rule), "country": code})
