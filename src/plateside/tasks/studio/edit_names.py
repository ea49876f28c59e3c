"""A thing of the studio is called by name elsewhere: a new name goes to all those places, none is left without."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from plateside.files.settings.mistakes import raise_if_any
from plateside.files.settings.write import Change, Put, Take
from plateside.model.mistakes import Mistake
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio

IN_SHOTS = {
    "spots": "spot",
    "cameras": "camera",
    "lenses": "lens",
    "supports": "support",
    "surfaces": "surface",
}
"""Array of the studio, and the field of a shot that names one of its items."""

_USED = (*IN_SHOTS, "props", "boards")
"""Arrays whose items a shot may name."""


@dataclass(frozen=True)
class Renamed:
    """One item of the studio that has another name now."""

    table: str
    old: str
    new: str


def renamed_by(changes: Iterable[Change], studio: Studio) -> list[Renamed]:
    """What these changes rename."""
    names = {
        table: [item.name for item in getattr(studio, table)]
        for table in (*IN_SHOTS, "props", "boards", "windows")
    }
    before = {table: list(known) for table, known in names.items()}
    for change in changes:
        where = change.where
        if isinstance(change, Put) and len(where) == 3 and where[0] in names and where[2] == "name":
            known = names[str(where[0])]
            at = known.index(str(where[1])) if where[1] in known else where[1]
            if isinstance(at, int) and 0 <= at < len(known) and isinstance(change.value, str):
                known[at] = change.value
    return [
        Renamed(table, old, new)
        for table, known in names.items()
        for old, new in zip(before[table], known, strict=True)
        if old != new
    ]


def renaming_in_studio(studio: Studio, renamed: Sequence[Renamed]) -> tuple[Change, ...]:
    """Sheets hang on windows, readings were taken at spots: these follow."""
    found: list[Change] = []
    for r in renamed:
        if r.table == "windows":
            found += [
                Put(("diffusers", n, "window"), r.new)
                for n, d in enumerate(studio.diffusers)
                if d.window == r.old
            ]
        if r.table == "spots":
            found += [
                Put(("readings", n, "spot"), r.new) for n, d in enumerate(studio.readings) if d.spot == r.old
            ]
    return tuple(found)


def let_go_by(changes: Iterable[Change], studio: Studio) -> tuple[Change, ...]:
    """A sheet that hangs on a window which is taken out is not hung any more.

    Raises SettingsError for a table spot at which light was read: the readings are evidence.
    """
    found: list[Change] = []
    for change in changes:
        if not isinstance(change, Take) or len(change.where) != 2:
            continue
        table, at = change.where
        items = getattr(studio, table) if table in ("windows", "spots") else ()
        gone = next(
            (i.name for n, i in enumerate(items) if at in (n, i.name) and not isinstance(at, bool)), None
        )
        if gone is not None and table == "windows":
            found += [
                Put(("diffusers", n, "window"), None)
                for n, d in enumerate(studio.diffusers)
                if d.window == gone
            ]
        if gone is not None and table == "spots" and any(r.spot == gone for r in studio.readings):
            raise_if_any([_about("readings here", "spots", gone)])
    return tuple(found)


def bearing_changes(changes: Iterable[Change], studio: Studio) -> tuple[Change, ...]:
    """The room faces where the first window faces, when nothing else is said: its bearing is written down before
    that window is taken out, or the whole room would turn to the next one."""
    if studio.room.front_bearing_deg is not None or not studio.windows:
        return ()
    first = (0, studio.windows[0].name)
    gone = any(
        isinstance(change, Take)
        and len(change.where) == 2
        and change.where[0] == "windows"
        and change.where[1] in first
        for change in changes
    )
    return (Put(("room", "front_bearing_deg"), studio.front_bearing_deg),) if gone else ()


_LAST = {"windows": "last window", "spots": "last spot"}
"""Arrays that must not become empty, and the mistake where one would."""


def refuse_last(before: Studio, after: Studio) -> None:
    """Raise SettingsError when the last window or the last table spot would be gone."""
    for table, code in _LAST.items():
        was = getattr(before, table)
        if was and not getattr(after, table):
            raise_if_any([_about(code, table, was[-1].name)])


def _about(code: str, table: str, name: str, *more: int, **facts: Any) -> Mistake:
    return Mistake(code, head=f"[[{table}]]", name=name, path=(table, *more), facts={"table": table, **facts})


def renaming_in_shoot(shoot: Shoot, renamed: Sequence[Renamed]) -> tuple[Change, ...]:
    """Shots name spots, gear, props and boards: these follow."""
    found: list[Change] = []
    of_props = {r.old: r.new for r in renamed if r.table == "props"}
    for n, shot in enumerate(shoot.shots):
        if any(p in of_props for p in shot.props):
            found.append(Put(("shots", n, "props"), tuple(of_props.get(p, p) for p in shot.props)))
        for r in renamed:
            field = IN_SHOTS.get(r.table)
            if field and getattr(shot, field) == r.old:
                found.append(Put(("shots", n, field), r.new))
            if r.table == "boards":
                found += [
                    Put(("shots", n, "boards", k, "board"), r.new)
                    for k, placed in enumerate(shot.boards)
                    if placed.board == r.old
                ]
    return tuple(found)


def users(shoot: Shoot, table: str, name: str) -> list[str]:
    """Names of the shots that use this item of the studio."""
    return [
        shot.name
        for shot in shoot.shots
        if (table in IN_SHOTS and getattr(shot, IN_SHOTS[table]) == name)
        or (table == "props" and name in shot.props)
        or (table == "boards" and any(placed.board == name for placed in shot.boards))
    ]


def refuse_used(shoot: Shoot, before: Studio, after: Studio, renamed: Sequence[Renamed]) -> None:
    """Raise SettingsError when an item that was there is gone although a shot still names it, or stands at it.

    Shots that name no table spot stand at the first: were it gone, their dish would go to another place unasked.
    """
    moved = {(r.table, r.old) for r in renamed}
    mistakes = _first_spot(shoot, before, after, moved)
    for table in _USED:
        left = {item.name for item in getattr(after, table)}
        for n, item in enumerate(getattr(before, table)):
            by = users(shoot, table, item.name)
            if by and item.name not in left and (table, item.name) not in moved:
                mistakes.append(_about("used by shots", table, item.name, n, shots=by))
    raise_if_any(mistakes)


def _first_spot(shoot: Shoot, before: Studio, after: Studio, moved: set[tuple[str, str]]) -> list[Mistake]:
    first = before.spots[0].name if before.spots else ""
    by = [shot.name for shot in shoot.shots if not shot.spot]
    # where another shot names it, that is told already
    if not by or not first or first in {s.name for s in after.spots} or users(shoot, "spots", first):
        return []
    return [] if ("spots", first) in moved else [_about("first spot", "spots", first, 0, shots=by)]
