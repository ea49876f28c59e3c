"""A file moved to a name that nothing has (rename(2), RENAME_NOREPLACE): whole, never over another's."""

import ctypes
from pathlib import Path
from typing import Any

import pytest

from plateside.files.landing import arrived, arriving
from plateside.files.landing.new_name import move_to_new
from tests.unit.files.jpegs import jpeg


def test_it_stands_there_and_another_is_never_replaced(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"one")
    (tmp_path / "b").write_bytes(b"two")
    assert move_to_new(tmp_path / "a", tmp_path / "ü c") is True
    assert move_to_new(tmp_path / "b", tmp_path / "ü c") is False
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == {"ü c": b"one", "b": b"two"}


def test_what_is_not_there_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        move_to_new(tmp_path / "gone", tmp_path / "c")


def test_a_system_that_cannot_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Without:
        def __init__(self, *_: Any, **__: Any) -> None: ...

    monkeypatch.setattr(ctypes, "CDLL", Without)
    monkeypatch.setattr("sys.platform", "linux")
    (tmp_path / "a").write_bytes(b"one")
    assert move_to_new(tmp_path / "a", tmp_path / "b") is None
    assert (tmp_path / "a").read_bytes() == b"one"


def test_on_a_disk_without_links_no_empty_file_ever_stands_among_the_frames(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise OSError(95, "Operation not supported")

    def never(_self: Path, _target: object) -> None:
        raise AssertionError("replaced")

    data = jpeg()
    one = arriving.begin(tmp_path, tmp_path / "frames", "desk", "a.jpg", len(data), 1)
    arriving.append(one.path, 0, data)
    monkeypatch.setattr("os.link", refuse)
    monkeypatch.setattr(Path, "replace", never)
    monkeypatch.setattr(arrived._NameTaken, "take", never)
    assert arrived.arrive(one.path, tmp_path / "frames", len(data)).name == "a.jpg"
    assert [p.read_bytes() for p in (tmp_path / "frames").iterdir()] == [data]
