"""Files that came back from retouching: which there are, and what was found of each. Light: the pages read it."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from plateside.files.cache import BuildRecord, key_of
from plateside.files.folder import ShootFolder, can_lie_in
from plateside.files.journal.state import ShootState
from plateside.files.originals.kinds import SILENT_NAMES, kind_of_ending
from plateside.finish.came_back import ENDINGS, is_set_aside, picture_named
from plateside.finish.facts import AS_MADE, LATER, TAKEN, CameBack
from plateside.tasks.finish.finished_list import FinishedNow
from plateside.tasks.finish.retouched_now import FOLDER

RETOUCHED_RECORD = "retouched.json"
"""What was found of each file, under .plateside."""
_SETTLED = (TAKEN, LATER, AS_MADE)


def candidates(folder: ShootFolder, masters: Mapping[str, str]) -> Iterator[tuple[str, Path]]:
    """Files that may be retouched pictures, by their names under finished/: all in its folder, and those beside.

    masters  finished picture -> its own file
    """
    own = set(masters.values())
    for path in _files(folder.finished_dir / FOLDER):
        if kind_of_ending(path.suffix.lower()) != "silent":
            yield f"{FOLDER}/{path.name}", path
    for path in _files(folder.finished_dir):
        # who saves beside the pictures: only what is named after one of them
        fits = path.suffix.lower() in ENDINGS and path.name not in own and not is_set_aside(path.stem)
        if fits and picture_named(path.stem, masters.keys()):
            yield path.name, path


def _files(folder: Path) -> list[Path]:
    try:
        found = [p for p in folder.iterdir() if p.is_file()]
    except OSError:
        return []
    return sorted(
        p
        for p in found
        if p.name[0] not in ".~" and p.name.lower() not in SILENT_NAMES and can_lie_in(p.name)
    )


def found_key(path: Path, pictures: Mapping[str, str]) -> str:
    """What is found of a file depends on this: the file, and the frames of the pictures there are (name -> frame)."""
    stat = path.stat()
    return key_of(stat.st_size, stat.st_mtime_ns, sorted(pictures.items()))


def came_back(
    folder: ShootFolder, state: ShootState, masters: Mapping[str, str], pictures: Mapping[str, str]
) -> list[CameBack | str]:
    """What was found of each file that is there; only its name for one that was not looked at yet."""
    record = BuildRecord(folder.plateside_dir / RETOUCHED_RECORD)
    found: list[CameBack | str] = []
    for file, path in candidates(folder, masters):
        entry = record.get(file, found_key(path, pictures))
        found.append(file if entry is None else settled(came_back_from(file, entry), state))
    return found


def settled(one: CameBack, state: ShootState) -> CameBack:
    """Of a file that fits its picture: whether it counts, or another that came later, or none by your choice."""
    known = state.retouched.get(one.picture)
    if one.code != TAKEN or known is None:
        return one
    if known.file != one.file:
        return replace(one, code=LATER, other=known.file)
    return replace(one, code=AS_MADE) if state.retouched_of(one.picture) is None else one


def came_back_from(file: str, entry: Mapping[str, Any]) -> CameBack:
    """One file, from the record."""
    return CameBack(
        file, str(entry.get("code", "")), str(entry.get("picture", "")), str(entry.get("other", "")),
        str(entry.get("text", "")), _size(entry.get("size")), _size(entry.get("asked")),
    )  # fmt: skip


def _size(value: Any) -> tuple[int, int]:
    fits = isinstance(value, list | tuple) and len(value) == 2 and all(type(v) is int for v in value)
    return (value[0], value[1]) if fits else (0, 0)


def not_taken_in(
    folder: ShootFolder, state: ShootState, finished: Mapping[str, FinishedNow]
) -> list[tuple[str, str]]:
    """Files that wait to be looked at, or are not used for a reason, each with the code of its point."""
    masters = {name: now.one.file for name, now in finished.items()}
    counted = {one.file for one in state.retouched.values()}
    points = []
    for one in came_back(folder, state, masters, {name: now.one.frame_id for name, now in finished.items()}):
        if isinstance(one, str):
            if one not in counted:
                points.append((one, "retouched waiting"))
        elif one.code not in _SETTLED:
            points.append((one.file, "retouched unknown"))
    return points
