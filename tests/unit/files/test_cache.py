"""The shoot's cache: how much of it is kept, and what goes."""

import os
from pathlib import Path

import pytest

from plateside.files.cache import Cache, oldest_go


def aged(path: Path, age_s: int) -> Path:
    """The file (or folder), last written so long before some moment [s]."""
    os.utime(path, (1_600_000_000 - age_s, 1_600_000_000 - age_s))
    return path


def names(folder: Path) -> set[str]:
    return {p.name for p in folder.iterdir()}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Four pictures, each with what is told of it, the first the oldest."""
    for number in range(4):
        for ending in ("jpg", "json"):
            path = tmp_path / f"{number}.{ending}"
            path.write_text("x")
            aged(path, 100 - number)
    return tmp_path


def test_what_lies_beside_the_oldest_goes_with_it_and_counts_as_none(folder: Path) -> None:
    oldest_go(folder, 3, ".jpg", (".json",))
    assert names(folder) == {f"{n}.{e}" for n in (1, 2, 3) for e in ("jpg", "json")}


def test_without_an_ending_every_file_and_folder_counts(folder: Path) -> None:
    whole = folder / "drawn"
    whole.mkdir()
    (whole / "a.jpg").write_text("x")
    aged(whole, 1_000)
    oldest_go(folder, 8)
    assert names(folder) == {f"{n}.{e}" for n in range(4) for e in ("jpg", "json")}


def test_fewer_than_may_be_kept_all_stay(folder: Path) -> None:
    before = names(folder)
    oldest_go(folder, 4, ".jpg", (".json",))
    oldest_go(folder / "never made", 1)
    assert names(folder) == before


def test_a_new_answer_drives_out_the_oldest(tmp_path: Path) -> None:
    cache = Cache(tmp_path / "answers", most=2)
    for number in range(3):
        cache.put(str(number), number)
        aged(cache.path(str(number)), 100 - number)
    assert [cache.get(str(n)) for n in range(3)] == [None, 1, 2]


def test_a_disk_that_refuses_costs_only_time(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file where the folder would be")
    cache = Cache(tmp_path / "taken")
    cache.put("a", 1)
    cache.put_bytes("a", ".npz", b"x")
    assert (tmp_path / "taken").is_file()
