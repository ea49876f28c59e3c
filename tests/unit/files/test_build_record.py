"""The record of what was made from what; and the two hashes, by their standards' own examples."""

from pathlib import Path

import pytest

from plateside.files.cache import BuildRecord, key_of
from plateside.files.checksums import sha256_of, sha256_of_file
from plateside.model.errors import CouldNotError


def test_sha256_of_the_standard_s_example(tmp_path: Path) -> None:
    # FIPS 180-4's one-block example, "abc"
    wanted = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    (tmp_path / "a").write_bytes(b"abc")
    assert sha256_of(b"abc") == wanted
    assert sha256_of_file(tmp_path / "a") == wanted
    with pytest.raises(CouldNotError, match="could not be read"):
        sha256_of_file(tmp_path / "none")


def test_a_key_tells_everything_apart_and_is_the_same_tomorrow() -> None:
    assert key_of("a", 1, {"x": 1, "y": 2}) == key_of("a", 1, {"y": 2, "x": 1})
    keys = {
        key_of("a", 1),
        key_of("a", 2),
        key_of("a1"),
        key_of("a", "1"),
        key_of(["a"], 1),
        key_of("a", None),
    }
    assert len(keys) == 6


def test_what_is_put_is_there_for_the_next_run_under_its_key_only(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "made.json"
    BuildRecord(path).put("picture é", "k1", sha256="s")
    again = BuildRecord(path)
    assert again.get("picture é", "k1") == {"key": "k1", "sha256": "s"}
    assert again.get("picture é", "k2") is None
    assert again.last("picture é", "sha256") == "s"
    assert again.last("other", "sha256") == ""
    assert "picture é" in again
    again.forget("picture é")
    again.forget("never there")
    assert BuildRecord(path).names() == []


@pytest.mark.parametrize("text", ["", "{torn", "[]", '{"a": 1, "b": {"no": "key"}}', "\x00\xff"])
def test_a_damaged_record_is_as_good_as_none(tmp_path: Path, text: str) -> None:
    (tmp_path / "made.json").write_text(text, encoding="utf-8")
    record = BuildRecord(tmp_path / "made.json")
    assert record.names() == []
    record.put("a", "k")
    assert BuildRecord(tmp_path / "made.json").get("a", "k") == {"key": "k"}
