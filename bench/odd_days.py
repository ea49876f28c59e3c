"""Odd days, timed: 5,000 frames in one shoot.

    python -m bench odd_days

5,000 frames, all landed and judged: how soon the server answers, each page twice (drawn for the first time, and
again), how soon a frame that lands among them has its verdict, what the server and its children hold, and the first
verdict of the server after one that was killed (in a small shoot: `python -m bench after_a_kill`).
"""

import subprocess
import tempfile
import time
from pathlib import Path

from bench.after_a_kill import next_verdict, told
from bench.folders import fill
from bench.pages import resident_mb
from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.originals.scan import scan_frames
from tests.browser.serving import Served, frame_pixels, serve, until, write_frame
from tests.shoots.bowl import shoot_folder
from tests.web.requests import get

FRAMES = 5_000
KILLS = 3
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
        times = []
        for number in range(KILLS):
            served, one = next_verdict(served, Served.kill, number)
            times.append(one)
        told("killed among them", times)
    finally:
        served.stop()


def main() -> None:
    with tempfile.TemporaryDirectory(prefix="plateside-odd-days-") as folder:
        many_frames(Path(folder))


if __name__ == "__main__":
    main()
