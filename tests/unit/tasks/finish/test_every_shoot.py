"""Every shoot of a folder finished at once: made, unchanged, or said why not; the same pictures as one by one."""

import json
import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from plateside.cli.main import main
from plateside.cli.progress import show_waiting
from plateside.files.in_turn import in_turn
from plateside.files.journal.journal import Journal
from plateside.model.errors import InputError
from plateside.tasks.finish import every_shoot
from plateside.tasks.finish.every_shoot import finish_every, finish_one
from plateside.tasks.finish.series import finish
from tests.shoots.re_lit import make_shoot
from tests.synthetic.at_once import here

DAMAGED = "The list of finished pictures was damaged"


@pytest.fixture
def year(tmp_path: Path) -> Path:
    """Two shoots, one of them a folder below, and one whose settings have a mistake."""
    home = tmp_path / "year"
    first = make_shoot(home / "plums", share=1 / 2)
    shutil.copytree(first, home / "autumn" / "quinces")
    shutil.copytree(first, home / "wrong")
    (home / "wrong" / "shoot.toml").write_text("date = 3", encoding="utf-8")
    return home


@pytest.fixture
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """In this process: that other processes do it as well is held once, and what begins them takes longest."""
    monkeypatch.setattr(every_shoot, "pool", here)


def test_all_are_made_then_unchanged_and_one_edit_makes_one(
    year: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    alone = make_shoot(year.parent / "alone", share=1 / 2)
    finish(alone)
    wanted = {p.name: p.read_bytes() for p in (alone / "finished").glob("*.tif")}

    first = {one.name: one for one in finish_every(year).shoots}
    assert list(first) == ["plums", "wrong", "autumn/quinces"]
    assert (first["plums"].pictures, first["plums"].written, first["plums"].fault) == (3, 3, "")
    assert first["wrong"].fault and not first["wrong"].pictures
    for name in ("plums", "autumn/quinces"):
        assert {p.name: p.read_bytes() for p in (year / name / "finished").glob("*.tif")} == wanted

    again = {one.name: one for one in finish_every(year).shoots}
    assert [again[name].unchanged for name in ("plums", "autumn/quinces")] == [True, True]

    (year / "plums" / "finished" / "cup.tif").unlink()
    Journal.open(year / "autumn" / "quinces").append("as taken", shot="cup", frame="none")
    (year / "autumn" / "quinces" / "finished" / "adjustments.json").write_text("{", encoding="utf-8")
    status = main(["finish", str(year), "--every-shoot", "--json"])
    said = capsys.readouterr()
    after = {one["name"]: one for one in json.loads(said.out)["shoots"]}
    # what another process found damaged is told here
    assert f"autumn/quinces: {DAMAGED}" in said.err
    assert status == 1  # one is wrong
    assert after["plums"]["written"] == 1
    # looked at again, since its journal is another, and nothing had to be made
    assert (after["autumn/quinces"]["written"], after["autumn/quinces"]["unchanged"]) == (0, False)


def test_the_named_folder_itself_is_called_by_its_own_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    home = make_shoot(tmp_path / "plums", share=1 / 2)
    (home / "shoot.toml").write_text("date = 3", encoding="utf-8")
    monkeypatch.chdir(home)
    main(["finish", ".", "--every-shoot"])
    assert "\nplums: " in capsys.readouterr().out
    # two of one name are both said
    shutil.copytree(home, tmp_path / "other")
    shutil.move(tmp_path / "other", home / "plums")
    assert [one.name for one in finish_every(Path()).shoots] == [str(home.resolve()), "plums"]


def test_a_worker_that_does_not_see_it_or_is_another_version_says_so(tmp_path: Path) -> None:
    from plateside import __version__

    assert finish_one("a", str(tmp_path / "elsewhere"), "tiff", __version__)["fault"]
    assert finish_one("a", str(tmp_path), "tiff", "0.0")["fault"]


@pytest.mark.parametrize(
    "options",
    [
        ["--cluster", "127.0.0.1:1"], ["--every-shoot", "--match-to", "cup"], ["--every-shoot", "--accept", "cup"],
        ["--every-shoot", "--cluster", "10.1.2.3:8786"], ["--every-shoot", "--cluster-keys", "."], ["--every-shoot"],
    ],
)  # fmt: skip
def test_what_does_not_go_together_is_refused(
    options: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["finish", str(tmp_path), *options]) == InputError.exit_status
    said = capsys.readouterr()
    assert said.err.count("\n") == 1 and not said.out
    assert list(tmp_path.iterdir()) == []


@pytest.mark.usefixtures("at_once")
def test_a_shoot_that_another_run_holds_is_named_and_done_last(year: Path) -> None:
    shutil.rmtree(year / "wrong")
    held = in_turn(year / "plums" / ".plateside" / "finish.lock", lambda: pytest.fail("held by nobody"))
    said: list[list[str]] = []
    seen: list[tuple[int, int]] = []

    def waiting(names: Sequence[str]) -> None:
        # the other one is done by then
        assert (year / "autumn" / "quinces" / "finished" / "cup.tif").is_file()
        said.append(list(names))
        if len(said) == 2:
            held.__exit__(None, None, None)

    held.__enter__()
    report = finish_every(year, progress=lambda done, total: seen.append((done, total)), waiting=waiting)
    assert said[:2] == [["plums"], ["plums"]]
    assert {(one.name, one.written, one.fault) for one in report.shoots} == {
        ("plums", 3, ""), ("autumn/quinces", 3, ""),
    }  # fmt: skip
    assert seen == sorted(seen)
    assert (seen[0], seen[-1]) == ((0, 2), (2, 2))


@pytest.mark.usefixtures("at_once")
def test_the_wait_can_be_stopped_and_what_is_made_is_kept(
    year: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stop(names: Sequence[str]) -> None:
        show_waiting(names)
        raise KeyboardInterrupt

    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    monkeypatch.setattr("plateside.cli.verbs.finish.show_waiting", stop)
    with in_turn(year / "plums" / ".plateside" / "finish.lock", lambda: pytest.fail("held by nobody")):
        assert main(["finish", str(year), "--every-shoot"]) == 130
    assert "Another finish of plums is running." in capsys.readouterr().err
    assert (year / "autumn" / "quinces" / "finished" / "cup.tif").is_file()
    assert not (year / "plums" / "finished").exists()


@pytest.mark.usefixtures("at_once")
def test_a_damaged_list_is_said_once_and_of_which_shoot(
    year: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.rmtree(year / "wrong")
    finish_every(year)
    for name in ("plums", "autumn/quinces"):
        (year / name / "finished" / "adjustments.json").write_text("{", encoding="utf-8")
    assert main(["finish", str(year / "plums")]) == 0
    alone = capsys.readouterr()
    assert (alone.out + alone.err).count(DAMAGED) == 1
    assert main(["finish", str(year), "--every-shoot"]) == 0
    every = capsys.readouterr()
    assert [line for line in (every.out + every.err).splitlines() if DAMAGED in line] == [
        line for line in every.err.splitlines() if line.startswith(f"autumn/quinces: {DAMAGED}")
    ]
    assert every.err.count(DAMAGED) == 1
