"""`check` says everything at once, and gently what is worth a look."""

import json
from pathlib import Path

import pytest

from plateside.cli.main import main
from plateside.files.journal.journal import Journal
from plateside.files.settings.load import load_shoot
from plateside.tasks.studio.check import check
from tests.unit.settings.sample_settings import SHOOT, STUDIO, spoiled


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "studio.toml").write_text(STUDIO, encoding="utf-8")
    (tmp_path / "shoot.toml").write_text(SHOOT, encoding="utf-8")
    (tmp_path / "frames").mkdir()
    return tmp_path


def test_right_files(folder: Path) -> None:
    report = check(folder)
    assert report.ok
    assert report.counts == {"windows": 1, "spots": 1, "shots": 1, "channels": 1}


def test_words_written_on_a_page_are_no_longer_missed(folder: Path) -> None:
    assert "no alt text" in {r.code for r in check(folder).remarks}
    name = load_shoot(folder).shots[0].name
    Journal.open(folder).append(
        "words", shot=name, field="alt_text", text="A bowl of green soup by a window."
    )
    assert "no alt text" not in {r.code for r in check(folder).remarks}


def test_wrong_files_exit_with_two_and_tell_all(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "studio.toml").write_text(spoiled(STUDIO, "sill_m = 0.78", "sill_m = 78"), encoding="utf-8")
    text = spoiled(spoiled(SHOOT, 'lens = "35"', "glosy = true"), 'takes = "PT8M"', 'takes = "8 min"')
    (folder / "shoot.toml").write_text(text, encoding="utf-8")
    assert main(["check", str(folder)]) == 2
    told = capsys.readouterr().out
    assert told.startswith("3 ")
    assert "    sill_m = 0.78\n" in told
    assert '    takes = "PT8M"\n' in told
    assert "    glossy = true\n" in told


def test_json_has_the_documented_fields(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "studio.toml").write_text(spoiled(STUDIO, "sill_m = 0.78", "sill_m = 78"), encoding="utf-8")
    assert main(["check", str(folder), "--json"]) == 2
    found = json.loads(capsys.readouterr().out)
    assert set(found) == {"files", "ok", "mistakes", "remarks", "counts", "sentences"}
    assert found["ok"] is False
    (mistake,) = found["mistakes"]
    assert (mistake["code"], mistake["fix"]) == ("out of range", "sill_m = 0.78")
    assert (mistake["got"], mistake["lowest"], mistake["highest"], mistake["unit"]) == ("78", 0, 5, "m")
    assert mistake["line"] == STUDIO.split("\n").index("sill_m = 0.78") + 1
    assert all(set(r) == {"code", "kind", "table", "name", "facts"} for r in found["remarks"])


def test_names_are_looked_up_only_where_the_studio_is_right(folder: Path) -> None:
    # the lenses are in doubt in the studio: the shoot is not blamed for the name of one as well
    (folder / "studio.toml").write_text(
        spoiled(STUDIO, "focal_length_mm = 35", "focal_length_mm = 3500"), encoding="utf-8"
    )
    (folder / "shoot.toml").write_text(spoiled(SHOOT, 'lens = "35"', 'lens = "50"'), encoding="utf-8")
    assert [m.file for m in check(folder).mistakes] == ["studio.toml"]


def test_a_lone_studio_and_a_missing_frames_folder(folder: Path) -> None:
    (folder / "frames").rmdir()
    assert "no frames folder" in {r.code for r in check(folder).remarks}
    (folder / "shoot.toml").unlink()
    assert check(folder).files == ("studio.toml",)
    assert check(folder / "studio.toml").ok


def test_nothing_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(tmp_path)]) == 2
    assert "plateside new" in capsys.readouterr().err
    assert main(["check", str(tmp_path / "none.toml")]) == 2


def test_check_changes_nothing(folder: Path) -> None:
    before = {p: p.read_bytes() for p in folder.iterdir() if p.is_file()}
    check(folder)
    assert {p: p.read_bytes() for p in folder.iterdir() if p.is_file()} == before
