"""Which servers of this account run now, and which folder was served last: in the account's own place.

    running/PORT.json   home and page, written when a server starts
    running/PORT.lock   held while it runs; the system frees it when it ends, however it ends
    running/start.lock  held by whoever looks for a server, until the one that it starts has said that it runs
    last-served.txt     the folder

The page is a file that opens the server in this account's browser and that no other account can read.
"""

import contextlib
import json
from dataclasses import dataclass
from pathlib import Path

from filelock import FileLock, Timeout

from plateside.files.own_place import own_place, read_own, write_own
from plateside.model.errors import CouldNotError

_FOLDER, _LAST = "running", "last-served.txt"


@dataclass(frozen=True)
class RunningServer:
    """One server that runs now."""

    port: int
    home: Path
    page: Path
    """A page file that opens it."""


class Announced:
    """This server's own word that it runs."""

    def __init__(self, port: int) -> None:
        self._name = f"{_FOLDER}/{port}"
        self._lock: FileLock | None = None

    def say(self, home: Path, page: Path) -> None:
        """Say it, until `end`. Where nothing can be kept, another start makes a server of its own."""
        with contextlib.suppress(CouldNotError, OSError, Timeout):
            path = write_own(
                f"{self._name}.json", json.dumps({"home": str(home), "page": str(page)}, ensure_ascii=True)
            )
            if self._lock is None:
                self._lock = FileLock(str(path.with_suffix(".lock")), blocking=False, thread_local=False)
                self._lock.acquire()
            write_own(_LAST, f"{home}\n")

    def end(self) -> None:
        """It does not run any more."""
        if self._lock is not None:
            with contextlib.suppress(OSError):
                (own_place() / f"{self._name}.json").unlink(missing_ok=True)
                self._lock.release()


class Starting:
    """One at a time looks for a server and starts one: two quick presses make no two servers."""

    def __init__(self) -> None:
        self._lock: FileLock | None = None

    def take(self, patience_s: float) -> None:
        """Wait until nobody else is starting, but no longer than that."""
        path = own_place() / _FOLDER / "start.lock"
        with contextlib.suppress(OSError, Timeout):
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._lock = FileLock(str(path), timeout=patience_s, thread_local=False)
            self._lock.acquire()

    def free(self) -> None:
        """Let the next one look."""
        if self._lock is not None:
            self._lock.release()


def running_servers() -> list[RunningServer]:
    """The servers of this account that run now."""
    out = []
    with contextlib.suppress(OSError):
        for path in sorted((own_place() / _FOLDER).glob("*.json")):
            with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
                said = json.loads(read_own(f"{_FOLDER}/{path.name}") or "")
                if _is_held(path.with_suffix(".lock")):
                    out.append(RunningServer(int(path.stem), Path(said["home"]), Path(said["page"])))
    return out


def _is_held(path: Path) -> bool:
    if not path.exists():
        return False
    lock = FileLock(str(path), blocking=False, thread_local=False)
    try:
        lock.acquire()
    except Timeout:
        return True
    lock.release()
    return False


def last_served() -> Path | None:
    """The folder that was served last, when it is still there."""
    text = (read_own(_LAST) or "").strip()
    with contextlib.suppress(OSError, ValueError):
        if text and Path(text).is_dir():
            return Path(text)
    return None
