"""One bad file stops nothing: what it is is told once, by a code, and the good frame beside it is there."""

import os
import shutil
import struct
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from plateside.files.originals import scan
from plateside.files.originals.jpeg_walk import MOST_SCANS, walk
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import display_picture, linear_and_levels
from plateside.files.originals.unreadable import can_be_shown, shown
from plateside.files.originals.whole import check_whole
from plateside.model.errors import InputError, PlatesideError
from tests.synthetic.dng import write_dng
from tests.unit.originals.sample_files import gradient, write_jpeg

CODES = {
    "empty", "incomplete", "other kind", "damaged", "too large", "too small", "too slow", "no permission", "unread",
    "ends",
    "gone", "link", "no file", "name", "copy",
}  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_jpeg(tmp_path / "good.jpg")
    return tmp_path


def told(folder: Path) -> dict[str, str]:
    """Name -> code of what is refused; the good frame must be there beside it."""
    frames, refused = scan.scan_frames(folder)
    assert "good.jpg" in [f.name for f in frames]
    assert all(u.code in CODES and u.reason.endswith(".") and "\n" not in u.reason for u in refused)
    assert len({u.name for u in refused}) == len(refused)
    return {u.name: u.code for u in refused}


@pytest.mark.parametrize("start", [b"II*\0\x08\0\0\0", b"MM\0*\0\0\0\x08", b"FUJIFILM", b"\0\0\0\x18ftyp"])
def test_a_raw_of_a_few_bytes(folder: Path, start: bytes) -> None:
    for size in range(1, 9):
        (folder / f"{size}.dng").write_bytes(start[:size])
    found = told(folder)
    assert {found[f"{n}.dng"] for n in range(1, 9)} <= {"incomplete", "damaged", "other kind"}
    assert found["2.dng"] == found["7.dng"] == "incomplete"


@pytest.mark.skipif(os.name == "nt", reason="names are UTF-16 there")
def test_names_that_cannot_be_written_down(folder: Path) -> None:
    data = (folder / "good.jpg").read_bytes()
    for n, name in enumerate(
        (b"caf\xe9.jpg", b"line\nbreak.jpg", b"esc\x1b[2J.jpg", "turn\u202egpj.jpg".encode())
    ):
        with open(os.fsencode(folder) + b"/" + name, "wb") as file:  # noqa: PTH123 - a name of bytes
            file.write(data + bytes([n]))
    found = told(folder)
    assert found == {
        "caf\\xe9.jpg": "name", "line\\x0abreak.jpg": "name", "esc\\x1b[2J.jpg": "name", "turn\\u202egpj.jpg": "name",
    }  # fmt: skip
    assert all(told_name.isprintable() and told_name.encode("utf-8") for told_name in found)


def test_odd_names_that_are_none(folder: Path) -> None:
    for n, name in enumerate(
        ("x" * 251 + ".jpg", "שלום.jpg", "汤 ü.jpg", "e\u0301.jpg", "\u00e9.jpg", "A.jpg", "a.jpg")
    ):
        write_jpeg(folder / name, gradient(200 + n))
    frames, refused = scan.scan_frames(folder)
    assert len(frames) == 8
    assert refused == ()


def test_pairs_whatever_the_names_case_and_spelling(folder: Path) -> None:
    write_jpeg(folder / "Caf\u00e9.JPG", gradient(210))
    write_dng(folder / "cafe\u0301.DNG", np.full((64, 96, 3), 0.2, np.float32), preview=False)
    frames, _ = scan.scan_frames(folder)
    assert sorted(f.companion for f in frames) == ["", "Caf\u00e9.JPG"]


