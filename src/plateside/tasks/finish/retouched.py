"""Retouched files taken in: each is recognised, compared with its picture, and counts in its place from then on.

Nothing is moved or written over: the picture that `finish` made stays beside it, and one press brings it back.
"""

from collections.abc import Mapping
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from plateside.files.cache import BuildRecord
from plateside.files.checksums import sha256_of_file
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.pictures import Looked, look_at
from plateside.files.settings.load import OpenShoot
from plateside.finish.came_back import ENDINGS, Mark, is_of_frame, marks_in, picture_named
from plateside.finish.facts import (
    ANOTHER_FRAME,
    ANOTHER_KIND,
    ANOTHER_PICTURE,
    ANOTHER_SHAPE,
    NO_PICTURE,
    OF_ANOTHER,
    PRINT_COLOURS,
    TAKEN,
    UNREAD,
    CameBack,
)
from plateside.finish.same_picture import LOOKED_AT_PX, same_picture, same_shape
from plateside.model.errors import InputError
from plateside.tasks.finish.finished_list import read_rows
from plateside.tasks.finish.retouched_list import (
    RETOUCHED_RECORD,
    came_back_from,
    candidates,
    found_key,
    settled,
)

Row = Mapping[str, Any]


def take_in(opened: OpenShoot) -> tuple[CameBack, ...]:
    """Look at every file that came back, and write down which counts for which picture; what was found of each."""
    folder = opened.folder
    try:
        rows = {str(row["shot"]): row for row in read_rows(folder)}
    except InputError:
        return ()
    masters = {name: str(row["file"]) for name, row in rows.items()}
    frames = {name: str(row["frame_id"]) for name, row in rows.items()}
    record = BuildRecord(folder.plateside_dir / RETOUCHED_RECORD)
    looking = _Looking(folder.finished_dir, rows)
    found: dict[str, Mapping[str, Any]] = {}
    for file, path in candidates(folder, masters):
        key = found_key(path, frames)
        entry = record.get(file, key)
        if entry is None:
            one, more = looking.at(path, file)
            record.put(file, key, **asdict(one), **more)
        found[file] = record.get(file, key) or {}
    for name in {*record.names()} - found.keys():
        record.forget(name)
    return _counted(opened, rows, found)


def _counted(
    opened: OpenShoot, rows: Mapping[str, Row], found: Mapping[str, Mapping[str, Any]]
) -> tuple[CameBack, ...]:
    """Of the files that fit a picture the one that came last counts; written down when it is another than before."""
    root, finished = opened.folder.root, opened.folder.finished_dir
    state = read_state(root)
    last: dict[str, str] = {}
    for file, entry in found.items():
        name = str(entry["picture"])
        if entry["code"] == TAKEN and (
            name not in last or _came(finished / file) > _came(finished / last[name])
        ):
            last[name] = file
    new = []
    for name, file in last.items():
        entry, known = found[file], state.retouched.get(name)
        now = (file, entry["sha256"], rows[name]["frame_id"])
        if known is None or (known.file, known.sha256, known.frame) != now:
            new.append(("retouched", _row(name, file, entry, finished / str(rows[name]["file"]), rows[name])))
    if new:
        Journal.open(root).append_many(new)
        state = read_state(root)
    return tuple(settled(came_back_from(file, entry), state) for file, entry in found.items())


def _row(name: str, file: str, entry: Mapping[str, Any], master: Path, row: Row) -> dict[str, Any]:
    """What is written down of a file. Without a mark its own time tells whether the picture is newer than it."""
    made_from = str(entry["made_from"])
    if not made_from and not (master.is_file() and entry["saved_ns"] < master.stat().st_mtime_ns):
        made_from = str(row["made_from"])
    width, height = entry["size"]
    return {
        "shot": name, "frame": row["frame_id"], "file": file, "sha256": entry["sha256"], "made_from": made_from,
        "width_px": width, "height_px": height,
    }  # fmt: skip


def _came(path: Path) -> int:
    """When a file came here or was last saved [ns]."""
    stat = path.stat()
    return max(stat.st_mtime_ns, stat.st_ctime_ns)


class _Looking:
    """One look at what came back; each finished picture is read at most once."""

    def __init__(self, finished: Path, rows: Mapping[str, Row]) -> None:
        self._finished, self._rows = finished, rows
        self._masters: dict[str, Looked | None] = {}

    def at(self, path: Path, file: str) -> tuple[CameBack, dict[str, Any]]:
        """What is found of one file, and what is kept to write it down."""
        if path.suffix.lower() not in ENDINGS:
            return CameBack(file, ANOTHER_KIND), {}
        try:
            looked, sha256 = look_at(path, LOOKED_AT_PX), sha256_of_file(path)
        except InputError as error:
            return CameBack(file, UNREAD, text=str(error)), {}
        if looked.is_print:
            return CameBack(file, PRINT_COLOURS), {}
        marks = marks_in(looked.xmp)
        name, refused = self._picture(path.stem, marks)
        if refused:
            return CameBack(file, refused, name, self._of(marks)), {}
        row = self._rows[name]
        size, asked = (looked.width_px, looked.height_px), (row["width_px"], row["height_px"])
        one = CameBack(file, TAKEN, name, text=looked.remark, size=size, asked=asked)
        if not same_shape(size, asked):
            return replace(one, code=ANOTHER_SHAPE), {}
        master = self._master(name)
        if master is not None and not same_picture(master.grey, looked.grey):
            return replace(one, code=ANOTHER_PICTURE), {}
        mine = [m for m in marks if is_of_frame(m, row["frame_id"])]
        made_from = mine[0].made_from if mine else ""
        return one, {"sha256": sha256, "made_from": made_from, "saved_ns": path.stat().st_mtime_ns}

    def _picture(self, stem: str, marks: tuple[Mark, ...]) -> tuple[str, str]:
        """Of which picture a file is, and the code of why it cannot be; by its name, its mark, its frame's name."""
        name = picture_named(stem, self._rows.keys())
        if name and marks and not any(is_of_frame(m, self._rows[name]["frame_id"]) for m in marks):
            return name, OF_ANOTHER if self._of(marks) else ANOTHER_FRAME
        if name or (name := self._of(marks)):
            return name, ""
        by_frame = {Path(row["frame"]).stem: name for name, row in self._rows.items()}
        name = by_frame.get(picture_named(stem, by_frame.keys()), "")
        return name, "" if name else NO_PICTURE

    def _of(self, marks: tuple[Mark, ...]) -> str:
        """The picture that a mark speaks of; empty: none that there is."""
        fitting = (n for n, row in self._rows.items() for m in marks if is_of_frame(m, row["frame_id"]))
        return next(fitting, "")

    def _master(self, name: str) -> Looked | None:
        if name not in self._masters:
            try:
                self._masters[name] = look_at(self._finished / self._rows[name]["file"], LOOKED_AT_PX)
            except InputError:
                self._masters[name] = None  # it is gone, and made again by the next run
        return self._masters[name]
