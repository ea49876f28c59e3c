"""Originals on a second disk: whole, once, read back, nothing replaced, said when not.

What a checked copy is: RFC 8493 (complete and valid: every file listed, every sum right), checked by `check_bag`.
"""

import errno
import os
import sys
from pathlib import Path

import pytest

from plateside.files import bags
from plateside.files.atomic import write_text
from plateside.files.bags import check_bag
from plateside.files.second import read_back, second_disk
from plateside.model.errors import CouldNotError, InputError
from plateside.tasks.set.folders import name_folders, open_frames_folder
from plateside.tasks.set.safe import safe_now
from plateside.tasks.set.watch import watch
from tests.unit.tasks.set.copied import Copying, kept, make_disk, make_root, picture, sums


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return make_root(tmp_path)


@pytest.fixture
def disk(root: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder that counts as one of another disk, named in the shoot."""
    return make_disk(root, monkeypatch)


def test_each_original_is_copied_listed_and_read_back(root: Path, disk: Path) -> None:
    before = sums(root / "frames")
    copying = Copying(root)
    now = copying.on()
    assert (now.state, now.total, now.on_two, now.all_on_two) == ("ok", 2, 2, True)
    assert kept(disk) == before == sums(root / "frames")
    check = check_bag(disk / "soup-originals")
    assert (check.files, check.faults) == (2, ())
    picture(root / "frames" / "3.jpg", 3)
    copying.run.look()
    now = copying.on()
    assert (now.total, now.on_two) == (3, 3)
    assert kept(disk) == sums(root / "frames")


def test_a_disk_pulled_in_the_middle_is_said_and_no_half_counts(
    root: Path, disk: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    away = tmp_path / "pulled"
    copying = Copying(root)
    parts = iter(range(1000))

    def pull() -> None:
        if next(parts) == 1:  # the first part of the first file is written
            disk.rename(away)

    monkeypatch.setattr(copying.run, "_go_on", pull)
    copying.run.look()
    now = copying.told()
    assert (now.state, now.on_two, now.total) == ("away", 0, 2)
    assert {n for n, _ in [(o.name, o.code) for o in now.left]} == {"0.jpg", "1.jpg"}
    assert kept(away) == {}
    # the folder in which it was plugged in is left behind, empty, on the system's own disk
    disk.mkdir()
    assert copying.on().state == "away"
    assert list(disk.iterdir()) == []
    disk.rmdir()
    away.rename(disk)
    now = copying.on()
    assert (now.state, now.on_two) == ("ok", 2)
    assert kept(disk) == sums(root / "frames")
    assert not list(disk.rglob(".plateside-work-*")), "what the cable left is cleared"
    assert check_bag(disk / "soup-originals").faults == ()


def test_another_disk_in_its_place_is_not_taken_for_it(root: Path, disk: Path, tmp_path: Path) -> None:
    copying = Copying(root)
    copying.on()
    disk.rename(tmp_path / "the first")
    bag = disk / "soup-originals"
    bag.mkdir(parents=True)
    (bag / "bag-info.txt").write_text("External-Identifier: 0123\n")
    (bag / "data").mkdir()
    now = copying.on()
    assert (now.state, now.all_on_two) == ("other disk", False)
    assert kept(disk) == {}
    name_folders(root, {"second_disk": str(disk)})  # saved once more: it is the one from now on
    assert copying.on().on_two == 2


@pytest.mark.parametrize(
    ("number", "state"),
    [
        (errno.ENOSPC, "full"),
        (errno.EROFS, "read only"),
        (errno.EACCES, "not permitted"),
        (errno.EIO, "failed"),
    ],
)
def test_a_refusal_is_told_and_tried_again(
    root: Path, disk: Path, monkeypatch: pytest.MonkeyPatch, number: int, state: str
) -> None:
    def refuses(*_: object) -> str:
        raise OSError(number, os.strerror(number))

    copying = Copying(root)
    with monkeypatch.context() as m:
        m.setattr(second_disk, "copy", refuses)
        m.setattr(second_disk.SecondDisk, "_free", lambda self: 0 if number == errno.ENOSPC else 1 << 40)
        now = copying.on()
        assert (now.state, now.on_two, now.all_on_two) == (state, 0, False)
    now = copying.on()
    assert (now.state, now.on_two) == ("ok", 2)


def test_what_reads_back_otherwise_is_no_copy(
    root: Path, disk: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copying = Copying(root)
    with monkeypatch.context() as m:
        m.setattr(read_back, "sum_of", lambda *_, **__: "0" * 128)
        now = copying.on()
        assert (now.on_two, {o.code for o in now.left}) == (0, {"differs"})
        assert kept(disk) == {}
    assert copying.on().on_two == 2


def test_a_file_that_has_the_name_already_stays_as_it_is(root: Path, disk: Path) -> None:
    other = disk / "soup-originals" / "data" / "0.jpg"
    Copying(root).run.look() if not other.parent.is_dir() else None
    copied = other.read_bytes()
    (root / "frames" / "0.jpg").unlink()
    picture(root / "frames" / "0.jpg", 40)
    now = Copying(root).on()
    assert (now.on_two, now.kept_as) == (2, (("0.jpg", "0-2.jpg"),))
    assert other.read_bytes() == copied
    assert (disk / "soup-originals" / "data" / "0-2.jpg").read_bytes() == (
        root / "frames" / "0.jpg"
    ).read_bytes()


def test_a_renamed_original_is_not_copied_again(root: Path, disk: Path) -> None:
    copying = Copying(root)
    copying.on()
    (root / "frames" / "0.jpg").rename(root / "frames" / "hero.jpg")
    now = copying.on()
    assert (now.total, now.on_two, sorted(kept(disk))) == (2, 2, ["0.jpg", "1.jpg"])


def test_a_restart_in_the_middle_goes_on_and_counts_only_what_is_listed(root: Path, disk: Path) -> None:
    Copying(root).on()
    bag = disk / "soup-originals"
    manifest = bag / "manifest-sha512.txt"
    first, _second = manifest.read_text().splitlines(keepends=True)
    manifest.write_text(first + _second[:140])  # killed while it was listed
    now = Copying(root).on()
    assert now.on_two == 2
    assert sorted(kept(disk)) == ["0.jpg", "1.jpg"]
    assert check_bag(bag).faults == ()


def test_a_copy_that_was_taken_away_or_cut_short_no_longer_counts(root: Path, disk: Path) -> None:
    copying = Copying(root)
    copying.on()
    data = disk / "soup-originals" / "data"
    (data / "0.jpg").unlink()
    os.truncate(data / "1.jpg", 100)
    now = copying.on()
    assert now.on_two == 2, "copied once more"
    assert sums(data)["0.jpg"] == sums(root / "frames")["0.jpg"]
    assert sums(data)["1-2.jpg"] == sums(root / "frames")["1.jpg"]
    assert (data / "1.jpg").stat().st_size == 100, "nothing is replaced"


def test_a_file_that_is_still_coming_waits(root: Path, disk: Path) -> None:
    whole = (root / "frames" / "1.jpg").read_bytes()
    half = root / "frames" / "4.jpg"
    half.write_bytes(whole[: len(whole) // 2])
    copying = Copying(root)
    copying.run.look()
    copying.now_s += 2
    copying.run.look()
    assert [(o.name, o.code) for o in copying.told().left] == [("4.jpg", "still coming")]
    half.write_bytes(whole[:-2] + b"\0" + whole[-2:])
    assert copying.on().on_two == 3
    assert kept(disk)["4.jpg"] == sums(root / "frames")["4.jpg"]


def test_the_same_disk_is_no_second_disk(root: Path, tmp_path: Path) -> None:
    there = tmp_path / "beside"
    there.mkdir()
    name_folders(root, {"second_disk": str(there)})
    now = Copying(root).on()
    assert (now.state, now.disks, now.all_on_two) == ("ok", "same", False)
    assert kept(there) == sums(root / "frames"), "copied all the same"


def test_folders_that_cannot_serve_are_refused(root: Path, tmp_path: Path) -> None:
    (root / "copies").mkdir()
    for wrong in (root, root / "copies", root / "frames", tmp_path / "not there", root / "shoot.toml"):
        with pytest.raises(InputError):
            name_folders(root, {"second_disk": str(wrong)})
        with pytest.raises(InputError):
            name_folders(root, {"memory_card": str(wrong)})
    with pytest.raises(InputError):
        name_folders(root, {"memory_card": str(tmp_path)})
    assert safe_now(root) is None
    # written by hand it is refused too, by who copies
    (root / "shoot.toml").write_text('second_disk = "copies"\n' + (root / "shoot.toml").read_text())
    assert Copying(root).on().state == "inside"
    assert list((root / "copies").iterdir()) == []


def test_a_folder_of_yours_with_the_copies_name_stays_as_it_is(root: Path, disk: Path) -> None:
    own = disk / "soup-originals" / "notes.txt"
    own.parent.mkdir()
    own.write_text("mine")
    picture(root / "frames" / "day 1" / "2.jpg", 2)
    now = Copying(root).on()
    assert (now.on_two, now.total) == (3, 3)
    assert list(own.parent.iterdir()) == [own]
    data = disk / "soup-originals-2" / "data"
    assert (data / "day 1" / "2.jpg").read_bytes() == (root / "frames" / "day 1" / "2.jpg").read_bytes()
    assert Copying(root).on().on_two == 3
    assert not (disk / "soup-originals-3").exists()


def test_killed_in_the_middle_of_a_file_it_is_cleared_and_copied_anew(root: Path, disk: Path) -> None:
    Copying(root).run.look()
    bag = disk / "soup-originals"
    left = bag / ".plateside-work-0123456789abcdef.jpg"  # nobody holds its lock any more
    left.write_bytes(b"half")
    picture(root / "frames" / "2.jpg", 2)
    now = Copying(root).on()
    assert (now.on_two, left.exists()) == (3, False)


def test_the_watcher_copies_what_it_judges(root: Path, disk: Path) -> None:
    told: list[str] = []
    watch(root, lambda event: told.append(event.kind), once=True, poll_s=0.02)
    now = safe_now(root)
    assert now is not None
    assert now.all_on_two
    assert told.count("verdict") == 2
    assert "safe" in told
    assert kept(disk) == sums(root / "frames")


def test_the_frames_folder_is_opened_by_the_systems_own_program(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = tmp_path / "bin" / "xdg-open"
    program.parent.mkdir()
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("PATH", str(program.parent))
    with pytest.raises(CouldNotError):
        open_frames_folder(root)
    asked = tmp_path / "asked"
    program.write_text(f'#!/bin/sh\nprintf "%s\\n" "$#" "$1" > "{asked}"\n')
    program.chmod(0o755)
    open_frames_folder(root)
    assert asked.read_text().splitlines() == ["1", str(root / "frames")]
    program.write_text("#!/bin/sh\nexit 3\n")  # xdg-open: a required tool could not be found
    with pytest.raises(CouldNotError):
        open_frames_folder(root)


def test_a_bag_that_was_begun_and_ended_there_is_begun_anew_under_its_own_name(
    root: Path, disk: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written: list[Path] = []

    def breaks(path: Path, text: str) -> None:
        if len(written) == 1:
            raise OSError(errno.EIO, "Input/output error")
        written.append(path)
        write_text(path, text)

    monkeypatch.setattr(bags, "write_text", breaks)
    copying = Copying(root)
    copying.run.look()
    assert written
    assert list(disk.iterdir()) == [], "nothing half is there under a name, nor hidden"
    monkeypatch.setattr(bags, "write_text", write_text)
    now = Copying(root).on()
    assert now.all_on_two
    assert [p.name for p in disk.iterdir()] == ["soup-originals"]


def test_what_a_killed_run_was_writing_down_goes_with_the_next(root: Path, disk: Path) -> None:
    # the names that such files have: files/working.py
    left = root / ".plateside" / ".plateside-work-0123456789abcdef.json"
    left.parent.mkdir(exist_ok=True)
    left.write_text("{", encoding="utf-8")
    on_disk = disk / ".plateside-work-0123456789abcdef"
    (on_disk / "new" / "soup-originals").mkdir(parents=True)
    on_disk.with_suffix(".lock").touch()
    Copying(root).on()
    assert not left.exists()
    assert [p.name for p in disk.iterdir()] == ["soup-originals"]
