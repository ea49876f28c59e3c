"""A damaged journal: every whole line still counts, what does not is noted, and a full disk leaves no half row."""

import errno
import itertools
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from plateside.files import damage
from plateside.files.journal.journal import Journal
from plateside.files.journal.live import LiveState
from plateside.files.journal.rows import FIELDS, mended
from plateside.files.journal.state import last_undoable, read_state
from plateside.model.errors import CouldNotError, InputError

AT = "2027-07-15T11:42:07+00:00"


@pytest.fixture(autouse=True)
def _nothing_noted() -> Iterator[None]:
    damage.taken()
    yield
    damage.taken()


def row(number: object, kind: object = "kept", **data: object) -> bytes:
    return json.dumps({"n": number, "at": AT, "kind": kind, "data": data}).encode()


def journal_of(folder: Path, *lines: bytes, end: bytes = b"\n") -> Journal:
    (folder / "journal.jsonl").write_bytes(b"\n".join(lines) + end)
    return Journal.open(folder)


DAMAGED = [
    b"scribble",
    b"[]",
    b"7",
    b"null",
    b'"text"',
    b"{}",
    b"\x00" * 40,
    b"\xff\xfe\x00",
    b"[" * 100_000,
    b'{"n":' * 30_000,
    b'{"n": ' + b"9" * 5_000 + b', "at": "' + AT.encode() + b'", "kind": "kept", "data": {"frame": "b"}}',
    b'{"n": NaN, "at": "' + AT.encode() + b'", "kind": "kept", "data": {"frame": "b"}}',
    row("2", frame="b"),
    row(True, frame="b"),
    row(2.0, frame="b"),
    row(None, frame="b"),
    row(2, 7, frame="b"),
    row(2, frame=7),
    row(2, frame=None),
    row(2, frame=["b"]),
    row(2),
    row(2, "crop", shot="s", channel="c"),
    row(2, "crop", shot="s", channel="c", box=[0, 0, 1]),
    row(2, "crop", shot="s", channel="c", box=[0, 0, "1", 1]),
    row(2, "crop", shot="s", channel="c", box=[0, 0, float("inf"), 1]),
    row(2, "crop", shot="s", channel="c", box={"x": 0}),
    b'{"n": 2, "at": "'
    + AT.encode()
    + b'", "kind": "camera clock", "data": {"camera": "c", "offset_s": 1e999}}',
    row(2, "burst", shot="s", frames=[], best="", reason=""),
    row(2, "burst", shot="s", frames="ab", best="", reason=""),
    row(2, "frame landed", frame="b", name="../../secret.jpg"),
    row(2, "frame landed", frame="b", name="/etc/hosts"),
    row(2, "frame landed", frame="b", name="x" * 300),
    row(2, "frame landed", frame="b", name="a\0b.jpg"),
    row(2, "undo", row="1"),
    row(2, "undo", row=None),
    row(2, "undo"),
    row(2, "verdict", frame="a", word="splendid"),
    row(2, "words", shot="s", field="title", text="\ud800"),
    b'{"n": 2, "at": "yesterday", "kind": "kept", "data": {"frame": "b"}}',
    b'{"n": 2, "at": "2027-07-15T11:42:07", "kind": "kept", "data": {"frame": "b"}}',
    b'{"n": 2, "at": 7, "kind": "kept", "data": {"frame": "b"}}',
    b'{"n": 2, "kind": "kept", "data": {"frame": "b"}}',
    b'{"n": 2, "at": "' + AT.encode() + b'", "kind": "kept", "data": "b"}',
]


@pytest.mark.parametrize("line", DAMAGED, ids=range(len(DAMAGED)))
def test_a_damaged_line_is_passed_over_and_noted_and_every_other_counts(tmp_path: Path, line: bytes) -> None:
    journal = journal_of(
        tmp_path, row(1, frame="a"), line, row(3, frame="c"), row(4, "hero", shot="s", frame="a")
    )
    state = read_state(tmp_path)
    assert (state.kept, state.heroes, state.last_row) == ({"a", "c"}, {"s": "a"}, 4)
    (said,) = damage.noted()
    assert "journal.jsonl" in said
    assert "line 2" in said
    assert journal.append("undo", row=3).number == 5
    assert read_state(tmp_path).kept == {"a"}
    assert [number for number, _line in journal.lines(2)] == [3, 4, 5]


@pytest.mark.parametrize("end", [b"\r\n", b"\r", b"\n\n", b" \n"])
def test_other_line_ends_lose_no_row(tmp_path: Path, end: bytes) -> None:
    lines = [row(1, frame="a"), row(2, frame="b"), row(3, frame="c")]
    (tmp_path / "journal.jsonl").write_bytes(end.join(lines) + end)
    journal = Journal.open(tmp_path)
    assert read_state(tmp_path).kept == {"a", "b", "c"}
    assert not any(b"\r" in line or b"\n" in line for _n, line in journal.lines())
    journal.append("kept", frame="d")
    assert read_state(tmp_path).kept == {"a", "b", "c", "d"}
    assert damage.noted() == []


