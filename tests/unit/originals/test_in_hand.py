"""A file that ends or holds its decoder: told in words after that, and every other file goes on."""

import os
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest
from PIL import Image

from plateside.files.originals import in_hand as noted
from plateside.files.originals.in_hand import MOST_ENDS, in_hand
from plateside.files.originals.pixels import display_picture
from plateside.model.errors import InputError

OPENS = """
import os, sys
from pathlib import Path
from plateside.files.originals import in_hand
with in_hand.in_hand(Path(sys.argv[1])):
    {does}
"""


@pytest.fixture
def picture(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("PLATESIDE_STATE", str(tmp_path / "state"))
    Image.new("RGB", (64, 48)).save(tmp_path / "one.jpg")
    return tmp_path / "one.jpg"


def opened(path: Path, does: str, before: str = "") -> "subprocess.CompletedProcess[str]":
    code = textwrap.dedent(before) + OPENS.format(does=does)
    return subprocess.run(
        [sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=False
    )


def _anew() -> None:
    """As a process that begins."""
    if noted._notes is not None:
        noted._notes.end()
    noted._notes = None


def test_a_file_that_ends_its_process_again_and_again_is_refused_until_it_is_another(picture: Path) -> None:
    for _ in range(MOST_ENDS):
        _anew()
        assert display_picture.__name__  # not refused yet: it is only looked at
        assert opened(picture, "os._exit(9)").returncode == 9
    _anew()
    with pytest.raises(InputError) as refused:
        display_picture(picture)
    assert refused.value.code == "ends"
    assert picture.name in str(refused.value)
    os.utime(picture, ns=(1, 1))
    assert display_picture(picture).shape == (48, 64, 3)


def test_a_good_file_that_was_in_hand_at_a_kill_counts_anew_once_it_is_decoded(picture: Path) -> None:
    for _ in range(MOST_ENDS):
        opened(picture, "os._exit(9)")
        _anew()
        # as it goes with a good file: the next process decodes it
        assert display_picture(picture).shape == (48, 64, 3)
    _anew()
    assert display_picture(picture).shape == (48, 64, 3)


def test_a_file_that_holds_its_decoder_ends_that_process_and_is_refused_from_then_on(picture: Path) -> None:
    quick = "from plateside.files.originals import in_hand\nin_hand.MOST_CPU_S = 0.2"
    ended = opened(picture, "while True: pass", before=quick)
    assert ended.returncode == 1
    assert picture.name in ended.stderr
    assert "Traceback" not in ended.stderr
    _anew()
    with pytest.raises(InputError) as refused, in_hand(picture):
        pass
    assert refused.value.code == "ends"


def test_what_is_refused_in_words_leaves_no_note(picture: Path) -> None:
    _anew()
    with pytest.raises(InputError), in_hand(picture):
        raise InputError("damaged")
    _anew()
    with in_hand(picture), in_hand(picture):
        pass
    _anew()
    assert [p.name for p in (picture.parent / "state" / "in-hand").iterdir()] == []


def test_where_nothing_can_be_noted_files_are_decoded_all_the_same(
    picture: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (picture.parent / "file").write_text("")
    monkeypatch.setenv("PLATESIDE_STATE", str(picture.parent / "file"))
    assert display_picture(picture).shape == (48, 64, 3)
