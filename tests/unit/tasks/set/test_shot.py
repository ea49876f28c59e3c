"""Where the shoot stands: what lies in the frames folder is told before anything is judged."""

import shutil
from pathlib import Path

from PIL import Image

from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.shot import name_shot
from tests.shoots.folder import shoot_folder
from tests.shoots.re_lit import SHOOT, frame


def shoot_with_frames(root: Path, count: int) -> Path:
    shoot_folder(root, SHOOT)
    for number in range(count):
        picture = Image.fromarray(frame((1.0, 1.0, 1.0), seed=number))
        picture.save(root / "frames" / f"{number}.jpg", quality=90)
    return root


def not_judged(root: Path) -> list[str]:
    return [line for line in name_shot(root, "", []).lines() if "not judged yet" in line]


def test_frames_in_the_folder_are_counted_before_the_first_judge_and_not_after(tmp_path: Path) -> None:
    root = shoot_with_frames(tmp_path / "s", 3)
    frames = root / "frames"
    # what no verdict will ever be given: a copy, a file that is no picture
    shutil.copy(frames / "0.jpg", frames / "0 copy.jpg")
    (frames / "torn.jpg").write_bytes(b"nothing")
    assert not_judged(root) == [f"3 frames in {frames.resolve()} not judged yet: plateside judge {root}"]
    judge_frames(root)
    assert not_judged(root) == []
    (frames / "1.jpg").rename(frames / "renamed.jpg")
    assert not_judged(root) == []
    Image.fromarray(frame((0.5, 0.5, 0.5), seed=9)).save(frames / "new.jpg")
    assert not_judged(root) == [f"1 frame in {frames.resolve()} not judged yet: plateside judge {root}"]


def test_an_empty_and_a_missing_folder_hold_no_frames(tmp_path: Path) -> None:
    root = shoot_with_frames(tmp_path / "s", 0)
    assert not_judged(root) == []
    (root / "frames").rmdir()
    assert not_judged(root) == []
