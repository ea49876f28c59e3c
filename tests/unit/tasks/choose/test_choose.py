"""Choosing over real files: frames made by code, her word kept in the journal."""

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plateside.cli.main import main
from plateside.files.journal.state import read_state
from plateside.frames.choose import Remark
from plateside.model.errors import InputError
from plateside.tasks.choose.selects import choose_frames
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.shot import name_shot, undo_last
from tests.shoots.folder import STUDIO, shoot_folder
from tests.shoots.once import copied

SHOOT = """format = 1
date = "2027-05-01"
[recipe]
title = "Soup"
[creator]
name = "A. Cook"
[[shots]]
name = "whole"
angle = "overhead"
[[shots]]
name = "close"
[[channels]]
name = "square"
width_px = 400
height_px = 400
"""


def picture(seed: int, blur: int = 0) -> Image.Image:
    """A bowl with crumbs on a board, sharp or not."""
    rng = np.random.default_rng(1)
    yy, xx = np.mgrid[0:600, 0:900]
    r = np.hypot(yy - 300, xx - 450)
    base = np.full((600, 900, 3), 150.0)
    base[r < 220] = (235, 232, 226)
    base[r < 180] = (120, 160, 90)
    for _ in range(500):
        y, x = rng.integers(120, 480), rng.integers(270, 630)
        base[y : y + 5, x : x + 5] = rng.integers(30, 250, 3)
    noise = np.random.default_rng(seed).normal(0, 1.5, base.shape)
    if blur:
        k = 2 * blur + 1
        padded = np.pad(base, ((blur, blur), (blur, blur), (0, 0)), mode="edge")
        summed = np.cumsum(np.cumsum(padded, axis=0), axis=1)
        summed = np.pad(summed, ((1, 0), (1, 0), (0, 0)))
        base = (summed[k:, k:] - summed[:-k, k:] - summed[k:, :-k] + summed[:-k, :-k]) / k**2
    return Image.fromarray(np.clip(base + noise, 0, 255).astype(np.uint8))


def make_measured(root: Path) -> None:
    """Three frames of a shot, measured and not judged."""
    frames = shoot_folder(root, SHOOT, STUDIO) / "frames"
    for name, seed, blur in (("a.jpg", 1, 6), ("b.jpg", 2, 0), ("c.jpg", 3, 4)):
        exif = Image.Exif()
        exif[0x8769] = {0x9003: f"2027:05:01 12:0{seed}:00"}
        picture(seed, blur).save(frames / name, quality=95, exif=exif)
    name_shot(root, "whole", ["a.jpg", "b.jpg", "c.jpg"])
    judge_frames(root, record=False)


@pytest.fixture
def shoot(tmp_path: Path) -> Path:
    return copied(tmp_path / "shoot", make_measured)


def test_the_sharp_frame_is_hero_and_the_blurred_one_is_left(shoot: Path) -> None:
    whole, close = choose_frames(shoot).shots
    assert whole.select is not None
    assert whole.select.name == "b.jpg"
    assert "a.jpg" in whole.left
    assert close.select is None
    assert close.remark == Remark("no frame")


def test_her_choice_wins_is_kept_and_can_be_taken_back(shoot: Path) -> None:
    choose_frames(shoot, selects=[("whole", "a.jpg")])
    again = choose_frames(shoot)
    assert again.shots[0].select is not None
    assert (again.shots[0].select.name, again.shots[0].select.by) == ("a.jpg", "you")
    undo_last(shoot)
    back = choose_frames(shoot)
    assert back.shots[0].select is not None
    assert back.shots[0].select.name == "b.jpg"


def test_a_wrong_name_says_the_near_ones_and_writes_nothing(shoot: Path) -> None:
    before = (shoot / "journal.jsonl").read_bytes()
    with pytest.raises(InputError, match="Did you mean whole"):
        name_shot(shoot, "whol", [])
    assert (shoot / "journal.jsonl").read_bytes() == before
    with pytest.raises(InputError, match=r"no frame bb\.jpg"):
        choose_frames(shoot, selects=[("whole", "bb.jpg")])
    assert read_state(shoot).heroes == {}
    with pytest.raises(InputError, match="belongs to whole"):
        choose_frames(shoot, selects=[("close", "a.jpg")])


