"""Photographs from a browser: whole or not at all, under a free and safe name, nothing there ever touched.

Names that Windows refuses: Microsoft, "Naming Files, Paths, and Namespaces", from memory.
"""

import os
import time
from pathlib import Path

import pytest

from plateside.files.landing import arrived, arriving
from plateside.model.errors import CouldNotError, InputError
from tests.unit.files.jpegs import jpeg


def add(root: Path, name: str, data: bytes, sender: str = "desk", step: int = 1000) -> arrived.Arrived:
    one = arriving.begin(root, root / "frames", sender, name, len(data), 1)
    have = one.have
    while have < len(data):
        have = arriving.append(one.path, have, data[have : have + step])
    return arrived.arrive(one.path, root / "frames", len(data))


def test_a_photograph_comes_whole_and_its_place_is_cleared(tmp_path: Path) -> None:
    data = jpeg()
    came = add(tmp_path, "IMG_1.JPG", data)
    assert (came.name, came.already) == ("IMG_1.JPG", False)
    assert (tmp_path / "frames/IMG_1.JPG").read_bytes() == data
    assert list((tmp_path / ".plateside/arriving").iterdir()) == []


def test_it_goes_on_where_it_stopped_and_takes_no_part_twice(tmp_path: Path) -> None:
    data, frames = jpeg(), tmp_path / "frames"
    one = arriving.begin(tmp_path, frames, "device 1", "a.jpg", len(data), 7)
    assert arriving.append(one.path, 0, data[:3000]) == 3000
    again = arriving.begin(tmp_path, frames, "device 1", "a.jpg", len(data), 7)
    assert (again.key, again.have) == (one.key, 3000)
    assert arriving.append(again.path, 0, data[:3000]) == 3000  # sent once more: nothing changes
    assert arriving.append(again.path, 5000, data[5000:]) == 3000  # a gap is not taken
    arriving.append(again.path, 3000, data[3000:])
    arrived.arrive(again.path, frames, len(data))
    assert (frames / "a.jpg").read_bytes() == data


def test_two_senders_of_one_name_do_not_mix(tmp_path: Path) -> None:
    frames = tmp_path / "frames"
    first = arriving.begin(tmp_path, frames, "device 1", "IMG_1.jpg", 5, 7)
    other = arriving.begin(tmp_path, frames, "device 2", "IMG_1.jpg", 5, 7)
    assert first.key != other.key


def test_nothing_is_overwritten_and_the_same_is_not_kept_twice(tmp_path: Path) -> None:
    first, second = jpeg(1), jpeg(2)
    add(tmp_path, "IMG_1.jpg", first)
    came = add(tmp_path, "IMG_1.jpg", second, "device 2")
    assert came.name == "IMG_1-2.jpg"
    assert add(tmp_path, "IMG_1.jpg", first, "device 3").already
    assert add(tmp_path, "IMG_1.jpg", second, "device 3") == arrived.Arrived("IMG_1-2.jpg", "IMG_1.jpg", True)
    assert (tmp_path / "frames/IMG_1.jpg").read_bytes() == first
    assert sorted(p.name for p in (tmp_path / "frames").iterdir()) == ["IMG_1-2.jpg", "IMG_1.jpg"]


def test_another_cameras_frame_of_one_name_is_not_taken_for_its_companion(tmp_path: Path) -> None:
    # DNG is TIFF; what counts is that names without endings pair: a telephone's JPEG is not this raw's own
    add(tmp_path, "IMG_1.jpeg", jpeg(1, "Camera"))
    assert add(tmp_path, "IMG_1.jpg", jpeg(2, "Telephone")).name == "IMG_1-2.jpg"
    assert add(tmp_path, "IMG_1.jpe", jpeg(3, "Camera", "2027:05:01 10:00:01")).name == "IMG_1.jpe"
    assert add(tmp_path, "IMG_1.jfif", jpeg(4, "Camera", "2027:05:01 10:09:00")).name == "IMG_1-3.jfif"


