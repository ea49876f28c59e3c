"""Files that only save time: a single flipped bit, a cut, another file in their place, all are found and noted."""

import contextlib
import io
import random
import sqlite3
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plateside.files import damage
from plateside.files.cache import BuildRecord, Cache, picture_or_none, read_sealed, sealed, write_sealed
from plateside.files.drawn import DrawnCache
from plateside.files.index.index import Index
from plateside.files.json_text import read_json
from plateside.files.own_place import own_place, served_place, write_private
from plateside.web.guard.devices import Devices
from plateside.web.guard.keys import Keys


@pytest.fixture(autouse=True)
def _nothing_noted() -> Iterator[None]:
    damage.taken()
    yield
    damage.taken()


def flipped(data: bytes, bit: int) -> bytes:
    out = bytearray(data)
    out[bit // 8] ^= 1 << bit % 8
    return bytes(out)


def test_every_single_bit_is_found(tmp_path: Path) -> None:
    path = tmp_path / "one"
    write_sealed(path, b'{"lux": 480}')
    whole = path.read_bytes()
    assert read_sealed(path, "x") == b'{"lux": 480}'
    assert damage.noted() == []
    for bit in range(8 * len(whole)):
        path.write_bytes(flipped(whole, bit))
        assert read_sealed(path, "x") is None
        assert damage.taken()
    for length in range(len(whole)):
        path.write_bytes(whole[:length])
        assert read_sealed(path, "x") is None
    assert read_sealed(tmp_path / "none", "x") is None


@pytest.mark.parametrize(
    "text",
    ["", "NaN", "[1, -Infinity]", "1e999", "[" * 100_000, '{"a":' * 100_000, "9" * 5_000, '"\\ud800"', '{"\\udfff": 1}',
     "{'a': 1}", "[1,]", "\x00", b"\xff\xfe[\x00]\x00", b'"\xe9"'],
)  # fmt: skip
def test_what_is_no_sound_json_is_one_kind_of_error(text: str | bytes) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        read_json(text)


def test_sound_json_is_read_and_pairs_of_surrogates_are_letters() -> None:
    assert read_json(b'\xef\xbb\xbf{"a": [1, 2.5, "\\ud83c\\udf72"]}') == {"a": [1, 2.5, "\U0001f372"]}


def test_kept_things_that_are_damaged_are_noted_and_count_as_not_there(tmp_path: Path) -> None:
    kept, drawn = Cache(tmp_path / "kept"), DrawnCache(tmp_path / "drawn")
    kept.put("a", {"lux": 1})
    kept.put_bytes("b", ".npz", b"bytes")
    drawn["c"] = np.ones((3, 4), np.float32)
    BuildRecord(tmp_path / "made.json").put("d", "key", sha256="s")
    assert kept.get("a") == {"lux": 1}
    assert kept.get_bytes("b", ".npz") == b"bytes"
    assert drawn["c"].sum() == 12
    assert damage.noted() == []
    for path in [p for p in tmp_path.rglob("*") if p.is_file()]:
        path.write_bytes(flipped(path.read_bytes(), 8 * 20))
    assert kept.get("a") is None
    assert kept.get_bytes("b", ".npz") is None
    assert "c" not in drawn
    assert BuildRecord(tmp_path / "made.json").get("d", "key") is None
    assert len(damage.noted()) == 4


def test_a_kept_picture_that_is_damaged_is_taken_away_to_be_made_again(tmp_path: Path) -> None:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), (200, 180, 90)).save(out, "JPEG")
    path = tmp_path / "a.jpg"
    path.write_bytes(sealed(out.getvalue()))
    with Image.open(path) as image:
        assert image.size == (40, 30)
    assert picture_or_none(path) == out.getvalue()
    for damaged in (flipped(sealed(out.getvalue()), 3_000), sealed(out.getvalue())[:-7], b"", b"x"):
        path.write_bytes(damaged)
        assert picture_or_none(path) is None
        assert not path.exists()
        assert damage.taken()


