"""Change studio.toml or shoot.toml from a page: saved at once, never over somebody else's change, undone by steps.

Before each change the file as it was is laid into the shoot's folder `undo`; taking a change back puts that text in
place again (unless the file was changed by other means since). A thing of the studio that is renamed is renamed in
the shoot that uses it as well; one that a shot uses is not taken away, nor is the last window or table spot.
"""

import contextlib
import hashlib
import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from plateside.files.atomic import write_bytes, write_text
from plateside.files.folder import SHOOT_FILE, UNDO_FOLDER, find_shoot, refuse_elsewhere, shoot_folder
from plateside.files.json_text import read_json_file
from plateside.files.settings.load import judge_both, judge_studio, load_shoot, load_studio, read_text
from plateside.files.settings.one_writer import one_writer
from plateside.files.settings.write import Change, rewritten
from plateside.model.errors import CouldNotError, InputError, SettingsError
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.tasks.studio.edit_fields import Listed, refuse_changed, refuse_named
from plateside.tasks.studio.edit_items import readings_replaced, with_models
from plateside.tasks.studio.edit_names import (
    Renamed,
    bearing_changes,
    let_go_by,
    refuse_last,
    refuse_used,
    renamed_by,
    renaming_in_shoot,
    renaming_in_studio,
)
from plateside.words import studio as words
from plateside.words.files import unread

_STEP = re.compile(r"(?:studio|shoot)-[0-9]{6,9}-[0-9a-f]{16}-[0-9a-f]{16}\.toml")
"""Number of the step, hash of the file after it, and before it: so damage of what was kept is found."""
MOST_STEPS = 200
"""Steps that can be taken back."""


class ChangedElsewhereError(CouldNotError):
    """The file is not what the page last saw."""

    def __init__(self, name: str, version: str) -> None:
        super().__init__(words.changed_elsewhere(name))
        self.version = version


@dataclass(frozen=True)
class Edited:
    """A settings file as it now is."""

    file: str
    version: str
    """Hash of the text: sent back with the next change."""
    value: Any
    """The Studio or the Shoot."""
    can_undo: bool
    which: str = ""
    """'studio' or 'shoot'"""
    also: "Edited | None" = None
    """The other file, where this change wrote it as well: the shoot, in which a name followed."""


@dataclass(frozen=True)
class _Step:
    """One change that can be taken back: the text before it, the version after it, what was renamed by it."""

    file: Path

    @property
    def number(self) -> int:
        return int(self.file.stem.split("-")[1])

    @property
    def after(self) -> str:
        return self.file.stem.split("-")[2]

    @property
    def before(self) -> str:
        return self.file.stem.split("-")[3]

    def text(self) -> bytes:
        """The file as it was. Raises CouldNotError when what was kept of it is damaged, or cannot be read."""
        try:
            data = self.file.read_bytes()
        except OSError as error:
            raise CouldNotError(unread(self.file, error.strerror or str(error))) from error
        if _hash(data) != self.before:
            raise CouldNotError(words.kept_step_damaged(f"{UNDO_FOLDER}/{self.file.name}"))
        return data

    @property
    def names_file(self) -> Path:
        return self.file.with_suffix(".json")

    def renamed(self) -> list[Renamed]:
        """Raises CouldNotError when the note of it is damaged: without it names of the shoot would not follow."""
        if not self.names_file.is_file():
            return []
        try:
            rows = read_json_file(self.names_file)
            if not all(isinstance(each, list) and all(isinstance(w, str) for w in each) for each in rows):
                raise ValueError("not names")
            return [Renamed(table, old, new) for table, old, new in rows]
        except (OSError, ValueError, TypeError) as error:
            names, step = (f"{UNDO_FOLDER}/{each.name}" for each in (self.names_file, self.file))
            raise CouldNotError(words.kept_names_damaged(names, step)) from error

    def forget(self) -> None:
        self.file.unlink(missing_ok=True)
        self.names_file.unlink(missing_ok=True)


def version_of(path: Path) -> str:
    """Short hash of a file's content."""
    read_text(path)  # what cannot be read is told in words
    return _hash(path.read_bytes())


