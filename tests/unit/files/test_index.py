"""The index may be deleted, damaged or unwritable; nothing is lost but time."""

import shutil
from pathlib import Path

import pytest

from plateside.files.index.index import Index


def test_remembers_by_key_and_version(tmp_path: Path) -> None:
    with Index.open(tmp_path) as index:
        index.put_facts("a", {"stops": 0.5}, version="1")
        index.put_identity("é.jpg", 10, 20, "a")
    with Index.open(tmp_path) as index:
        assert index.facts("a", version="1") == {"stops": 0.5}
        assert index.facts("a", version="2") is None
        assert index.identity("é.jpg", 10, 20) == "a"
        assert index.identity("é.jpg", 10, 21) is None


def test_deleted_index_is_made_anew(tmp_path: Path) -> None:
    with Index.open(tmp_path) as index:
        index.put_facts("a", {})
    shutil.rmtree(tmp_path / ".plateside")
    with Index.open(tmp_path) as index:
        assert index.facts("a") is None
        assert not index.in_memory


def test_damaged_index_is_made_anew(tmp_path: Path) -> None:
    (tmp_path / ".plateside").mkdir()
    (tmp_path / ".plateside" / "index.sqlite").write_bytes(
        b"not a database at all, but long enough to be read"
    )
    with Index.open(tmp_path) as index:
        index.put_facts("a", {"x": 1})
        assert index.facts("a") == {"x": 1}
        assert not index.in_memory


def test_unwritable_folder_works_in_memory(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_args: object, **_named: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    with Index.open(tmp_path) as index:
        index.put_facts("a", {"x": 1})
        assert index.facts("a") == {"x": 1}
        assert index.in_memory
    assert list(tmp_path.iterdir()) == []
