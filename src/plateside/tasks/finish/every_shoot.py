"""Finish every shoot of a folder: after a change of look a year of them, on all processors or on a cluster.

A shoot is one job, named by a hash of all that its finished pictures depend on; its result is kept beside its caches
under that name. So nothing is made twice, and a run cut short goes on where it stopped. A shoot that another run holds
is put off until the others are done.
"""

import socket
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, suppress
from dataclasses import dataclass, fields
from functools import partial
from pathlib import Path
from typing import Any

from plateside import __version__
from plateside.files import damage
from plateside.files.cache import Cache, digest, key_of
from plateside.files.in_turn import until_one_is_free
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.jobs.cluster import cluster, safe_address
from plateside.jobs.pool import pool, processes_for
from plateside.jobs.run import Job, Lost, Workers, run_jobs
from plateside.model.errors import InputError, PlatesideError
from plateside.model.progress import WAITING, Progress, silent
from plateside.tasks.finish.series import finish, lock_of
from plateside.tasks.finish.set_look import METHOD
from plateside.tasks.serve.shoots import shoots_in
from plateside.words import every_shoot as words
from plateside.words.refused import said

EACH_BYTES = 1_500_000_000
"""What one process takes at the most for 24 megapixels (docs/finish.md), with room."""
KEPT = 4
_OURS = (".plateside", "finished", "delivery", "packages")
"""Folders of a shoot that nothing finished depends on."""


class _Held(Exception):  # noqa: N818 - no fault: its turn comes
    """Another run works on this shoot."""


@dataclass(frozen=True)
class ShootDone:
    """One shoot of many."""

    name: str
    """its folder, from the folder that was given"""
    pictures: int = 0
    written: int = 0
    unmatched: tuple[str, ...] = ()
    unchanged: bool = False
    """it had been finished from the very same things: nothing was done"""
    fault: str = ""
    """why it could not be finished, and the mend"""


@dataclass(frozen=True)
class EveryReport:
    """What became of each, in the order of their folders."""

    shoots: tuple[ShootDone, ...]

    @property
    def exit_status(self) -> int:
        return 1 if any(one.fault for one in self.shoots) else 0


def finish_every(
    home: Path,
    kind: str = "tiff",
    address: str = "",
    keys: Path | None = None,
    progress: Progress = silent,
    waiting: Callable[[Sequence[str]], object] = lambda _names: None,
) -> EveryReport:
    """Finish every shoot in `home` and up to two folders below.

    kind      tiff (16 bits) or jpeg (top quality)
    address   of a running cluster (jobs/cluster.py); empty: processes of this machine
    keys      folder with the cluster's certificates
    progress  shoots that are done
    waiting   asked again and again while other runs hold all that is left, with the names of those shoots; what it
              raises ends the waiting
    What one shoot cannot do is said of it, and the others go on. Raises InputError (no shoot, an unsafe address) and
    CouldNotError (no such cluster).
    """
    if address:
        safe_address(address, keys)
    folders = _by_name(home)
    if not folders:
        raise InputError(words.no_shoots(str(home)))

    def workers() -> AbstractContextManager[Workers]:
        return cluster(address, keys) if address else pool(processes_for(len(jobs), EACH_BYTES))

    found: dict[str, ShootDone] = {}
    jobs: dict[str, Job] = {}
    while todo := [name for name in folders if name not in found]:
        # named anew each round: while another run held one, its journal may have grown
        jobs = {}
        locks = {}
        for name in todo:
            try:
                opened = open_shoot(folders[name])
                jobs[name] = Job(_name_of(opened, kind), (str(folders[name].resolve()), kind, __version__))
                locks[name] = lock_of(opened.folder)
            except PlatesideError as error:
                found[name] = ShootDone(name, fault=said(error))
        progress(len(found), len(folders))
        names = {job.name: name for name, job in jobs.items()}
        for job, result in run_jobs(finish_one, list(jobs.values()), workers):
            _note_damage(names[job.name], result)
            if (done := _done(names[job.name], result)) is not None:
                found[done.name] = done
                progress(len(found), len(folders))
        if held := [name for name in jobs if name not in found]:
            until_one_is_free([locks[name] for name in held], partial(waiting, held))
    return EveryReport(tuple(found[name] for name in folders))