@pytest.mark.parametrize(
    ("asked", "kept"),
    [
        ("../../etc/pass.jpg", "pass.jpg"), ("..\\..\\pass.jpg", "pass.jpg"), (".hidden.jpg", "hidden.jpg"),
        ("con.jpg", "con_.jpg"), ("a:b?.jpg", "a_b_.jpg"), ("/abs/x.jpg", "x.jpg"), ("r\n.jpg", "r_.jpg"),
    ],
)  # fmt: skip
def test_names_are_made_safe(tmp_path: Path, asked: str, kept: str) -> None:
    assert add(tmp_path, asked, jpeg()).name == kept
    assert [p.name for p in (tmp_path / "frames").iterdir()] == [kept]


def test_the_longest_names_fit(tmp_path: Path) -> None:
    name = add(tmp_path, "\u00e9" * 300 + ".jpg", jpeg()).name
    assert name.endswith(".jpg") and len(name.encode()) <= 255
    assert add(tmp_path, "\u00e9" * 300 + ".jpg", jpeg(5)).name.endswith("-2.jpg")


@pytest.mark.parametrize("name", ["", "..", "/", "...", "notes.txt", "page.html", "x.svg", "x.jpg.exe"])
def test_what_is_no_photograph_by_its_name_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError):
        arriving.begin(tmp_path, tmp_path / "frames", "desk", name, 10, 1)
    assert not (tmp_path / ".plateside").exists()


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("page.jpg", b"<html><script>alert(1)</script></html>" * 40), ("x.dng", b"MZ" + bytes(range(256)) * 20),
        ("x.cr3", b"\0\0\0\x18ftypqt  " + b"\0" * 4000), ("x.heic", b"GIF89a" + b"\0" * 4000),
        ("torn.jpg", jpeg()[:2000]), ("x.nef", b"II*\0\x08\0\0\0\0\0" + b"\x07" * 4000),
    ],
)  # fmt: skip
def test_what_is_no_photograph_by_its_content_never_gets_in(tmp_path: Path, name: str, data: bytes) -> None:
    with pytest.raises(InputError):
        add(tmp_path, name, data)
    assert not list((tmp_path / "frames").glob("*"))
    assert list((tmp_path / ".plateside/arriving").iterdir()) == []


def test_too_large_and_too_full_are_said_before_a_byte_comes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(InputError):
        arriving.begin(tmp_path, tmp_path / "frames", "desk", "a.jpg", arriving.LARGEST_BYTES + 1, 1)
    monkeypatch.setattr(arriving, "SPARE_BYTES", 10**18)
    with pytest.raises(CouldNotError):
        arriving.begin(tmp_path, tmp_path / "frames", "desk", "a.jpg", 10, 1)


def test_more_than_was_said_is_not_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(arriving, "LARGEST_BYTES", 5000)
    one = arriving.begin(tmp_path, tmp_path / "frames", "desk", "a.jpg", 4000, 1)
    with pytest.raises(InputError):
        arriving.append(one.path, 0, b"x" * 6000)


def _begin(root: Path, sender: str, number: int) -> arriving.Arriving:
    return arriving.begin(root, root / "frames", sender, f"{number}.jpg", 10, 1)


def _aged(root: Path, by_s: float) -> None:
    at = time.time() - by_s
    for path in (root / ".plateside/arriving").glob("*/*"):
        os.utime(path, (at, at))


def test_one_sender_holds_no_more_than_its_own_places(tmp_path: Path) -> None:
    for number in range(arriving.MOST_OF_ONE):
        _begin(tmp_path, "device 1", number)
    with pytest.raises(CouldNotError):
        _begin(tmp_path, "device 1", 99)
    # the desk and every other device have theirs
    for sender in ("desk", "device 2", "device 11"):
        _begin(tmp_path, sender, 99)
    # one that is on its way is found again, whatever else is
    assert _begin(tmp_path, "device 1", 3).have == 0


