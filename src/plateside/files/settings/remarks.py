"""What is allowed and yet worth a second look: what check says without calling it wrong."""

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from zoneinfo import ZoneInfo

from plateside.files.settings.allergens import not_listed
from plateside.files.settings.plants import plants_in
from plateside.model.shoot import Shoot, Shot
from plateside.model.studio import Studio

_PAGE_SHAPES = (("16:9", 16 / 9), ("4:3", 4 / 3), ("1:1", 1.0))
"""Shapes asked for recipe pages by search engines' guidelines for structured data, each of 50 000 pixels or more."""
_PAGE_LEAST_PX = 50_000
_ALT_AIM, _ALT_MOST = 125, 250
"""Characters; IPTC's alt-text guidance aims at 125 and ends at 250."""
_WHITE = 0.6
_THROUGH_M = 0.05
"""So far a table may reach into a wall unsaid: nobody measures the dish's place closer."""


@dataclass(frozen=True)
class Remark:
    """One thing worth a look; words/remarks.py says it."""

    code: str
    kind: str
    """light, gear, shots, words, page, plants, allergens or place"""
    table: str
    """Where it is, as words/things.py names it: windows, shots, studio ..."""
    name: str = ""
    """Of the thing it is about."""
    facts: Mapping[str, Any] = field(default_factory=dict, hash=False)
    """The figures of its sentence."""


def _share(value: float | tuple[float, float, float]) -> float:
    return value if isinstance(value, float | int) else sum(value) / 3


def studio_remarks(studio: Studio) -> list[Remark]:
    """Remarks on the studio alone."""
    found = [
        Remark(f"no {name}", "light", "studio") for name in ("windows", "spots") if not getattr(studio, name)
    ]
    if not any(_share(b.reflectance) >= _WHITE for b in studio.boards):
        found.append(Remark("no white board", "light", "studio"))
    found += [
        Remark("round bearing", "light", "windows", window.name, {"bearing": window.bearing_deg})
        for window in studio.windows
        if window.bearing_deg % 45 == 0
    ]
    found += _tables(studio)
    gear = ("cameras", "lenses", "supports")
    found += [Remark(f"no {name}", "gear", "studio") for name in gear if not getattr(studio, name)]
    for support in studio.supports:
        if support.kind == "arm" and not (support.arm_reach_m and support.arm_weight_kg):
            found.append(Remark("arm not measured", "gear", "supports", support.name))
        if support.kind == "arm" and support.load_limit_kg is None:
            found.append(Remark("no load limit", "gear", "supports", support.name))
    return found + _zone(studio)


def _tables(studio: Studio) -> list[Remark]:
    """Tables that go through a wall: their light can be worked out, yet no room holds them."""
    room, found = studio.room, []
    for spot in studio.spots:
        wide, deep = spot.table_width_m, spot.table_depth_m
        walls = (
            ("left", spot.from_left_m, wide, "width"),
            ("right", room.width_m - spot.from_left_m, wide, "width"),
            ("front", spot.from_front_m, deep, "depth"),
            ("back", room.depth_m - spot.from_front_m, deep, "depth"),
        )
        for wall, away_m, size_m, side in walls:
            if away_m + _THROUGH_M < size_m / 2:
                facts = {"wall": wall, "away": round(away_m, 3), "side": side, "size": size_m}
                found.append(Remark("table through a wall", "light", "spots", spot.name, facts))
    return found


def _zone(studio: Studio) -> list[Remark]:
    place = studio.place
    noon = dt.datetime(2027, 1, 15, 12, tzinfo=ZoneInfo(place.timezone))
    offset = (noon.utcoffset() or dt.timedelta()) - (noon.dst() or dt.timedelta())
    apart_h = abs((offset.total_seconds() / 3600 - place.longitude_deg / 15 + 12) % 24 - 12)
    if apart_h <= 3.5:
        return []
    facts = {"zone": place.timezone, "hours": f"{apart_h:.1f}", "longitude": place.longitude_deg}
    return [Remark("zone and longitude", "place", "place", place.name, facts)]


def shoot_remarks(shoot: Shoot, studio: Studio | None) -> list[Remark]:
    """Remarks on the shoot, and on how it goes with the studio when there is one."""
    found: list[Remark] = []
    if not shoot.shots:
        found.append(Remark("no shots", "shots", "shoot"))
    elif not any(shot.role == "main" for shot in shoot.shots):
        found.append(Remark("no main shot", "shots", "shoot"))
    for shot in shoot.shots:
        found += _shot(shot, shoot)
        if studio is not None:
            found += _shot_in_studio(shot, studio)
    found += _page(shoot, studio)
    found += _words(shoot)
    found += _plants(shoot, studio)
    found += _allergens(shoot)
    return found


