"""`new` writes starters that are right at once, from flags or from answers."""

import builtins
import io
import json
import sys
from pathlib import Path

import pytest

from plateside.cli.main import main
from plateside.files.settings.load import load_studio, open_shoot
from plateside.model.errors import InputError
from plateside.tasks.studio.check import check
from plateside.tasks.studio.new import choose_city, facing, pixels, room, sensor, sizes

FLAGS = [
    "--city",
    "Lisbon",
    "--facing",
    "NNE",
    "--window",
    "1.2x1.2",
    "--sill",
    "0.78",
    "--from-window",
    "0.6",
]


@pytest.fixture(autouse=True)
def no_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO())


def test_flags_alone_make_files_that_pass(tmp_path: Path) -> None:
    target = tmp_path / "my shoot"
    assert (
        main(
            ["new", str(target), *FLAGS, "--room", "4.2x3.1x2.5", "--dish", 'Soup "cold"', "--creator", "Zoë"]
        )
        == 0
    )
    opened = open_shoot(target)
    assert opened.studio.place.timezone == "Europe/Lisbon"
    assert opened.studio.place.country == "PT"
    assert opened.studio.windows[0].bearing_deg == 22.5
    assert opened.studio.windows[0].sill_m == 0.78
    assert opened.studio.spots[0].from_front_m == 0.6
    assert opened.studio.room.depth_m == 3.1
    assert opened.shoot.recipe.title == 'Soup "cold"'
    assert opened.shoot.creator.name == "Zoë"
    assert opened.folder.frames_dir.is_dir()
    assert check(target).ok


@pytest.mark.parametrize(
    "flags",
    [
        ["--city", "Melbourne", "--facing", "180"],
        [
            "--city",
            "Edinburgh",
            "--facing",
            "70",
            "--room",
            "3x3.2x2.9",
            "--window",
            "1x1.4",
            "--from-window",
            "0.3",
        ],
        ["--at", "69.65,18.96", "--timezone", "Europe/Oslo", "--facing", "south", "--sensor", "full-frame"],
        [
            "--city",
            "Lisbon",
            "--facing",
            "0",
            "--sensor",
            "four-thirds",
            "--pixels",
            "5184x3888",
            "--focal",
            "25",
        ],
        ["--city", "Lisbon", "--facing", "359.5", "--window", "120x140cm", "--room", "420 x 310 x 250 cm"],
    ],
)
def test_many_rooms_pass(tmp_path: Path, flags: list[str]) -> None:
    assert main(["new", str(tmp_path / "a"), *flags]) == 0
    assert check(tmp_path / "a").ok


def test_the_commented_lines_of_the_starter_are_right_too(tmp_path: Path) -> None:
    # take away every "# " before a key or a table: the file must still be right
    main(["new", str(tmp_path), *FLAGS])
    path = tmp_path / "studio.toml"
    lines = path.read_text(encoding="utf-8").split("\n")
    opened = [
        line[2:] if line.startswith("# ") and ("= " in line or line.startswith("# [[")) else line
        for line in lines
    ]
    assert len([a for a, b in zip(lines, opened, strict=True) if a != b]) > 15
    path.write_text("\n".join(opened), encoding="utf-8")
    studio = load_studio(path)
    assert studio.windows[0].opposite
    assert studio.readings
    assert [s.kind for s in studio.supports] == ["tripod", "arm"]


