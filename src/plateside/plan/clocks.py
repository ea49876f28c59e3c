"""How long food may stand out, by the published rule of the place's own country; and ISO 8601 durations.

`rule_of`          the holding rule for a two-letter country code
`minutes_of`       minutes of an ISO 8601 duration

What is published, and where it was read:
US  USDA FSIS, "Danger Zone" (40 °F - 140 °F): two hours, one above 90 °F. US FDA Food Code 3-501.16, as Washington
    State quotes it (WAC 246-215-03525). A state adopts its own edition.
AU  FSANZ, 2-hour/4-hour guide (New South Wales Food Authority's leftovers page repeats it); Standard 3.2.2 of the Food
    Standards Code, chapter 3 "(Australia only)": Standard 3.1.1 says that it does not apply in New Zealand.
NZ  Food Act 2014 (Public Act 2014 No 32, administered by the Ministry for Primary Industries): a business works by its
    own registered plan. Times: Ministry of Health, health.govt.nz, "Food safety": leftovers in the fridge in 2 hours.
GB  Schedule 4, paragraphs 2, 5, 6 and 7 of the Food Hygiene (Wales) Regulations 2006 (SI 2006/31) and the Food Hygiene
    Regulations (Northern Ireland) 2006 (SR 2006/3); England: Schedule 4 of SI 2013/2996, with Food Standards Agency,
    Guidance on Temperature Control Legislation in the United Kingdom (May 2016); Scotland: Schedule 4, paragraph 2 of
    SSI 2006/3, which names no time.
EU  Regulation (EC) No 852/2004, Annex II, chapter IX, point 5 (OJ L 139, 30.4.2004), which names no minutes.
Elsewhere no rule is known here: guidance of the USDA is shown as guidance from the United States.
"""

import re
from dataclasses import dataclass, replace
from functools import cache

from plateside.model.errors import RefusedError

_DURATION = re.compile(
    r"^P(?:(?P<w>\d+(?:\.\d+)?)W)?(?:(?P<d>\d+(?:\.\d+)?)D)?"
    r"(?:T(?:(?P<h>\d+(?:\.\d+)?)H)?(?:(?P<m>\d+(?:\.\d+)?)M)?(?:(?P<s>\d+(?:\.\d+)?)S)?)?$"
)


@cache
def minutes_of(duration: str) -> float:
    """Minutes of an ISO 8601 duration such as PT1H30M or P2D. Raises RefusedError for anything else."""
    found = _DURATION.match(duration.strip().upper())
    if not found or not any(found.groupdict().values()) or duration.strip().upper().endswith("T"):
        raise RefusedError("no duration", got=duration)
    parts = {k: float(v or 0) for k, v in found.groupdict().items()}
    return parts["w"] * 10080 + parts["d"] * 1440 + parts["h"] * 60 + parts["m"] + parts["s"] / 60


@dataclass(frozen=True)
class HoldingRule:
    """One country's rule for food out of hot or cold keeping; words/plan/holding.py says whose it is, and where."""

    country: str
    warn_after_min: float
    """When the plan warns: use, chill or finish by then."""
    discard_after_min: float
    hot_holding_c: float | None
    cold_holding_c: float | None
    code: str
    """Which rule it is: US, AU, NZ, GB cold, GB hot; EU: a law that names no minutes; none: none is known here."""
    name: str = ""
    """The country's name, where no rule of its own gives the minutes."""
    own: bool = True
    """False when the minutes are another country's guidance, because none of this country's is known here."""


_US = HoldingRule(
    country="US",
    warn_after_min=90.0,
    discard_after_min=120.0,
    hot_holding_c=57.0,
    cold_holding_c=5.0,
    code="US",
)
_AU = HoldingRule(
    country="AU",
    warn_after_min=120.0,
    discard_after_min=240.0,
    hot_holding_c=60.0,
    cold_holding_c=5.0,
    code="AU",
)
_NZ = HoldingRule(
    country="NZ",
    warn_after_min=90.0,
    discard_after_min=120.0,
    hot_holding_c=None,
    cold_holding_c=None,
    code="NZ",
)
_GB = HoldingRule(
    country="GB",
    warn_after_min=180.0,
    discard_after_min=240.0,
    hot_holding_c=63.0,
    cold_holding_c=8.0,
    code="GB cold",
)
_GB_HOT = replace(_GB, warn_after_min=90.0, discard_after_min=120.0, code="GB hot")
_RULES = {"US": _US, "AU": _AU, "NZ": _NZ, "GB": _GB, "UK": _GB}


_EU = frozenset((
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IT", "LT", "LU", "LV",
    "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK",
))  # fmt: skip


def rule_of(country: str, hot: bool = True, name: str = "") -> HoldingRule:
    """The holding rule for a two-letter country code; where none is known, guidance from elsewhere that says so.

    hot   for the UK: whether the food is served hot, which has the shorter time
    name  the country's name; left out, its code
    """
    code = country.strip().upper()
    rule = _RULES.get(code)
    if rule is None:
        law = "EU" if code in _EU else "none"
        return replace(
            _US, country=code, hot_holding_c=None, cold_holding_c=None, code=law, name=name or code, own=False
        )
    if rule is _GB and hot:
        rule = _GB_HOT
    return replace(rule, country=code)
