"""`serve` killed during presses, again and again on one folder: what was answered is there, and the next one starts.

Held of each kill: every answered press is a row of the journal; every whole line is read; no lock is stuck; open pages
go on with their cookie; the children end; and the next server answers within MOST_START_S.
"""

import contextlib
import json
import os
import random
import signal
import subprocess
import sys
import time
from dataclasses import dataclass, field
from http.client import HTTPException
from pathlib import Path

from plateside.files.journal.journal import Journal
from plateside.files.watch_lock import WatchLock
from tests.browser.serving import Served, come_in, environment, until
from tests.shoots.small import make_small_shoot
from tests.web.requests import change, get, token

MOST_PRESSES = 40
"""Between two kills."""


@dataclass
class Tally:
    """Kills, presses that were answered, and what was wrong."""

    kills: int = 0
    presses: int = 0
    faults: list[str] = field(default_factory=list)
    slowest_start_s: float = 0.0


def run(folder: Path, many: int, seed: int) -> Tally:
    """Kill the server `many` times; every third one judges frames as well, and one is added before it starts."""
    root, tally, dice = folder / "shoot", Tally(), random.Random(seed)
    make_small_shoot(root)
    answered: dict[int, str] = {}
    port = 0
    for number in range(many):
        watches = number % 3 == 2
        served, took = _start(root, port, watches)
        # pages that are open come back to the same address
        port, tally.slowest_start_s = served.port, max(tally.slowest_start_s, took)
        children = _children(served.process.pid)
        _press_until_killed(served, dice, answered, number)
        tally.kills, tally.presses = tally.kills + 1, len(answered)
        tally.faults += [f"kill {number}: {wrong}" for wrong in _wrong(root, answered, children)]
        if tally.faults:
            return tally
    served, _took = _start(root, port, watches=False)
    if get(served, "/standing").status != 200:
        tally.faults.append("after the last kill it does not answer")
    served.stop()
    return tally


def _start(root: Path, port: int, watches: bool) -> tuple[Served, float]:
    began = time.monotonic()
    process = subprocess.Popen(
        [sys.executable, "-m", "plateside", "serve", str(root), "--no-browser", "--port", str(port),
         *([] if watches else ["--no-watch"])],
        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, env=environment(),
    )  # fmt: skip
    assert process.stdout is not None
    return come_in(root, process, process.stdout.readline()), time.monotonic() - began


def _press_until_killed(served: Served, dice: random.Random, answered: dict[int, str], number: int) -> None:
    """Presses, one after the other; the kill comes by the clock, most often in the middle of one."""
    given = token(served)
    signal.signal(signal.SIGALRM, lambda *_: os.kill(served.process.pid, signal.SIGKILL))
    signal.setitimer(signal.ITIMER_REAL, 0.01 + dice.random() * 0.4)
    with contextlib.suppress(OSError, HTTPException, ValueError):
        for press in range(MOST_PRESSES):
            text = f"title {number}.{press}"
            data = {
                "kind": "words",
                "data": {"shot": "cup", "field": "title", "text": text},
                "version": 10**9,
            }
            answer = change(served, "/press", data, X_Plateside_Token=given)
            if answer.status == 200:
                answered[int(json.loads(answer.body)["row"])] = text
    # it has ended, and its number is still its own when the alarm is put off
    os.waitid(os.P_PID, served.process.pid, os.WEXITED | os.WNOWAIT)
    signal.setitimer(signal.ITIMER_REAL, 0)
    served.kill()


def _wrong(root: Path, answered: dict[int, str], children: list[int]) -> list[str]:
    there = {row.number: row.data.get("text") for row in Journal.open(root).rows()}
    lost = [f"answered and lost: row {n}, {text}" for n, text in answered.items() if there.get(n) != text]
    if len(there) != len(Journal.open(root).rows()):
        lost.append("a number stands twice")
    until(lambda: not any(_runs(child) for child in children))
    # a child begun since they were listed ends as well, by itself, and only then its lock is free
    lock = WatchLock(root)
    try:
        until(lock.take)
        lock.free()
    except AssertionError:
        lost.append("the watcher's lock is stuck")
    return lost


def _children(pid: int) -> list[int]:
    """Processes of the server's own, of whichever thread, where the system lists them."""
    found = []
    for path in Path(f"/proc/{pid}/task").glob("*/children"):
        # a thread may end meanwhile
        with contextlib.suppress(OSError):
            found += [int(child) for child in path.read_text().split()]
    return found


def _runs(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state not in "ZX"
