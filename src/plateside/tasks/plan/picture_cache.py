"""Planned pictures as they are kept in the shoot's cache, by key; draw.py draws them."""

import re
from dataclasses import dataclass
from pathlib import Path

from plateside.files.cache import oldest_go, picture_or_none, read_sealed_json
from plateside.model.errors import InputError
from plateside.words.files import KEPT_PICTURE_FACTS
from plateside.words.plan import refusals

QUALITIES = ("rough", "clean")
SIZES = {"rough": (192, 192), "clean": (560, 560)}
MOST_CACHED = 120
"""Pictures kept; the oldest go first. Each is some tens of kilobytes."""


@dataclass(frozen=True)
class PlannedPicture:
    """One drawn picture."""

    key: str
    quality: str
    words: str
    """What light and settings it was drawn with."""
    clipped_share: float
    engine: str


def picture_path(root: Path, key: str, quality: str) -> Path:
    """Where a picture is or will be. Raises InputError for a key or a quality that is none."""
    if not re.fullmatch(r"[0-9a-f]{32}", key) or quality not in QUALITIES:
        raise InputError(refusals.NO_PICTURE)
    return root / ".plateside" / "cards" / f"{key}-{quality}.jpg"


def planned_picture(root: Path, key: str, quality: str) -> bytes | None:
    """A drawn picture's JPEG; None when it is not drawn yet. Raises InputError for a key or a quality that is none."""
    return picture_or_none(picture_path(root, key, quality))


def known_pictures(root: Path, keys: list[str]) -> dict[str, dict[str, str]]:
    """For each key the qualities that are drawn, with the words of each."""
    return {
        key: {
            q: facts_of(picture_path(root, key, q))[0]
            for q in QUALITIES
            if picture_path(root, key, q).is_file()
        }
        for key in keys
    }


def facts_of(path: Path) -> tuple[str, float, str]:
    """Words, clipped share and renderer of a drawn picture; empty when they are not known."""
    try:
        facts = read_sealed_json(path.with_suffix(".json"), KEPT_PICTURE_FACTS)
        return str(facts["words"]), float(facts["clipped_share"]), str(facts["engine"])
    except (ValueError, KeyError, TypeError):
        return "", 0.0, ""


def make_room(folder: Path) -> None:
    """Forget the oldest pictures."""
    oldest_go(folder, MOST_CACHED, ".jpg", (".json",))
