"""A folder as a card leaves it: pairs, copies, damage, odd names."""

import struct
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plateside.files.originals import kinds, scan
from plateside.files.originals.tiff_directories import is_picture
from plateside.model.errors import InputError
from tests.synthetic.dng import write_dng
from tests.unit.originals.sample_files import gradient, write_jpeg


def small_raw(path: Path, *, value: float = 0.2, orientation: int = 1, preview: bool = True) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    write_dng(
        path, np.full((64, 96, 3), value, np.float32), orientation=orientation, preview=preview,
        taken="2027:07:15 12:00:00",
    )  # fmt: skip
    return path


def test_a_raw_and_its_jpeg_are_one_frame(tmp_path: Path) -> None:
    small_raw(tmp_path / "IMG_1.DNG")
    write_jpeg(tmp_path / "IMG_1.JPG")
    frames, refused = scan.scan_frames(tmp_path)
    assert [(f.name, f.companion, f.is_raw) for f in frames] == [("IMG_1.DNG", "IMG_1.JPG", True)]
    assert refused == ()
    assert (frames[0].width_px, frames[0].height_px) == (96, 64)


def test_upright_frames_are_upright(tmp_path: Path) -> None:
    small_raw(tmp_path / "a.dng", orientation=6)
    write_jpeg(tmp_path / "b.jpg", tag_274=8)
    frames, _ = scan.scan_frames(tmp_path)
    assert {f.name: (f.width_px, f.height_px) for f in frames} == {"a.dng": (64, 96), "b.jpg": (160, 240)}


def test_odd_names_and_one_name_in_two_folders(tmp_path: Path) -> None:
    write_jpeg(tmp_path / "sopa fria ü 汤.jpg", gradient(200))
    write_jpeg(tmp_path / "one" / "a.jpg", gradient(210))
    write_jpeg(tmp_path / "two" / "a.jpg", gradient(220))
    frames, refused = scan.scan_frames(tmp_path)
    assert sorted(f.name for f in frames) == ["one/a.jpg", "sopa fria ü 汤.jpg", "two/a.jpg"]
    assert len({f.id for f in frames}) == 3
    assert refused == ()


def test_a_copy_is_taken_once(tmp_path: Path) -> None:
    write_jpeg(tmp_path / "a.jpg")
    (tmp_path / "b.jpg").write_bytes((tmp_path / "a.jpg").read_bytes())
    frames, refused = scan.scan_frames(tmp_path)
    assert [f.name for f in frames] == ["a.jpg"]
    assert [(u.name, u.code) for u in refused] == [("b.jpg", "copy")]


def test_sorted_by_time_then_name(tmp_path: Path) -> None:
    write_jpeg(tmp_path / "c.jpg", gradient(200), taken="2027:07:15 13:00:00")
    write_jpeg(tmp_path / "b.jpg", gradient(210), taken="2027:07:15 12:00:00")
    write_jpeg(tmp_path / "a.jpg", gradient(220), taken="2027:07:15 13:00:00")
    write_jpeg(tmp_path / "z.jpg", gradient(230))
    frames, _ = scan.scan_frames(tmp_path)
    assert [f.name for f in frames] == ["z.jpg", "b.jpg", "a.jpg", "c.jpg"]