def _by_name(home: Path) -> dict[str, Path]:
    """The shoots by their place in `home`; `home` itself by its own name, in full where a shoot in it has the same."""
    found = {folder.relative_to(home).as_posix(): folder for folder in shoots_in(home)}
    own = home.resolve()
    return {
        name if name != "." else str(own) if own.name in found else own.name: folder
        for name, folder in found.items()
    }


def _note_damage(name: str, result: Any) -> None:
    """What another process found damaged is told here, with the shoot's name."""
    for text in () if isinstance(result, Lost) else result.get("damage", ()):
        damage.note(f"{name}: {text}", f"{name}: {text}")


def _done(name: str, result: Any) -> ShootDone | None:
    """What became of a shoot; None while another run holds it."""
    if isinstance(result, Lost):
        return ShootDone(name, fault=words.was_ended(result.times))
    if "held" in result:
        return None
    known = {f.name for f in fields(ShootDone)} - {"name"}
    given = {key: value for key, value in result.items() if key in known}
    return ShootDone(name, **{**given, "unmatched": tuple(given.get("unmatched", ()))})


def finish_one(name: str, folder: str, kind: str, version: str) -> dict[str, Any]:
    """Finish one shoot, in whatever process this runs; what became of it as plain values: fields of ShootDone, or
    'held' when another run works on it; under 'damage' what was found damaged.

    name     of the job: a result kept under it stands for the work, as long as the finished pictures are as it left
             them
    version  of Plateside where the job was named
    """
    root = Path(folder)
    if version != __version__:
        return {"fault": words.other_version(version, __version__, socket.gethostname())}
    if not root.is_dir():
        return {"fault": words.not_seen(folder, socket.gethostname())}
    return {**_finished(name, root, kind), "damage": damage.taken_in(root)}


def _finished(name: str, root: Path, kind: str) -> dict[str, Any]:
    try:
        opened = open_shoot(root)
        kept = Cache(opened.folder.plateside_dir / "series", KEPT)
        before = kept.get(name)
        if before is not None and before.get("left") == _listing(opened.folder.finished_dir):
            return {**before["result"], "written": 0, "unchanged": True}
        report = finish(root, kind, progress=_unless_held)
    except _Held:
        return {"held": True}
    except PlatesideError as error:
        return {"fault": said(error)}
    result = {
        "pictures": len(report.finished),
        "written": report.written,
        "unmatched": [shot for shot in report.unmatched if shot not in report.as_taken],
    }
    kept.put(name, {"result": result, "left": _listing(opened.folder.finished_dir)})
    return result


def _unless_held(done: int, total: int) -> None:
    """Never wait in here, where nobody can be told: others can be done meanwhile."""
    if (done, total) == WAITING:
        raise _Held


def _name_of(opened: OpenShoot, kind: str) -> str:
    """A hash of all that a shoot's finished pictures depend on.

    Settings and journal by what they hold; photographs by name, size and time, as the index does that knows their
    content.
    """
    folder = opened.folder
    texts = []
    for path in (folder.shoot_file, folder.studio_file, folder.journal_file):
        with suppress(FileNotFoundError):
            texts.append(digest(path.read_bytes()))
    read = (folder.shoot_file, folder.studio_file, folder.journal_file)
    others = [row for row in _listing(folder.root, _OURS) if folder.root / row[0] not in read]
    return key_of(METHOD, __version__, kind, str(folder.root), texts, others, _listing(folder.frames_dir))


def _listing(folder: Path, without: tuple[str, ...] = ()) -> list[list[Any]]:
    """Name, size and time of every file below a folder, in order; folders of these names at its top passed over."""
    return sorted(_rows(folder, folder, without))


def _rows(folder: Path, top: Path, without: tuple[str, ...]) -> Iterator[list[Any]]:
    with suppress(OSError):
        for path in folder.iterdir():
            if path.is_dir() and not path.is_symlink():
                if folder != top or path.name not in without:
                    yield from _rows(path, top, without)
                continue
            with suppress(OSError):
                stat = path.stat()
                yield [path.relative_to(top).as_posix(), stat.st_size, stat.st_mtime_ns]
