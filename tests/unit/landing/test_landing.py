"""A watched folder under everything that writes files badly. The clock is ours: no waiting, nothing timed."""

import os
from pathlib import Path

import numpy as np
import pytest

from bench.made.dng import write_dng
from plateside.files.index.index import Index
from plateside.files.landing.landing import HOLD_S, PATIENCE_S, STILL_S, Landing
from tests.unit.originals.made import gradient, write_jpeg


class Clock:
    """Seconds that pass when we say so."""

    def __init__(self) -> None:
        self.now = 100.0

    def after(self, seconds: float) -> float:
        self.now += seconds
        return self.now


def names(landing: Landing, clock: Clock, looks: int = 3, step: float = 0.5) -> list[tuple[str, str]]:
    out = []
    for _ in range(looks):
        events, _refused = landing.look(clock.after(step))
        out += [(e.kind, e.frame.name) for e in events]
    return out


def jpeg(folder: Path, name: str, n: int = 0, taken: str = "") -> Path:
    return write_jpeg(folder / name, gradient(64 + n, 48), taken)


def raw(folder: Path, name: str) -> Path:
    write_dng(folder / name, np.full((64, 96, 3), 0.2, np.float32), preview=False)
    return folder / name


def test_a_frame_is_told_once(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    assert names(landing, clock) == []
    jpeg(tmp_path, "a.jpg")
    assert landing.look(clock.after(0.5)) == ([], [])  # seen, but has it stood still?
    assert names(landing, clock) == [("new", "a.jpg")]
    assert names(landing, clock) == []


def test_a_half_written_file_is_waited_for(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    whole = jpeg(tmp_path / "elsewhere", "a.jpg").read_bytes()
    target = tmp_path / "in"
    target.mkdir()
    landing = Landing(target)
    for part in (0, len(whole) // 3, len(whole) // 2):
        (target / "a.jpg").write_bytes(whole[:part])
        assert names(landing, clock, 4) == []
    (target / "a.jpg").write_bytes(whole)
    assert names(landing, clock) == [("new", "a.jpg")]


def test_a_torn_file_is_told_once_and_taken_when_it_becomes_whole(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    whole = jpeg(tmp_path, "a.jpg").read_bytes()
    (tmp_path / "a.jpg").write_bytes(whole[:-200])
    refused = []
    for _ in range(5):
        refused += landing.look(clock.after(PATIENCE_S / 2))[1]
    assert [u.name for u in refused] == ["a.jpg"]
    assert "stops in the middle" in refused[0].reason
    assert landing.waiting == 0
    (tmp_path / "a.jpg").write_bytes(whole)
    assert names(landing, clock) == [("new", "a.jpg")]


def test_five_hundred_at_once_in_order_without_loss(tmp_path: Path) -> None:
    first = jpeg(tmp_path / "seed", "x.jpg").read_bytes()
    folder = tmp_path / "in"
    folder.mkdir()
    for k in np.random.default_rng(0).permutation(500):
        # a comment after the end marker makes each content its own, as a camera's counter does
        (folder / f"IMG_{k:04d}.jpg").write_bytes(first + f"{k}".encode())
    landing, clock = Landing(folder), Clock()
    told = names(landing, clock)
    assert told == [("new", f"IMG_{k:04d}.jpg") for k in range(500)]
    assert len(landing.known) == 500


def test_files_that_trickle_in_stay_in_order(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    whole = jpeg(tmp_path / ".hidden", "x.jpg").read_bytes()
    (tmp_path / "a.jpg").write_bytes(whole[:-100])
    (tmp_path / "b.jpg").write_bytes(whole + b"b")
    assert names(landing, clock, 2) == []  # b waits for a
    (tmp_path / "a.jpg").write_bytes(whole + b"a")
    assert names(landing, clock) == [("new", "a.jpg"), ("new", "b.jpg")]
    (tmp_path / "c.jpg").write_bytes(whole[:-100])
    (tmp_path / "d.jpg").write_bytes(whole + b"d")
    assert names(landing, clock, 5, HOLD_S) == [("new", "d.jpg")]  # but not for ever


def test_renames_and_copies(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    a = jpeg(tmp_path, "a.jpg")
    assert names(landing, clock) == [("new", "a.jpg")]
    a.rename(tmp_path / "soup-1.jpg")
    assert names(landing, clock) == [("renamed", "soup-1.jpg")]
    (tmp_path / "again.jpg").write_bytes((tmp_path / "soup-1.jpg").read_bytes())
    assert names(landing, clock) == [("copy", "again.jpg")]
    assert len(landing.known) == 1


def test_a_raw_and_its_jpeg_are_one_frame(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    raw(tmp_path, "a.dng")
    jpeg(tmp_path, "a.jpg")
    landed = []
    for _ in range(4):
        landed += landing.look(clock.after(0.5))[0]
    assert [(e.kind, e.frame.name, e.frame.companion) for e in landed] == [("new", "a.dng", "a.jpg")]


def test_a_jpeg_is_told_at_once_where_raws_are_shot(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    raw(tmp_path, "a.dng")
    assert names(landing, clock) == [("new", "a.dng")]
    jpeg(tmp_path, "b.jpg")
    assert names(landing, clock, 2, STILL_S) == [("new", "b.jpg")]
    write_dng(tmp_path / "b.dng", np.full((64, 96, 3), 0.3, np.float32), preview=False)
    assert names(landing, clock) == [("raw joined", "b.dng")]
    assert sorted(landing.known.values()) == ["a.dng", "b.dng"]


def test_a_late_raw_takes_over(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    jpeg(tmp_path, "a.jpg")
    (first,) = [e for _ in range(3) for e in landing.look(clock.after(0.5))[0]]
    raw(tmp_path, "a.dng")
    (second,) = [e for _ in range(3) for e in landing.look(clock.after(0.5))[0]]
    assert (second.kind, second.frame.name, second.replaces) == ("raw joined", "a.dng", first.frame.id)


def test_a_restart_misses_none_and_doubles_none(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    for n, name in enumerate(("a.jpg", "b.jpg")):
        jpeg(tmp_path, name, n)
    assert len(names(landing, clock)) == 2
    told = dict(landing.known)
    jpeg(tmp_path, "c.jpg", 7)  # while nobody watched
    (tmp_path / "a.jpg").rename(tmp_path / "z.jpg")
    again = Landing.resumed(tmp_path, told)
    assert sorted(names(again, Clock())) == [("new", "c.jpg"), ("renamed", "z.jpg")]


def test_the_index_spares_hashing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shoot, frames = tmp_path, tmp_path / "frames"
    jpeg(frames, "a.jpg")
    with Index.open(shoot) as index:
        first = Landing(frames, index)
        assert names(first, Clock()) == [("new", "a.jpg")]

        def never(path: Path) -> str:
            raise AssertionError(f"{path} was hashed again")

        monkeypatch.setattr("plateside.files.landing.landing.content_hash", never)
        assert names(Landing.resumed(frames, first.known, index), Clock()) == []


def test_new_content_under_an_old_name_is_a_new_frame(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    path = jpeg(tmp_path, "a.jpg")
    assert names(landing, clock) == [("new", "a.jpg")]
    jpeg(tmp_path, "a.jpg", 30)
    os.utime(path, ns=(1, 1))
    assert names(landing, clock) == [("new", "a.jpg")]
    assert len(landing.known) == 2


def test_what_is_no_frame_is_passed_over(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    (tmp_path / "a.xmp").write_text("sidecar")
    (tmp_path / ".a.jpg.part").write_bytes(b"\xff\xd8")
    (tmp_path / "folder.jpg").mkdir()
    assert names(landing, clock) == []
