"""Work killed at random moments, up to three times in a row, then run to its end: what is wrong, in words.

Runs in a program of its own (tests.killed.run_alone), which does none of the work itself: each piece of work is a
process that is made, killed and forgotten. Half of the kills come before a change on disk, chosen by the dice, so that
a seed gives them again; the other half by the clock, wherever the work then is.
"""

import functools
import os
import random
import signal
import sys
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

# what the work would load in each process anew is here once for all of them
import scipy.interpolate
import scipy.optimize  # noqa: F401

from tests.abuse import victims
from tests.abuse.victims import SHOOT, VICTIMS, Victim
from tests.killed import CHANGES, KILLED, EndedBefore, load_before_forking

IN_A_ROW = 3
TRIED = "tried"
"""The folder that is killed in: a copy of the one that was made."""


@dataclass
class Tally:
    """How many kills, of what, and what was wrong after them."""

    kills: Counter[str] = field(default_factory=Counter)
    rounds: int = 0
    faults: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Known:
    """What the work does when nobody kills it."""

    seconds: float
    changes: int
    left: frozenset[str]
    """Every file that there is then."""


def run(
    folder: Path, many: int, seed: int, *, only: str = "", by_clock: bool = True, few: bool = False
) -> Tally:
    """Kill `many` times, the victims in turn.

    only      the names that hold this
    by_clock  False: before a change, as the dice say, alone
    few       those that take long are killed half as often
    """
    load_before_forking()
    tally, wanted = Tally(), [v for v in VICTIMS if only in v.name]
    if few:
        wanted = [v for v in wanted if not v.is_long] + wanted
    known: dict[str, Known] = {}
    for number in range(sys.maxsize):
        if tally.kills.total() >= many:
            return tally
        victim = wanted[number % len(wanted)]
        place = folder / str(VICTIMS.index(victim))
        if victim.name not in known:
            known[victim.name] = _learn(victim, place)
        dice = random.Random(seed * 1_000_003 + number)
        _round(victim, place, known[victim.name], dice, by_clock, tally)
        tally.rounds += 1
    return tally


def _learn(victim: Victim, place: Path) -> Known:
    (place / "made").mkdir(parents=True)
    root = place / TRIED / SHOOT
    _must(functools.partial(victim.make, place / "made" / SHOOT), f"{victim.name}: made")
    victims.copy(place / "made", place / TRIED)
    began = time.monotonic()
    counted = place / "changes"
    _must(functools.partial(_count, victim, root, counted), f"{victim.name}: not killed")
    took = time.monotonic() - began
    _must(functools.partial(_hold, victim.at_the_end, root), f"{victim.name}: not killed, and yet")
    return Known(took, int(counted.read_text()), frozenset(_files(root.parent)))


def _count(victim: Victim, root: Path, into: Path) -> None:
    changes = EndedBefore(str(root.parent), 0, CHANGES)
    sys.addaudithook(changes)
    victim.act(root)
    into.write_text(str(changes.seen))


def _round(
    victim: Victim, place: Path, known: Known, dice: random.Random, by_clock: bool, tally: Tally
) -> None:
    root, told = place / TRIED / SHOOT, f"{victim.name}, round {tally.rounds}"
    victims.copy(place / "made", place / TRIED)
    before = victims.originals(root)
    for _ in range(dice.randint(1, IN_A_ROW)):
        if by_clock and dice.random() < 0.5:
            killed = _killed_by_clock(functools.partial(victim.act, root), dice.random() * known.seconds)
        else:
            at = dice.randint(1, max(known.changes, 1))
            killed = _killed_before(functools.partial(victim.act, root), root, at)
        tally.kills[victim.name] += killed
        if wrong := _asked(functools.partial(_hold, victim.at_once, root)):
            tally.faults.append(f"{told}: {wrong}")
    if wrong := _asked(functools.partial(victim.act, root)):
        tally.faults.append(f"{told}, run to its end: {wrong}")
    if wrong := _asked(functools.partial(_hold, victim.at_the_end, root)):
        tally.faults.append(f"{told}, at the end: {wrong}")
    if victims.originals(root) != before:
        tally.faults.append(f"{told}: an original was changed")
    if more := sorted(f for f in _files(root.parent) - known.left if "/journal-torn-" not in f):
        tally.faults.append(f"{told}: left behind {more[:5]}")


def _files(tried: Path) -> set[str]:
    # a lock file stays where it is: the system's lock on it is what counts
    found = {p.relative_to(tried).as_posix() for p in tried.rglob("*") if not p.name.endswith(".lock")}
    return {_without_hash(name) for name in found}


def _without_hash(name: str) -> str:
    """Steps of undo and files of a cache bear what they hold, or when they were made: any of them is as good."""
    folder, _, file = name.rpartition("/")
    return (
        f"{folder}/*"
        if folder.startswith((f"{SHOOT}/undo", f"{SHOOT}/.plateside/")) and not file.startswith(".")
        else name
    )


def _hold(check: Callable[[Path], list[str]], root: Path) -> None:
    if wrong := check(root):
        raise SystemExit("; ".join(wrong[:4]))


def _must(act: Callable[[], Any], what: str) -> None:
    if wrong := _asked(act):
        raise SystemExit(f"{what}: {wrong}")


def _asked(act: Callable[[], Any]) -> str:
    """Do it in a process of its own: what it said when it failed; empty: done."""
    reads, writes = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(reads)
        said, status = b"", 0
        try:
            act()
        except BaseException as error:
            import traceback

            status = 1
            said = (
                str(error).encode()
                if isinstance(error, SystemExit)
                else traceback.format_exc()[-3000:].encode()
            )
        os.write(writes, said)
        os._exit(status)
    os.close(writes)
    with os.fdopen(reads, "rb") as pipe:
        said = pipe.read()
    status = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
    return "" if status == 0 else said.decode("utf-8", "replace") or f"it ended with {status}"


def _killed_before(act: Callable[[], Any], root: Path, change: int) -> bool:
    """Whether it was killed; the work may have come to its end first."""
    pid = os.fork()
    if pid == 0:
        _silently()
        sys.addaudithook(EndedBefore(str(root.parent), change, CHANGES))
        act()
        os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == KILLED


def _killed_by_clock(act: Callable[[], Any], after_s: float) -> bool:
    pid = os.fork()
    if pid == 0:
        _silently()
        act()
        os._exit(0)
    signal.signal(signal.SIGALRM, lambda *_: os.kill(pid, signal.SIGKILL))
    signal.setitimer(signal.ITIMER_REAL, max(after_s, 0.001))
    # it has ended, and its number is still its own when the alarm is put off
    os.waitid(os.P_PID, pid, os.WEXITED | os.WNOWAIT)
    signal.setitimer(signal.ITIMER_REAL, 0)
    status = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
    return status == -signal.SIGKILL


def _silently() -> None:
    """What killed work says is nobody's: a fork that fails must not go on as if it were the parent."""
    sys.excepthook = lambda *_: os._exit(1)
    null = os.open(os.devnull, os.O_WRONLY)
    os.dup2(null, 2)


def main(folder: str, many: str, seed: str, how: str = "clock") -> dict[str, Any]:
    """For run_alone: JSON of the tally. how: "clock" kills by the clock as well; "few" does not, as few are tried."""
    tally = run(Path(folder), int(many), int(seed), by_clock=how == "clock", few=how == "few")
    return {"kills": dict(tally.kills), "rounds": tally.rounds, "faults": tally.faults}
