"""What the page Plan opens with, before a day is worked out. Light: nothing here computes."""

from pathlib import Path
from typing import Any

from plateside.files.journal.state import read_state
from plateside.files.settings.load import load_studio
from plateside.model.errors import PlatesideError
from plateside.paper.shot_card_style import CSS
from plateside.tasks.report import as_json
from plateside.tasks.studio.edit import read_settings, settings_file, version_of
from plateside.tasks.studio.fields import schema_of

NAMED = ("spots", "cameras", "lenses", "supports", "surfaces", "props", "boards")
"""Arrays of the studio whose items a shot may name."""


def plan_shown(root: Path) -> dict[str, Any]:
    """The shoot as it is saved, its fields, what shots may name, and how many frames of each have landed."""
    edited = read_settings(root, "shoot")
    state = read_state(root)
    landed: dict[str, int] = {}
    for shot in state.shot_of.values():
        landed[shot] = landed.get(shot, 0) + 1
    return {
        "saved": as_json(edited),
        "schema": as_json(schema_of("shoot").tables),
        "names": studio_names(root),
        "landed": landed,
        "row": state.last_row,
    }


def studio_names(root: Path) -> dict[str, list[str]]:
    """What shots may name; empty while the studio has a mistake, which the day then tells."""
    try:
        studio = load_studio(settings_file(root, "studio"))
    except PlatesideError:
        return {name: [] for name in NAMED}
    return {name: [item.name for item in getattr(studio, name)] for name in NAMED}


def file_versions(root: Path) -> dict[str, Any]:
    """What the two files are now: a page sees from it that another hand has changed them."""
    try:
        studio = version_of(settings_file(root, "studio"))
    except PlatesideError:
        studio = ""
    return {"shoot": version_of(settings_file(root, "shoot")), "studio": studio, "names": studio_names(root)}


def paper_style() -> str:
    """The style sheet of call sheet and cards on a page, as they have it on paper."""
    return CSS
