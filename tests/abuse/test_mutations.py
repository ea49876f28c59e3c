"""Damaged files: each command and page answers in words. A seeded few; `python -m bench mutations` tries thousands."""

import errno
import io
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from plateside.files import damage
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.tasks.set.events import Event
from plateside.tasks.set.watch import watch
from plateside.tasks.studio.edit import read_settings
from plateside.web.guard.devices import Devices
from tests.synthetic.damaged_shoot import Shoot, ask
from tests.synthetic.mutated import READERS, run
from tests.web import loops


@pytest.fixture(scope="module")
def shoot(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shoot]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PLATESIDE_STATE", "")  # the shoot sets its own; this puts ours back
        yield Shoot(tmp_path_factory.mktemp("damaged"))


@pytest.fixture(autouse=True)
def _put_back(shoot: Shoot) -> Iterator[None]:
    yield
    shoot.put_back()


def test_every_kind_of_file_is_there_to_be_damaged(shoot: Shoot) -> None:
    assert [pattern for pattern in READERS if not shoot.named(pattern)] == []


def test_every_file_that_the_shoot_holds_is_damaged_by_one_of_them(shoot: Shoot) -> None:
    """What is kept anew one day stands here until it is damaged as well."""
    damaged = {path for pattern in READERS for path in shoot.named(pattern)}
    # a lock holds nothing; a note of what is being decoded is empty between two
    left = [p for p in shoot.files if p not in damaged and p.suffix != ".lock" and p.stat().st_size]
    assert left == []


@pytest.mark.parametrize("part", range(3))
def test_a_seeded_few_damaged_files_are_told_in_words(shoot: Shoot, part: int) -> None:
    """One file of each kind, by two of its readers; three times, each time another fault."""
    # no time is held here: a loaded machine is no fault of the file; the bench holds it
    many = run(shoot, len(READERS), seed=100 + part)
    faults = [f for f in many.faults if "traceback" in f.said or "500," in f.said]
    assert faults == []


@pytest.mark.parametrize(
    ("file", "act", "answer"),
    [
        (".plateside/index.sqlite", "judge", "exit 0"),
        (".plateside/finish.json", "finish", "exit 0"),
        (".plateside/deliver.json", "deliver", "exit 0"),
        (".plateside/crops.json", "deliver", "exit 0"),
        ("finished/adjustments.json", "finish", "exit 0"),
        ("finished/adjustments.json", "deliver", "exit 2"),
        ("delivery/manifest.json", "verify delivery", "exit 2"),
        ("journal.jsonl", "shot", "exit 0"),
        ("shoot.toml", "check", "exit 2"),
        ("studio.toml", "light --at 2027-05-01T12:00", "exit 2"),
    ],
)
@pytest.mark.parametrize("put", [b"\xff\x00" * 40, b"[" * 100_000, b'{"a": ' + b"9" * 5_000 + b"}"])
def test_a_file_that_is_none_is_said_once_and_made_again_where_it_can_be(
    shoot: Shoot, file: str, act: str, answer: str, put: bytes
) -> None:
    (shoot.root / file).write_bytes(put)
    got, said = shoot.run(act)
    assert got == answer
    assert "Traceback" not in said
    assert said.count(Path(file).name) >= (1 if file != "delivery/manifest.json" else 0)
    if answer == "exit 0" and file != "journal.jsonl":
        got, said = shoot.run(act)
        assert got == "exit 0"
        assert "damaged" not in said


def test_a_damaged_line_is_said_by_the_command_and_by_the_page(shoot: Shoot) -> None:
    path = shoot.root / "journal.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join([*lines[:4], b'{"n": 5, "at"\n', *lines[5:]]))
    got, said = shoot.run("shot")
    assert got == "exit 0"
    assert said.count("journal.jsonl, line 5") == 1
    assert json.loads(shoot.run("check --json")[1].split("\n")[-2])["counts"]
    tool = shoot.tool()
    drawn = loops.run(ask(tool, "GET", "/choose", io.StringIO()))
    assert drawn == 200
    assert any("line 5" in words for words in damage.noted())


def test_a_press_that_a_full_disk_refuses_is_answered_as_not_done(
    shoot: Shoot, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = (shoot.root / "journal.jsonl").read_bytes()
    row = Journal.open(shoot.root).last_number()

    def full(*_: Any) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    told = {"kind": "words", "data": {"shot": "cup", "field": "title", "text": "Another"}, "version": row}
    status = loops.run(ask(shoot.tool(), "POST", "/press", io.StringIO(), json.dumps(told).encode()))
    assert status == 503
    assert (shoot.root / "journal.jsonl").read_bytes() == before
    assert read_state(shoot.root).words["cup"]["title"] == "A cup"


def test_plateside_may_be_deleted_and_undo_and_tablets_are_still_there(shoot: Shoot) -> None:
    devices = Devices(shoot.root)
    cookie = devices.pair(devices.invite().secret, "kitchen")
    shutil.rmtree(shoot.root / ".plateside")
    assert read_settings(shoot.root, "studio").can_undo
    assert Devices(shoot.root).of(cookie) is not None
    for act in (
        "judge",
        "finish",
        "deliver",
        "GET /finish/pictures/cup/view.jpg",
        "GET /light/day?day=2027-05-01",
    ):
        assert shoot.run(act)[0] in ("exit 0", "200")


@pytest.mark.skipif(sys.platform != "linux", reason="other systems refuse names that are no text")
def test_a_folder_whose_name_is_no_text_is_told_and_a_terminal_of_few_letters_is_enough(
    tmp_path: Path,
) -> None:
    folder = os.fsencode(tmp_path) + b"/caf\xe9"
    os.mkdir(folder)  # noqa: PTH102 - a name of bytes
    for encoding in ("utf-8", "ascii"):
        done = subprocess.run(
            [sys.executable, "-m", "plateside", "check", folder],
            capture_output=True, env={**os.environ, "PYTHONIOENCODING": encoding}, check=False,
        )  # fmt: skip
        assert done.returncode == 2
        assert b"Traceback" not in done.stderr
        assert done.stderr


def test_what_a_watcher_finds_damaged_is_told_as_it_is_found(shoot: Shoot) -> None:
    path = shoot.root / "journal.jsonl"
    path.write_bytes(path.read_bytes() + b"scribble\n")
    (shoot.root / ".plateside" / "index.sqlite").write_bytes(b"no database" * 900)
    told: list[Event] = []
    watch(shoot.root, told.append, once=True)
    assert {"journal.jsonl", "index.sqlite"} <= {
        name
        for t in told
        if t.kind == "damage"
        for name in ("journal.jsonl", "index.sqlite")
        if name in t.words
    }
