"""A delivery's list whose values are of other kinds counts as none that can be read; the same of the finished list."""

import json
from pathlib import Path
from typing import Any

import pytest

from plateside.tasks.deliver.open_points import MANIFEST, delivered
from plateside.tasks.finish.finished_list import rendering_of

PICTURE: dict[str, Any] = {
    "file": "page/cup.jpg", "sha256": "0" * 64, "shot": "cup", "channel": "page", "kind": "jpeg",
    "width_px": 1200, "height_px": 800, "done": ["Nothing."],
}  # fmt: skip


def written(folder: Path, picture: dict[str, Any], points: list[Any]) -> Path:
    text = json.dumps({"pictures": [picture], "documents": [], "open_in_these_files": points})
    (folder / MANIFEST).write_text(text, encoding="utf-8")
    return folder


def test_a_sound_list_is_read(tmp_path: Path) -> None:
    there = delivered(written(tmp_path, PICTURE, []))
    assert there is not None and len(there.pictures) == 1


@pytest.mark.parametrize(
    "wrong",
    [
        {"height_px": [None]},
        {"width_px": "wide"},
        {"done": -1e308},
        {"done": [3]},
        {"shot": 3},
        {"kind": None},
    ],
)
def test_values_of_another_kind_are_no_list(tmp_path: Path, wrong: dict[str, Any]) -> None:
    assert delivered(written(tmp_path, {**PICTURE, **wrong}, [])) is None


def test_a_point_that_cannot_be_said_is_none(tmp_path: Path) -> None:
    from plateside.deliver.points import CODES

    # every kind of point, without the figures that its sentence names
    for code in CODES:
        read = delivered(written(tmp_path, PICTURE, [{"code": code}]))
        assert read is None or len(read.of_files) == 1


@pytest.mark.parametrize(
    "wrong", [{"white_balance": [[]]}, {"gains": [1, 1]}, {"white_balance": [1, 2, 3, 4]}]
)
def test_a_rendering_of_another_shape_is_refused(wrong: dict[str, Any]) -> None:
    sound = {"gains": [1.0, 1.0, 1.0], "white_balance": [2.0, 1.0, 1.5], "contrast": 1.2, "white": 1.0}
    assert rendering_of({"rendering": sound}) is not None
    with pytest.raises((ValueError, TypeError)):
        rendering_of({"rendering": {**sound, **wrong}})
