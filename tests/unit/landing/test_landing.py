"""A watched folder under everything that writes files badly. The clock is ours: no waiting, nothing timed."""

import os
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from plateside.files.index.index import Index
from plateside.files.landing import landing as landing_module
from plateside.files.landing.landing import HOLD_S, PATIENCE_S, SAID_S, STILL_S, Landing
from plateside.files.originals.identity import content_hash
from tests.synthetic.dng import write_dng
from tests.unit.originals.sample_files import gradient, write_jpeg


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
    assert names(landing, clock, 2, 0.2) == []  # b waits for a
    (tmp_path / "a.jpg").write_bytes(whole + b"a")
    assert names(landing, clock, 3, 0.1) == [("new", "a.jpg"), ("new", "b.jpg")]
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
        monkeypatch.setattr("plateside.files.landing.landing.hash_and_content", never)
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


def test_a_copy_that_stalls_at_any_byte_is_one_frame(tmp_path: Path) -> None:
    small = write_jpeg(tmp_path / "out" / "small.jpg", gradient(32, 24)).read_bytes()
    whole = jpeg(tmp_path / "out", "a.jpg").read_bytes()
    # with a preview whose end marker lies in the last 64 kB of what has come so far
    whole = whole[:2] + b"\xff\xe5" + (len(small) + 2).to_bytes(2, "big") + small + whole[2:]
    for size in range(1, len(whole), 97):
        folder = tmp_path / f"in-{size}"
        folder.mkdir()
        landing, clock = Landing(folder), Clock()
        (folder / "a.jpg").write_bytes(whole[:size])
        assert names(landing, clock, 3, 2.0) == [], size
        (folder / "a.jpg").write_bytes(whole)
        assert names(landing, clock) == [("new", "a.jpg")], size
        assert len(landing.known) == 1