def _filled(folder: Path) -> Path:
    with Index.open(folder) as index:
        for n in range(40):
            index.put_identity(f"{n}.jpg", n, n, f"{n:032x}")
            index.put_facts(f"{n:032x}", {"stops": n / 7, "words": "é" * 50})
    return folder / ".plateside" / "index.sqlite"


def test_a_flipped_bit_in_the_index_gives_no_wrong_answer(tmp_path: Path) -> None:
    path = _filled(tmp_path)
    whole = path.read_bytes()
    dice = random.Random(7)
    noted = 0
    for _ in range(60):
        for beside in path.parent.glob("index.sqlite-*"):
            beside.unlink()
        path.write_bytes(flipped(whole, dice.randrange(8 * len(whole))))
        with Index.open(tmp_path) as index:
            for n in range(40):
                assert index.identity(f"{n}.jpg", n, n) in (None, f"{n:032x}")
                assert index.facts(f"{n:032x}") in (None, {"stops": n / 7, "words": "é" * 50})
            index.put_facts("new", {"a": 1})
            assert index.facts("new") == {"a": 1}
        noted += bool(damage.taken())
    assert noted > 20


@pytest.mark.parametrize("what", ["no database", "cut", "other tables", "other columns", "zeros", "empty"])
def test_an_index_that_is_none_is_made_anew(tmp_path: Path, what: str) -> None:
    path = _filled(tmp_path)
    whole = path.read_bytes()
    if what == "other columns":
        path.unlink()
        with contextlib.closing(sqlite3.connect(path)) as db:
            db.executescript("CREATE TABLE facts (a); CREATE TABLE identity (b); PRAGMA user_version = 2;")
    elif what == "other tables":
        path.unlink()
        with contextlib.closing(sqlite3.connect(path)) as db:
            db.executescript("CREATE TABLE other (a); PRAGMA user_version = 77;")
    else:
        path.write_bytes(
            {"no database": b"no database " * 900, "cut": whole[: len(whole) // 2], "zeros": bytes(9000)}.get(
                what, b""
            )
        )
    with Index.open(tmp_path) as index:
        index.facts(f"{3:032x}")
        index.put_facts("a", {"x": 1})
    with Index.open(tmp_path) as index:
        assert index.facts("a") == {"x": 1}
        assert not index.in_memory


def test_an_index_that_another_program_holds_is_not_taken_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = _filled(tmp_path)
    connect = sqlite3.connect
    monkeypatch.setattr(sqlite3, "connect", lambda at, timeout=0.0: connect(at, timeout=0.0))
    with contextlib.closing(connect(path, isolation_level=None)) as other:
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        with Index.open(tmp_path) as index:
            index.put_facts("a", {})
        other.execute("COMMIT")
    with Index.open(tmp_path) as index:
        assert index.facts(f"{3:032x}") == {"stops": 3 / 7, "words": "é" * 50}
    assert damage.noted() == []


def test_paired_tablets_and_keys_outlive_the_cache_and_are_their_owners_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PLATESIDE_STATE", str(tmp_path / "state"))
    home = tmp_path / "home"
    home.mkdir()
    devices = Devices(home)
    cookie = devices.pair(devices.invite().secret, "kitchen")
    token = Keys.of_this_account().change_token
    assert not list(home.rglob("*"))
    assert Devices(home).of(cookie) is not None
    assert Keys.of_this_account().change_token == token
    paired, key = served_place(home) / "devices.json", own_place() / "desk.key"
    assert {p for p in own_place().rglob("*") if p.is_file()} == {paired, key}
    if sys.platform != "win32":
        for path in (paired, key, paired.parent):
            assert path.stat().st_mode & 0o077 == 0
    paired.write_bytes(flipped(paired.read_bytes(), 90))
    assert Devices(home).all() == []
    assert len(damage.taken()) == 1
    assert served_place(home / "other") != served_place(home)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such rights")
def test_a_private_file_is_private_from_its_first_byte(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = []
    replace = Path.replace

    def watched(self: Path, target: Path) -> Path:
        seen.append(self.stat().st_mode & 0o777)
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", watched)
    write_private(tmp_path / "a" / "secret.json", "{}")
    assert seen == [0o600]
