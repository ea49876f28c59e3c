"""The picture that follows your hand is never an earlier one: its address is another whenever it would be."""

import os
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.settings.load import open_shoot
from plateside.finish.hand import UNTOUCHED
from plateside.model.errors import InputError
from plateside.tasks.finish.hand_preview import hand_preview
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.shown import finishing
from plateside.tasks.set.press import take_back
from tests.shoots.re_lit import finished_shoot


@pytest.fixture
def finished(tmp_path: Path) -> Path:
    return finished_shoot(tmp_path / "my shoot", share=1 / 2)


def last(root: Path) -> int:
    return Journal.open(root).rows()[-1].number


def version(root: Path, shot: str = "near") -> str:
    return str(next(s for s in finishing(root)["shots"] if s["name"] == shot)["preview_version"])


def frame(root: Path, shot: str = "near") -> Path:
    state = read_state(root)
    return open_shoot(root).folder.frames_dir / state.landed[state.heroes[shot]]


def replaced(path: Path) -> None:
    """Another picture under its name, of the same size in pixels."""
    with Image.open(path) as image:
        other = image.rotate(180)
    # a hard link or a copy of a shared shoot stays as it is
    path.unlink()
    other.save(path, quality=95)


def test_a_frame_replaced_on_the_disk_is_not_shown_as_it_was(finished: Path) -> None:
    before, seen = version(finished), hand_preview(finished, "near", UNTOUCHED)
    assert seen.version == before
    replaced(frame(finished))
    assert version(finished) != before
    with pytest.raises(InputError):
        hand_preview(finished, "near", UNTOUCHED)


def test_it_is_another_when_the_series_is_made_of_another_frame(finished: Path) -> None:
    before = version(finished)
    seen = hand_preview(finished, "near", UNTOUCHED)
    other = next(f for f in read_state(finished).landed if f != read_state(finished).heroes["near"])
    Journal.open(finished).append_many([("select", {"shot": "near", "frame": other})])
    finish(finished)
    now = hand_preview(finished, "near", UNTOUCHED)
    assert now.version == version(finished) != before
    assert now.jpeg != seen.jpeg


def test_what_moves_it_makes_it_another_and_undo_makes_it_the_same_again(finished: Path) -> None:
    before, others = version(finished), version(finished, "cup")
    # clockwise from the upper left, as shares of the frame
    corners = [0.1, 0.1, 0.9, 0.12, 0.88, 0.9, 0.12, 0.88]
    presses: list[tuple[str, dict[str, Any]]] = [
        ("square", {"shot": "near", "corners": corners, "shape": 1.5}),
        ("lens", {"use": "off"}),
    ]
    for kind, data in presses:
        row = Journal.open(finished).append(kind, **data).number
        assert version(finished) != before
        assert hand_preview(finished, "near", UNTOUCHED).version == version(finished)
        take_back(finished, row)
        assert version(finished) == before
    assert version(finished, "cup") == others


def test_the_studio_tells_how_far_the_lens_was_and_makes_it_another(finished: Path) -> None:
    before, studio = version(finished), open_shoot(finished).folder.studio_file
    stat = studio.stat()
    os.utime(studio, ns=(stat.st_atime_ns, stat.st_mtime_ns + 1))
    assert version(finished) != before
