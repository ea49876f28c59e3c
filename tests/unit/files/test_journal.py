"""The journal: numbered, whole lines, undo by replay, torn last line set aside."""

import errno
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from filelock import FileLock

from plateside.files.journal.journal import Journal
from plateside.files.journal.live import LiveState
from plateside.files.journal.state import last_undoable, read_state, replay, undone
from plateside.model.errors import CouldNotError
from plateside.tasks.set.press import take_back


def test_rows_are_numbered_from_one_and_read_back(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.append("shot current", shot="three-bowls")
    journal.append_many([("frame landed", {"frame": "a", "name": "é 1.jpg"}), ("kept", {"frame": "a"})])
    rows = journal.rows()
    assert [r.number for r in rows] == [1, 2, 3]
    assert rows[1].data["name"] == "é 1.jpg"
    assert [r.number for r in journal.rows(after=2)] == [3]
    assert all(r.at.tzinfo is not None for r in rows)


def test_a_line_is_plain_json_anyone_can_read(tmp_path: Path) -> None:
    Journal.open(tmp_path).append("kept", frame="a")
    line = (tmp_path / "journal.jsonl").read_text(encoding="utf-8").splitlines()[0]
    assert json.loads(line)["data"] == {"frame": "a"}


def test_torn_last_line_is_passed_over_then_set_aside(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.append("kept", frame="a")
    with (tmp_path / "journal.jsonl").open("ab") as file:
        file.write(b'{"n": 2, "at": "20')
    assert [r.number for r in journal.rows()] == [1]
    assert journal.torn_line().startswith('{"n": 2')
    assert journal.append("kept", frame="b").number == 2
    assert [r.data["frame"] for r in journal.rows()] == ["a", "b"]
    torn = list(tmp_path.glob("journal-torn-*.txt"))
    assert len(torn) == 1
    assert torn[0].read_bytes() == b'{"n": 2, "at": "20'


def test_full_disk_leaves_no_half_row(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    journal = Journal.open(tmp_path)
    journal.append("kept", frame="a")
    before = (tmp_path / "journal.jsonl").read_bytes()

    def full(_fd: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CouldNotError, match="disk is full"):
        journal.append("kept", frame="b")
    assert (tmp_path / "journal.jsonl").read_bytes() == before


def test_two_programs_at_once_lose_and_double_nothing(tmp_path: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from plateside.files.journal.journal import Journal\n"
        "j = Journal.open(Path(sys.argv[1]))\n"
        "for i in range(40): j.append('kept', frame=f'{sys.argv[2]}{i}')\n"
    )
    running = [subprocess.Popen([sys.executable, "-c", program, str(tmp_path), who]) for who in "xy"]
    assert [p.wait() for p in running] == [0, 0]
    rows = Journal.open(tmp_path).rows()
    assert [r.number for r in rows] == list(range(1, 81))
    assert {r.data["frame"] for r in rows} == {f"{who}{i}" for who in "xy" for i in range(40)}


def test_undo_and_undo_of_undo(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.append("select", shot="s", frame="a")
    second = journal.append("select", shot="s", frame="b")
    undo = journal.append("undo", row=second.number)
    assert read_state(tmp_path).heroes == {"s": "a"}
    last = last_undoable(journal.rows())
    assert last is not None
    assert last.data["frame"] == "a"
    journal.append("undo", row=undo.number)
    assert read_state(tmp_path).heroes == {"s": "b"}


def test_undo_passes_over_the_tools_own_guesses(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.append("frame landed", frame="a", name="1.jpg")
    journal.append("frame belongs", frame="a", shot="pour", guess=True)
    assert last_undoable(journal.rows()) is None
    hers = journal.append("test frame", shot="pour", frame="a")
    by_card = journal.append("shot current", shot="pour", by="card")
    journal.append("frame belongs", frame="b", shot="pour", guess=True)
    assert last_undoable(journal.rows()) == by_card
    told = [take_back(tmp_path, by_card.number + 9).said for _ in range(3)]
    assert told == [
        "Taken back: the move to pour.",
        "Taken back: the test frame of pour.",
        "Nothing to take back.",
    ]
    assert hers.number in undone(journal.rows())
    moved = journal.append("frame belongs", frame="a", shot="pour", guess=False)
    assert last_undoable(journal.rows()) == moved


def test_frames_belong_to_the_shot_current_when_they_landed(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.append("frame landed", frame="early", name="0.jpg")
    journal.append("shot current", shot="one")
    journal.append("frame landed", frame="a", name="1.jpg")
    journal.append("shot current", shot="two")
    journal.append("frame landed", frame="b", name="2.jpg")
    journal.append("frame belongs", frame="early", shot="one", guess=True)
    state = read_state(tmp_path)
    assert state.shot_of == {"a": "one", "b": "two", "early": "one"}
    assert state.guessed == {"early"}


def test_keep_and_again_are_one_choice(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.append("kept", frame="a")
    journal.append("again", frame="a")
    state = read_state(tmp_path)
    assert (state.kept, state.again) == (set(), {"a"})


def test_rows_of_a_newer_version_are_passed_over(tmp_path: Path) -> None:
    Journal.open(tmp_path).append("something new", colour="blue")
    assert read_state(tmp_path).last_row == 1


def test_a_renamed_frame_keeps_its_decisions(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.append("frame landed", frame="a", name="1.jpg")
    journal.append("kept", frame="a")
    journal.append("frame renamed", frame="a", name="bowl.jpg")
    state = read_state(tmp_path)
    assert state.landed == {"a": "bowl.jpg"}
    assert state.kept == {"a"}


def test_new_rows_are_read_from_the_end_however_long_their_lines(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    # some lines longer than any block that is read, so that blocks begin inside them
    journal.append_many(("words", {"shot": "s", "field": "f", "text": "é" * (n % 7) ** 6}) for n in range(60))
    everything = journal.rows()
    assert [r.number for r in everything] == list(range(1, 61))
    for after in (0, 1, 5, 6, 30, 58, 59, 60, 99):
        assert journal.rows(after=after) == [r for r in everything if r.number > after]
    assert journal.last_number() == 60


def test_who_asks_again_and_again_reads_the_file_only_when_it_has_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def read(*_: object, **_more: object) -> None:
        raise AssertionError("it was read")

    journal = Journal.open(tmp_path)
    assert journal.last_number() == 0
    Journal.open(tmp_path).append("note", text="one")
    assert journal.last_number() == 1
    with monkeypatch.context() as patch:
        patch.setattr(Path, "open", read)
        patch.setattr(Path, "read_bytes", read)
        assert journal.last_number() == 1
    Journal.open(tmp_path).append("note", text="two")
    assert journal.last_number() == 2
    # put back from a copy, as long and as old as the file in its place
    old = journal.path.stat()
    other = tmp_path / "copy"
    other.write_bytes(journal.path.read_bytes().replace(b'{"n": 2', b'{"n": 7'))
    os.utime(other, ns=(old.st_atime_ns, old.st_mtime_ns))
    other.replace(journal.path)
    assert (journal.path.stat().st_size, journal.last_number()) == (old.st_size, 7)
    # what is torn is looked at until it is whole
    with journal.path.open("ab") as file:
        file.write(journal.path.read_bytes().splitlines()[-1].replace(b'{"n": 7', b'{"n": 8'))
    for _ in range(2):
        assert journal.last_number() == 8
        with monkeypatch.context() as patch, pytest.raises(AssertionError, match="it was read"):
            patch.setattr(Path, "open", read)
            patch.setattr(Path, "read_bytes", read)
            journal.last_number()


def test_a_line_taken_out_by_hand_leaves_the_rest_readable(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.append_many(("kept", {"frame": str(n)}) for n in range(1000))
    lines = (tmp_path / "journal.jsonl").read_bytes().splitlines(keepends=True)
    (tmp_path / "journal.jsonl").write_bytes(b"".join(lines[:989] + lines[990:]))
    assert [r.number for r in journal.rows(after=988)] == [989, *range(991, 1001)]
    assert [r.number for r in journal.rows(after=990)] == list(range(991, 1001))


def test_live_state_is_the_replayed_state(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    live = LiveState.open(tmp_path)
    assert live.refresh() == []
    steps: list[tuple[str, dict[str, object]]] = [
        ("frame landed", {"frame": "a", "name": "1.jpg"}),
        ("shot current", {"shot": "one"}),
        ("frame landed", {"frame": "b", "name": "2.jpg"}),
        ("kept", {"frame": "b"}),
        ("layer", {"shot": "one", "frame": "b"}),
        ("undo", {"row": 4}),
        ("undo", {"row": 6}),
        ("lamp check", {"shot": "one", "frame": "b"}),
        ("undo", {"row": 5}),
        ("set card", {"frame": "b"}),
    ]
    for kind, data in steps:
        row = journal.append(kind, **data)
        assert live.refresh() == [row]
        assert live.state == replay(journal.rows())
    # put back from an older copy
    lines = (tmp_path / "journal.jsonl").read_bytes().splitlines(keepends=True)
    (tmp_path / "journal.jsonl").write_bytes(b"".join(lines[:3]))
    live.refresh()
    assert live.state == replay(journal.rows())


def test_who_waits_too_long_for_the_journal_is_told_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("plateside.files.journal.journal.LOCK_PATIENCE_S", 0.05)
    with (
        FileLock(str(tmp_path / "journal.jsonl.lock")),
        pytest.raises(CouldNotError, match="Another Plateside"),
    ):
        Journal.open(tmp_path).append("kept", frame="a")


def test_layers_are_kept_in_order_and_a_lamp_check_waits_until_it_is_settled(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.append("frame landed", frame="a", name="1.jpg")
    for frame in ("a", "b", "a"):
        journal.append("layer", shot="s", frame=frame)
    journal.append("lamp check", shot="s", frame="a")
    state = read_state(tmp_path)
    assert state.layers == {"s": ["a", "b"]}
    assert (state.lamp_checks["s"].frame, state.lamp_checks["s"].landed) == ("a", 1)
    settled = {"shot": "s", "frame": "b", "against": "a", "lamp": True, "share": 0.3, "at": [0.1, 0.5]}
    journal.append("lamp settled", **settled)
    state = read_state(tmp_path)
    assert state.lamp_checks == {}
    assert state.lamps == {"a": settled, "b": settled}


def test_lines_are_the_rows_as_written(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.append_many(("kept", {"frame": f"é{n}", "n": n}) for n in range(300))
    # a line that another program wrote, its fields in another order
    with journal.path.open("ab") as file:
        file.write(
            b'{"at": "2027-07-15T11:42:07+00:00", "kind": "kept", "n": 301, "data": {"frame": "x"}}\n{"torn'
        )
    for after in (0, 1, 150, 299, 300, 301, 400):
        told = [(number, json.loads(line)["data"]) for number, line in journal.lines(after)]
        assert told == [(row.number, row.data) for row in journal.rows(after)]
        assert [number for number, _ in told] == list(range(after + 1, 302))


def test_rows_of_earlier_shoots_count_under_the_names_of_now(tmp_path: Path) -> None:
    journal = Journal.open(tmp_path)
    journal.append("hero", shot="s", frame="a")
    journal.append("reference", shot="s", frame="b")
    assert [row.kind for row in journal.rows()] == ["select", "test frame"]
    state = read_state(tmp_path)
    assert (state.heroes, state.references) == ({"s": "a"}, {"s": "b"})
