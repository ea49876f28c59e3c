"""What is allowed and yet worth a second look: things that check says without calling them wrong."""

import datetime as dt
import re
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from plateside.files.settings.allergens import not_listed
from plateside.files.settings.lines import number_text
from plateside.files.settings.plants import plants_in
from plateside.model.shoot import Shoot, Shot
from plateside.model.studio import Studio

_PAGE_SHAPES = (("16:9", 16 / 9), ("4:3", 4 / 3), ("1:1", 1.0))
"""Shapes asked for recipe pages by search engines' guidelines for structured data, each of 50 000 pixels or more."""
_PAGE_LEAST_PX = 50_000
_ALT_AIM, _ALT_MOST = 125, 250
"""Letters; IPTC's alt-text guidance aims at 125 and ends at 250."""
_WHITE = 0.6
_THROUGH_M = 0.05
"""So far a table may reach into a wall unsaid: nobody measures the dish's place closer."""


@dataclass(frozen=True)
class Remark:
    """One thing worth a look."""

    kind: str
    """light, gear, shots, words, page, plants, allergens or place"""
    about: str
    said: str

    def text(self) -> str:
        return f"{self.about}: {self.said}"


def _share(value: float | tuple[float, float, float]) -> float:
    return value if isinstance(value, float | int) else sum(value) / 3


def studio_remarks(studio: Studio) -> list[Remark]:
    """Remarks on the studio alone."""
    found: list[Remark] = []
    if not studio.windows:
        found.append(Remark("light", "studio", "no [[windows]]: there is no daylight to plan with."))
    if not studio.spots:
        found.append(Remark("light", "studio", "no [[spots]]: say where the dish can stand."))
    if not any(_share(b.reflectance) >= _WHITE for b in studio.boards):
        said = "no white board among [[boards]]: a sheet of white foam board is the cheapest fill there is."
        found.append(Remark("light", "studio", said))
    for window in studio.windows:
        if window.bearing_deg % 45 == 0:
            said = (
                f"bearing {number_text(window.bearing_deg)} is a round compass point. Measure it on a map: ten degrees "
                "can move the sun's hours on the glass by half an hour. True north is meant; a needle, and many "
                "phones, show magnetic north."
            )
            found.append(Remark("light", f'window "{window.name}"', said))
    found += _tables(studio)
    for name, items, use in (
        ("cameras", studio.cameras, "no picture can be planned"),
        ("lenses", studio.lenses, "no distance can be planned"),
        ("supports", studio.supports, "every picture is planned by hand"),
    ):
        if not items:
            found.append(Remark("gear", "studio", f"no [[{name}]]: {use} until there is one."))
    for support in studio.supports:
        if support.kind == "arm" and not (support.arm_reach_m and support.arm_mass_kg):
            said = "arm_reach_m and arm_mass_kg are needed to tell whether it could tip."
            found.append(Remark("gear", f'support "{support.name}"', said))
        if support.kind == "arm" and support.load_limit_kg is None:
            said = "load_limit_kg is not given; the maker's limit comes before any sum of ours."
            found.append(Remark("gear", f'support "{support.name}"', said))
    found += _zone(studio)
    return found


def _tables(studio: Studio) -> list[Remark]:
    """Tables that go through a wall: the light on them is worked out, yet no room holds them."""
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
            if away_m + _THROUGH_M >= size_m / 2:
                continue
            said = (
                f"the table goes through the {wall} wall: the dish, in the middle of the table, is "
                f"{number_text(round(away_m, 3))} m from that wall, less than half the table's {side} of "
                f"{number_text(size_m)} m. Mend the one that is wrong."
            )
            found.append(Remark("light", f'spot "{spot.name}"', said))
    return found


def _zone(studio: Studio) -> list[Remark]:
    place = studio.place
    noon = dt.datetime(2027, 1, 15, 12, tzinfo=ZoneInfo(place.timezone))
    offset = (noon.utcoffset() or dt.timedelta()) - (noon.dst() or dt.timedelta())
    apart_h = abs((offset.total_seconds() / 3600 - place.longitude_deg / 15 + 12) % 24 - 12)
    if apart_h <= 3.5:
        return []
    said = (
        f"{place.timezone} is {apart_h:.1f} hours from the sun's time at longitude "
        f"{number_text(place.longitude_deg)}: is the longitude's sign right (east positive, west negative)?"
    )
    return [Remark("place", f'place "{place.name}"' if place.name else "place", said)]


def shoot_remarks(shoot: Shoot, studio: Studio | None) -> list[Remark]:
    """Remarks on the shoot, and on how it goes with the studio when there is one."""
    found: list[Remark] = []
    if not shoot.shots:
        found.append(Remark("shots", "shoot", "no [[shots]]: nothing is wanted yet."))
    elif not any(shot.role == "main" for shot in shoot.shots):
        said = 'no shot has role = "main": the page\'s first picture is then the first shot.'
        found.append(Remark("shots", "shoot", said))
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
    about = f"shot {shot.name}"
    found: list[Remark] = []
    alt = shot.alt_text.strip()
    if not alt:
        said = "no alt_text: say in a sentence what the picture shows, for those who cannot see it."
        found.append(Remark("words", about, said))
    elif len(alt) > _ALT_MOST:
        said = f"alt_text has {len(alt)} letters; aim for {_ALT_AIM}, and stay under {_ALT_MOST}."
        found.append(Remark("words", about, said))
    if re.match(r"(an? )?(image|photo|photograph|picture) (of|showing)\b", alt, re.IGNORECASE):
        said = f'alt_text begins with "{" ".join(alt.split()[:3])}": begin with what is to be seen.'
        found.append(Remark("words", about, said))
    if shot.person and not shot.release:
        said = (
            "a person is in it and release is not true: without a written yes from whoever can be recognised (or it is "
            "you), it is held back from delivery."
        )
        found.append(Remark("words", about, said))
    usual = {"overhead": (70, 90), "three-quarter": (20, 70), "straight-on": (0, 25)}[shot.angle]
    if not usual[0] <= shot.elevation <= usual[1]:
        said = (
            f"angle is {shot.angle}, yet elevation_deg is {number_text(shot.elevation)}; "
            f"usual is {usual[0]} to {usual[1]}."
        )
        found.append(Remark("shots", about, said))
    early = shot.from_time and shot.from_time < shoot.from_time
    late = shot.to_time and shot.to_time > shoot.to_time
    if early or late:
        said = f"its hours lie outside the working day, {shoot.from_time} to {shoot.to_time}."
        found.append(Remark("shots", about, said))
    return found


