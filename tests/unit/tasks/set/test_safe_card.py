"""Pictures off a memory card: whole, once each, and when it may be cleared."""

import os
from pathlib import Path

import pytest
from PIL import Image

from plateside.files.second import second_disk
from plateside.tasks.set.folders import name_folders
from tests.unit.tasks.set.copied import OLD_S, Copying, make_disk, make_root, picture, sums


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return make_root(tmp_path)


@pytest.fixture
def disk(root: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder that counts as one of another disk, named in the shoot."""
    return make_disk(root, monkeypatch)


@pytest.fixture
def card(root: Path, tmp_path: Path) -> Path:
    card = tmp_path / "CARD"
    picture(card / "DCIM" / "100CANON" / "0.jpg", 20)
    picture(card / "DCIM" / "101CANON" / "0.jpg", 21)
    same = card / "DCIM" / "101CANON" / "same.jpg"
    same.write_bytes((root / "frames" / "1.jpg").read_bytes())
    os.utime(same, (OLD_S, OLD_S))
    name_folders(root, {"memory_card": str(card)})
    return card


def test_a_cards_pictures_come_in_once_and_it_may_be_cleared(root: Path, disk: Path, card: Path) -> None:
    before, on_card = sums(root / "frames"), sums(card / "DCIM" / "101CANON")
    now = Copying(root).on()
    assert now.card is not None
    assert (now.card.pictures, now.card.landed, now.card.on_two) == (3, 3, 3)
    assert now.card.may_be_cleared
    after = sums(root / "frames")
    assert len(after) == 4
    assert {name: after[name] for name in before} == before
    assert set(after.values()) == set(before.values()) | set(on_card.values()) | set(
        sums(card / "DCIM" / "100CANON").values()
    )
    assert sums(card / "DCIM" / "101CANON") == on_card
    Copying(root).on()
    card.rename(card.with_name("out"))
    copying = Copying(root)
    now = copying.on()
    assert now.card is not None
    assert (now.card.state, now.card.may_be_cleared) == ("away", False)
    card.with_name("out").rename(card)
    copying.on()
    assert sums(root / "frames") == after, "each once, however often it is put in"


def test_it_may_not_be_cleared_while_anything_on_it_is_not_safe(root: Path, disk: Path, card: Path) -> None:
    whole = (root / "frames" / "1.jpg").read_bytes()
    torn = card / "DCIM" / "100CANON" / "torn.jpg"
    torn.write_bytes(whole[: len(whole) // 2])
    film = card / "DCIM" / "100CANON" / "MVI_1.MOV"
    film.write_bytes(b"\0\0\0\x14ftypqt  " + b"\0" * 40)
    fake = card / "DCIM" / "100CANON" / "fake.jpg"
    fake.write_bytes(b"no picture at all, only its name")
    for path in (torn, film, fake):
        os.utime(path, (OLD_S, OLD_S))
    copying = Copying(root)
    now = copying.on()
    assert now.card is not None
    assert not now.card.may_be_cleared
    left = {Path(o.name).name: o.code for o in now.card.left}
    assert left == {"torn.jpg": "incomplete", "MVI_1.MOV": "not a picture", "fake.jpg": "not a picture"}
    assert not {"torn.jpg", "fake.jpg", "MVI_1.MOV"} & set(sums(root / "frames"))
    for path in (torn, film, fake):
        path.unlink()
    now = copying.on()
    assert now.card is not None
    assert now.card.may_be_cleared


def test_without_a_second_disk_a_card_may_not_be_cleared(root: Path, card: Path) -> None:
    now = Copying(root).on()
    assert now.card is not None
    assert (now.card.landed, now.card.on_two, now.card.may_be_cleared) == (3, 0, False)


def test_what_you_took_out_of_the_frames_folder_does_not_come_back(
    root: Path, disk: Path, card: Path
) -> None:
    copying = Copying(root)
    copying.on()
    (new,) = [n for n, s in sums(root / "frames").items() if s == sums(card / "DCIM" / "100CANON")["0.jpg"]]
    (root / "frames" / new).unlink()
    now = Copying(root).on()
    assert now.card is not None
    assert [(o.name, o.code) for o in now.card.left] == [("DCIM/100CANON/0.jpg", "in before")]
    assert not now.card.may_be_cleared
    assert new not in sums(root / "frames")


def test_a_card_pulled_in_the_middle_leaves_no_half(
    root: Path, disk: Path, card: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = sums(root / "frames")
    copying = Copying(root)
    staged = root / ".plateside" / "from-card" / "one"

    def pull() -> None:
        if staged.is_dir() and card.is_dir():  # a picture of it is being read
            card.rename(card.with_name("out"))

    monkeypatch.setattr(copying.run, "_go_on", pull)
    now = copying.on(3)
    assert now.card is not None
    assert now.card.state == "away"
    monkeypatch.undo()
    monkeypatch.setattr(second_disk, "apart", lambda one, other: "apart")
    assert set(sums(root / "frames").values()) >= set(before.values())
    for path in (root / "frames").iterdir():
        Image.open(path).load()
    card.with_name("out").rename(card)
    now = copying.on()
    assert now.card is not None
    assert now.card.may_be_cleared


def test_half_a_picture_of_a_card_goes_also_when_no_card_is_named_any_more(root: Path) -> None:
    half = root / ".plateside" / "from-card" / "one" / "0.jpg"
    half.parent.mkdir(parents=True)
    half.write_bytes(b"half")
    Copying(root).run.look()
    assert not half.parents[1].exists()
