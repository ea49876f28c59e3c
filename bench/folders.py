"""Large folders: the first look, the first look after a restart, and a frame that lands among thousands.

`python -m bench folders`: 500 and 5000 frames, every second with a raw; BENCH_FRAMES=500,2000 for others.
Aims: 5000 frames in under 10 s, again after a restart in under 2 s, and the new frame first. The times are the
processor's: what else runs on the machine is not in them, nor a card that is slow to read.
"""

import os
import time
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.landing.landing import Landing
from plateside.files.originals.scan import scan_frames
from plateside.tasks.set.now import OnSet
from tests.shoots.bowl import shoot_folder
from tests.synthetic.dng import write_dng
from tests.unit.originals.sample_files import gradient, write_jpeg


def fill(folder: Path, frames: int) -> None:
    """`frames` exposures: JPEGs, and a raw beside every second."""
    jpeg = write_jpeg(folder / "x.jpg", gradient(600, 400), taken="2027:07:15 12:00:00").read_bytes()
    write_dng(folder / "x.dng", np.full((128, 192, 3), 0.2, np.float32), preview=False)
    raw = (folder / "x.dng").read_bytes()
    for name in ("x.jpg", "x.dng"):
        (folder / name).unlink()
    for k in range(frames):
        # what stands behind the end makes each content its own
        (folder / f"IMG_{k:05d}.jpg").write_bytes(jpeg + f"{k}".encode())
        if k % 2:
            (folder / f"IMG_{k:05d}.dng").write_bytes(raw + f"{k}".encode())


def looked(landing: Landing) -> tuple[int, float]:
    """Look until nothing more lands; how many did, and how long the looking took [s]."""
    landed, took, now_s, quiet = 0, 0.0, 100.0, 0
    while quiet < 3:
        start = time.process_time()
        events, _refused = landing.look(now_s)
        took += time.process_time() - start
        landed += len(events)
        quiet = 0 if events else quiet + 1
        now_s += 0.25
    return landed, took


def measure(frames: int) -> None:
    """One row of the table."""
    with TemporaryDirectory(prefix="bench-folders-") as made:
        root = Path(made)
        folder = shoot_folder(root) / "frames"
        fill(folder, frames)
        with Index.open(root) as index:
            first = Landing(folder, index)
            landed, first_s = looked(first)
            assert landed == frames, landed
            journal = Journal.open(root)
            journal.append_many(("frame landed", {"frame": i, "name": n}) for i, n in first.known.items())
            journal.append_many(
                ("verdict", {"frame": i, "shot": "", "word": "good", "act": "Keep it.", "confidence": 1.0})
                for i in first.known
            )
            start = time.process_time()
            state = read_state(root)
            again = Landing.resumed(folder, state.landed, index)
            events, _ = again.look(100.0)
            restart_s = time.process_time() - start
            assert events == []
            write_jpeg(folder / "IMG_99999.jpg", gradient(610, 400))
            start = time.process_time()
            again.look(100.3)
            (event,), _ = again.look(100.6)
            new_s = time.process_time() - start
            assert event.frame.name == "IMG_99999.jpg"
            start = time.process_time()
            again.look(101.0)
            look_s = time.process_time() - start
            start = time.process_time()
            scan_frames(folder, index=index)
            scan_s = time.process_time() - start
        screen = OnSet(root)
        screen.now()
        start = time.process_time()
        screen.now()
        screen_s = time.process_time() - start
    print(
        f"{frames:6d} {first_s:11.2f} {restart_s:9.2f} {1000 * new_s:10.0f} {1000 * look_s:9.0f} {scan_s:8.2f} "
        f"{1000 * screen_s:9.1f}"
    )


def main() -> None:
    print("frames  first look   restart  new frame  one look  judge's  Set screen")
    print("               [s]       [s]       [ms]      [ms] scan [s]       [ms]")
    for frames in os.environ.get("BENCH_FRAMES", "500,5000").split(","):
        measure(int(frames))


if __name__ == "__main__":
    main()