def settings_file(root: Path, which: str) -> Path:
    """Path of 'studio' or 'shoot' of the shoot in `root`."""
    root = find_shoot(root)
    if which == "shoot":
        return root / SHOOT_FILE
    folder, _studio, _shoot = judge_both(root)
    return folder.studio_file


def read_settings(root: Path, which: str) -> Edited:
    """The file as it is. Raises SettingsError with every mistake."""
    path = settings_file(root, which)
    version = version_of(path)
    value: Any = load_studio(path) if which == "studio" else load_shoot(path)
    return Edited(path.name, version, value, _last_step(root, which, version) is not None, which)


def change_settings(
    root: Path,
    which: str,
    changes: Sequence[Change],
    version_seen: str,
    *,
    listed: Listed | None = None,
    within: Sequence[Path] | None = None,
) -> Edited:
    """Make changes to 'studio' or 'shoot'; all or none. Items and tables may be plain dicts, as JSON gives them.

    seen    the version the page last saw
    listed  the only fields that may be changed; None: all
    within  folders in which the studio's file and the frames must lie, where this changes them; None: anywhere
    Raises ChangedElsewhereError, SettingsError (the file then stays as it was), InputError for nonsense,
    NotListedError, CouldNotError.
    """
    root = find_shoot(root)
    refuse_named(listed, which, changes)
    path = settings_file(root, which)
    with _hold(root, path):
        return _change(root, which, path, changes, version_seen, listed, within)


def undo_change(root: Path, which: str, version_seen: str, *, listed: Listed | None = None) -> Edited:
    """Put the text before the latest change back. Raises ChangedElsewhereError when the file has changed since.

    listed  the only fields that may come to differ by it (NotListedError); None: all
    """
    root = find_shoot(root)
    path = settings_file(root, which)
    with _hold(root, path):
        return _undo(root, which, path, version_seen, listed)


def shoot_text(root: Path, which: str) -> str:
    """The file's text, for who wants to see it."""
    return read_text(settings_file(root, which))


def frames_folder(root: Path) -> Path:
    """Where the frames of a shoot land."""
    root = find_shoot(root)
    return shoot_folder(root, load_shoot(root / "shoot.toml")).frames_dir


@contextlib.contextmanager
def _hold(root: Path, path: Path) -> Iterator[None]:
    """Nobody else writes this file meanwhile; with a studio, nor the shoot in which names follow."""
    with contextlib.ExitStack() as locks:
        for each in dict.fromkeys((path, root / SHOOT_FILE)):
            locks.enter_context(one_writer(each))
        yield


def _change(
    root: Path,
    which: str,
    path: Path,
    changes: Sequence[Change],
    version_seen: str,
    listed: Listed | None,
    within: Sequence[Path] | None,
) -> Edited:
    if version_of(path) != version_seen:
        if _made_already(root, which, path, changes, version_seen):
            return read_settings(root, which)
        raise ChangedElsewhereError(path.name, version_of(path))
    before = path.read_bytes()
    cls = Studio if which == "studio" else Shoot
    was = load_studio(path) if cls is Studio else None
    meant, renamed = _meant(changes, cls, path.name, was)
    data, reading = rewritten(before, meant, cls, path.name)
    refuse_changed(listed, which, before, data)
    if cls is Shoot and within is not None:
        refuse_elsewhere(root, load_shoot(path), reading.value, within)
    after = _hash(data)
    if after == version_seen:
        return Edited(path.name, after, reading.value, _last_step(root, which, after) is not None)
    shoot_data = None
    if was is not None:
        refuse_last(was, reading.value)
        shoot_data = _shoot_renamed(root, renamed, listed)
        refuse_used(_shoot_read(root), was, reading.value, renamed)
    if path.read_bytes() != before:
        raise ChangedElsewhereError(path.name, version_of(path))
    # the step first: a step whose change was never written is passed over, a change without a step is lost
    _keep_step(root, which, before, after, renamed if shoot_data else [])
    write_bytes(path, data)
    if shoot_data:
        write_bytes(root / SHOOT_FILE, shoot_data)
    also = read_settings(root, "shoot") if shoot_data else None
    return Edited(path.name, after, reading.value, True, which, also)


