"""Odd days, timed: 5,000 frames in one shoot, and the server after one that was killed.

    python -m bench odd_days

5,000 frames, all landed and judged: how soon the server answers, each page twice (drawn for the first time, and
again), how soon a frame that lands among them has its verdict, and what the server and its children hold. Then a small
shoot: a server is killed, a frame lands while there is none, and the next server is started, KILLS times. Timed: until
the killed one's watching has let the shoot go; from the start of the next one, and from its first answer, to the
verdict, which is a row of the journal. Aim: 2 s. Beside them the same from a server that was ended as it should be, and
the time of the processor: on a busy machine all else waits for others.
"""

import contextlib
import os
import statistics
import subprocess
import tempfile
import time
from pathlib import Path

from bench.folders import fill
from bench.pages import resident_mb
from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.originals.scan import scan_frames
from plateside.files.watch_lock import WatchLock
from tests.browser.serving import Served, frame_pixels, serve, until, write_frame
from tests.shoots.bowl import shoot_folder
from tests.shoots.judged import make_judged_shoot
from tests.web.requests import get

FRAMES = 5_000
KILLS = 5
PAGES = ("set", "choose", "choose/sheets", "light", "plan", "finish", "deliver", "standing")


def _verdicts(root: Path) -> int:
    return sum(row.kind == "verdict" for row in Journal.open(root).rows())


def _children_mb(pid: int) -> dict[str, float]:
    """Resident memory of each child [MB], by what it is."""
    told = subprocess.run(
        ["ps", "-o", "rss=,args=", "--ppid", str(pid)], capture_output=True, text=True, check=False
    )
    lines = [line.split() for line in told.stdout.splitlines()]
    # python -m MODULE ...
    return {
        line[3] if line[2:3] == ["-m"] else line[1]: int(line[0]) / 1024 for line in lines if len(line) > 1
    }


def _timed(served: Served, name: str) -> float:
    began = time.monotonic()
    got = get(served, f"/{name}", Accept="text/html")
    assert got.status == 200, (name, got.status)
    return 1000 * (time.monotonic() - began)


def many_frames(folder: Path) -> None:
    root = shoot_folder(folder / "many")
    fill(root / "frames", FRAMES)
    with Index.open(root) as index:
        frames, _ = scan_frames(root / "frames", index=index)
    rows = [("frame landed", {"frame": f.id, "name": f.name}) for f in frames]
    shown = [
        ("verdict", {"frame": f.id, "shot": "", "word": "good", "act": "Keep it.", "confidence": 1.0})
        for f in frames
    ]
    Journal.open(root).append_many([*rows, *shown])
    began = time.monotonic()
    served = serve(root)
    print(f"{len(frames)} frames: the server answers after {time.monotonic() - began:.1f} s")
    try:
        for name in PAGES:
            print(f"  /{name}: {_timed(served, name):.0f} ms, again {_timed(served, name):.0f} ms")
        before, began = _verdicts(root), time.monotonic()
        write_frame(root / "frames" / "IMG_99999.jpg", frame_pixels(), "2027:07:15 12:30:00")
        until(lambda: _verdicts(root) > before)
        print(f"  a frame that lands among them has its verdict after {time.monotonic() - began:.1f} s")
        print(f"  the server holds {resident_mb(served.process.pid):.0f} MB; its children "
              + ", ".join(f"{name} {mb:.0f} MB" for name, mb in _children_mb(served.process.pid).items()))  # fmt: skip
    finally:
        served.stop()


def next_server(folder: Path) -> None:
    root = make_judged_shoot(folder / "few")
    served = serve(root)
    lands = 0
    for how, end in (("killed", Served.kill), ("ended", Served.stop)):
        rows = []
        for _ in range(KILLS):
            until(lambda: not _is_free(root))
            end(served)
            began = time.monotonic()
            until(lambda: _is_free(root))
            freed_s, lands, before = time.monotonic() - began, lands + 1, _verdicts(root)
            pixels = frame_pixels(0.1 * lands, 12 + lands)
            write_frame(root / "frames" / f"new-{lands}.jpg", pixels, "2027:07:15 12:30:00")
            began = time.monotonic()
            served = serve(root)
            answers = time.monotonic()
            until(lambda before=before: _verdicts(root) > before)
            rows.append(
                (
                    freed_s,
                    time.monotonic() - began,
                    time.monotonic() - answers,
                    _processor_s(served.process.pid),
                )
            )
        freed, whole, ready, processor = (
            f"{statistics.median(v):.2f} s (most {max(v):.2f})" for v in zip(*rows, strict=True)
        )
        print(
            f"the one before {how}, {KILLS} times: its watching has let go after {freed}; the next one's first verdict "
            f"{whole} after its start, {ready} after its first answer, {processor} of the processor, "
            f"load {os.getloadavg()[0]:.1f}"
        )
    served.stop()


def _is_free(root: Path) -> bool:
    lock = WatchLock(root)
    taken = lock.take()
    lock.free()
    return taken


def _processor_s(pid: int) -> float:
    """Of a process and its children until now [s]; 0 where the system does not list them."""
    own = Path(f"/proc/{pid}/stat")
    if not own.exists():
        return 0.0
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    ticks = 0
    for one in (pid, *children):
        with contextlib.suppress(OSError):
            # proc(5): after the name in brackets utime and stime are the 12th and 13th
            ticks += sum(
                int(n) for n in Path(f"/proc/{one}/stat").read_text().rpartition(")")[2].split()[11:13]
            )
    return ticks / os.sysconf("SC_CLK_TCK")


def main() -> None:
    with tempfile.TemporaryDirectory(prefix="plateside-odd-days-") as folder:
        next_server(Path(folder))
        many_frames(Path(folder))


if __name__ == "__main__":
    main()