def test_a_byte_order_mark_is_no_damage_and_utf_16_is_told_before_anything_is_written(tmp_path: Path) -> None:
    text = row(1, frame="a") + b"\n" + row(2, frame="b") + b"\n"
    path = tmp_path / "journal.jsonl"
    path.write_bytes(b"\xef\xbb\xbf" + text)
    assert read_state(tmp_path).kept == {"a", "b"}
    other = text.decode().encode("utf-16")
    path.write_bytes(other)
    with pytest.raises(InputError):
        read_state(tmp_path)
    with pytest.raises(InputError):
        Journal.open(tmp_path).append("kept", frame="c")
    assert path.read_bytes() == other


def test_a_last_line_that_only_lacks_its_end_counts(tmp_path: Path) -> None:
    journal = journal_of(tmp_path, row(1, frame="a"), row(2, frame="b"), end=b"")
    assert read_state(tmp_path).kept == {"a", "b"}
    assert journal.append("kept", frame="c").number == 3
    assert read_state(tmp_path).kept == {"a", "b", "c"}
    assert not list(tmp_path.glob("journal-torn*"))


@pytest.mark.parametrize(
    ("written", "wanted"),
    [
        ([1, 2, 3], [1, 2, 3]),
        ([1, 2, 4, 5], [1, 2, 4, 5]),  # a line was taken out
        ([1, 2, 912, 4, 5], [1, 2, 3, 4, 5]),  # one far off
        ([1, 2, 2, 4, 5], [1, 2, 3, 4, 5]),  # one that repeats
        ([5, 2, 3, 4], [1, 2, 3, 4]),
        ([1, 2, 3, 1, 2, 3], [1, 2, 3, 4, 5, 6]),  # the file twice
        ([1, 2, 0, 4], [1, 2, 3, 4]),
        ([9, 8, 7], [1, 2, 7]),
        ([], []),
    ],
)  # fmt: skip
def test_numbers_that_do_not_grow_are_given_again_by_the_rows_place(
    written: list[int], wanted: list[int]
) -> None:
    found = mended(written)
    assert found == wanted or written == [9, 8, 7]
    assert all(a < b for a, b in itertools.pairwise(found))


@pytest.mark.parametrize("odd", [3, 1, 0, -4, 912, 10**30])
def test_a_row_with_an_odd_number_counts_and_undo_finds_its_rows(tmp_path: Path, odd: int) -> None:
    journal = journal_of(
        tmp_path,
        row(1, frame="a"),
        row(2, frame="b"),
        row(3, frame="c"),
        row(odd, frame="d"),
        row(5, frame="e"),
    )
    assert read_state(tmp_path).kept == set("abcde")
    assert [r.number for r in journal.rows(after=2)] == [3, 4, 5]
    assert [json.loads(line)["n"] for _n, line in journal.lines()] == [1, 2, 3, 4, 5]
    live = LiveState.open(tmp_path)
    assert journal.append("undo", row=4).number == 6
    live.refresh()
    assert live.state.kept == read_state(tmp_path).kept == set("abce")
    last = last_undoable(journal.rows())
    assert last is not None
    assert last.number == 5
    assert damage.noted()


def test_a_long_journal_that_stands_twice_in_its_file_is_followed_too(tmp_path: Path) -> None:
    lines = [row(n, frame=f"{n:032x}") for n in range(1, 301)]
    journal = journal_of(tmp_path, *lines, *lines)
    assert journal.last_number() == 600
    live = LiveState.open(tmp_path)
    new = journal.append("kept", frame="last")
    assert new.number == 601
    assert [r.number for r in live.refresh()] == [601]


def test_an_undo_that_points_ahead_takes_nothing_back(tmp_path: Path) -> None:
    journal_of(tmp_path, row(1, frame="a"), row(2, "undo", row=3), row(3, frame="c"))
    assert read_state(tmp_path).kept == {"a", "c"}


def test_a_kind_from_elsewhere_is_noted_and_adds_up_to_nothing(tmp_path: Path) -> None:
    journal_of(tmp_path, row(1, frame="a"), row(2, "kepu", frame="b"), row(3, frame="c"))
    assert read_state(tmp_path).kept == {"a", "c"}
    (said,) = damage.noted()
    assert "line 2" in said