def test_when_all_places_are_taken_each_sender_still_has_a_few(tmp_path: Path) -> None:
    full = arriving.MOST_ARRIVING // arriving.MOST_OF_ONE
    for device in range(full):
        for number in range(arriving.MOST_OF_ONE):
            _begin(tmp_path, f"device {device}", number)
    for number in range(arriving.ALWAYS_OF_ONE):
        _begin(tmp_path, "desk", number)
    with pytest.raises(CouldNotError):
        _begin(tmp_path, "desk", 99)


def test_what_a_closed_page_left_gives_way_to_the_same_sender_alone(tmp_path: Path) -> None:
    for number in range(arriving.MOST_OF_ONE):
        _begin(tmp_path, "device 1", number)
    first = _begin(tmp_path, "device 2", 0)
    _aged(tmp_path, arriving.IDLE_S + 10)
    _begin(tmp_path, "device 1", 99)
    there = list((tmp_path / ".plateside/arriving").iterdir())
    assert len(there) == arriving.MOST_OF_ONE + 1
    assert first.path.is_file()
    # and what nobody goes on with is forgotten
    _aged(tmp_path, arriving.FORGOTTEN_S + 10)
    _begin(tmp_path, "desk", 0)
    assert len(list((tmp_path / ".plateside/arriving").iterdir())) == 1


@pytest.mark.parametrize("key", ["", "..", "../../frames", "0" * 24, "g" * 24])
def test_an_unknown_key_finds_nothing(tmp_path: Path, key: str) -> None:
    (tmp_path / "frames").mkdir()
    (tmp_path / "frames/a.jpg").write_bytes(b"x")
    with pytest.raises(InputError):
        arriving.find(tmp_path, key)


def test_a_disk_without_links_gets_a_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(38, "no links here")

    monkeypatch.setattr(os, "link", refuse)
    data = jpeg()
    assert add(tmp_path, "a.jpg", data).name == "a.jpg"
    assert (tmp_path / "frames/a.jpg").read_bytes() == data
    assert add(tmp_path, "a.jpg", jpeg(3)).name == "a-2.jpg"


def test_what_the_disk_refuses_is_not_sent_again(tmp_path: Path) -> None:
    data = jpeg()
    (tmp_path / "frames").write_bytes(b"a file where the folder should be")
    one = arriving.begin(tmp_path, tmp_path / "frames", "desk", "a.jpg", len(data), 1)
    arriving.append(one.path, 0, data)
    with pytest.raises(CouldNotError):
        arrived.arrive(one.path, tmp_path / "frames", len(data))
    assert arriving.begin(tmp_path, tmp_path / "frames", "desk", "a.jpg", len(data), 1).have == len(data)
    (tmp_path / "frames").unlink()
    assert arrived.arrive(one.path, tmp_path / "frames", len(data)).name == "a.jpg"


def test_killed_where_there_are_no_links_nothing_half_stays_and_the_name_is_free_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(95, "no links here")

    class Killed(BaseException):
        """As a kill: nothing after it runs."""

    monkeypatch.setattr(os, "link", refuse)
    data = jpeg()
    one = arriving.begin(tmp_path, tmp_path / "frames", "desk", "a.jpg", len(data), 1)
    arriving.append(one.path, 0, data)
    seen: list[list[bytes]] = []

    def killed(_self: Path, _target: object) -> None:
        seen.append([p.read_bytes() for p in (tmp_path / "frames").iterdir() if not p.name.startswith(".")])
        raise Killed

    with monkeypatch.context() as patch, pytest.raises(Killed):
        patch.setattr(arrived, "move_to_new", lambda *_: None)
        patch.setattr(Path, "replace", killed)
        patch.setattr(arrived._NameTaken, "give_back", lambda _self: None)
        arrived.arrive(one.path, tmp_path / "frames", len(data))
    assert seen == [[b""]]
    assert arrived.arrive(arriving.find(tmp_path, one.key), tmp_path / "frames", len(data)).name == "a.jpg"
    assert [p.read_bytes() for p in (tmp_path / "frames").iterdir()] == [data]
