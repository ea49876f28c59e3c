"""A retouched file comes back in its place: recognised, compared, kept beside the picture, and never silently older."""

import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import pyvips
import tifffile
from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.pictures import encode, read_picture
from plateside.files.settings.load import load_shoot, open_shoot
from plateside.tasks.deliver.delivery import deliver
from plateside.tasks.deliver.open_points import standing
from plateside.tasks.finish.retouched import take_in
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.shown import finishing
from plateside.tasks.set.press import press, take_back
from tests.photographs import photograph
from tests.shoots.re_lit import delivered_shoot, finished_shoot


@pytest.fixture
def shoot(tmp_path: Path) -> Path:
    return finished_shoot(tmp_path / "shoot")


@pytest.fixture
def delivered(tmp_path: Path) -> Path:
    return delivered_shoot(tmp_path / "shoot")


def retouched(
    root: Path, shot: str, name: str, change: Callable[[Any], Any] = lambda v: v, xmp: bool = True
) -> Path:
    """A finished picture saved again by another program, a spot of it painted over."""
    picture = read_picture(root / "finished" / f"{shot}.tif")
    pixels = np.array(picture.pixels, np.uint16)
    pixels[40:90, 60:140] = pixels[40, 60]
    pixels = np.ascontiguousarray(change(pixels), np.uint16)
    path = root / "finished" / "retouched" / name
    path.parent.mkdir(exist_ok=True)
    kind = {".tif": "tiff", ".tiff": "tiff", ".png": "png", ".jpg": "jpeg", ".jpeg": "jpeg"}[
        path.suffix.lower()
    ]
    packet = picture.xmp if xmp else b""
    if kind == "jpeg":
        path.write_bytes(encode(np.asarray(pixels // 257, np.uint8), kind, 97, packet))
    else:
        path.write_bytes(encode(np.asarray(pixels, np.uint16), kind, 97, packet))
    return path


def codes(root: Path) -> dict[str, str]:
    return {one.file.rsplit("/", 1)[-1]: one.code for one in take_in(open_shoot(root))}


def points(root: Path) -> set[tuple[str, str, bool]]:
    now = standing(root, load_shoot(root / "shoot.toml"), read_state(root))
    return {(p.code, p.shot, p.blocks) for p in now.open}


def shown(root: Path, shot: str) -> dict[str, Any]:
    picture = next(s["picture"] for s in finishing(root)["shots"] if s["name"] == shot)
    assert isinstance(picture, dict)
    return picture


@pytest.mark.parametrize(
    "name", ["near.tif", "near-Edit.tif", "Near copy 2.png", "near-retouched.JPG", "near (1).jpeg"]
)
@pytest.mark.parametrize("xmp", [True, False])
def test_it_counts_in_every_later_step_and_the_picture_stays(delivered: Path, name: str, xmp: bool) -> None:
    made = (delivered / "finished" / "near.tif").read_bytes()
    before = (delivered / "delivery" / "wide" / "near.jpg").read_bytes()
    path = retouched(delivered, "near", name, xmp=xmp)
    assert ("retouched waiting", "", False) in points(delivered)
    report = finish(delivered)
    assert [(c.code, c.picture) for c in report.came_back] == [("taken", "near")]
    assert report.written == 0
    assert (delivered / "finished" / "near.tif").read_bytes() == made
    assert shown(delivered, "near")["file"] == f"retouched/{name}"
    assert ("stale", "", True) in points(delivered)
    deliver(delivered)
    after = (delivered / "delivery" / "wide" / "near.jpg").read_bytes()
    assert after != before
    assert not {p for p in points(delivered) if p[0].startswith("retouched") or p[0] == "stale"}
    # another save of the same file makes the delivery anew
    retouched(delivered, "near", name, lambda v: v[::1] // 2, xmp=xmp)
    assert ("retouched changed", "near", True) in points(delivered)
    deliver(delivered)
    assert (delivered / "delivery" / "wide" / "near.jpg").read_bytes() != after
    assert not {p for p in points(delivered) if p[0].startswith("retouched")}
    assert path.is_file()


def test_one_press_takes_it_back_and_one_more_brings_it_again(shoot: Path) -> None:
    retouched(shoot, "near", "near-Edit.tif")
    finish(shoot)
    sha256 = read_state(shoot).retouched["near"].sha256
    done = press(shoot, "as made", {"shot": "near", "sha256": sha256}, 99)
    assert shown(shoot, "near")["file"] == "near.tif"
    # a further run does not bring it back by itself
    assert [c.code for c in finish(shoot).came_back] == ["as made"]
    assert shown(shoot, "near")["file"] == "near.tif"
    assert not {p for p in points(shoot) if p[0].startswith("retouched")}
    take_back(shoot, max(done.row, read_state(shoot).last_row))
    assert shown(shoot, "near")["file"] == "retouched/near-Edit.tif"


def test_a_copy_saved_beside_the_pictures_is_found_too_but_nothing_else_there(shoot: Path) -> None:
    path = retouched(shoot, "near", "near-Edit.tif")
    path.rename(shoot / "finished" / path.name)
    shutil.copy(shoot / "finished" / "cup.tif", shoot / "finished" / "cup-by-hand-1.tif")
    (shoot / "finished" / "notes.txt").write_text("x")
    Image.new("RGB", (30, 20)).save(shoot / "finished" / "holiday.jpg")
    assert codes(shoot) == {"near-Edit.tif": "taken"}
    assert shown(shoot, "near")["file"] == "near-Edit.tif"


def test_under_any_name_by_its_mark_and_by_the_frames_name(shoot: Path) -> None:
    retouched(shoot, "near", "client selection A.tif")
    assert codes(shoot) == {"client selection A.tif": "taken"}
    assert shown(shoot, "near")["file"] == "retouched/client selection A.tif"
    retouched(shoot, "hand", "IMG 2 é-Edit.tif", xmp=False)
    retouched(shoot, "hand", "unknown.tif", xmp=False)
    assert codes(shoot) == {
        "client selection A.tif": "taken", "IMG 2 é-Edit.tif": "taken", "unknown.tif": "no picture",
    }  # fmt: skip
    assert ("retouched unknown", "", False) in points(shoot)
    assert shown(shoot, "hand")["file"] == "retouched/IMG 2 é-Edit.tif"


def test_what_is_not_its_picture_never_counts(shoot: Path) -> None:
    folder = shoot / "finished" / "retouched"
    retouched(shoot, "cup", "cup-cut.tif", lambda v: v[:300], xmp=True)
    (folder / "cup-cut.tif").rename(folder / "cup-2.tif")
    retouched(shoot, "cup", "cup-3.tif", lambda v: np.repeat(np.repeat(v[60:300, 60:420], 2, 0), 2, 1))
    retouched(shoot, "cup", "hand-Edit.tif")  # another picture's file under this one's name
    other = np.asarray(Image.fromarray(photograph("chelsea")).resize((720, 480)))
    Image.fromarray(other).save(folder / "cup-4.jpg")
    (folder / "cup-5.psd").write_bytes(b"8BPS" + bytes(60))
    (folder / "cup-6.tif").write_bytes((shoot / "finished" / "cup.tif").read_bytes()[:5000])
    inks = np.zeros((480, 720, 4), np.uint8)
    tifffile.imwrite(
        folder / "cup-7.tif",
        inks,
        photometric="separated",
        iccprofile=bytes(pyvips.Image.profile_load("cmyk")),
    )
    assert codes(shoot) == {
        "cup-2.tif": "another shape", "cup-3.tif": "another picture", "hand-Edit.tif": "of another",
        "cup-4.jpg": "another picture", "cup-5.psd": "another kind", "cup-6.tif": "unread",
        "cup-7.tif": "print colours",
    }  # fmt: skip
    assert shown(shoot, "cup")["file"] == "cup.tif"
    assert not read_state(shoot).retouched
    # looked at once
    found = finish(shoot)
    assert {c.code for c in found.came_back} == set(codes(shoot).values())


def test_a_picture_made_anew_since_is_never_ready_without_a_word(shoot: Path) -> None:
    retouched(shoot, "near", "near-Edit.tif")
    finish(shoot)
    press(shoot, "look", {"shot": "near", "brighter_stops": 0.5, "warmer_mired": 0.0, "magenta_cc": 0.0,
                          "turned_degrees": 0.0}, 99)  # fmt: skip
    assert ("hand changed", "near", True) in points(shoot)
    finish(shoot)
    assert ("retouched older", "near", True) in points(shoot)
    deliver(shoot)
    assert ("retouched older", "near", True) in points(shoot)
    # saved again from the old one it is still old: its mark says so
    retouched_old = shoot / "finished" / "retouched" / "near-Edit.tif"
    os.utime(retouched_old)
    finish(shoot)
    assert ("retouched older", "near", True) in points(shoot)
    # kept on purpose, or retouched anew, all is well
    made_from = shown(shoot, "near")["made_from_key"]
    done = press(shoot, "retouched kept", {"shot": "near", "made_from": made_from}, 99)
    assert not {p for p in points(shoot) if p[0].startswith("retouched")}
    take_back(shoot, done.row)
    assert ("retouched older", "near", True) in points(shoot)
    retouched(shoot, "near", "near-Edit-2.tif")
    assert {c.code for c in finish(shoot).came_back} == {"taken", "later"}
    assert shown(shoot, "near")["file"] == "retouched/near-Edit-2.tif"
    assert not {p for p in points(shoot) if p[0].startswith("retouched")}


def test_without_a_mark_its_own_time_tells(shoot: Path) -> None:
    path = retouched(shoot, "near", "near-Edit.tif", xmp=False)
    made = (shoot / "finished" / "near.tif").stat().st_mtime_ns
    os.utime(path, ns=(made - 10**9, made - 10**9))
    finish(shoot)
    assert ("retouched older", "near", True) in points(shoot)


def test_one_that_is_gone_is_said_and_the_picture_is_shown(shoot: Path) -> None:
    path = retouched(shoot, "near", "near-Edit.tif")
    finish(shoot)
    path.unlink()
    assert ("retouched gone", "near", True) in points(shoot)
    assert shown(shoot, "near")["file"] == "near.tif"


def test_another_select_is_not_shown_by_the_former_ones_file(shoot: Path) -> None:
    retouched(shoot, "near", "near-Edit.tif")
    finish(shoot)
    state = read_state(shoot)
    Journal.open(shoot).append("select", shot="near", frame=state.heroes["hand"])
    report = finish(shoot)
    assert [c.code for c in report.came_back] == ["another frame"]
    assert shown(shoot, "near")["file"] == "near.tif"
    Journal.open(shoot).append("select", shot="near", frame=state.heroes["near"])
    finish(shoot)
    assert shown(shoot, "near")["file"] == "retouched/near-Edit.tif"


def test_a_wide_colour_space_is_followed_and_none_is_said(shoot: Path) -> None:
    p3 = bytes(pyvips.Image.profile_load("p3"))
    pixels = tifffile.imread(shoot / "finished" / "near.tif")
    path = shoot / "finished" / "retouched" / "near-Edit.tif"
    path.parent.mkdir()
    tifffile.imwrite(path, pixels, photometric="rgb", iccprofile=p3)
    (one,) = finish(shoot).came_back
    assert (one.code, one.text) == ("taken", "")
    tifffile.imwrite(path, pixels, photometric="rgb")
    (one,) = finish(shoot).came_back
    assert one.code == "taken"
    assert one.text