@pytest.mark.skipif(os.name == "nt", reason="no links or pipes there without more rights")
def test_links_pipes_and_folders(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    outside = write_jpeg(tmp_path_factory.mktemp("outside") / "x.jpg", gradient(300))
    (folder / "dangling.jpg").symlink_to(folder / "nothing.jpg")
    (folder / "loop.jpg").symlink_to(folder / "loop.jpg")
    (folder / "out.jpg").symlink_to(outside)
    (folder / "there").symlink_to(outside.parent)
    os.mkfifo(folder / "pipe.jpg")
    (folder / "folder.jpg").mkdir()
    assert told(folder) == {
        "dangling.jpg": "link",
        "loop.jpg": "link",
        "out.jpg": "link",
        "there": "link",
        "pipe.jpg": "no file",
    }


def test_kinds_that_are_not_read_and_what_is_passed_over(folder: Path) -> None:
    kinds = {
        "clip.mov": b"\0\0\0\x14ftypqt  ", "page.pdf": b"%PDF-1.7", "layers.psd": b"8BPS", "drawing.png": b"\x89PNG",
        "scan.tif": b"II*\0", "thing.xyz": b"abc", "DSC0001": (folder / "good.jpg").read_bytes(),
    }  # fmt: skip
    for name, data in kinds.items():
        (folder / name).write_bytes(data)
    silent = (
        ".DS_Store", "Thumbs.db", "._good.jpg", ".thumbnails/a.jpg", "good.xmp", "good.THM", "IMG.AAE",
        "__MACOSX/b.jpg", "desktop.ini", "notes.txt", "good.jpg.part",
    )  # fmt: skip
    for name in silent:
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(b"x")
    assert told(folder) == dict.fromkeys(kinds, "other kind")
    reasons = {u.name: u.reason for u in scan.scan_frames(folder)[1]}
    assert "video" in reasons["clip.mov"]
    assert "JPEG" in reasons["DSC0001"]
    fixed = [name for name, reason in reasons.items() if "Save it as a JPEG" in reason]
    assert sorted(fixed) == ["drawing.png", "layers.psd", "scan.tif"]


def test_garbage_in_a_tiffs_directories(folder: Path) -> None:
    write_dng(folder / "raw.dng", np.full((64, 96, 3), 0.2, np.float32))
    whole = (folder / "raw.dng").read_bytes()
    first = struct.unpack_from("<I", whole, 4)[0]
    count = struct.unpack_from("<H", whole, first)[0]

    def changed(name: str, at: int, value: bytes) -> None:
        data = bytearray(whole)
        data[at : at + len(value)] = value
        (folder / name).write_bytes(data)

    changed("far.dng", 4, b"\xff\xff\xff\x7f")
    changed("itself.dng", first + 2 + 12 * count, struct.pack("<I", first))  # the next directory is this one
    changed("many.dng", first, b"\xff\xff")
    for n in range(count):
        changed(f"count{n}.dng", first + 2 + 12 * n + 4, b"\xff\xff\xff\xff")
        changed(f"place{n}.dng", first + 2 + 12 * n + 8, b"\xf0\xff\xff\xff")
    (folder / "raw.dng").unlink()
    found = told(folder)
    assert found["far.dng"] == found["many.dng"] == "incomplete"
    for path in folder.iterdir():
        read_settings(path)


def test_garbage_in_exif(folder: Path) -> None:
    whole = (
        write_jpeg(folder / "x.jpg", taken="2027:07:15 12:00:00", tag_33434=(1, 3), tag_33437=(8, 1))
    ).read_bytes()
    (folder / "x.jpg").unlink()
    rng = np.random.default_rng(5)
    place = whole.index(b"Exif")
    (length,) = struct.unpack_from(">H", whole, place - 2)
    for n in range(60):
        data = bytearray(whole)
        for at in rng.integers(place + 6, place + length - 2, 5):
            data[at] = rng.choice([0, 1, 255, 128, int(rng.integers(256))])
        (folder / f"{n}.jpg").write_bytes(bytes(data) + bytes([n]))
    frames, refused = scan.scan_frames(folder)
    assert refused == ()
    assert len(frames) == 61
    assert all(f.settings.iso is None or 0 < f.settings.iso < 1e9 for f in frames)
    assert all(f.settings.taken_at is None or 1900 <= f.settings.taken_at.year <= 2200 for f in frames)


def test_damaged_raws_and_jpegs_are_told_and_never_more_than_that(folder: Path) -> None:
    write_dng(folder / "a.dng", np.full((64, 96, 3), 0.2, np.float32))
    rng = np.random.default_rng(7)
    for source in ("a.dng", "good.jpg"):
        whole = (folder / source).read_bytes()
        for n in range(40):
            data = bytearray(whole)
            for at in rng.integers(0, min(len(whole), 1500), 8):
                data[at] = rng.integers(256)
            path = folder / f"{n}-{source}"
            path.write_bytes(data)
            try:
                check_whole(path)
                display_picture(path)
                linear_and_levels(path)
            except PlatesideError as error:
                assert error.code in CODES, error
            path.unlink()


def test_a_picture_of_hundreds_of_passes(folder: Path) -> None:
    Image.fromarray(gradient(64, 48)).save(folder / "slow.jpg", progressive=True)
    data = (folder / "slow.jpg").read_bytes()
    last = data.rindex(b"\xff\xda")
    (folder / "slow.jpg").write_bytes(data[:last] + data[last:-2] * (MOST_SCANS + 200) + data[-2:])
    assert told(folder) == {"slow.jpg": "too slow"}
    (folder / "slow.jpg").write_bytes(data)
    assert told(folder) == {}


def test_passes_over_many_pixels_are_as_slow_as_many_passes(folder: Path) -> None:
    Image.fromarray(gradient(64, 48)).save(folder / "slow.jpg", progressive=True)
    data = bytearray((folder / "slow.jpg").read_bytes())
    last = data.rindex(b"\xff\xda")
    data[last:-2] = data[last:-2] * 80
    # as large as its bytes may hold: 13 megapixels or more, gone over 80 times and more
    at = data.index(b"\xff\xc2")
    data[at + 5 : at + 9] = (4000).to_bytes(2, "big") + (4000).to_bytes(2, "big")
    data[-2:-2] = b"\xff\xfe\xff\xff" + bytes(65_533)
    (folder / "slow.jpg").write_bytes(data)
    assert told(folder) == {"slow.jpg": "too slow"}


def test_a_size_that_the_bytes_cannot_hold(folder: Path) -> None:
    data = bytearray((folder / "good.jpg").read_bytes())
    at = data.index(b"\xff\xc0")
    # 12,000 x 12,000 are within what is taken, and would fill 430 MB before the end is missed
    data[at + 5 : at + 9] = struct.pack(">HH", 12000, 12000)
    (folder / "bomb.jpg").write_bytes(data)
    assert told(folder) == {"bomb.jpg": "damaged"}


def test_the_end_of_a_preview_is_not_the_end_of_the_picture(folder: Path) -> None:
    small = write_jpeg(folder / "small.jpg", gradient(32, 24)).read_bytes()
    (folder / "small.jpg").unlink()
    whole = (folder / "good.jpg").read_bytes()
    # an application segment with a whole JPEG inside it, as EXIF previews are (T.81, B.2.4.6)
    with_preview = whole[:2] + b"\xff\xe5" + struct.pack(">H", len(small) + 2) + small + whole[2:]
    assert walk(with_preview).end == len(with_preview)
    path = folder / "half.jpg"
    for size in range(1, len(with_preview), 29):
        path.write_bytes(with_preview[:size])
        with pytest.raises(InputError) as error:
            check_whole(path)
        assert error.value.code == "incomplete", size
    path.write_bytes(with_preview)
    assert check_whole(path) == "JPEG"


def test_a_raw_whose_place_was_made_before_its_content_came(folder: Path) -> None:
    write_dng(folder / "a.dng", np.full((64, 96, 3), 0.2, np.float32), preview=False)
    whole = (folder / "a.dng").read_bytes()
    (folder / "a.dng").write_bytes(whole[: len(whole) // 2] + bytes(len(whole) - len(whole) // 2))
    assert told(folder) == {"a.dng": "incomplete"}
    (folder / "a.dng").write_bytes(whole)
    assert told(folder) == {}


def test_further_pictures_that_a_file_names(folder: Path) -> None:
    one = (folder / "good.jpg").read_bytes()
    # a multi-picture index (CIPA DC-007, 5.2.3): two pictures, the second right behind the first

    def entries(start: int) -> bytes:
        return struct.pack("<IIIHHIIIHH", 0, len(one), 0, 0, 0, 0, len(one), start, 0, 0)

    index = (
        b"II*\0" + struct.pack("<IH", 8, 1) + struct.pack("<HHII", 0xB002, 7, 32, 26) + struct.pack("<I", 0)
    )
    length = 2 + 4 + len(index) + 32
    first = one[:2] + b"\xff\xe2" + struct.pack(">H", length) + b"MPF\0" + index
    base = len(one[:2]) + 4 + 4
    first += entries(len(one) + 2 + length - base) + one[2:]
    path = folder / "two.jpg"
    path.write_bytes(first + one)
    assert check_whole(path, wait_for_more=True) == "JPEG"
    path.write_bytes(first + one[:-10])
    with pytest.raises(InputError) as error:
        check_whole(path, wait_for_more=True)
    assert error.value.code == "incomplete"
    # an editor may have left the others out and the index in: the picture itself is whole
    path.write_bytes(first)
    assert check_whole(path) == "JPEG"


def test_a_good_raw_with_a_damaged_preview(folder: Path) -> None:
    write_dng(folder / "a.dng", np.full((64, 96, 3), 0.2, np.float32))
    data = bytearray((folder / "a.dng").read_bytes())
    at = data.index(b"\xff\xd8\xff")
    data[at + 20 : at + 200] = bytes(180)
    (folder / "a.dng").write_bytes(data)
    assert display_picture(folder / "a.dng", 96).shape[2] == 3


def test_shown() -> None:
    assert can_be_shown("שלום 汤.jpg")
    assert shown("a\nb\u2028\udce9.jpg") == "a\\x0ab\\u2028\\xe9.jpg"


def test_nothing_is_hashed_or_walked_twice(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from plateside.files.index.index import Index

    for n in range(6):
        write_jpeg(folder / f"{n}.jpg", gradient(200 + n))
    shoot = folder.parent / "shoot"
    with Index.open(shoot) as index:
        first, _ = scan.scan_frames(folder, index=index)
        read: list[str] = []
        for name in ("content_hash", "check_whole", "size_and_settings"):
            plain = getattr(scan, name)

            def counted(path: Path, *more: Any, plain: Any = plain) -> Any:
                read.append(path.name)
                return plain(path, *more)

            monkeypatch.setattr(scan, name, counted)
        again, _ = scan.scan_frames(folder, index=index)
        assert again == first
        assert read == []
        write_jpeg(folder / "3.jpg", gradient(300))
        scan.scan_frames(folder, index=index)
        assert read == ["3.jpg"] * 3
    shutil.rmtree(shoot)
