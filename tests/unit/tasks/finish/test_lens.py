"""A series without the faults of its lenses: dots and light of known places through whole runs of finish."""

import json
import struct
from pathlib import Path

import numpy as np
import pytest

from plateside.cli.main import main
from plateside.files.journal.state import read_state
from plateside.files.lens_profiles import NotFound
from plateside.files.originals.dng_opcodes import lens_opcodes
from plateside.files.settings.load import load_shoot
from plateside.finish.lens import Lens, lens_of_opcodes
from plateside.finish.lens_facts import DAMAGED, FILE, NO_EXTRA, OFF, ON, PROFILE, SEVERAL
from plateside.finish.opcodes import opcodes_of
from plateside.model.errors import InputError
from plateside.tasks.deliver.open_points import standing
from plateside.tasks.finish import lenses
from plateside.tasks.finish.series import FinishReport, finish
from plateside.tasks.finish.set_square import (
    lens_switch,
)
from plateside.tasks.finish.shown import finishing
from plateside.tasks.set.press import press, take_back
from plateside.web.shown.finish import finish_shown
from tests.shoots.dotted import Make, dotted_shoot, last, selected, written
from tests.shoots.re_lit import make_shoot
from tests.synthetic import dng, opcodes
from tests.synthetic.dotted import DOTS, SIZE, dotted, found_dots
from tests.synthetic.lens_names import takes_several, two_versions
from tests.unit.originals.sample_files import counts_of, write_counts


@pytest.fixture
def shoot(tmp_path: Path) -> Make:
    def make(*what: object, **texts: str) -> Path:
        return dotted_shoot(tmp_path / f"shoot {len(list(tmp_path.iterdir()))}", *what, **texts)  # type: ignore[arg-type]

    return make


def cup(report: FinishReport) -> object:
    return report.finished[0].lens.code


WARP = opcodes.rectilinear([[0.97, -0.05, 0.02, 0.0, 2e-4, -3e-4]], (0.49, 0.51))


def lens_of(*picture: tuple[int, bytes]) -> Lens:
    return lens_of_opcodes((), opcodes_of(opcodes.listed(*picture)), SIZE, ())


def off_by(root: Path, lens: Lens) -> float:
    left, top, _wide, _high = lens.kept()
    wanted = DOTS - (left, top)
    return float(np.hypot(*(found_dots(written(root), wanted) - wanted).T).max())


def test_the_files_own_opcodes_straighten_and_brighten_the_picture(shoot: Make) -> None:
    """Dots within 0.3 px, light within 0.05 stop; both said in the list and in the file."""
    shade = opcodes.vignette([0.8, 0.2, 0, 0, 0])
    lens = lens_of(shade, WARP)
    at = np.array([lens.sources(np.array(x), np.array(y))[0] for x, y in DOTS])
    gain = lens.shading((0, SIZE[1], 0, SIZE[0]))
    assert gain is not None
    root = shoot(dotted(at, 0.12 / gain), {opcodes.PICTURE: opcodes.listed(shade, WARP)})
    report = finish(root)
    done = report.finished[0].lens
    assert (done.code, done.does) == (FILE, ("distortion", "shading"))
    assert off_by(root, lens) < 0.3
    picture = written(root)
    lit = np.median(picture[20:-20, 20:-20].reshape(-1))
    corners = [
        np.percentile(picture[y, x], 90)
        for y in (slice(3, 23), slice(-23, -3))
        for x in (slice(3, 23), slice(-23, -3))
    ]
    assert np.abs(np.log2(np.array(corners) / lit)).max() < 0.05
    assert b"Lens corrected" in (root / "finished" / "cup.tif").read_bytes()
    row = json.loads((root / "finished" / "adjustments.json").read_text())["pictures"][0]
    assert row["lens"]["code"] == FILE
    assert finish(root).written == 0