def _shot(shot: Shot, shoot: Shoot) -> list[Remark]:
    found: list[Remark] = []

    def remark(code: str, kind: str, **facts: Any) -> None:
        found.append(Remark(code, kind, "shots", shot.name, facts))

    alt = shot.alt_text.strip()
    if not alt:
        remark("no alt text", "words")
    elif len(alt) > _ALT_MOST:
        remark("long alt text", "words", count=len(alt), aim=_ALT_AIM, most=_ALT_MOST)
    if re.match(r"(an? )?(image|photo|photograph|picture) (of|showing)\b", alt, re.IGNORECASE):
        remark("alt text begins", "words", begins=" ".join(alt.split()[:3]))
    if shot.person and not shot.model_release:
        remark("no model release", "words")
    least, most = {"overhead": (70, 90), "three-quarter": (20, 70), "straight-on": (0, 25)}[shot.angle]
    if not least <= shot.elevation <= most:
        remark(
            "angle and elevation", "shots", angle=shot.angle, elevation=shot.elevation, least=least, most=most
        )
    early = shot.from_time and shot.from_time < shoot.from_time
    late = shot.to_time and shot.to_time > shoot.to_time
    if early or late:
        remark("hours outside", "shots", start=shoot.from_time, end=shoot.to_time)
    return found


def _shot_in_studio(shot: Shot, studio: Studio) -> list[Remark]:
    found: list[Remark] = []
    if shot.angle == "overhead" and studio.supports and not any(s.kind == "arm" for s in studio.supports):
        found.append(Remark("overhead without arm", "gear", "shots", shot.name))
    surfaces = [s for s in studio.surfaces if not shot.surface or s.name == shot.surface]
    if surfaces and shot.angle == "overhead":
        surface = surfaces[0]
        sides = sorted((surface.width_m * 1000, surface.depth_m * 1000))
        frame = sorted((shot.frame_width_mm, shot.frame_height_mm))
        if sides[0] < frame[0] or sides[1] < frame[1]:
            facts = {
                "frame_width": shot.frame_width_mm, "frame_height": shot.frame_height_mm, "surface": surface.name,
                "surface_width": sides[1], "surface_depth": sides[0],
            }  # fmt: skip
            found.append(Remark("frame over surface", "shots", "shots", shot.name, facts))
    return found


def _page(shoot: Shoot, studio: Studio | None) -> list[Remark]:
    found: list[Remark] = []
    if not shoot.channels:
        return [Remark("no channels", "page", "shoot")]
    on_page = [c for c in shoot.channels if c.on_page]
    lacking = [
        name
        for name, ratio in _PAGE_SHAPES
        if not any(
            abs(c.width_px / c.height_px / ratio - 1) < 0.02 and c.width_px * c.height_px >= _PAGE_LEAST_PX
            for c in on_page
        )
    ]
    if lacking:
        found.append(Remark("page shapes", "page", "all channels", facts={"shapes": lacking}))
    used = {name for shot in shoot.shots for name in shot.channels}
    unused = [c.name for c in shoot.channels if c.name not in used]
    if unused and shoot.shots and all(shot.channels for shot in shoot.shots):
        found.append(Remark("unused channels", "page", "all channels", facts={"channels": unused}))
    for camera in studio.cameras[:1] if studio else ():
        for channel in shoot.channels:
            long_px, short_px = max(camera.pixels_wide, 1), max(camera.pixels_high, 1)
            ratio = channel.width_px / channel.height_px
            most = max(min(w, h * ratio) for w, h in ((long_px, short_px), (short_px, long_px)))
            if channel.width_px > most:
                facts = {"wide": channel.width_px, "most": int(most)}
                found.append(Remark("enlarged", "page", "channels", channel.name, facts))
    return found


def _words(shoot: Shoot) -> list[Remark]:
    found: list[Remark] = []
    if shoot.creator.name.casefold() in ("your name", "...", "name"):
        found.append(Remark("placeholder name", "words", "creator", facts={"got": shoot.creator.name}))
    if not shoot.creator.licence_url and not shoot.creator.usage_terms:
        found.append(Remark("no terms", "words", "creator"))
    lacking = [key for key in ("description", "ingredients", "steps") if not getattr(shoot.recipe, key)]
    return found + [Remark("recipe incomplete", "words", "recipe", facts={"key": key}) for key in lacking]


def _plants(shoot: Shoot, studio: Studio | None) -> list[Remark]:
    recipe = shoot.recipe
    places: list[tuple[str, str, str]] = [("recipe", "", " ; ".join((recipe.title, *recipe.ingredients)))]
    places += [("recipe", "", f"{step.name} ; {step.text}") for step in recipe.steps]
    places += [("shots", s.name, " ; ".join((*s.props, s.title, s.caption, s.alt_text))) for s in shoot.shots]
    if studio is not None:
        places += [("props", "", prop.name) for prop in studio.props]
    by_plant: dict[str, Remark] = {}
    for table, name, text in places:
        for plant in plants_in(text):
            called = f"{plant.name} ({plant.latin})" if plant.latin else plant.name
            facts = {"plant": called, "why": plant.why}
            by_plant.setdefault(plant.name, Remark("plant", "plants", table, name, facts))
    found = list(by_plant.values())
    return [*found, Remark("plants not listed", "plants", "flowers and greens")] if found else []


def _allergens(shoot: Shoot) -> list[Remark]:
    recipe = shoot.recipe
    lines = (*recipe.ingredients, *(step.name for step in recipe.steps))
    return [
        Remark("allergen", "allergens", "recipe", facts={"word": word, "group": group})
        for group, word in not_listed(lines, recipe.allergens)
    ]
