"""A shot added on the spot: a few words, and the rest as in the shot that is being taken.

It is written into shoot.toml as every other save is (comments and order stay), after the current shot.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plateside.files.journal.state import read_state
from plateside.files.settings.forms import a_short_name
from plateside.files.settings.write import Add, Change, Move
from plateside.model.errors import InputError
from plateside.model.shoot import Shoot, Shot
from plateside.tasks.report import as_json
from plateside.tasks.studio.edit import ChangedElsewhereError, Edited, change_settings, read_settings
from plateside.words.set.refusals import SHOT_WITHOUT_WORDS

AS_BEFORE = (
    "date", "camera_faces_deg", "frame_width_mm", "frame_height_mm", "orientation", "dish_width_mm", "dish_height_mm",
    "background_gap_mm", "spot", "camera", "surface", "props", "boards", "stand_in", "glossy", "fill_stops", "channels",
)  # fmt: skip
"""Fields that the new shot has of the current one: same table, same dish, same light."""
LONGEST_TITLE = 120
TRIES = 3


@dataclass(frozen=True)
class ShotAdded:
    """The shot as it was added."""

    shot: str
    """Its name, which no other has."""
    edited: Edited


def add_shot(
    root: Path,
    what: str,
    angle: str,
    sharp: str,
    after: str,
    listed: Mapping[str, frozenset[str]] | None = None,
) -> ShotAdded:
    """Add a shot to the list of a shoot.

    what    what is in the picture, in a few words: its title, and its name made from them
    after   name of the shot that it follows; of none that is there: the end of the list
    listed  the only fields that may be changed; None: all
    Raises InputError without words, SettingsError for an angle or sharpness that is none, CouldNotError.
    """
    title = " ".join(what.split())[:LONGEST_TITLE]
    if not title:
        raise InputError(SHOT_WITHOUT_WORDS)
    left = TRIES
    while True:
        left -= 1
        seen = read_settings(root, "shoot")
        shoot: Shoot = seen.value
        name = _free_name(title, {s.name for s in shoot.shots} | set(read_state(root).shot_of.values()))
        item = {"name": name, "title": title, "angle": angle, "sharp": sharp}
        at = next((n for n, s in enumerate(shoot.shots) if s.name == after), None)
        changes: list[Change] = [Add(("shots",), {**item, **_as_before(shoot, at)})]
        if at is not None and at + 1 < len(shoot.shots):
            changes.append(Move(("shots", name), at + 1))
        try:
            return ShotAdded(name, change_settings(root, "shoot", changes, seen.version, listed=listed))
        except ChangedElsewhereError:
            # another hand saved in between: what it wrote is read, and this goes after it
            if not left:
                raise


def _as_before(shoot: Shoot, at: int | None) -> Mapping[str, Any]:
    """Fields of the current shot that are not what a shot has by itself."""
    if at is None:
        return {}
    before, usual = shoot.shots[at], Shot(name="")
    return {
        name: as_json(getattr(before, name))
        for name in AS_BEFORE
        if getattr(before, name) != getattr(usual, name)
    }


def _free_name(title: str, taken: set[str]) -> str:
    judged = a_short_name(title)
    name = (title if judged is None else judged[1]).lower() or "shot"
    used = {each.lower() for each in taken}
    if name not in used:
        return name
    number = 2
    while f"{name[:55].rstrip('-')}-{number}" in used:
        number += 1
    return f"{name[:55].rstrip('-')}-{number}"