def _meant(
    changes: Sequence[Change], cls: type, file: str, was: Studio | None
) -> tuple[tuple[Change, ...], list[Renamed]]:
    """The changes with what they bring along in the same file, and what they rename."""
    meant = with_models(changes, cls, file)
    if was is None:
        return meant, []
    renamed = renamed_by(meant, was)
    return (
        *bearing_changes(meant, was),
        *readings_replaced(meant, was),
        *meant,
        *renaming_in_studio(was, renamed),
        *let_go_by(meant, was),
    ), renamed


def _made_already(root: Path, which: str, path: Path, changes: Sequence[Change], version_seen: str) -> bool:
    """Whether the file is what these changes make of what the page saw: they came before, and no answer did."""
    now = version_of(path)
    step = _last_step(root, which, now)
    if step is None or step.before != version_seen:
        return False
    cls = Studio if which == "studio" else Shoot
    try:
        before = step.text()
        was = judge_studio(_text(before), path.name).value if cls is Studio else None
        meant, _renamed = _meant(changes, cls, path.name, was)
        return _hash(rewritten(before, meant, cls, path.name)[0]) == now
    except (CouldNotError, InputError, SettingsError):
        return False


def _undo(root: Path, which: str, path: Path, version_seen: str, listed: Listed | None) -> Edited:
    now = version_of(path)
    if now != version_seen:
        raise ChangedElsewhereError(path.name, now)
    step = _last_step(root, which, now)
    if step is not None:
        data, shoot_data = step.text(), None
        refuse_changed(listed, which, path.read_bytes(), data)
        if which == "studio":
            back = [Renamed(r.table, r.new, r.old) for r in reversed(step.renamed())]
            shoot_data = _shoot_renamed(root, back, listed)
            was, will = (judge_studio(_text(d), path.name).value for d in (path.read_bytes(), data))
            refuse_used(_shoot_read(root), was, will, back)
        write_bytes(path, data)
        if shoot_data:
            write_bytes(root / SHOOT_FILE, shoot_data)
        step.forget()
        if shoot_data:
            return replace(read_settings(root, which), also=read_settings(root, "shoot"))
    return read_settings(root, which)


def _hash(data: bytes) -> str:
    return hashlib.blake2b(data, digest_size=8).hexdigest()


def _text(data: bytes) -> str:
    return data.decode("utf-8-sig")


def _shoot_read(root: Path) -> Shoot:
    """The shoot as far as it can be read: a mistake in it must not hold up the studio."""
    return judge_both(root)[2].value


def _shoot_renamed(root: Path, renamed: Sequence[Renamed], listed: Listed | None) -> bytes | None:
    """shoot.toml with the new names, or None when it uses none of them. Raises SettingsError when it is wrong."""
    changes = renaming_in_shoot(_shoot_read(root), renamed) if renamed else ()
    if not changes:
        return None
    before = (root / SHOOT_FILE).read_bytes()
    data = rewritten(before, changes, Shoot, SHOOT_FILE)[0]
    refuse_changed(listed, "shoot", before, data)
    return data


def _edits(root: Path) -> Path:
    return find_shoot(root) / UNDO_FOLDER


def _steps(root: Path, which: str) -> list[_Step]:
    return [_Step(p) for p in sorted(_edits(root).glob(f"{which}-*.toml")) if _STEP.fullmatch(p.name)]


def _last_step(root: Path, which: str, now: str) -> _Step | None:
    """The step that led to version `now`; None when the file was changed by other means since."""
    for step in reversed(_steps(root, which)):
        if step.after == now:
            return step
        if step.before != now:
            return None
        # its change was never written, or was taken back: cut off in between
    return None


def _keep_step(root: Path, which: str, before: bytes, after: str, renamed: Sequence[Renamed]) -> None:
    steps = _steps(root, which)
    name = f"{which}-{steps[-1].number + 1 if steps else 1:06d}-{after}-{_hash(before)}"
    if renamed:
        rows_json = json.dumps([[r.table, r.old, r.new] for r in renamed], ensure_ascii=False)
        write_text(_edits(root) / f"{name}.json", rows_json)
    write_bytes(_edits(root) / f"{name}.toml", before)
    for old in steps[: max(0, len(steps) + 1 - MOST_STEPS)]:
        old.forget()
