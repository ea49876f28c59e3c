"""The Studio page's plan as a drawing: the room as it is saved, and what is being dragged where it is for now.

Nothing here computes light: the server itself draws it, without numpy.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from plateside.drawing.studio_plan import studio_plan
from plateside.files.settings.load import load_shoot, load_studio
from plateside.model.errors import InputError, SettingsError
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.plan.beside import SIDES
from plateside.words import studio as words

PLACE_PX = (200.0, 4000.0)
"""Least and most that a plan is wide or high on a page."""
ROOM_M = (1.0, 30.0)
MOVED_M = (0.0, 30.0)
TURNED_DEG = (0.0, 360.0)
At = tuple[str | int, ...]
Thing = TypeVar("Thing")

_MOVES: Mapping[str, Mapping[str, tuple[float, float]]] = {
    "room": {"width_m": ROOM_M, "depth_m": ROOM_M},
    "windows": {"from_left_m": MOVED_M},
    "opposite": {"bearing_from_deg": TURNED_DEG, "bearing_to_deg": TURNED_DEG},
    "spots": {"from_left_m": MOVED_M, "from_front_m": MOVED_M},
    "furniture": {"from_left_m": MOVED_M, "from_front_m": MOVED_M},
    "placed": {"distance_m": MOVED_M},
}
"""What can be dragged, and which of its numbers a drag changes, from and to."""


@dataclass(frozen=True)
class Moved:
    """A thing that is somewhere else for now: its path in the settings, and the numbers that a drag has changed."""

    at: At
    values: Mapping[str, Any]


def drawn_plan(
    root: Path,
    wide_px: float,
    high_px: float,
    *,
    chosen: At | None = None,
    shot: str = "",
    moved: Sequence[Moved] = (),
    placed: Sequence[Moved] = (),
) -> str:
    """The plan as SVG.

    wide_px, high_px  the place that there is for it
    chosen            the thing whose measures are shown
    shot              whose boards stand round the chosen table spot
    moved, placed     things of the studio, and boards of that shot (at = (its number,)), on their way, oldest first

    Raises SettingsError while studio.toml has a mistake, InputError for what cannot be dragged so.
    """
    low, high = PLACE_PX
    if not (low <= wide_px <= high and low <= high_px <= high):
        raise InputError(words.plan_size(low, high))
    studio = load_studio(root)
    for each in moved:
        studio = _with(studio, each)
    return studio_plan(studio, wide_px, high_px, chosen, _shot(root, shot, placed) if shot else None)


def _shot(root: Path, name: str, placed: Sequence[Moved]) -> Shot | None:
    """The shot with its boards as they now are; None while the shoot has something to fix, or no such shot."""
    try:
        shot = next((s for s in load_shoot(root).shots if s.name == name), None)
    except SettingsError:
        return None
    if shot is None:
        return None
    for each in placed:
        shot = _placed(shot, each)
    return shot


def _placed(shot: Shot, placed: Moved) -> Shot:
    """The shot with a board where it is for now."""
    k = placed.at[0] if placed.at else None
    if not isinstance(k, int) or not 0 <= k < len(shot.boards):
        raise InputError(words.NO_SUCH_BOARD)
    side = placed.values.get("side", shot.boards[k].side)
    if not isinstance(side, str) or side not in SIDES:
        raise InputError(words.no_side(side, tuple(SIDES)))
    numbers = {name: value for name, value in placed.values.items() if name != "side"}
    boards = _changed(shot.boards, k, replace(shot.boards[k], side=side, **_judged("placed", numbers)))
    return replace(shot, boards=boards)


def _changed(things: tuple[Thing, ...], n: int, thing: Thing) -> tuple[Thing, ...]:
    return (*things[:n], thing, *things[n + 1 :])


def _judged(kind: str, values: Mapping[str, Any]) -> dict[str, Any]:
    """The numbers of a drag, when they are such."""
    found: dict[str, Any] = {}
    for name, value in values.items():
        low, high = _MOVES.get(kind, {}).get(name, (1.0, 0.0))
        if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            raise InputError(words.not_dragged_so(name, value))
        found[name] = float(value)
    return found


def _with(studio: Studio, moved: Moved) -> Studio:
    """The studio with the thing where it is for now."""
    match moved.at:
        case ("room",):
            return replace(studio, room=replace(studio.room, **_judged("room", moved.values)))
        case ("windows" | "spots" | "furniture" as kind, int(n)) if 0 <= n < len(getattr(studio, kind)):
            things: tuple[Any, ...] = getattr(studio, kind)
            moved_there: dict[str, Any] = {
                kind: _changed(things, n, replace(things[n], **_judged(kind, moved.values)))
            }
            return replace(studio, **moved_there)
        case ("windows", int(n), "opposite", int(k)) if 0 <= n < len(studio.windows) and 0 <= k < len(
            studio.windows[n].opposite
        ):
            window = studio.windows[n]
            each = replace(window.opposite[k], **_judged("opposite", moved.values))
            window = replace(window, opposite=_changed(window.opposite, k, each))
            return replace(studio, windows=_changed(studio.windows, n, window))
    raise InputError(words.NOT_DRAGGED)