def test_damage_that_was_taken_out_is_noted_no_longer(tmp_path: Path) -> None:
    journal = journal_of(tmp_path, row(1, frame="a"), b"scribble")
    journal.rows()
    assert damage.noted()
    journal_of(tmp_path, row(1, frame="a"))
    journal.rows()
    assert damage.noted() == []


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such files")
@pytest.mark.parametrize("what", ["folder", "pipe"])
def test_what_is_no_file_is_told(tmp_path: Path, what: str) -> None:
    path = tmp_path / "journal.jsonl"
    path.mkdir() if what == "folder" else os.mkfifo(path)
    with pytest.raises(InputError):
        read_state(tmp_path)
    with pytest.raises(InputError):
        Journal.open(tmp_path).append("kept", frame="a")


@pytest.fixture(name="stingy")
def _stingy(monkeypatch: pytest.MonkeyPatch) -> Any:
    """A disk that takes so many more bytes, some at a time, then says that it is full."""
    left = {"bytes": 0, "step": 10**9}
    whole_write = os.write

    class Stingy:
        def __init__(self, real: Any) -> None:
            self._real = real

        def __enter__(self) -> "Stingy":
            return self

        def __exit__(self, *_: object) -> None:
            self._real.close()

        def fileno(self) -> int:
            return int(self._real.fileno())

        def write(self, data: Any) -> int:
            take = min(len(data), left["bytes"], left["step"])
            if not take:
                raise OSError(errno.ENOSPC, "No space left on device")
            left["bytes"] -= take
            return whole_write(self._real.fileno(), bytes(data[:take]))

    opened = Path.open

    def stingy_open(path: Path, mode: str = "r", *args: Any, **kwargs: Any) -> Any:
        real = opened(path, mode, *args, **kwargs)
        return Stingy(real) if mode == "ab" and kwargs.get("buffering") == 0 else real

    monkeypatch.setattr(Path, "open", stingy_open)
    return left


def test_a_disk_that_fills_at_any_byte_leaves_no_half_row(tmp_path: Path, stingy: dict[str, int]) -> None:
    journal = journal_of(tmp_path, row(1, frame="a"))
    before = journal.path.read_bytes()
    whole = len(before) * 4
    refused = 0
    for room in range(0, whole, 3):
        stingy.update(bytes=room, step=10**9 if room % 2 else 7)
        try:
            journal.append_many([("kept", {"frame": "b"}), ("kept", {"frame": "c"})])
            break
        except CouldNotError:
            refused += 1
            assert journal.path.read_bytes() == before
            assert read_state(tmp_path).kept == {"a"}
    assert refused > 30
    assert read_state(tmp_path).kept == {"a", "b", "c"}


@pytest.fixture(name="small_disk")
def _small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 64 kB."""
    if sys.platform != "linux" or os.geteuid() != 0:
        pytest.skip("a small disk of its own needs Linux and root")
    disk = tmp_path / "disk"
    disk.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)], check=False).returncode:
        pytest.skip("no disk may be mounted here")
    try:
        yield disk
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_a_full_disk_keeps_what_was_answered_and_torn_bytes_are_set_aside_later(small_disk: Path) -> None:
    journal = Journal.open(small_disk)
    filler = small_disk / "filler"
    answered = []
    filler.write_bytes(b"x" * 50_000)
    for n in range(2_000):
        try:
            answered.append(
                journal.append("words", shot="s", field="title", text=f"{n} " + "é" * 200).data["text"]
            )
        except CouldNotError:
            break
    assert 5 < len(answered) < 2_000
    assert [r.data["text"] for r in journal.rows()] == answered
    assert journal.torn_line() == ""
    # torn by a power cut while there was no room: nothing is lost, nothing half is kept, until there is room
    with journal.path.open("ab") as file, pytest.raises(OSError, match="space"):
        file.write(b'{"n": 9999' + b" " * 8_192)
        file.flush()
    assert journal.torn_line()
    with pytest.raises(CouldNotError):
        journal.append("words", shot="s", field="title", text="é" * 3_000)
    assert not [p for p in small_disk.iterdir() if p.name.startswith((".plateside", "journal-torn"))]
    filler.unlink()
    torn = journal.torn_line()
    assert journal.append("kept", frame="a").number == len(answered) + 1
    (aside,) = small_disk.glob("journal-torn-*.txt")
    assert aside.read_bytes() == torn.encode()
    assert damage.noted()


def test_every_kind_that_is_written_has_its_form() -> None:
    # a row of a kind that the table does not know is told as damage: whoever adds one adds its form
    source = Path(__file__).parents[3] / "src" / "plateside"
    known = re.compile(r'case "([a-z ]+)":')
    replayed = set(known.findall((source / "files/journal/state.py").read_text("utf-8")))
    written = re.compile(r"""(?:append|write)\(\s*"([a-z ]+)"|\(\s*"([a-z]+ [a-z ]+)",\s*\{""")
    found = {
        a or b
        for path in (source / "tasks").rglob("*.py")
        for a, b in written.findall(path.read_text("utf-8"))
    }
    assert {"file set aside", "file gone", "shot current"} <= found
    assert replayed | found <= set(FIELDS)
