"""Days on which the disk, the folder or the clock does what it should not: told in a sentence, and nothing lost."""

import os
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta, tzinfo
from pathlib import Path
from types import SimpleNamespace

import pytest
from PIL import Image

from plateside.cli.main import main as command
from plateside.files.journal import journal as journal_module
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.originals import in_hand
from plateside.tasks.deliver.pack import pack
from plateside.tasks.serve.keeping import Keeping, room_left
from plateside.tasks.serve.last_open import last_open, remember
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.press import press
from plateside.tasks.set.watch import watch
from tests.shoots.small import make_small_shoot, picture

FRAMES = 2


@pytest.fixture
def unjudged(tmp_path: Path) -> Path:
    root = make_small_shoot(tmp_path / "shoot")
    (root / "journal.jsonl").unlink()
    for extra in sorted((root / "frames").iterdir())[FRAMES:]:
        extra.unlink()
    return root


def _counted(root: Path) -> Counter[str]:
    return Counter(row.kind for row in Journal.open(root).rows())


class Looks:
    """Stands for a watcher's sleep: at each look the next thing happens, then it stops."""

    def __init__(self, *acts: Callable[[], object]) -> None:
        self._acts, self.now, self.is_over = list(acts), 0.0, False

    def sleep(self, seconds: float) -> None:
        self.now += seconds
        if self._acts and self._acts[0]() is not False:
            self._acts.pop(0)
        self.is_over = not self._acts

    def watch(self, root: Path) -> list[str]:
        told: list[str] = []
        watch(
            root, lambda event: told.append(event.kind), stop=lambda: self.is_over, clock=lambda: self.now,
            sleep=self.sleep, poll_s=0.3,
        )  # fmt: skip
        return told


