"""The words that go with a picture: title, description, alternative text; what is wrong with them is named, not fixed.

Lengths: alt text aims at 125 characters and stays under 250 (as IPTC and accessibility guidance give them); every
meaningful picture has one (WCAG 2.2, 1.1.1).
"""

import re
from dataclasses import dataclass

from plateside.deliver.points import Point
from plateside.model.shoot import Recipe, Shot

AIM_CHARACTERS = 125
MOST_CHARACTERS = 250
_NEEDLESS = re.compile(
    r"^\s*(an?\s+|the\s+)?(image|picture|photo|photograph|graphic|shot)\s+(of|showing|with)\b", re.I
)
_FILE_NAME = re.compile(r"\.(jpe?g|webp|avif|png|tiff?|dng|raw|heic)\b", re.I)
_CAMERA_NAME = re.compile(r"^[a-z_]{0,5}[_-]?\d{3,6}$", re.I)

_TO_BE_WRITTEN = re.compile(
    r"^(write|put|add|describe|fill in) (the|your|a|an) .*\b(here|below)\b|^(todo|tbd|xxx|lorem ipsum)\b|^\.\.\.$"
)
_STARTER_TITLES = ("my dish", "title")
_STARTER_STEPS = ("prepare", "cook", "plate", "step", "")
_STARTER_NAMES = ("your name", "name")
"""What `plateside new` writes for what nobody has said yet, in small letters."""

_VIEWS = {
    "overhead": "seen from above",
    "three-quarter": "seen at an angle",
    "straight-on": "seen from the side",
}


@dataclass(frozen=True)
class Words:
    """What is written with one shot's pictures."""

    title: str
    description: str
    alt_text: str
    alt_is_hers: bool
    """False: a stand-in from recipe and shot, still to be written"""
    remarks: tuple[Point, ...] = ()


def words_for(recipe: Recipe, shot: Shot, edited: dict[str, str] | None = None) -> Words:
    """The words of a shot: edited on a page, else from shoot.toml, else a stand-in that says it is one.

    edited  field -> text: title, caption, alt_text
    """
    edited = edited or {}
    title = _clean(edited.get("title", "") or shot.title) or recipe.title
    description = _clean(edited.get("caption", "") or shot.caption) or _clean(recipe.description) or title
    hers = _clean(edited.get("alt_text", "") or shot.alt_text)
    alt = hers or stand_in_alt(recipe, shot)
    if hers:
        return Words(
            title,
            description,
            alt,
            True,
            check_alt(alt, shot.name, title),
        )
    stand_in = Point("words", shot.name, what="stand-in")
    return Words(title, description, alt, False, (stand_in,))


def placeholders(recipe: Recipe, creator: str) -> tuple[Point, ...]:
    """What is still as the starter file had it, or says of itself that it is to be written: a point each."""
    found = []
    for what, text in (("title", recipe.title), ("description", recipe.description)):
        if _is_placeholder(text, _STARTER_TITLES):
            found.append(Point("recipe placeholder", what=what, text=text))
    for line in recipe.ingredients:
        if _is_placeholder(line, ()):
            found.append(Point("recipe placeholder", what="ingredient", text=line))
    for number, step in enumerate(recipe.steps, 1):
        if _is_placeholder(step.text or step.name, _STARTER_STEPS):
            found.append(Point("recipe placeholder", what="step", text=step.text or step.name, got=(number,)))
    if _is_placeholder(creator, _STARTER_NAMES):
        found.append(Point("maker placeholder", text=creator))
    return tuple(found)


def _is_placeholder(text: str, known: tuple[str, ...]) -> bool:
    plain = text.strip().strip(".").casefold()
    return plain in known or bool(_TO_BE_WRITTEN.match(plain))


def stand_in_alt(recipe: Recipe, shot: Shot) -> str:
    """What can be said without seeing: dish, view, and what moves."""
    parts = [recipe.title.strip().rstrip(".")]
    if shot.moves in ("silk pour", "frozen drops"):
        parts.append("being poured")
    elif shot.moves == "falling sugar":
        parts.append("being dusted")
    elif shot.moves == "steam":
        parts.append("steaming")
    parts.append(_VIEWS[shot.angle])
    return f"{parts[0]}, {' '.join(parts[1:])}."[:MOST_CHARACTERS]


def check_alt(alt: str, shot: str, title: str = "") -> tuple[Point, ...]:
    """What is wrong with an alternative text, a point each; `what` says which.

    empty, file name, needless (it says that it is a picture), long, too long, title (repeats it), keywords
    """
    found: list[Point] = []
    text = alt.strip()
    name = text.lower().replace("_", "-").strip(".")
    if not text:
        return (Point("words", shot, what="empty"),)
    if _FILE_NAME.search(text) or name == shot.lower() or _CAMERA_NAME.match(text):
        found.append(Point("words", shot, what="file name", text=text))
    if needless := _NEEDLESS.match(text):
        found.append(Point("words", shot, what="needless", text=needless[0].strip()))
    if len(text) > AIM_CHARACTERS:
        what = "too long" if len(text) > MOST_CHARACTERS else "long"
        found.append(Point("words", shot, what=what, got=(len(text),)))
    if title and text.lower().rstrip(".") == title.lower().rstrip("."):
        found.append(Point("words", shot, what="title"))
    if text.count(",") > 8:
        found.append(Point("words", shot, what="keywords"))
    return tuple(found)


def _clean(text: str) -> str:
    """One line, control characters gone: XML and HTML have no place for them."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
