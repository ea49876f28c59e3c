"""What `check` and the Studio page find worth a second look: about what, and why.

By the remark's code; the gaps are the facts of files/settings/remarks.py. At a terminal fields go by their names in the
file, on a page by plain words: where the two differ, PAGE has the page's sentence.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from plateside.model.mistakes import Mistake
from plateside.words.counting import capital, listed, plural
from plateside.words.figures import filled
from plateside.words.mistakes import all_said
from plateside.words.things import THINGS


class _Remark(Protocol):
    @property
    def code(self) -> str: ...
    @property
    def table(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def facts(self) -> Mapping[str, Any]: ...


SAID: Mapping[str, str] = {
    "no windows": "There are no [[windows]]: there is no daylight to plan with.",
    "no spots": "There are no [[spots]]: say where the dish can go.",
    "no white board": "There is no white board among the [[boards]]: a sheet of white foam board is the cheapest fill "
    "there is.",
    "round bearing": "{bearing} degrees is a round compass direction. Measure it on a map: ten degrees can move the "
    "hours of sun on the glass by half an hour. Use true north; a compass, and many phones, show magnetic north.",
    "no cameras": "There are no [[cameras]]: no picture can be planned without one.",
    "no lenses": "There are no [[lenses]]: no distance can be planned without one.",
    "no supports": "There are no [[supports]]: every shot is planned hand-held.",
    "arm not measured": "Give arm_reach_m and arm_weight_kg, to see whether it could tip over.",
    "no load limit": "There is no load_limit_kg. Check the maker's limit first: it comes before any sum.",
    "table through a wall": "The table goes through the {wall} wall: the dish, in the middle of the table, is {away} m "
    "from that wall, less than half the table's {side} of {size} m. Fix the one that is wrong.",
    "zone and longitude": "{zone} is {hours} hours from sun time at longitude {longitude}. Is the sign of the "
    "longitude right (east positive, west negative)?",
    "no shots": "There are no [[shots]] yet.",
    "no main shot": 'No shot has role = "main": the first shot becomes the first picture of the page.',
    "no alt text": "There is no alt_text: say in one sentence what the picture shows, for people who cannot see it.",
    "long alt text": "alt_text has {count} characters; aim for {aim}, and stay under {most}.",
    "alt text begins": 'alt_text begins with "{begins}": begin with what is in the picture.',
    "no model release": "There is a person in it and no model_release = true: it is held back from delivery until "
    "everyone recognisable has signed a model release (or it is you).",
    "angle and elevation": "angle is {angle}, but elevation_deg is {elevation}; usual is {least} to {most}.",
    "hours outside": "Its hours are outside your working day, {start} to {end}.",
    "overhead without arm": "It is overhead, and you have no support of kind arm to hold the camera out over the "
    "table.",
    "frame over surface": 'The frame, {frame_width} x {frame_height} mm, is larger than the surface "{surface}" '
    "of {surface_width} x {surface_depth} mm: its edge shows.",
    "no channels": "There are no [[channels]]: say where the pictures go.",
    "page shapes": "No channel with on_page = true has the shape {shapes:or} at 50 000 pixels or more; a recipe page "
    "does best with all of 16:9, 4:3 and 1:1.",
    "unused channels": "No shot goes to {channels}.",
    "enlarged": "{wide} pixels wide is more than any crop of that shape from your camera ({most} pixels): it would be "
    "enlarged.",
    "placeholder name": 'The name is still "{got}": write your own.',
    "no terms": "There is neither usage_terms nor licence_url: plateside pack needs one of them. Write your own terms "
    'under [creator], such as usage_terms = "All rights reserved".',
    "recipe incomplete": "The recipe has no {key} yet, so its page has less to show.",
    "plant": "{plant}: {why}.",
    "plants not listed": "A plant that is not on our list may still be poisonous. Ask a poison centre or a botanical "
    "garden, by its Latin name.",
    "allergen": '"{word}" points to {group}, which is not in your allergens. Read the labels: this reminder knows '
    "words, not food, so no reminder does not mean no allergen.",
    "no frames folder": "It is not there yet: make it, or write in shoot.toml where the camera's files arrive.",
}

PAGE: Mapping[str, str] = {
    "no windows": "There is no window yet: there is no daylight to plan with.",
    "no spots": "There is no table spot yet: say where the dish can go.",
    "no white board": "You have no white board: a sheet of white foam board is the cheapest fill there is.",
    "no cameras": "There is no camera yet: no picture can be planned without one.",
    "no lenses": "There is no lens yet: no distance can be planned without one.",
    "no supports": "There is no tripod yet: every shot is planned hand-held.",
    "arm not measured": "Give the arm's reach and weight, to see whether it could tip over.",
    "no load limit": "There is no load limit. Check the maker's limit first: it comes before any sum.",
    "overhead without arm": "It is overhead, and you have no arm to hold the camera out over the table.",
}

PLANTS: Mapping[str, str] = {
    "poisonous": "poisonous: keep it off plates and out of water jugs that are poured from",
    "irritates": "it irritates and is of low toxicity, but it is not food: keep it off plates",
    "on no list": "not on the lists of edible flowers: keep it off the food",
    "sprayed": "grown with sprays not meant for food: keep them off anything that will be eaten (NC State Extension)",
    "not clean": "not clean enough for food: a dish they touched is not for eating",
    "not food": "'non-toxic' is not 'edible': mark the dish NOT FOOD and bin it",
}
"""Why a plant or a stuff does not belong on a plate."""


def about(remark: _Remark) -> str:
    """What a remark is about: 'window "kitchen window"', 'shot pour', 'studio'."""
    thing = THINGS.get(remark.table, remark.table)
    return f'{thing} "{remark.name}"' if remark.name else thing


def said(remark: _Remark, *, page: bool = False) -> str:
    """A remark in a sentence or two."""
    sentences = {**SAID, **PAGE} if page else SAID
    facts = {**remark.facts, "why": PLANTS.get(str(remark.facts.get("why", "")), "")}
    return capital(filled(sentences[remark.code], facts))


def line(remark: _Remark) -> str:
    """About what, and what."""
    return f"{about(remark)}: {said(remark)}"


def check_lines(
    files: Sequence[str], mistakes: Sequence[Mistake], remarks: Sequence[_Remark], counts: Mapping[str, int]
) -> list[str]:
    """What `check` answers: every mistake with the lines to paste, or that nothing is wrong; then the remarks."""
    read = ", ".join(plural(n, name.removesuffix("s")) for name, n in counts.items())
    found = all_said(mistakes).splitlines() if mistakes else [f"{listed(files)}: nothing wrong ({read})."]
    return [*found, "Worth a look:", *(f"  {line(remark)}" for remark in remarks)] if remarks else found


def no_such_file(given: object) -> str:
    """A file that `check` was given, and that is not there."""
    return f"There is no {given}. Name the shoot's folder, its shoot.toml or a studio.toml."
