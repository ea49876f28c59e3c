"""watch: which frame is judged first, whatever else comes in with it. The clock is ours."""

import os
from pathlib import Path

from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.files.originals.scan import scan_frames
from plateside.tasks.set.events import Event
from plateside.tasks.set.watch import watch
from tests.shoots.bowl import shoot_folder, taken
from tests.unit.originals.sample_files import gradient


def small(root: Path, name: str, n: int, minute: int | None) -> None:
    """A small frame, with or without its time in it, written n seconds after the first."""
    path = root / "frames" / name
    exif = b"" if minute is None else taken(minute).tobytes()
    Image.fromarray(gradient(200 + n, 150)).save(path, quality=90, exif=exif)
    os.utime(path, (1_800_000_000 + n, 1_800_000_000 + n))


def test_the_frame_just_taken_goes_before_what_is_copied_with_it(tmp_path: Path) -> None:
    """Older frames of a card, pictures that say no time, and the frame just taken, all found in one look."""
    root = shoot_folder(tmp_path / "shoot")
    Journal.open(root).append("shot current", shot="bowl")
    for n in range(3):
        small(root, f"card{n}.jpg", n, n)
        small(root, f"sent{n}.jpg", 10 + n, None)
    small(root, "cable.jpg", 20, 40)
    told: list[Event] = []
    now = [0.0]

    def clock() -> float:
        now[0] += 0.3
        return now[0]

    watch(root, told.append, once=True, clock=clock, sleep=lambda _s: None)
    verdicts = [e.name for e in told if e.kind == "verdict"]
    assert sorted(verdicts) == sorted(e.name for e in told if e.kind == "landed")
    assert len(verdicts) == 7 and verdicts[0] == "cable.jpg"


def test_what_is_sent_together_is_judged_last_first_and_then_as_it_landed(tmp_path: Path) -> None:
    """Sent two at a time, the later one is often written first: that makes the other one no newer."""
    root = shoot_folder(tmp_path / "shoot")
    Journal.open(root).append("shot current", shot="bowl")
    for minute, written in enumerate((0, 1, 3, 2)):
        small(root, f"{minute}.jpg", written, minute)
        os.utime(root / "frames" / f"{minute}.jpg", (1_800_000_000 + written / 2,) * 2)
    told: list[Event] = []
    now = [0.0]

    def clock() -> float:
        now[0] += 0.3
        return now[0]

    watch(root, told.append, once=True, clock=clock, sleep=lambda _s: None)
    assert [e.name for e in told if e.kind == "landed"] == ["0.jpg", "1.jpg", "2.jpg", "3.jpg"]
    assert [e.name for e in told if e.kind == "verdict"] == ["3.jpg", "0.jpg", "1.jpg", "2.jpg"]


def test_what_landed_while_nobody_watched_goes_before_what_an_ended_watcher_left(tmp_path: Path) -> None:
    """A watcher was killed with two frames landed and not judged; a third lands before the next one begins."""
    root = shoot_folder(tmp_path / "shoot")
    Journal.open(root).append("shot current", shot="bowl")
    for n in range(2):
        small(root, f"left{n}.jpg", n, n)
    frames, _ = scan_frames(root / "frames")
    Journal.open(root).append_many(
        ("frame landed", {"frame": f.id, "name": f.name, "shot": "bowl"}) for f in frames
    )
    small(root, "new.jpg", 40, 40)
    told: list[Event] = []
    now = [0.0]

    def clock() -> float:
        now[0] += 0.3
        return now[0]

    watch(root, told.append, once=True, clock=clock, sleep=lambda _s: None)
    assert [e.name for e in told if e.kind == "verdict"] == ["new.jpg", "left0.jpg", "left1.jpg"]
