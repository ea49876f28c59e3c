"""The planned picture of a shot, from the shoot's files to a file."""

import json
import os
import shutil
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import plateside.demo
from plateside.cli.main import main
from plateside.files.drawn import DRAWN, DrawnCache
from plateside.model.errors import InputError
from plateside.picture import engine as renderer
from plateside.tasks.plan import picture, picture_engine

DEMO = Path(plateside.demo.__file__).parent


@pytest.fixture
def shoot(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name in ("shoot.toml", "studio.toml"):
        shutil.copy(DEMO / name, tmp_path / name)
    # the plain renderer, whatever is on this machine
    monkeypatch.setattr(picture_engine, "_candidates", list)
    monkeypatch.delenv("DRJIT_LIBLLVM_PATH", raising=False)
    return tmp_path


def test_apertures_are_drawn_side_by_side(shoot: Path, capsys: pytest.CaptureFixture[str]) -> None:
    command = ["picture", str(shoot), "straight-on", "--at", "13:30", "--what-if", "apertures", "--size", "48x48",
               "--quality", "rough", "--json"]  # fmt: skip
    assert main(command) == 0
    said = json.loads(capsys.readouterr().out)
    file = Path(said["file"])
    assert file == shoot / "pictures" / "straight-on-apertures.jpg"
    with Image.open(file) as image:
        assert image.size == (said["width_px"], said["height_px"]) and image.getexif()[270] == DRAWN
    f_numbers = [one["f_number"] for one in said["drawn"]]
    assert f_numbers == pytest.approx([2.8284, 5.6569, 8.0], rel=1e-4)
    # two stops wider is four times shorter, so that all are as bright
    times = [one["exposure_s"] for one in said["drawn"]]
    assert times[1] / times[0] == pytest.approx(4.0, rel=1e-6) and times[2] / times[1] == pytest.approx(
        2.0, rel=1e-3
    )
    kept = list((shoot / ".plateside" / "drawn").glob("*.npy"))
    assert len(kept) == 3
    # drawn once: the second time nothing is traced
    stamps = {p: p.stat().st_mtime_ns for p in kept}
    assert main(command) == 0
    assert {p: p.stat().st_mtime_ns for p in kept} == stamps


@pytest.mark.slow
def test_hours_are_drawn_each_in_its_own_light(shoot: Path, capsys: pytest.CaptureFixture[str]) -> None:
    report = picture.draw_picture(shoot, "one-bowl", what_if="hours", size_px=(48, 48), quality="rough")
    names = [one.name for one in report.drawn]
    assert len(names) >= 3
    assert names == sorted(f"{one.at:%H:%M}" for one in report.drawn)
    # incident-light metering: exposure times light over the f-number squared is one number (ISO 2720:
    # E t / N2 = C / S); each setting is a third of a stop, so a sixth either way
    held = [one.exposure_s * one.illuminance_lx / one.f_number**2 for one in report.drawn]
    assert max(held) / min(held) < 2 ** (1 / 3) * 1.03
    # one frame for each hour, and not the same light in all of them
    assert len({round(one.illuminance_lx) for one in report.drawn}) == len(names)
    with Image.open(report.file) as image:
        shown = np.asarray(image).astype(float)
    third = shown.shape[1] // len(names)
    for number in range(len(names)):
        assert shown[:, number * third : (number + 1) * third].std() > 8


def test_one_picture_in_lines(shoot: Path) -> None:
    report = picture.draw_picture(
        shoot, "one-bowl", at="13:30", size_px=(36, 36), quality="rough", out=shoot / "out"
    )
    (one,) = report.drawn
    assert (one.name, f"{one.at:%H:%M}") == ("one-bowl", "13:30")
    assert Path(report.file) == shoot / "out" / "one-bowl.jpg"
    with Image.open(shoot / "out" / "one-bowl.jpg") as image:
        shown = np.asarray(image).astype(float)
    # exposed as planned: neither black nor white
    assert 40 < shown.mean() < 215 and shown.std() > 8


def test_what_cannot_be_drawn_is_refused_with_what_can(shoot: Path) -> None:
    with pytest.raises(InputError, match="boards, hours and apertures"):
        picture.draw_picture(shoot, "one-bowl", what_if="colours")
    with pytest.raises(InputError, match="rough, clean and fine"):
        picture.draw_picture(shoot, "one-bowl", quality="best")
    with pytest.raises(InputError, match="32 to"):
        picture.draw_picture(shoot, "one-bowl", size_px=(9, 9))
    with pytest.raises(InputError, match="three-bowls"):
        picture.draw_picture(shoot, "no-such-shot")
    assert main(["picture", str(shoot), "one-bowl", "--size", "large"]) == 2


def test_without_the_extra_the_line_to_run_is_said(
    shoot: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(renderer, "find_spec", lambda name: None)
    assert main(["picture", str(shoot), "one-bowl", "--at", "13:30"]) == 1
    assert 'pip install "plateside[picture]"' in capsys.readouterr().err


def test_broken_llvm_is_tried_elsewhere_and_remembered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bad = tmp_path / "libLLVM-15.so"
    bad.write_bytes(b"no library")
    tried: list[str] = []

    def fails(path: str) -> bool:
        tried.append(path)
        return False

    monkeypatch.setenv("DRJIT_LIBLLVM_PATH", str(bad))
    monkeypatch.setattr(picture_engine, "_works", fails)
    keep = tmp_path / "renderer.json"
    assert picture_engine.find_engine(keep).variant == renderer.SCALAR
    assert picture_engine.find_engine(keep).variant == renderer.SCALAR
    assert tried == [str(bad)]
    bad.write_bytes(b"another")  # a changed library is tried again
    os.utime(bad, ns=(1, 1))
    picture_engine.find_engine(keep)
    assert len(tried) == 2


@pytest.mark.parametrize(
    ("name", "version"),
    [
        ("libLLVM-15.so.1", 15),
        ("libLLVM.so.19.1", 19),
        ("libLLVM-19.so", 19),
        ("libLLVM.dylib", 0),
        ("LLVM-C.dll", 0),
    ],
)
def test_version_in_a_library_s_name(name: str, version: int) -> None:
    assert picture_engine._version(f"/usr/lib/{name}") == version


def test_cache_keeps_the_newest_and_survives_damage(tmp_path: Path) -> None:
    cache = DrawnCache(tmp_path / "drawn", most=2)
    for k in range(3):
        cache[f"key{k}"] = np.full((2, 2), k, dtype=np.float32)
    assert len(cache) == 2
    name = next(iter(cache))
    (tmp_path / "drawn" / f"{name}.npy").write_bytes(b"torn")
    assert name not in cache
    with pytest.raises(KeyError):
        cache["nothing"]
