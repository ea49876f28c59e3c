"""How long after a file is closed its words come, through `watch` as it runs on set: quick look and verdict.

    python -m bench closed_file

The frame is made (a scene of the TEST photographs, enlarged to 24 megapixels with the sensor's noise). The set-up has
its test frame. Each kind is written five times as a cable writes it (in parts, then closed); the median is printed, and
the load of the machine beside it: the aims, 0.3 s and 1.0 s, are for an idle one with two cores. The last rows are a
frame of the shot that is closed while 90 smaller files are judged, and while they still come in.
"""

import io
import os
import statistics
import sys
import tempfile
import threading
import time
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.tasks.set.events import Event
from plateside.tasks.set.watch import watch
from tests.shoots.bowl import shoot_folder, taken
from tests.synthetic.dng import write_dng
from tests.synthetic.faults import composed
from tests.synthetic.scenes import TEST, make_scene

TIMES, BATCH = 5, 90
REST_S = 5.0
"""Between a start, or a new test frame, and the first frame: nobody shoots sooner."""
PART = 1 << 20
MINUTE = 0


class Watched:
    """A watch in a thread, and when each of its words came."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.came: dict[tuple[str, str], float] = {}
        self.order: list[str] = []
        self._new = threading.Condition()
        self._stop = threading.Event()
        self._thread = threading.Thread(target=lambda: watch(root, self._hear, stop=self._stop.is_set))
        self._thread.start()

    def _hear(self, event: Event) -> None:
        with self._new:
            self.came.setdefault((event.kind, event.name), time.perf_counter())
            if event.kind == "verdict":
                self.order.append(event.name)
            self._new.notify_all()

    def wait(self, kind: str, name: str, most_s: float = 120.0) -> float:
        """When this word came; infinity when it did not."""
        with self._new:
            self._new.wait_for(lambda: (kind, name) in self.came, most_s)
            return self.came.get((kind, name), float("inf"))

    def end(self) -> None:
        self._stop.set()
        self._thread.join()


def written(path: Path, data: bytes) -> float:
    """The time at which a file written in parts was closed."""
    with path.open("wb") as file:
        for at in range(0, len(data), PART):
            file.write(data[at : at + PART])
    return time.perf_counter()


def exif(minute: int) -> bytes:
    return taken(minute % 60).tobytes()


def jpeg_of(picture: np.ndarray, minute: int) -> bytes:
    out = io.BytesIO()
    Image.fromarray(picture).save(out, "JPEG", quality=93, exif=exif(minute))
    return out.getvalue()


def raw_of(linear: np.ndarray, folder: Path, minute: int, *, lossless: bool = False) -> bytes:
    path = folder / "made.dng"
    write_dng(path, linear, seed=minute, taken=f"2027:07:15 13:{minute % 60:02d}:00", lossless=lossless)
    return path.read_bytes()


def row(what: str, looks: list[float], verdicts: list[float]) -> None:
    first = f"{statistics.median(looks):8.2f}" if looks else " " * 8
    print(f"  {what:56}{first}{statistics.median(verdicts):8.2f}{max(verdicts):8.2f}", flush=True)


def timed(watched: Watched, frames: Path, what: str, ending: str, data: list[bytes]) -> None:
    looks, verdicts = [], []
    for n, content in enumerate(data):
        name = f"{what.split()[0]}{n}{ending}"
        closed = written(frames / name, content)
        verdicts.append(watched.wait("verdict", name) - closed)
        looks.append(watched.came.get(("provisional", name), float("inf")) - closed)
    row(what, looks, verdicts)


def in_a_batch(
    watched: Watched, frames: Path, batch: list[bytes], frame: bytes, after: int, what: str, mark: str
) -> None:
    """A frame of the shot that is closed after `after` of the batch's files have been written."""
    waited, where = [], []
    for n in range(2):
        # of its own batch: a copy of what was judged before is judged no more
        own = mark.encode() + bytes([n])
        start = len(watched.order)
        name = f"{mark}z{n}.jpg"
        closed = 0.0
        for k, content in enumerate(batch):
            written(frames / f"{mark}{n}-{k:03d}.jpg", content + own * (k + 1))
            if k == after:
                closed = written(frames / name, frame + own)
        closed = closed or written(frames / name, frame + own)
        waited.append(watched.wait("verdict", name) - closed)
        where.append(watched.order[start:].index(name) if name in watched.order[start:] else -1)
        for k in range(len(batch)):
            watched.wait("verdict", f"{mark}{n}-{k:03d}.jpg")
    row(f"{what} (verdicts before it: {where})", [], waited)


def main() -> None:
    """Print the table."""
    scene = composed(make_scene(TEST, 3, 1500, 1000), None, None)
    large = np.asarray(cv2.resize(scene, (6000, 4000), interpolation=cv2.INTER_CUBIC).clip(0, 1), np.float32)
    shown = np.where(large <= 0.0031308, large * 12.92, 1.055 * large ** (1 / 2.4) - 0.055) * 255
    grain = np.random.default_rng(1).normal(0.5, 1.5, (4000, 6000, 1)).astype(np.float32)
    picture = np.clip(shown + grain, 0, 255).astype(np.uint8)
    small = np.ascontiguousarray(picture[::8, ::8])
    with tempfile.TemporaryDirectory() as folder:
        root = shoot_folder(Path(folder) / "shoot")
        frames = root / "frames"
        Journal.open(root).append("shot current", shot="bowl")
        watched = Watched(root)
        try:
            first = jpeg_of(picture, 0)
            print(f"24 megapixels, {len(first) / 1e6:.1f} MB as JPEG; load {os.getloadavg()[0]:.1f}; seconds from the "
                  f"closed file{'':8}quick look  verdict  longest")  # fmt: skip
            written(frames / "a-test-frame.jpg", first)
            watched.wait("verdict", "a-test-frame.jpg")
            frame_id = next(
                iter(r.data["frame"] for r in Journal.open(root).rows() if r.kind == "frame landed")
            )
            Journal.open(root).append("test frame", shot="bowl", frame=frame_id)
            time.sleep(REST_S)
            warm = written(frames / "b-warm.jpg", jpeg_of(picture, 1))
            print(
                f"  the first after a start: {watched.wait('verdict', 'b-warm.jpg') - warm:.2f}", flush=True
            )
            jpegs = [jpeg_of(picture, 2 + n) for n in range(TIMES)]
            timed(watched, frames, "c JPEG", ".jpg", jpegs)
            raws = [raw_of(large, Path(folder), 10 + n) for n in range(3)]
            timed(watched, frames, "d raw, uncompressed", ".dng", raws)
            raws = [raw_of(large, Path(folder), 14 + n, lossless=True) for n in range(3)]
            timed(watched, frames, "h raw, lossless JPEG in tiles", ".dng", raws)
            timed(
                watched,
                frames,
                "e JPEG, with raws in the folder",
                ".jpg",
                [jpeg_of(picture, 20 + n) for n in range(3)],
            )
            del raws
            if "quick" in sys.argv:
                return
            batch = [jpeg_of(small, 30 + k // 10) for k in range(BATCH)]
            in_a_batch(
                watched, frames, batch, jpeg_of(picture, 50), -1, "JPEG closed behind 90 small files", "f"
            )
            in_a_batch(
                watched, frames, batch, jpeg_of(picture, 51), 20, "JPEG closed while they come in", "g"
            )
        finally:
            watched.end()


if __name__ == "__main__":
    main()