def test_a_turned_frame_is_straightened_as_it_lay(shoot: Make, tmp_path: Path) -> None:
    """LibRaw turns the picture; what the file says of its lens is of the sensor."""
    lens = lens_of(WARP)
    at = np.array([lens.sources(np.array(x), np.array(y))[0] for x, y in DOTS])
    root = shoot(dotted(at), {opcodes.PICTURE: opcodes.listed(WARP)})
    path = root / "frames" / "IMG_1.dng"
    opcodes.add_tags(path, {274: (1, b"\6")})
    selected(root, path)
    assert cup(finish(root)) == FILE
    x, y, wide, high = lens.upright(6).kept()
    picture = written(root)
    assert picture.shape == (high, wide)
    wanted = np.column_stack([SIZE[1] - 1 - DOTS[:, 1] - x, DOTS[:, 0] - y])
    assert np.hypot(*(found_dots(picture, wanted) - wanted).T).max() < 0.3


@pytest.mark.parametrize("corner", [(3, 5), (3, 4), (2, 5), (2, 4)])
def test_an_active_area_that_begins_at_an_odd_row_or_column_is_no_damage(
    tmp_path: Path, corner: tuple[int, int]
) -> None:
    """LibRaw leaves the first row or column of it out; the opcodes speak of all of it."""
    shade = opcodes.vignette([0.8, 0.2, 0, 0, 0])
    whole = lens_of(shade, WARP)
    top, left = corner
    lens = whole.scaled((SIZE[0] - left % 2, SIZE[1] - top % 2))
    at = np.array([whole.sources(np.array(x), np.array(y))[0] for x, y in DOTS])
    gain = whole.shading((0, SIZE[1], 0, SIZE[0]))
    assert gain is not None
    sensor = np.pad(dotted(at, 0.12 / gain), ((top, 2), (left, 2), (0, 0)), mode="edge") * dng.NEUTRAL
    cell = np.roll([[0, 1], [1, 2]], corner, axis=(0, 1)).tolist()
    root = tmp_path / "shoot"
    make_shoot(root, shots=())
    path = root / "frames" / "IMG_1.dng"
    write_counts(path, counts_of(sensor, cell), active=(top, left, top + SIZE[1], left + SIZE[0]))
    opcodes.add_lists(path, {opcodes.PICTURE: opcodes.listed(shade, WARP)})
    selected(root, path)
    assert cup(finish(root)) == FILE
    x, y, wide, high = lens.kept()
    picture = written(root)
    assert picture.shape == (high, wide)
    wanted = DOTS - (left % 2 + x, top % 2 + y)
    assert np.hypot(*(found_dots(picture, wanted) - wanted).T).max() < 0.3
    lit = np.median(picture)
    ends = (slice(3, 23), slice(-23, -3))
    corners = [np.percentile(picture[rows, columns], 90) for rows in ends for columns in ends]
    assert np.abs(np.log2(np.array(corners) / lit)).max() < 0.05


def test_the_switch_leaves_lenses_as_they_are_and_on_gives_the_same_bytes(shoot: Make) -> None:
    root = shoot(dotted(DOTS), {opcodes.PICTURE: opcodes.listed(WARP)})
    finish(root)
    before = (root / "finished" / "cup.tif").read_bytes()
    press(root, "lens", {"use": OFF}, last(root))
    assert finishing(root)["lens"] == OFF
    assert [s["hand_changed"] for s in finishing(root)["shots"] if s["name"] == "cup"] == [True]
    now = standing(root, load_shoot(root / "shoot.toml"), read_state(root))
    assert "hand changed" in [p.code for p in now.open]
    report = finish(root)
    assert (report.written, cup(report)) == (1, OFF)
    assert found_dots(written(root), DOTS) == pytest.approx(DOTS, abs=0.3)
    take_back(root, last(root))
    assert finish(root).written == 1
    assert (root / "finished" / "cup.tif").read_bytes() == before
    with pytest.raises(InputError):
        press(root, "lens", {"use": " "}, last(root))