def test_each_damage_has_its_reason(tmp_path: Path) -> None:
    (tmp_path / "zero.jpg").touch()
    (tmp_path / "zero.dng").touch()
    (tmp_path / "note.jpg").write_text("a shopping list")
    (tmp_path / "note.dng").write_text("a shopping list, long enough to be looked at")
    whole = write_jpeg(tmp_path / "whole.jpg").read_bytes()
    (tmp_path / "torn.jpg").write_bytes(whole[: len(whole) * 2 // 3])
    raw = small_raw(tmp_path / "good.dng", preview=False).read_bytes()
    (tmp_path / "torn.dng").write_bytes(raw[: len(raw) - 3000])
    (tmp_path / "drawing.png").write_bytes(b"\x89PNG")
    (tmp_path / "notes.txt").write_text("not a picture at all")
    frames, refused = scan.scan_frames(tmp_path)
    reasons = {u.name: u.reason for u in refused}
    assert sorted(f.name for f in frames) == ["good.dng", "whole.jpg"]
    assert sorted(reasons) == [
        "drawing.png",
        "note.dng",
        "note.jpg",
        "torn.dng",
        "torn.jpg",
        "zero.dng",
        "zero.jpg",
    ]
    assert "empty (0 bytes)" in reasons["zero.jpg"]
    assert "empty (0 bytes)" in reasons["zero.dng"]
    assert "not a JPEG" in reasons["note.jpg"]
    assert "not a raw that can be read" in reasons["note.dng"]
    assert "stops in the middle" in reasons["torn.jpg"]
    assert "stops in the middle" in reasons["torn.dng"]
    assert all(r.endswith(".") and "\n" not in r for r in reasons.values())


@pytest.mark.parametrize("name", ["a.dng", "a.NEF", "a.jpg"])
@pytest.mark.parametrize("mode", ["RGB", "L", "CMYK"])
def test_a_tiff_under_another_name_is_told_what_it_is_and_what_to_do(
    tmp_path: Path, name: str, mode: str
) -> None:
    Image.fromarray(gradient(200)).convert(mode).save(tmp_path / name, format="TIFF")
    frames, refused = scan.scan_frames(tmp_path)
    assert (frames, [u.code for u in refused]) == ((), ["other kind"])
    assert "it is a TIFF picture" in refused[0].reason
    assert refused[0].reason.endswith("give it its right name. Save it as a JPEG if it is a frame.")
    assert "copy it again" not in refused[0].reason


def test_a_raw_that_cannot_be_read_is_not_called_a_picture(tmp_path: Path) -> None:
    # a DNG whose sensor directory says a compression that nobody knows (tag 259, SHORT): still a raw
    whole = bytearray(small_raw(tmp_path / "a.dng", preview=False).read_bytes())
    entry = whole.index(struct.pack("<HHI", 259, 3, 1))
    whole[entry + 8 : entry + 10] = struct.pack("<H", 60001)
    (tmp_path / "a.dng").write_bytes(whole)
    assert not is_picture(tmp_path / "a.dng")


def test_an_enormous_picture_is_refused_before_it_is_decoded(tmp_path: Path) -> None:
    # a JPEG header that states 20,000 x 20,000 pixels (T.81, B.2.2); decoding it would take 1.2 GB
    header = bytes.fromhex("ffd8ffc00011084e204e2003012200021101031101")
    (tmp_path / "bomb.jpg").write_bytes(header + b"\x00" * 64 + b"\xff\xd9")
    frames, refused = scan.scan_frames(tmp_path)
    assert frames == ()
    assert "20000 x 20000 pixels; at most 200 megapixels" in refused[0].reason


def test_a_damaged_raw_leaves_its_jpeg(tmp_path: Path) -> None:
    (tmp_path / "a.dng").touch()
    write_jpeg(tmp_path / "a.jpg")
    frames, refused = scan.scan_frames(tmp_path)
    assert [f.name for f in frames] == ["a.jpg"]
    assert [u.name for u in refused] == ["a.dng"]


def test_empty_and_missing_folders(tmp_path: Path) -> None:
    assert scan.scan_frames(tmp_path) == ((), ())
    with pytest.raises(InputError, match="There is no folder"):
        scan.scan_frames(tmp_path / "nowhere")


def test_a_file_that_may_not_be_read_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_jpeg(tmp_path / "a.jpg")
    plain = Path.open

    def refuse(self: Path, *args: object, **kwargs: object) -> object:
        if self.name == "a.jpg":
            raise PermissionError(13, "Permission denied")
        return plain(self, *args, **kwargs)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", refuse)
    frames, refused = scan.scan_frames(tmp_path)
    assert frames == ()
    assert "Permission denied" in refused[0].reason


def test_originals_are_not_touched(tmp_path: Path) -> None:
    path = write_jpeg(tmp_path / "a.jpg")
    path.chmod(0o444)
    before = (path.read_bytes(), path.stat().st_mtime_ns)
    scan.scan_frames(tmp_path)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert [p.name for p in tmp_path.iterdir()] == ["a.jpg"]


def test_jpeg_size_of_what_is_none() -> None:
    assert kinds.jpeg_size(b"") is None
    assert kinds.jpeg_size(b"\xff\xd8\xff\xe0\x00") is None