def _shot_in_studio(shot: Shot, studio: Studio) -> list[Remark]:
    about = f"shot {shot.name}"
    found: list[Remark] = []
    if shot.angle == "overhead" and studio.supports and not any(s.kind == "arm" for s in studio.supports):
        said = (
            "it is overhead, and the studio has no support of kind arm to hold the camera out over the table."
        )
        found.append(Remark("gear", about, said))
    surfaces = [s for s in studio.surfaces if not shot.surface or s.name == shot.surface]
    if surfaces and shot.angle == "overhead":
        surface = surfaces[0]
        sides = sorted((surface.width_m * 1000, surface.depth_m * 1000))
        frame = sorted((shot.frame_width_mm, shot.frame_height_mm))
        if sides[0] < frame[0] or sides[1] < frame[1]:
            said = (
                f"the frame of {number_text(shot.frame_width_mm)} x {number_text(shot.frame_height_mm)} mm is larger "
                f'than the surface "{surface.name}", {number_text(sides[1])} x {number_text(sides[0])} mm: '
                "its edge shows."
            )
            found.append(Remark("shots", about, said))
    return found


def _page(shoot: Shoot, studio: Studio | None) -> list[Remark]:
    found: list[Remark] = []
    if not shoot.channels:
        return [Remark("page", "shoot", "no [[channels]]: say where the pictures go.")]
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
        said = (
            f"no channel with on_page = true has the shape {' or '.join(lacking)} at 50 000 pixels or more; a recipe "
            "page's markup is best with all of 16:9, 4:3 and 1:1."
        )
        found.append(Remark("page", "channels", said))
    used = {name for shot in shoot.shots for name in shot.channels}
    unused = [c.name for c in shoot.channels if c.name not in used]
    if unused and shoot.shots and all(shot.channels for shot in shoot.shots):
        found.append(Remark("page", "channels", f"no shot goes to {', '.join(unused)}."))
    for camera in studio.cameras[:1] if studio else ():
        for channel in shoot.channels:
            long_px, short_px = max(camera.pixels_wide, 1), max(camera.pixels_high, 1)
            ratio = channel.width_px / channel.height_px
            crops = [min(w, h * ratio) for w, h in ((long_px, short_px), (short_px, long_px))]
            if channel.width_px > max(crops):
                said = (
                    f"{channel.width_px} px wide is more than any crop of that shape from the camera "
                    f"({int(max(crops))} px): it would be enlarged."
                )
                found.append(Remark("page", f"channel {channel.name}", said))
    return found


def _words(shoot: Shoot) -> list[Remark]:
    found: list[Remark] = []
    if shoot.creator.name.casefold() in ("your name", "...", "name"):
        found.append(Remark("words", "creator", f'the name is still "{shoot.creator.name}": write your own.'))
    if not shoot.creator.licence_url and not shoot.creator.usage_terms:
        said = (
            "neither usage_terms nor licence_url: plateside pack will refuse to hand anything over. Write under "
            '[creator] your own terms, such as usage_terms = "All rights reserved".'
        )
        found.append(Remark("words", "creator", said))
    recipe = shoot.recipe
    for key, value in (
        ("description", recipe.description),
        ("ingredients", recipe.ingredients),
        ("steps", recipe.steps),
    ):
        if not value:
            found.append(Remark("words", "recipe", f"no {key} yet; the page's markup is thin without."))
    return found


def _plants(shoot: Shoot, studio: Studio | None) -> list[Remark]:
    recipe = shoot.recipe
    places: list[tuple[str, str]] = [("recipe", " ; ".join((recipe.title, *recipe.ingredients)))]
    places += [("recipe", f"{step.name} ; {step.text}") for step in recipe.steps]
    places += [
        (f"shot {s.name}", " ; ".join((*s.props, s.title, s.caption, s.alt_text))) for s in shoot.shots
    ]
    if studio is not None:
        places += [("props", prop.name) for prop in studio.props]
    told: dict[str, Remark] = {}
    for about, text in places:
        for plant in plants_in(text):
            latin = f" ({plant.latin})" if plant.latin else ""
            if plant.name not in told:
                told[plant.name] = Remark("plants", about, f"{plant.name}{latin}: {plant.why}.")
    found = list(told.values())
    if found:
        said = (
            "what is not on our list is not thereby safe. Ask a poison centre or garden, by the Latin name."
        )
        found.append(Remark("plants", "flowers and greens", said))
    return found


def _allergens(shoot: Shoot) -> list[Remark]:
    recipe = shoot.recipe
    lines = (*recipe.ingredients, *(step.name for step in recipe.steps))
    return [
        Remark(
            "allergens",
            "recipe",
            f'"{word}" points to {group}, which allergens does not name. Read the labels: this reminder knows words, '
            "not food, and its silence means nothing.",
        )
        for group, word in not_listed(lines, recipe.allergens)
    ]
