"""What the settings' reader says, in the words of the pages: a field by its label, no headings or names of files.

`in_words`    one sentence
`mistakes_in_words`, `trouble_words`   all mistakes, and the line above them
"""

import re
from collections.abc import Sequence
from functools import cache
from typing import Any

from plateside.tasks.studio.fields import ROOTS, label_of, schema_of

TABLES = {
    "windows": "window",
    "windows.opposite": "what stands outside",
    "spots": "table spot",
    "boards": "board",
    "diffusers": "sheer",
    "blocks": "furniture",
    "cameras": "camera",
    "lenses": "lens",
    "supports": "support",
    "surfaces": "surface",
    "props": "prop",
    "readings": "light reading",
    "shots": "shot",
    "channels": "channel",
    "shots.boards": "board of the shot",
    "recipe.steps": "step",
    "room": "the room",
    "place": "the place",
    "recipe": "the recipe",
    "creator": "the maker of the pictures",
    "fit": "what the readings taught",
}
_FILES = {"studio.toml": "the studio", "shoot.toml": "the shoot"}
_QUOTED = re.compile(r"(\"[^\"]*\"|(?<!\w)'[^']*'(?!\w))")
_MISSING = re.compile(r"^the table \[(\w+)\] is missing: ")


@cache
def _labels() -> dict[str, str]:
    fields = [f.name for which in ROOTS for table in schema_of(which).tables.values() for f in table]
    return {name: label_of(name) for name in fields if "_" in name}


def in_words(text: str) -> str:
    """'from_left_m of [[windows]] is missing' is 'from left of window is missing'. What stands in quotes is hers."""
    text = _MISSING.sub(lambda m: f"{TABLES.get(m[1], m[1])} is missing: ", text)
    parts = _QUOTED.split(text)
    parts[::2] = [_plain(part) for part in parts[::2]]
    return "".join(parts)


def mistakes_in_words(mistakes: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The same mistakes, each place and each sentence in words; the lines to paste stay lines of the file."""
    return [{**m, **{key: _capital(in_words(m[key])) for key in ("where", "said")}} for m in mistakes]


def trouble_words(words: str, mistakes: Sequence[dict[str, Any]]) -> str:
    """The sentence that stands above the mistakes, or in place of them where only one line can be shown."""
    return in_words(words.split("\n")[0] if mistakes else words)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _plain(text: str) -> str:
    text = re.sub(r"\[\[?([a-z_.]+)\]?\]", lambda m: TABLES.get(m[1], re.sub("[_.]", " ", m[1])), text)
    text = re.sub(r"\b[a-z]+(?:_[a-z0-9]+)+\b", lambda m: _label(m[0]), text)
    # a page shows no lines of a file
    text = re.sub(r"\bthe one in line \d+", "another one", text)
    return re.sub(r"\b(?:studio|shoot)\.toml\b", lambda m: _FILES[m[0]], text)


def _label(name: str) -> str:
    label = _labels().get(name)
    if label is None:
        return name
    return label if label[:2].isupper() else label[:1].lower() + label[1:]
