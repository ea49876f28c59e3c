"""Where a kitchen is, from what was typed to its end: a town, or latitude and longitude; else the nearest names."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from plateside.files.settings.places import City, cities_beginning, find_cities, near_spellings, nearest_city
from plateside.tasks.studio.new import outstanding
from plateside.words import first_run as words

MOST_OFFERED = 8
_NUMBER = r"([-+\u2212]?\d{1,3}(?:\.\d+)?)\s*\u00b0?\s*"
_PAIR = re.compile(rf"\s*{_NUMBER}([NS]?)\s*[,; ]\s*{_NUMBER}([EW]?)\s*", re.IGNORECASE)


@dataclass(frozen=True)
class PlaceTyped:
    """One place, or those that may have been meant."""

    city: City | None
    offered: tuple[City, ...]
    said: str
    """What is to be done when there is no one place; where the time zone is from when it was coordinates."""


def place_typed(text: str) -> PlaceTyped:
    """The place of a text that was typed to its end."""
    at = place_at(text)
    if at is not None:
        return at
    # once only: a name that is nowhere takes seconds to be looked for
    found = find_cities(text)
    sure = outstanding(found)
    if sure is not None:
        return PlaceTyped(sure, (), "")
    if found:
        offered = tuple(found[:MOST_OFFERED])
        return PlaceTyped(None, offered, words.several_places(text, len(found)))
    near = tuple(near_spellings(text))
    return PlaceTyped(None, near, words.no_place(text, any_near=bool(near)))


@dataclass(frozen=True)
class PlacesFor:
    """What may be meant by a text that is still being typed."""

    cities: Sequence[City]
    near: Sequence[City]
    """With a similar name, when no name begins so."""
    said: str


def places_for(text: str) -> PlacesFor:
    """Suggestions for a town, or coordinates, while it is being typed."""
    at = place_at(text)
    if at is not None:
        return PlacesFor(at.offered, (), at.said)
    found = cities_beginning(text)
    return PlacesFor(found, () if found or len(text) < 4 else near_spellings(text), "")


def place_at(text: str) -> PlaceTyped | None:
    """The place of '38.72, -9.14' or '38.72 N, 9.14 W', with the nearest town's country and time zone; else None."""
    match = _PAIR.fullmatch(text)
    if match is None:
        return None
    latitude, longitude = (float(match[n].replace("\u2212", "-")) for n in (1, 3))
    if match[2].upper() == "S":
        latitude = -abs(latitude)
    if match[4].upper() == "W":
        longitude = -abs(longitude)
    if not (abs(latitude) <= 90 and abs(longitude) <= 180):
        return PlaceTyped(None, (), words.COORDINATES_OUT)
    town, away_km = nearest_city(latitude, longitude)
    city = replace(
        town, name=words.near_town(town.name), latitude_deg=latitude, longitude_deg=longitude, population=0
    )
    return PlaceTyped(city, (city,), words.zone_from(town.name, away_km))
