"""Identity is the content, by RFC 7693."""

import hashlib
from pathlib import Path

import pytest

from plateside.files.originals.identity import content_hash
from plateside.model.errors import CouldNotError


def test_it_is_blake2b_with_16_bytes(tmp_path: Path) -> None:
    # RFC 7693 through Python's own hashlib, fed in one piece
    data = bytes(range(256)) * 9000
    (tmp_path / "a").write_bytes(data)
    assert content_hash(tmp_path / "a") == hashlib.blake2b(data, digest_size=16).hexdigest()


def test_the_name_does_not_matter(tmp_path: Path) -> None:
    for name in ("a.jpg", "ä ö.dng"):
        (tmp_path / name).write_bytes(b"same")
    assert content_hash(tmp_path / "a.jpg") == content_hash(tmp_path / "ä ö.dng")


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(CouldNotError, match=r"gone\.jpg cannot be read"):
        content_hash(tmp_path / "gone.jpg")