def test_only_asked_it_writes_nothing_down(shoot: Path) -> None:
    journal = shoot / "journal.jsonl"
    before = journal.read_bytes()
    asked = choose_frames(shoot, record=False)
    assert journal.read_bytes() == before
    assert asked.shots == choose_frames(shoot).shots
    assert journal.read_bytes() != before, "what is told is written down"


def test_deleted_index_gives_the_same_answer(shoot: Path) -> None:
    first = choose_frames(shoot)
    for path in (shoot / ".plateside").iterdir():
        path.unlink()
    assert choose_frames(shoot) == first


def test_command_line(shoot: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["choose", str(shoot), "--keep", "c.jpg", "--json"]) == 0
    got = json.loads(capsys.readouterr().out)
    assert got["shots"][0]["select"]["name"] == "c.jpg"
    assert main(["choose", str(shoot), "--select", "whole"]) == 2
    assert "SHOT=FRAME" in capsys.readouterr().err
    assert main(["shot", str(shoot), "close"]) == 0
    assert "now close" in capsys.readouterr().out


def test_without_frames_the_folder_looked_into_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "studio.toml").write_text(STUDIO, encoding="utf-8")
    (tmp_path / "shoot.toml").write_text(SHOOT, encoding="utf-8")
    (tmp_path / "frames").mkdir()
    for verb in ("choose", "judge"):
        assert main([verb, str(tmp_path)]) == 0
        told = capsys.readouterr().out.splitlines()
        assert told == [f"No frame has landed yet in {(tmp_path / 'frames').resolve()}."]


def test_a_burst_is_one_moment_its_best_is_named_and_the_spare_is_of_another(shoot: Path) -> None:
    for name, second, blur in (("d.jpg", 0, 3), ("e.jpg", 1, 0), ("f.jpg", 2, 5)):
        exif = Image.Exif()
        exif[0x8769] = {0x9003: f"2027:05:01 12:30:0{second}"}
        picture(7 + second, blur).save(shoot / "frames" / name, quality=95, exif=exif)
    name_shot(shoot, "whole", ["d.jpg", "e.jpg", "f.jpg"])
    report = judge_frames(shoot)
    (burst,) = report.bursts
    assert (burst.names, burst.best_name) == (("d.jpg", "e.jpg", "f.jpg"), "e.jpg")
    (line,) = [line for line in report.lines() if line.startswith("Burst")]
    assert line.startswith("Burst of 3, d.jpg to f.jpg: best is e.jpg,")
    whole = choose_frames(shoot).shots[0]
    assert whole.select is not None and whole.alternate is not None
    # a frame of the burst and the sharp single frame stand beside each other, never two of one moment
    assert {whole.select.name, whole.alternate.name} == {"b.jpg", "e.jpg"}
    of_burst = whole.select if whole.select.name == "e.jpg" else whole.alternate
    assert any((reason.code, reason.count) == ("burst", 3) for reason in of_burst.reasons)


def test_against_a_reference_the_fault_is_told_against_it(shoot: Path) -> None:
    """A darker set-up that she accepted is the aim: the frame as dark as it has no fault."""
    for name, minute, stops in (("dark.jpg", 40, -2.0), ("as-dark.jpg", 42, -2.0), ("lighter.jpg", 44, -1.5)):
        exif = Image.Exif()
        exif[0x8769] = {0x9003: f"2027:05:01 12:{minute}:00"}
        encoded = np.asarray(picture(minute), float) / 255
        linear = (
            np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4) * 2.0**stops
        )
        shown = np.where(linear <= 0.0031308, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055)
        made = Image.fromarray(np.clip(np.round(shown * 255), 0, 255).astype(np.uint8))
        made.save(shoot / "frames" / name, quality=97, exif=exif)
    name_shot(shoot, "close", ["dark.jpg", "as-dark.jpg", "lighter.jpg"])
    close = choose_frames(
        shoot, test_frames=[("close", "dark.jpg")], keep=["as-dark.jpg", "lighter.jpg"]
    ).shots[1]
    assert close.select is not None and close.alternate is not None
    assert (close.select.name, close.alternate.name) == ("as-dark.jpg", "lighter.jpg")
    light = {"as-dark.jpg": 0.0, "lighter.jpg": 0.5}
    for pick in (close.select, close.alternate):
        (exposure,) = [r for r in pick.reasons if r.code == "exposure"]
        assert exposure.by_test_frame and exposure.value == pytest.approx(light[pick.name], abs=0.05)
