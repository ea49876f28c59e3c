"""The watching process (watching.py), begun before there is a server, and heard line by line once there is one.

A frame that landed while no server ran waits for this process alone, and loading what judges takes longer than all else
that a start does: it begins first, beside the server's own loading. Light: nothing here computes.
"""

import contextlib
import os
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path


class WatchChild:
    """One watching process of the shoot in `root`."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self._process = subprocess.Popen(
            [sys.executable, "-m", "plateside.web.watching", "watch", str(root)],
            # it reads nothing, but hears by the end of its input that this process has ended, however it did
            stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            # one thread: the other core stays for the pages
            env={**os.environ, "OMP_NUM_THREADS": "1"},
        )  # fmt: skip

    @property
    def pid(self) -> int | None:
        """Its process number while it runs."""
        return self._process.pid if self._process.poll() is None else None

    def tell(self, hear: Callable[[bytes], None]) -> None:
        """Call `hear`, in a thread, with each line that it says from its beginning on; with b"" at its end. Once."""
        threading.Thread(target=self._pass_on, args=(hear,), name="watching", daemon=True).start()

    def _pass_on(self, hear: Callable[[bytes], None]) -> None:
        assert self._process.stdout is not None  # noqa: S101 - asked for with PIPE
        with self._process.stdout as said:
            for line in said:
                hear(line)
        hear(b"")

    def end(self) -> None:
        """End it, wherever it is, and wait until it has ended: its lock is free then."""
        if self._process.poll() is None:
            self._process.terminate()
        self._process.wait()
        if self._process.stdin:
            with contextlib.suppress(OSError):
                self._process.stdin.close()
