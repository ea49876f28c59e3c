"""Choosing over real files: frames made by code, her word kept in the journal."""

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plateside.cli.main import main
from plateside.files.journal.state import read_state
from plateside.model.errors import InputError
from plateside.tasks.choose import choose_frames
from plateside.tasks.shot import name_shot, undo_last
from tests.unit.tasks.finished_shoot import STUDIO

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


@pytest.fixture
def shoot(tmp_path: Path) -> Path:
    (tmp_path / "studio.toml").write_text(STUDIO, encoding="utf-8")
    (tmp_path / "shoot.toml").write_text(SHOOT, encoding="utf-8")
    frames = tmp_path / "frames"
    frames.mkdir()
    for name, seed, blur in (("a.jpg", 1, 6), ("b.jpg", 2, 0), ("c.jpg", 3, 4)):
        exif = Image.Exif()
        exif[0x8769] = {0x9003: f"2027:05:01 12:0{seed}:00"}
        picture(seed, blur).save(frames / name, quality=95, exif=exif)
    name_shot(tmp_path, "whole", ["a.jpg", "b.jpg", "c.jpg"])
    return tmp_path


def test_the_sharp_frame_is_hero_and_the_blurred_one_is_left(shoot: Path) -> None:
    whole, close = choose_frames(shoot).shots
    assert whole.hero is not None
    assert whole.hero.name == "b.jpg"
    assert "a.jpg" in whole.left
    assert close.hero is None
    assert close.remark == "No frame of this shot has landed."


def test_her_choice_wins_is_kept_and_can_be_taken_back(shoot: Path) -> None:
    choose_frames(shoot, heroes=[("whole", "a.jpg")])
    again = choose_frames(shoot)
    assert again.shots[0].hero is not None
    assert (again.shots[0].hero.name, again.shots[0].hero.by) == ("a.jpg", "you")
    undo_last(shoot)
    back = choose_frames(shoot)
    assert back.shots[0].hero is not None
    assert back.shots[0].hero.name == "b.jpg"


def test_a_wrong_name_says_the_near_ones_and_writes_nothing(shoot: Path) -> None:
    before = (shoot / "journal.jsonl").read_bytes()
    with pytest.raises(InputError, match="Did you mean whole"):
        name_shot(shoot, "whol", [])
    assert (shoot / "journal.jsonl").read_bytes() == before
    with pytest.raises(InputError, match=r"no frame bb\.jpg"):
        choose_frames(shoot, heroes=[("whole", "bb.jpg")])
    assert read_state(shoot).heroes == {}
    with pytest.raises(InputError, match="belongs to whole"):
        choose_frames(shoot, heroes=[("close", "a.jpg")])


def test_deleted_index_gives_the_same_answer(shoot: Path) -> None:
    first = choose_frames(shoot)
    for path in (shoot / ".plateside").iterdir():
        path.unlink()
    assert choose_frames(shoot) == first


def test_command_line(shoot: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["choose", str(shoot), "--keep", "c.jpg", "--json"]) == 0
    got = json.loads(capsys.readouterr().out)
    assert got["shots"][0]["hero"]["name"] == "c.jpg"
    assert main(["choose", str(shoot), "--hero", "whole"]) == 2
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