def test_a_stalled_copy_is_waited_for_before_it_is_incomplete(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    whole = jpeg(tmp_path, "a.jpg").read_bytes()
    (tmp_path / "a.jpg").write_bytes(whole[:-200])
    (tmp_path / "b.dng").write_bytes(b"II*")
    told: list[tuple[float, str, str]] = []
    begin = clock.now
    for _ in range(60):
        _, refused = landing.look(clock.after(0.5))
        told += [(clock.now - begin, u.name, u.code) for u in [*landing.half, *refused]]
    assert [(name, code) for _, name, code in told] == [
        ("a.jpg", "waiting"), ("b.dng", "waiting"), ("a.jpg", "incomplete"), ("b.dng", "incomplete"),
    ]  # fmt: skip
    assert all(SAID_S < at < PATIENCE_S for at, _, code in told if code == "waiting")
    assert all(at > PATIENCE_S for at, _, code in told if code == "incomplete")


def test_a_file_that_was_told_and_grew_on_is_the_frame_that_it_was(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    whole = jpeg(tmp_path, "a.jpg").read_bytes()
    (first,) = [e for _ in range(3) for e in landing.look(clock.after(0.5))[0]]
    (tmp_path / "a.jpg").write_bytes(whole + b"what a phone writes behind the end")
    (second,) = [e for _ in range(3) for e in landing.look(clock.after(0.5))[0]]
    assert (second.kind, second.replaces) == ("grown", first.frame.id)
    assert landing.known == {second.frame.id: "a.jpg"}


def test_a_file_written_to_while_it_is_read_is_told_as_it_is_in_the_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    landing, clock = Landing(tmp_path), Clock()
    path = jpeg(tmp_path, "a.jpg")
    plain: Any = vars(landing_module)["read_whole_frame"]
    stamps: list[int] = []

    def read(*args: Any) -> Any:
        found = plain(*args)
        if not stamps:
            stamps.append(path.stat().st_mtime_ns)
            # the same length and the same time: only its content tells
            path.write_bytes(path.read_bytes()[:-40] + bytes(38) + b"\xff\xd9")
            os.utime(path, ns=(stamps[0], stamps[0]))
        return found

    monkeypatch.setattr(landing_module, "read_whole_frame", read)
    (event,) = [e for _ in range(4) for e in landing.look(clock.after(0.5))[0]]
    assert event.frame.id == content_hash(path)
    assert list(landing.known) == [event.frame.id]


def test_more_than_is_held_is_hashed_twice_and_told_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(landing_module, "MOST_BYTES_HELD", 0)
    landing, clock = Landing(tmp_path), Clock()
    path = jpeg(tmp_path, "a.jpg")
    (event,) = [e for _ in range(4) for e in landing.look(clock.after(0.5))[0]]
    assert event.frame.id == content_hash(path)


def test_the_newest_that_is_whole_is_begun_before_it_is_told(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    begun: list[Path] = []
    landing.begin = begun.append
    old, new = jpeg(tmp_path, "b.jpg"), jpeg(tmp_path, "a.jpg", 1)
    os.utime(old, ns=(1, 1))
    (tmp_path / "c.jpg").write_bytes(new.read_bytes()[:-100])
    assert names(landing, clock) == [("new", "a.jpg"), ("new", "b.jpg")]
    assert begun == [new]


def test_a_jpeg_is_the_frame_when_its_raw_cannot_be_read(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    (tmp_path / "a.dng").write_bytes(b"no raw at all, whatever its name says")
    jpeg(tmp_path, "a.jpg")
    assert names(landing, clock, 8) == [("new", "a.jpg")]


def test_what_cannot_be_used_is_told_once_and_again_when_it_has_changed(tmp_path: Path) -> None:
    landing, clock = Landing(tmp_path), Clock()
    (tmp_path / "clip.mov").write_bytes(b"moving")
    (tmp_path / "note.jpg").write_bytes(b"a shopping list, not a picture")
    jpeg(tmp_path, "good.jpg")

    def told(looks: int = 8) -> list[str]:
        return [u.name for _ in range(looks) for u in landing.look(clock.after(0.5))[1]]

    assert sorted(told()) == ["clip.mov", "note.jpg"]
    assert told() == []
    # nor after a restart
    landing = Landing.resumed(tmp_path, landing.known, None, landing.aside)
    assert told() == []
    (tmp_path / "note.jpg").write_bytes(b"another list, and still no picture")
    assert told() == ["note.jpg"]
    (tmp_path / "note.jpg").unlink()
    assert told() == []
    assert list(landing.aside) == ["clip.mov"]


def test_what_a_look_reads_does_not_grow_with_the_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    frames = tmp_path / "frames"
    seed = jpeg(frames, "x.jpg").read_bytes()
    write_dng(tmp_path / "x.dng", np.full((64, 96, 3), 0.2, np.float32), preview=False)
    for k in range(60):
        (frames / f"{k:02d}.jpg").write_bytes(seed + f"{k}".encode())
        (frames / f"{k:02d}.dng").write_bytes((tmp_path / "x.dng").read_bytes() + f"{k}".encode())
    read: list[str] = []
    for name in ("content_hash", "hash_and_content", "has_content", "check_whole", "read_whole_frame"):
        plain = getattr(landing_module, name)

        def counted(*args: Any, plain: Any = plain, name: str = name, **more: Any) -> Any:
            read.append(name)
            return plain(*args, **more)

        monkeypatch.setattr(landing_module, name, counted)
    monkeypatch.setattr(landing_module, "JUST_NOW_S", 0.0)
    with Index.open(tmp_path) as index:
        first, clock = Landing(frames, index), Clock()
        assert len(names(first, clock)) == 61
        # each raw once, and the one JPEG that has none; companions are walked, not hashed
        hashed = read.count("content_hash") + read.count("hash_and_content")
        assert (hashed, read.count("read_whole_frame")) == (61, 61)
        read.clear()
        assert names(first, clock) == []
        again = Landing.resumed(frames, first.known, index)
        assert names(again, Clock()) == []
        assert read == []
        (frames / "new.jpg").write_bytes(seed + b"new")
        assert names(again, Clock()) == [("new", "new.jpg")]
        assert sorted(read) == ["check_whole", "hash_and_content", "read_whole_frame"]


def test_a_full_card_does_not_keep_the_newest_waiting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seed = jpeg(tmp_path / "out", "x.jpg").read_bytes()
    folder = tmp_path / "in"
    folder.mkdir()
    for k in range(6):
        (folder / f"{k}.jpg").write_bytes(seed + f"{k}".encode())
        os.utime(folder / f"{k}.jpg", ns=(k * 10**9, k * 10**9))
    monkeypatch.setattr(landing_module, "MOST_BYTES_A_LOOK", int(2.5 * len(seed)))
    landing, clock = Landing(folder), Clock()
    landing.look(clock.after(0.5))
    assert [e.frame.name for e in landing.look(clock.after(0.5))[0]] == ["0.jpg", "5.jpg"]
    assert len(names(landing, clock, 4)) == 4


def test_files_that_keep_coming_do_not_keep_a_whole_one_waiting(tmp_path: Path) -> None:
    """While a memory card is copied there is always one file that is not finished, and it may come first by name."""
    landing, clock = Landing(tmp_path), Clock()
    whole = jpeg(tmp_path / ".hidden", "x.jpg").read_bytes()
    (tmp_path / "z.jpg").write_bytes(whole + b"z")
    came: list[str] = []
    for k in range(20):
        (tmp_path / f"a{k:02d}.jpg").write_bytes(whole[: -100 - k])
        if k:
            (tmp_path / f"a{k - 1:02d}.jpg").write_bytes(whole + f"{k}".encode())
        came += [e.frame.name for e in landing.look(clock.after(0.2))[0]]
    assert "z.jpg" in came[:4]
