"""Writing whole or not at all."""

import errno
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from plateside.files.atomic import replacing, write_bytes, write_text
from plateside.files.working import sweep
from plateside.model.errors import CouldNotError


def test_written_whole_with_parents(tmp_path: Path) -> None:
    target = tmp_path / "new" / "é.txt"
    write_text(target, "héllo\n")
    assert target.read_bytes() == "héllo\n".encode()
    assert [p.name for p in target.parent.iterdir()] == ["é.txt"]


def test_a_fault_keeps_the_old_and_leaves_no_half(tmp_path: Path) -> None:
    target = tmp_path / "a.txt"
    write_text(target, "old")

    def interrupted() -> None:
        with replacing(target) as neighbour:
            neighbour.write_text("half", encoding="utf-8")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert target.read_text(encoding="utf-8") == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["a.txt"]


@pytest.mark.parametrize(
    ("code", "words"),
    [(errno.ENOSPC, "disk is full"), (errno.EACCES, "permissions"), (errno.EROFS, "read-only")],
)
def test_refusals_become_sentences(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, words: str
) -> None:
    def refuse(_path: Path, _data: bytes) -> Any:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(Path, "write_bytes", refuse)
    with pytest.raises(CouldNotError, match=words):
        write_bytes(tmp_path / "a.txt", b"x")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="file modes are POSIX")
def test_a_finished_file_is_as_readable_as_any_other(tmp_path: Path) -> None:
    write_bytes(tmp_path / "a", b"x")
    (tmp_path / "b").write_bytes(b"x")
    assert (tmp_path / "a").stat().st_mode == (tmp_path / "b").stat().st_mode


KILLED = """
import os, sys
from pathlib import Path
from plateside.files.atomic import replacing
with replacing(Path(sys.argv[1])) as neighbour:
    neighbour.write_text("half", encoding="utf-8")
    os._exit(9)
"""


def test_what_a_killed_writer_left_goes_and_all_else_stays(tmp_path: Path) -> None:
    assert (
        subprocess.run([sys.executable, "-c", KILLED, str(tmp_path / "a.txt")], check=False).returncode == 9
    )
    (left,) = tmp_path.iterdir()
    hers = [
        tmp_path / name for name in (".plateside-work-mine", ".plateside-work-0123456789abcdef.too-long", "b")
    ]
    for path in hers:
        path.write_text("hers", encoding="utf-8")
    if sys.platform == "win32":  # there it is known by its age alone
        os.utime(left, (0, 0))
    with replacing(tmp_path / "a.txt") as living:
        living.write_text("whole", encoding="utf-8")
        assert not left.exists()
        sweep(tmp_path)  # another run, while this one writes
        assert living.exists()
    assert {p.name for p in tmp_path.iterdir()} == {"a.txt", *(p.name for p in hers)}
    assert (tmp_path / "a.txt").read_text(encoding="utf-8") == "whole"


def test_a_workplace_keeps_the_place_itself_free_of_working_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target, workplace = tmp_path / "handed on" / "a.txt", tmp_path / "work"
    with replacing(target, workplace) as neighbour:
        neighbour.write_text("x", encoding="utf-8")
        assert neighbour.parent == workplace
        assert list(target.parent.iterdir()) == []
    assert list(workplace.iterdir()) == []
    # on another disk the last step has to be taken beside the file
    real = Path.replace

    def other_disk(self: Path, to: Path) -> Path:
        if self.parent != to.parent:
            raise OSError(errno.EXDEV, "Invalid cross-device link")
        return real(self, to)

    monkeypatch.setattr(Path, "replace", other_disk)
    write_bytes(target, b"y", workplace)
    assert target.read_bytes() == b"y"
    assert [p.name for p in target.parent.iterdir()] == ["a.txt"]
    assert list(workplace.iterdir()) == []


def test_what_is_not_wanted_is_not_put_in_place(tmp_path: Path) -> None:
    write_text(tmp_path / "a", "old")
    with replacing(tmp_path / "a", wanted=lambda new: new.read_bytes() != b"new") as neighbour:
        neighbour.write_bytes(b"new")
    assert (tmp_path / "a").read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["a"]


def test_a_file_that_somebody_reads_is_replaced_and_the_reader_keeps_the_old(tmp_path: Path) -> None:
    target = tmp_path / "a.txt"
    write_text(target, "old")
    with target.open(encoding="utf-8") as reader:
        write_text(target, "new")
        # POSIX rename(2): an open descriptor goes on with the file that was there
        assert reader.read() == "old"
    assert target.read_text(encoding="utf-8") == "new"


def _held_for(monkeypatch: pytest.MonkeyPatch, tries: int, code: int) -> list[float]:
    """Windows, where another program holds the file for so many tries; returns the waits between them."""
    left, waits, replace = [tries], list[float](), Path.replace

    def held(self: Path, target: Path) -> Path:
        if left[0]:
            left[0] -= 1
            error = PermissionError(errno.EACCES, "held")
            error.winerror = code  # type: ignore[attr-defined,unused-ignore]
            raise error
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", held)
    monkeypatch.setattr("plateside.files.atomic.time.sleep", waits.append)
    return waits


# ERROR_ACCESS_DENIED, ERROR_SHARING_VIOLATION, ERROR_LOCK_VIOLATION: Microsoft, "System Error Codes"
@pytest.mark.parametrize("code", [5, 32, 33])
def test_a_file_that_is_held_for_a_moment_is_replaced_after_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    waits = _held_for(monkeypatch, 2, code)
    write_text(tmp_path / "a.txt", "new")
    assert (tmp_path / "a.txt").read_text(encoding="utf-8") == "new"
    assert len(waits) == 2


def test_a_file_that_stays_held_is_left_as_it_was_and_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_text(tmp_path / "a.txt", "old")
    waits = _held_for(monkeypatch, 1000, 32)
    with pytest.raises(CouldNotError, match=r"a\.txt"):
        write_text(tmp_path / "a.txt", "new")
    assert (tmp_path / "a.txt").read_text(encoding="utf-8") == "old"
    assert [p.name for p in tmp_path.iterdir()] == ["a.txt"]
    assert sum(waits) < 2.0


def test_any_other_refusal_is_not_waited_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    waits = _held_for(monkeypatch, 1000, 112)  # ERROR_DISK_FULL
    with pytest.raises(CouldNotError):
        write_text(tmp_path / "a.txt", "new")
    assert waits == []
