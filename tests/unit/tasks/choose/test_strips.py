"""Small pictures by the strip: each in its place, whole, and under a name that tells what is in it."""

import io
import os
import time
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plateside.demo.data import copy_demo
from plateside.files.journal.journal import Journal
from plateside.files.thumbnails import strip_groups, strip_key, strip_path, strips_there, thumbnail_path
from plateside.model.errors import InputError
from plateside.tasks.choose.strips import GROUND, make_strips

FRAMES = 40


def colour(n: int) -> tuple[int, int, int]:
    return 30 + 20 * (n % 8), 40 + 40 * (n // 8), 120


def names(many: int) -> list[str]:
    return [f"{n:032x}" for n in range(many)]


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """Forty frames that have landed, each with a small picture of one colour; every fourth is upright."""
    copy_demo(tmp_path)
    for n, frame in enumerate(names(FRAMES)):
        path = thumbnail_path(tmp_path, frame, "thumb")
        path.parent.mkdir(parents=True, exist_ok=True)
        Image.new("RGB", (213, 320) if n % 4 == 3 else (320, 213), colour(n)).save(path, quality=95)
    Journal.open(tmp_path).append_many(
        ("frame landed", {"frame": f, "name": f"{f}.jpg"}) for f in names(FRAMES)
    )
    return tmp_path


def test_each_stands_in_its_place(root: Path) -> None:
    assert make_strips(root) == 1
    (key,) = strips_there(root)
    # read by a decoder that had no part in making it
    image = Image.open(io.BytesIO(strip_path(root, key).read_bytes()))
    assert image.size == (8 * 192, 4 * 128)
    assert "progressive" not in image.info
    pixels = np.asarray(image.convert("RGB"), int)
    for n in range(32):
        x, y = n % 8 * 192, n // 8 * 128
        assert np.abs(pixels[y + 64, x + 96] - colour(n)).max() <= 6, n
        edge = pixels[y + 64, x + 8]
        # an upright one leaves the sides as they are on the page: 213/320 of 128 is 85 wide
        assert np.abs(edge - (GROUND if n % 4 == 3 else colour(n))).max() <= 6, n


def test_made_once_and_again_only_for_what_changed(root: Path) -> None:
    assert make_strips(root) == 1
    assert make_strips(root) == 0
    first = strips_there(root)
    # four more fill the second strip's twelve
    for n in range(FRAMES, FRAMES + 4):
        Image.new("RGB", (320, 213), colour(n % 8)).save(thumbnail_path(root, f"{n:032x}", "thumb"))
        Journal.open(root).append("frame landed", frame=f"{n:032x}", name=f"{n}.jpg")
    assert make_strips(root) == 1
    assert strips_there(root) > first


def test_what_no_longer_belongs_goes_after_a_day(root: Path) -> None:
    make_strips(root)
    (old,) = strips_there(root)
    thumbnail_path(root, names(1)[0], "thumb").unlink()
    make_strips(root)
    assert old in strips_there(root)
    yesterday = time.time() - 90_000
    os.utime(strip_path(root, old), (yesterday, yesterday))
    make_strips(root)
    assert old not in strips_there(root)
    assert len(strips_there(root)) == 1


def test_a_damaged_small_picture_leaves_its_place_empty(root: Path) -> None:
    thumbnail_path(root, names(3)[2], "thumb").write_bytes(b"no picture")
    assert make_strips(root) == 1
    (key,) = strips_there(root)
    pixels = np.asarray(Image.open(strip_path(root, key)).convert("RGB"), int)
    assert np.abs(pixels[64, 2 * 192 + 96] - GROUND).max() <= 3
    assert np.abs(pixels[64, 192 + 96] - colour(1)).max() <= 6


def test_a_name_tells_what_is_in_it_and_in_which_order() -> None:
    some = names(32)
    assert strip_key(some) == strip_key(list(some))
    assert strip_key(some) != strip_key([*some[1:], some[0]])
    assert strip_key(some) != strip_key([*some[:-1], ""])
    assert strip_key(names(11)) == ""
    assert strip_key([*names(11), *[""] * 21]) == ""


def test_groups_follow_the_order_of_landing() -> None:
    landed = names(70)
    groups = strip_groups(landed, set(landed) - {landed[33]})
    assert [len(g) for g in groups] == [32, 32, 6]
    assert groups[1][:3] == [landed[32], "", landed[34]]
    # a frame more changes no strip that was full
    assert strip_groups([*landed, "f" * 32], set(landed))[:2] == strip_groups(landed, set(landed))[:2]


@pytest.mark.parametrize("key", ["", "a" * 31, "A" * 32, "../" + "a" * 29, "a" * 32 + "/"])
def test_only_names_of_strips_are_paths(key: str, tmp_path: Path) -> None:
    with pytest.raises(InputError):
        strip_path(tmp_path, key)