def test_a_frame_that_ends_its_reader_is_set_aside_by_name_and_the_others_are_judged(
    unjudged: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PLATESIDE_STATE", str(tmp_path / "state"))
    bad = sorted((unjudged / "frames").iterdir())[0]
    ended = in_hand._known_as(bad, bad.stat())
    in_hand._of_this_process().ends[ended] = in_hand.MOST_ENDS
    told: list[str] = []
    watch(unjudged, lambda event: told.append(event.kind), once=True, poll_s=0.01)
    rows = Journal.open(unjudged).rows()
    aside = [row.data for row in rows if row.kind == "file set aside"]
    assert [(one["name"], one["code"]) for one in aside] == [(bad.name, "ends")]
    assert Counter(row.kind for row in rows)["verdict"] == FRAMES - 1
    # told once: the next watcher neither tries nor tells it
    watch(unjudged, lambda _event: None, once=True, poll_s=0.01)
    assert Journal.open(unjudged).rows() == rows


@pytest.mark.parametrize("how", ["renamed", "unreadable", "emptied"])
def test_a_frames_folder_that_goes_away_and_comes_back_is_judged_once(
    unjudged: Path, how: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    frames, away = unjudged / "frames", unjudged / "away"
    real = os.scandir

    def broken(path: object = ".") -> object:
        if str(path).startswith(str(frames)):
            raise OSError(5, "Input/output error")
        return real(path)  # type: ignore[call-overload]

    def go() -> None:
        if how == "unreadable":
            monkeypatch.setattr(os, "scandir", broken)
            return
        frames.rename(away)
        if how == "emptied":
            # as a mount point is once its disk was pulled
            frames.mkdir()

    def come_back() -> None:
        if how == "unreadable":
            monkeypatch.setattr(os, "scandir", real)
            return
        if how == "emptied":
            frames.rmdir()
        away.rename(frames)

    looks = Looks(
        lambda: _counted(unjudged)["verdict"] == FRAMES, go, lambda: None, lambda: None, come_back,
        *[lambda: None] * 6,
    )  # fmt: skip
    looks.watch(unjudged)
    rows = _counted(unjudged)
    assert (rows["frame landed"], rows["verdict"], rows["file gone"]) == (FRAMES, FRAMES, 0)
    # and the next watcher has nothing to tell either
    watch(unjudged, lambda _event: None, once=True, poll_s=0.01)
    assert _counted(unjudged) == rows


def test_a_clock_that_goes_back_an_hour_changes_no_order(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = make_small_shoot(tmp_path / "shoot")

    class Earlier(datetime):
        @classmethod
        def now(cls, tz: tzinfo | None = None) -> "Earlier":
            return super().now(tz) - timedelta(hours=1)

    press(root, "words", {"shot": "cup", "field": "title", "text": "first"}, 10**9)
    monkeypatch.setattr(journal_module, "datetime", Earlier)
    press(root, "words", {"shot": "cup", "field": "title", "text": "second"}, 10**9)
    rows = Journal.open(root).rows()
    assert rows[-1].at < rows[-2].at
    assert read_state(root).words["cup"]["title"] == "second"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes in folders here")
def test_a_pipe_in_the_place_of_the_note_of_the_open_shoot_holds_no_server_up(tmp_path: Path) -> None:
    root = make_small_shoot(tmp_path / "home" / "shoot")
    home = root.parent
    remember(home, root)
    assert last_open(home) == root.resolve()
    (home / ".plateside" / "open.txt").unlink()
    os.mkfifo(home / ".plateside" / "open.txt")
    assert last_open(home) is None


def test_names_of_255_bytes_are_frames_and_are_packed(unjudged: Path) -> None:
    longest = ["x" * 251 + ".jpg", "é" * 125 + "x.jpg"]
    for number, name in enumerate(longest):
        assert len(name.encode()) == 255
        Image.fromarray(picture(40 + number)).save(unjudged / "frames" / name, quality=80)
    assert {j.frame.name for j in judge_frames(unjudged).frames} >= set(longest)
    packed = pack(unjudged, archive=True)
    assert {p.name for p in (packed.path / "data" / "frames").iterdir()} >= set(longest)


def _mounted(place: Path, *options: str) -> bool:
    place.mkdir(exist_ok=True)
    done = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", ",".join(options), "tmpfs", str(place)],
        capture_output=True,
        check=False,
    )
    return done.returncode == 0


@pytest.fixture(scope="module", params=["read-only", "full"])
def odd_disk(tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> Iterator[Path]:
    """A shoot on a small disk of its own that takes no more."""
    if sys.platform != "linux" or os.geteuid() != 0 or shutil.which("mount") is None:
        pytest.skip("a disk can be mounted by an administrator only")
    place = tmp_path_factory.mktemp("disk") / "small"
    if not _mounted(place, "size=6m"):
        pytest.skip("no disk can be mounted here")
    try:
        make_small_shoot(place / "shoot")
        if request.param == "full":
            with (place / "rest").open("wb", buffering=0) as file:
                try:
                    while True:
                        file.write(bytes(4096))
                except OSError:
                    pass
        else:
            subprocess.run(["mount", "-o", "remount,ro", str(place)], check=True)
        yield place / "shoot"
    finally:
        subprocess.run(["umount", "-l", str(place)], check=False)


@pytest.mark.parametrize(
    "act",
    ["check SHOOT", "shot SHOOT near", "watch SHOOT --once --quiet --plain", "choose SHOOT", "finish SHOOT"],
)
def test_a_disk_that_takes_nothing_is_said_in_a_sentence(
    odd_disk: Path, act: str, capsys: pytest.CaptureFixture[str]
) -> None:
    before = (odd_disk / "journal.jsonl").read_bytes()
    try:
        status = command([str(odd_disk) if word == "SHOOT" else word for word in act.split()])
    except SystemExit as end:
        status = int(end.code or 0)
    said = capsys.readouterr()
    assert status in (0, 1, 2)
    assert "Traceback" not in said.err + said.out
    assert status == 0 or said.err.strip()
    # what is there stays, and no half row is added: a full disk may still have room for a line
    after = (odd_disk / "journal.jsonl").read_bytes()
    assert after.startswith(before)
    assert after.endswith(b"\n")


@pytest.mark.parametrize(("frames_of_room", "said"), [(0, True), (39, True), (41, False)])
def test_a_disk_nearly_full_is_said_before_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, frames_of_room: int, said: bool
) -> None:
    frames = tmp_path / "frames"
    frames.mkdir()
    for n in range(3):
        (frames / f"{n}.jpg").write_bytes(bytes(1000))
    # arithmetic: 500 MB stay free for what else the day needs, and a frame takes as much as those that are there
    free = 500_000_000 + frames_of_room * 1000 + 1
    monkeypatch.setattr(shutil, "disk_usage", lambda _: SimpleNamespace(free=free))
    assert bool(room_left(frames)) is said
    assert room_left(tmp_path / "none") == ""


def test_what_a_page_says_of_a_disk_that_takes_nothing_is_found_by_trying(
    odd_disk: Path, tmp_path: Path
) -> None:
    keeping = Keeping()
    assert keeping.why_not(odd_disk)
    assert keeping.why_not(make_small_shoot(tmp_path / "shoot")) == ""
    assert not list(odd_disk.rglob("can-be-written"))
