"""The words that go with a picture: title, description, alternative text; what is wrong with them is said, not mended.

Lengths: alt text aims at 125 letters and stays under 250 (as IPTC and accessibility guidance give them); every
meaningful picture has one (WCAG 2.2, 1.1.1).
"""

import re
from dataclasses import dataclass

from plateside.deliver.points import Point
from plateside.model.shoot import Recipe, Shot

AIM_LETTERS = 125
MOST_LETTERS = 250
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
    """False: the tool's stand-in, from recipe and shot; to be written by her"""
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
            tuple(Point(said, code="words", shot=shot.name) for said in check_alt(alt, shot.name, title)),
        )
    stand_in = Point(
        f"The alt text of {shot.name} is only a stand-in: write what the picture shows.",
        'Write it as alt_text = "..." under the shot in shoot.toml.',
        "words",
        shot.name,
    )
    return Words(title, description, alt, False, (stand_in,))


def placeholders(recipe: Recipe, creator: str) -> tuple[Point, ...]:
    """What is still as the starter file had it, or says of itself that it is to be written: a point each."""
    said = []
    in_recipe = "It stands under [recipe] in shoot.toml."
    for what, text in (("title", recipe.title), ("description", recipe.description)):
        if _is_placeholder(text, _STARTER_TITLES):
            said.append(
                Point(
                    f"The recipe's {what} is still “{text}”: write your own.", in_recipe, "recipe placeholder"
                )
            )
    for line in recipe.ingredients:
        if _is_placeholder(line, ()):
            said.append(
                Point(
                    f"The ingredient “{line}” is a placeholder: write your own.",
                    in_recipe,
                    "recipe placeholder",
                )
            )
    for number, step in enumerate(recipe.steps, 1):
        if _is_placeholder(step.text or step.name, _STARTER_STEPS):
            said.append(
                Point(
                    f"Step {number} of the recipe reads only “{step.text or step.name}”: write the reader's sentence.",
                    'Write it as text = "..." under that step in shoot.toml.',
                    "recipe placeholder",
                )
            )
    if _is_placeholder(creator, _STARTER_NAMES):
        said.append(
            Point(
                f"The maker of the pictures is still “{creator}”: write your name.",
                "It stands under [creator] in shoot.toml.",
                "maker placeholder",
            )
        )
    return tuple(said)


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
    return f"{parts[0]}, {' '.join(parts[1:])}."[:MOST_LETTERS]


def check_alt(alt: str, file_stem: str, title: str = "") -> tuple[str, ...]:
    """What is wrong with an alternative text, one sentence each."""
    said = []
    text = alt.strip()
    name = text.lower().replace("_", "-").strip(".")
    if not text:
        return (
            f"The alt text of {file_stem} is empty: say what the picture shows, for those who cannot see it.",
        )
    if _FILE_NAME.search(text) or name == file_stem.lower() or _CAMERA_NAME.match(text):
        said.append(f"The alt text of {file_stem} is a file name ({text!r}): say what the picture shows.")
    if _NEEDLESS.match(text):
        said.append(
            f"The alt text of {file_stem} begins with {_NEEDLESS.match(text)[0].strip()!r}: "  # type: ignore[index]
            "leave that out, readers are told already that it is a picture."
        )
    if len(text) > MOST_LETTERS:
        said.append(
            f"The alt text of {file_stem} has {len(text)} letters; at most {MOST_LETTERS}, better {AIM_LETTERS}."
        )
    elif len(text) > AIM_LETTERS:
        said.append(
            f"The alt text of {file_stem} has {len(text)} letters; {AIM_LETTERS} are easier to listen to."
        )
    if title and text.lower().rstrip(".") == title.lower().rstrip("."):
        said.append(f"The alt text of {file_stem} only repeats the title: say what is to be seen.")
    if text.count(",") > 8:
        said.append(f"The alt text of {file_stem} reads like a list of keywords: make it a sentence.")
    return tuple(said)


def _clean(text: str) -> str:
    """One line, control characters gone: XML and HTML have no place for them."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