def test_nothing_is_overwritten_without_force(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", str(tmp_path), *FLAGS]) == 0
    mine = "# mine\n" + (tmp_path / "studio.toml").read_text(encoding="utf-8")
    (tmp_path / "studio.toml").write_text(mine, encoding="utf-8")
    assert main(["new", str(tmp_path), *FLAGS]) == 2
    assert "--force" in capsys.readouterr().err
    assert (tmp_path / "studio.toml").read_text(encoding="utf-8") == mine
    assert main(["new", str(tmp_path), *FLAGS, "--force"]) == 0
    assert (tmp_path / "studio.toml").read_text(encoding="utf-8") != mine


def test_a_second_shoot_in_the_same_studio(tmp_path: Path) -> None:
    main(["new", str(tmp_path / "one"), *FLAGS])
    assert (
        main(
            [
                "new",
                str(tmp_path / "two"),
                "--studio",
                str(tmp_path / "one" / "studio.toml"),
                "--dish",
                "Tart",
            ]
        )
        == 0
    )
    assert not (tmp_path / "two" / "studio.toml").exists()
    assert open_shoot(tmp_path / "two").studio.place.name == "Lisbon"


@pytest.mark.parametrize(
    ("flags", "words"),
    [
        ([], "--city is missing"),
        (["--city", "Lisbon"], "--facing is missing"),
        (["--city", "Lisbn", "--facing", "N"], "Lisbon, Portugal"),
        (["--city", "Richmond", "--facing", "N"], 'Richmond, Virginia"'),
        (["--city", "Lisbon", "--country", "Atlantis", "--facing", "N"], 'No country is called "Atlantis"'),
        (["--city", "Lisbon", "--facing", "up"], "compass word"),
        (["--city", "Lisbon", "--facing", "N", "--window", "1.2"], "2 lengths in metres"),
        (["--city", "Lisbon", "--facing", "N", "--window", "5x1"], "wall is only 4 m long"),
        (["--city", "Lisbon", "--facing", "N", "--sensor", "huge"], "aps-c"),
        (["--city", "Lisbon", "--facing", "N", "--focal", "wide"], "The focal length"),
        (["--at", "38.7", "--facing", "N"], "--timezone"),
        (["--city", "Lisbon", "--facing", "N", "--date", "soon"], "year-month-day"),
    ],
)
def test_slips_in_flags_write_nothing(
    tmp_path: Path, flags: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", str(tmp_path / "a"), *flags]) == 2
    assert words in capsys.readouterr().err
    assert not (tmp_path / "a").exists()


def test_questions_at_a_terminal_are_asked_again_until_answered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    answers = iter(["Richmond", "Richmond, Virginia", "", "up", "SW", "1.1x1.3", "", "70cm", *[""] * 9])
    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr(builtins, "input", lambda _question: next(answers))
    assert main(["new", str(tmp_path)]) == 0
    studio = load_studio(tmp_path)
    assert studio.place.timezone == "America/New_York"
    assert studio.windows[0].bearing_deg == 225
    assert (studio.windows[0].width_m, studio.windows[0].height_m) == (1.1, 1.3)
    assert studio.spots[0].from_front_m == 0.7
    told = capsys.readouterr()
    assert "British Columbia" in told.err
    assert "magnetic" in told.out


def test_no_question_is_asked_when_the_answer_could_not_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "shoot.toml").write_text("mine", encoding="utf-8")

    def never(_question: str) -> str:
        raise AssertionError("asked")

    monkeypatch.setattr(sys, "stdin", io.StringIO())
    monkeypatch.setattr(builtins, "input", never)
    assert main(["new", str(tmp_path)]) == 2


def test_leaving_at_a_question_writes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    def away(_question: str) -> str:
        raise EOFError

    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr(builtins, "input", away)
    assert main(["new", str(tmp_path / "a")]) == 130
    assert not (tmp_path / "a").exists()


def test_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", str(tmp_path), *FLAGS, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["timezone"] == "Europe/Lisbon"
    assert {Path(p).name for p in found["written"]} == {"studio.toml", "shoot.toml", "frames"}


def test_a_large_namesake_is_taken_and_told() -> None:
    city, notes = choose_city("Melbourne")
    assert city.country_code == "AU"
    assert "Florida" in notes[0]


def test_a_folder_that_may_not_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    assert main(["new", str(tmp_path / "file"), *FLAGS]) == 1
    assert "could not be" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("4.2x3.1x2.5", (4.2, 3.1, 2.5)),
        ("4,2 x 3,1 x 2,5 m", (4.2, 3.1, 2.5)),
        ("420×310×250", (4.2, 3.1, 2.5)),
        ("4200x3100x2500 mm", (4.2, 3.1, 2.5)),
    ],
)
def test_sizes(text: str, found: tuple[float, ...]) -> None:
    assert room(text)[0] == pytest.approx(found)


def test_what_was_read_in_another_way_than_written_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    flags = ["--city", "Lisbon", "--facing", "N", "--sill", "90", "--room", "4x3"]
    assert main(["new", str(tmp_path), *flags]) == 0
    told = capsys.readouterr().out.splitlines()
    assert any("centimetres, 0.9 m" in line for line in told)
    assert any("2.5 m" in line for line in told)
    studio = load_studio(tmp_path / "studio.toml")
    assert (studio.room.width_m, studio.room.depth_m, studio.room.height_m) == (4, 3, 2.5)
    assert room("4 x 3 m")[0] == (4, 3, 2.5)
    assert sizes("0.9", 1, "The sill") == ((0.9,), ())
    assert sizes("90 cm", 1, "The sill") == ((0.9,), ())


def test_a_wrong_date_is_one_sentence_about_the_date(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", str(tmp_path / "a"), "--city", "Lisbon", "--facing", "N", "--date", "15.7.2027"]) == 2
    (line,) = capsys.readouterr().err.strip().splitlines()
    assert line.startswith('--date is "15.7.2027"')


def test_other_answers() -> None:
    assert sensor("APS C") == (23.5, 15.6)
    assert sensor("36 x 24 mm") == (36, 24)
    assert pixels("4000x6000") == (6000, 4000)
    assert facing("-10")[0] == 350
    with pytest.raises(InputError):
        pixels("24 megapixels")
