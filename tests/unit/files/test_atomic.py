"""Writing whole or not at all."""

import errno
import os
import sys
from pathlib import Path
from typing import Any

import pytest

from plateside.files.atomic import replacing, write_bytes, write_text
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
