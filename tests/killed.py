"""Kill a piece of work before each thing it does to a folder, one kill a time: no timing, every step.

`kill_everywhere` runs in a program of its own (see `run_alone`): a process with threads had better not fork. The steps
are the interpreter's audit events (PEP 578) for what changes a file system; at the n-th the process ends at once, with
nothing flushed and nothing tidied.
"""

import functools
import json
import os
import subprocess
import sys
from collections.abc import Callable, Collection
from pathlib import Path
from typing import Any

CHANGES = frozenset(
    {
        "os.mkdir",
        "os.rename",
        "os.remove",
        "os.rmdir",
        "os.chmod",
        "os.utime",
        "os.truncate",
        "os.link",
        "open",
    }
)
KILLED = 77
"""The exit status of what was ended."""
WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND


def kill_everywhere(
    within: Path,
    prepare: Callable[[], None],
    act: Callable[[], Any],
    check: Callable[[int], None],
    events: Collection[str] = CHANGES,
) -> int:
    """Prepare, act until just before the n-th change of a file below `within`, check; n = 1, 2 ... to the end.

    check   gets n; it runs where nothing of the killed work is left in memory
    events  the kinds of change that count; "os.rename" alone: what is put in place, for work that takes long
    Returns how many kills there were.
    """
    n, kills = 1, 0
    while True:
        prepare()
        if _child(act, within, n, events) == 0:
            return kills
        kills += 1
        status = _child(functools.partial(check, n), within, 0)
        if status != 0:
            raise SystemExit(f"after the kill before change {n} the check failed ({status})")
        n += 1


def _child(act: Callable[[], Any], within: Path, kill_at: int, events: Collection[str] = CHANGES) -> int:
    pid = os.fork()
    if pid == 0:
        try:
            if kill_at:
                sys.addaudithook(EndedBefore(str(within), kill_at, events))
            act()
        except BaseException:
            import traceback

            traceback.print_exc()
            os._exit(1)
        os._exit(0)
    status = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
    if status == 1:
        raise SystemExit("the work itself failed, or a check: see above")
    return status


class EndedBefore:
    """An audit hook (PEP 578) that ends this process just before the n-th change below `within`; 0: it only counts."""

    def __init__(self, within: str, change: int, events: Collection[str]) -> None:
        self.seen, self._within, self._at, self._events = 0, within, change, events

    def __call__(self, event: str, args: tuple[Any, ...]) -> None:
        """As the interpreter calls it."""
        if event not in self._events or not isinstance(args[0], str | os.PathLike):
            return
        if event == "open" and not int(args[2] or 0) & WRITES:
            return
        path = os.fspath(args[0])
        # a relative name: below a folder that is open, as when a tree is removed
        if Path(path).is_absolute() and not path.startswith(self._within):
            return
        self.seen += 1
        if self.seen == self._at:
            os._exit(KILLED)


def load_before_forking() -> None:
    """What each forked process would make ready for itself, before its first kernel and its first colours.

    No thread begins by it: what has threads had better not fork.
    """
    import cv2
    import numpy as np
    import PIL.ImageOps
    import PIL.TiffImagePlugin  # noqa: F401
    from numba.core.registry import cpu_target

    cpu_target.typing_context.refresh()
    cpu_target.target_context.refresh()
    # OpenCV's tables of Lab
    cv2.setNumThreads(1)
    cv2.cvtColor(np.zeros((1, 1, 3), np.float32), cv2.COLOR_RGB2Lab)
    cv2.setNumThreads(-1)


def run_alone(module: str, *args: object) -> dict[str, Any]:
    """Run `main(*args)` of a module in a new interpreter; what it returns, by JSON."""
    code = f"import json, sys; from {module} import main; print(json.dumps(main(*sys.argv[1:])))"
    done = subprocess.run(
        [sys.executable, "-c", code, *map(str, args)], capture_output=True, text=True, timeout=300, check=False,
        cwd=Path(__file__).parent.parent,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    got: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return got