@pytest.mark.parametrize("cut", [5, 40, 60])
def test_a_damaged_list_is_left_alone_and_said(shoot: Make, cut: int) -> None:
    root = shoot(dotted(DOTS), {opcodes.PICTURE: opcodes.listed(WARP)[:-cut]})
    assert cup(finish(root)) == DAMAGED
    assert found_dots(written(root), DOTS) == pytest.approx(DOTS, abs=0.3)


def test_opcodes_go_before_a_profile_and_a_profile_is_used_without_them(shoot: Make) -> None:
    lens, _later, of = two_versions()
    camera = {"make": of.maker, "model": of.model, "lens": lens.model}
    # the raw is of 35 mm, and the file says so; the lens may be of others
    root = shoot(dotted(DOTS), {opcodes.PICTURE: opcodes.listed(WARP)}, **camera)
    assert cup(finish(root)) == FILE
    root = shoot(dotted(DOTS), None, **camera)
    opcodes.add_tags(
        root / "frames" / "IMG_1.dng", {37386: (5, struct.pack("<II", round(lens.min_focal * 100), 100))}
    )
    selected(root, root / "frames" / "IMG_1.dng")
    done = finish(root).finished[0].lens
    assert done.code == PROFILE
    assert done.name.endswith(lens.model)


def test_several_profiles_are_offered_and_the_one_you_name_is_taken(shoot: Make) -> None:
    of = takes_several("24-70mm f/2.8")
    root = shoot(dotted(DOTS), None, make=of.maker, model=of.model, lens="24-70mm f/2.8")
    done = finish(root).finished[0].lens
    assert done.code == SEVERAL
    lens_switch(root, done.others[0])
    assert [s["hand_changed"] for s in finishing(root)["shots"] if s["name"] == "cup"] == [True]
    now = finish(root).finished[0].lens
    assert (now.code, now.name) == (PROFILE, done.others[0])
    # the others can still be chosen, and the file waits to be made again whenever it is another
    assert now.others == done.others
    shown = finish_shown(finishing(root))
    assert (shown.lens_choice, shown.lens_mine) == (done.others, done.others[0])
    for use, waits in ((done.others[0], False), (done.others[1], True), (ON, True)):
        lens_switch(root, use)
        assert [s["hand_changed"] for s in finishing(root)["shots"] if s["name"] == "cup"] == [waits]
    assert cup(finish(root)) == SEVERAL
    shown = finish_shown(finishing(root))
    assert (shown.lens_choice, shown.lens_mine) == (done.others, "")


def test_without_the_extra_it_is_said_once(
    shoot: Make, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture
) -> None:
    monkeypatch.setattr(lenses, "profile_of", lambda *_: NotFound(NO_EXTRA))
    root = shoot(dotted(DOTS), None)
    assert cup(finish(root)) == NO_EXTRA
    assert main(["finish", str(root)]) == 0
    assert capsys.readouterr().out.count("plateside[lens]") == 1


# ---- what stands in the file ---------------------------------------------------------------------------------------


def test_lists_are_found_or_passed_over_whatever_the_file_is(tmp_path: Path) -> None:
    path = tmp_path / "a.dng"
    dng.write_dng(path, dotted(DOTS), preview=False)
    assert lens_opcodes(path) is None
    blob = opcodes.listed(WARP)
    opcodes.add_lists(path, {opcodes.PICTURE: blob, opcodes.MOSAIC: blob})
    found = lens_opcodes(path)
    assert found is not None
    assert (found.picture, found.mosaic, found.size, found.pattern) == (blob, blob, SIZE, (0, 1, 1, 2))
    whole = path.read_bytes()
    for odd in (
        b"",
        b"II*\0",
        whole[:7],
        b"MM\0*\0\0\0\x08\xff\xff" + bytes(40),
        b"II*\0\x08\0\0\0\1\0" + b"\xff" * 16,
    ):
        path.write_bytes(odd)
        assert lens_opcodes(path) is None
    # a directory that points at itself
    path.write_bytes(b"II*\0\x08\0\0\0\0\0\x08\0\0\0")
    assert lens_opcodes(path) is None
