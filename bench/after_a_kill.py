"""A server is killed, a frame lands while there is none, and the next server is started: how soon the frame is judged.

    python -m bench after_a_kill

Timed by the clock from the start of `plateside serve` to the frame's verdict on the disk, a row of the journal. Aim:
2 s, and 1.5 s on an idle machine. KILLS times each: the shot has no test frame yet; it has one, and the frame is
compared with it; and the same from a server that was ended as it should be. Beside it until when the killed one's
watching has let the shoot go, and the time of the processor until the verdict: of the process that judges (what the
verdict waits for) and of the server (beside it, on the other core). On a busy machine all of these wait for others:
look at the load.
"""

import contextlib
import os
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import astuple, dataclass
from pathlib import Path

from plateside.files.journal.journal import Journal
from plateside.files.watch_lock import WatchLock
from tests.browser.serving import PATIENT_MS, Served, come_in, frame_pixels, start, until, write_frame
from tests.shoots.judged import SHOTS, make_judged_shoot

KILLS = 5
LOOK_S = 0.005


@dataclass(frozen=True)
class Times:
    """Of one frame that landed while there was no server [s]."""

    freed: float
    """From the end of the one before until its watching has let the shoot go."""
    verdict: float
    """From the start of the next one, by the clock."""
    judging: float
    """Of the processor, of the process that judges, until then."""
    serving: float
    """Of the processor, of the server itself, until then."""


def next_verdict(served: Served, end: Callable[[Served], None], number: int) -> tuple[Served, Times]:
    """End a server, let a frame land (each number is another picture), start the next one and wait for the verdict."""
    root = served.root
    until(lambda: not _is_free(root))
    end(served)
    began = time.monotonic()
    until(lambda: _is_free(root))
    freed_s, before = time.monotonic() - began, _verdicts(root)
    pixels = frame_pixels(0.05 * (number % 10), 12 + number)
    write_frame(root / "frames" / f"new-{number:03d}.jpg", pixels, "2027:07:15 12:30:00")
    began = time.monotonic()
    process = start(root)
    _wait(root, before)
    took_s = time.monotonic() - began
    serving_s, judging_s = processor_s(process.pid)
    assert process.stdout is not None
    return come_in(root, process, process.stdout.readline()), Times(freed_s, took_s, judging_s, serving_s)


def _wait(root: Path, before: int) -> None:
    """Until one more verdict is on the disk: looked at seldom enough to take nothing from who judges."""
    journal, size = root / "journal.jsonl", -1
    end = time.monotonic() + PATIENT_MS / 1000
    while time.monotonic() < end:
        now = journal.stat().st_size
        if now != size and _verdicts(root) > before:
            return
        size = now
        time.sleep(LOOK_S)
    raise AssertionError("there was no verdict")


def _verdicts(root: Path) -> int:
    return sum(row.kind == "verdict" for row in Journal.open(root).rows())


def _is_free(root: Path) -> bool:
    lock = WatchLock(root)
    taken = lock.take()
    lock.free()
    return taken


def processor_s(pid: int) -> tuple[float, float]:
    """Of a server, and of its process that judges, until now [s]; 0 where the system does not list them."""
    listed = Path(f"/proc/{pid}/task/{pid}/children")
    if not listed.exists():
        return 0.0, 0.0
    judges = [child for child in map(int, listed.read_text().split()) if _is_watching(child)]
    return _of_one(pid), sum(map(_of_one, judges))


def _is_watching(pid: int) -> bool:
    with contextlib.suppress(OSError):
        return b"plateside.web.watching" in Path(f"/proc/{pid}/cmdline").read_bytes()
    return False


def _of_one(pid: int) -> float:
    with contextlib.suppress(OSError):
        # proc(5): after the name in brackets utime and stime are the 12th and 13th
        ticks = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[11:13]
        return sum(map(int, ticks)) / os.sysconf("SC_CLK_TCK")
    return 0.0


def told(what: str, times: list[Times]) -> None:
    """One line: the median and the longest of each."""
    freed, verdict, judging, serving = (
        f"{statistics.median(v):.2f} s (most {max(v):.2f})"
        for v in zip(*(astuple(t) for t in times), strict=True)
    )
    print(
        f"  {what}, {len(times)} times: the frame's verdict {verdict} after the start; of the processor {judging} "
        f"where it is judged, {serving} in the server; the one before had let go after {freed}; "
        f"load {os.getloadavg()[0]:.1f}",
        flush=True,
    )


def _many(served: Served, what: str, end: Callable[[Served], None], first: int) -> Served:
    times = []
    for number in range(first, first + KILLS):
        served, one = next_verdict(served, end, number)
        times.append(one)
    told(what, times)
    return served


def main() -> None:
    with tempfile.TemporaryDirectory(prefix="plateside-after-a-kill-") as folder:
        root = make_judged_shoot(Path(folder) / "few")
        process = start(root)
        assert process.stdout is not None
        served = come_in(root, process, process.stdout.readline())
        try:
            # once unmeasured: what was compiled by no run yet is compiled now
            served, _ = next_verdict(served, Served.kill, 0)
            served = _many(served, "killed, no test frame", Served.kill, 1)
            accepted = next(row.data["frame"] for row in Journal.open(root).rows() if row.kind == "verdict")
            Journal.open(root).append("test frame", shot=SHOTS[0], frame=accepted)
            served, _ = next_verdict(served, Served.kill, 100)
            served = _many(served, "killed, with a test frame", Served.kill, 101)
            served = _many(served, "ended as it should be, with a test frame", Served.stop, 201)
        finally:
            served.stop()


if __name__ == "__main__":
    main()
