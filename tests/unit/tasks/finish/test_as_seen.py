"""A raw comes out as bright as its camera showed it: by the DNG's own word, else by the pictures inside the raws.

Held against those pictures as Pillow reads them; the aim is a tenth of a stop.
"""

import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tifffile
from PIL import Image

from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from plateside.files.originals.metadata import read_settings
from plateside.finish.brightness import of_all, shown_brighter
from plateside.finish.render import render, to_8_bits
from plateside.finish.tone import Curve
from plateside.finish.white_balance import NONE, of_array
from plateside.ground.srgb import LUMINANCE, to_linear
from plateside.tasks.finish.series import finish
from tests.shoots.re_lit import make_shoot, scene
from tests.synthetic.dng import write_dng

LIGHT = scene()[::2, ::2]
TAKEN = 0.6
"""Of saturation the sensor got; the camera's picture is brighter by what each case says."""


def shoot_of(root: Path, *frames: dict[str, Any]) -> Path:
    """Raws of the shot cup, the first its select."""
    make_shoot(root, shots=())
    for number, how in enumerate(frames):
        path = root / "frames" / f"{number}.dng"
        write_dng(path, LIGHT, gain=TAKEN, seed=number, **how)
        rows: list[tuple[str, dict[str, Any]]] = [
            ("frame landed", {"frame": content_hash(path), "name": path.name}),
            ("frame belongs", {"frame": content_hash(path), "shot": "cup", "guess": False}),
        ]
        rows += [("select", {"shot": "cup", "frame": content_hash(path)})] if number == 0 else []
        Journal.open(root).append_many(rows)
    return root


def brightness_stops(root: Path) -> float:
    """How much brighter the finished picture is than the scene, in the middle tones [stops]."""
    finish(root)
    written = to_linear(tifffile.imread(root / "finished" / "cup.tif") / 65535.0) @ LUMINANCE
    truth = LIGHT @ LUMINANCE
    there = (truth > 0.1) & (truth < 0.25)
    return float(np.log2(np.median(written[there]) / np.median(truth[there])))


def test_by_the_pictures_inside_the_raws_by_all_of_them_and_never_by_the_frame_alone(tmp_path: Path) -> None:
    """The first frame's own picture was lightened by itself; the others say what the camera does."""
    shown, odd = {"preview_gain": 1.0}, {"preview_gain": 2.0}
    assert brightness_stops(shoot_of(tmp_path / "s", odd, shown, shown, shown)) == pytest.approx(0, abs=0.1)
    # frames of another ISO have a step of their own
    other = {"preview_gain": 1.0, "iso": 1600}
    root = shoot_of(tmp_path / "t", {"preview_gain": 1.6}, other, other, other)
    assert brightness_stops(root) == pytest.approx(np.log2(1.6), abs=0.1)


def test_what_a_dng_says_of_itself_is_followed(tmp_path: Path) -> None:
    """Adobe DNG 1.7, BaselineExposure: so many stops brighter than without."""
    plain = shoot_of(tmp_path / "s", {"preview": False, "baseline_exposure_stops": 0.0})
    lifted = shoot_of(tmp_path / "t", {"preview_gain": 0.5, "baseline_exposure_stops": 0.75})
    assert read_settings(lifted / "frames" / "0.dng").baseline_exposure_stops == pytest.approx(0.75)
    # the curve is steeper than 1 about the middle: what is brighter in is somewhat more so out
    assert 0.7 < brightness_stops(lifted) - brightness_stops(plain) < 1.0


def test_without_a_picture_inside_and_without_a_word_it_is_as_metered(tmp_path: Path) -> None:
    """ISO 12232: 10/78 of saturation is shown as 0.18, and there the curve changes nothing."""
    root = shoot_of(tmp_path / "s", {"preview": False})
    path = root / "frames" / "grey.dng"
    write_dng(path, np.full((120, 180, 3), 10 / 78), preview=False)
    rows = [
        ("frame landed", {"frame": content_hash(path), "name": path.name}),
        ("select", {"shot": "cup", "frame": content_hash(path)}),
    ]
    Journal.open(root).append_many(rows)
    finish(root)
    written = to_linear(tifffile.imread(root / "finished" / "cup.tif") / 65535.0)
    assert float(np.median(written)) == pytest.approx(0.18, abs=0.004)


def test_a_picture_brought_nearer_and_no_more_is_as_bright_as_its_series_is_shown(tmp_path: Path) -> None:
    """Half of it is lit by a lamp, so it is not matched; it follows the series' own step all the same."""
    wide = LIGHT.shape[1]
    lamp = np.where(np.arange(wide)[None, :, None] < wide / 2, (0.9, 0.6, 0.25), (0.6, 0.6, 0.6))
    given = []
    for name, lifted in (("s", 0.0), ("t", 1.0)):
        root = make_shoot(tmp_path / name, shots=())
        for shot, light, own in (("cup", 0.6, lifted), ("near", lamp, 0.0)):
            path = root / "frames" / f"{shot}.dng"
            write_dng(path, LIGHT * light, seed=1, preview=False, baseline_exposure_stops=own)
            frame = content_hash(path)
            rows = [
                ("frame landed", {"frame": frame, "name": path.name}),
                ("select", {"shot": shot, "frame": frame}),
            ]
            Journal.open(root).append_many(rows)
        report = finish(root)
        assert report.unmatched == ("near",)
        near = next(one for one in report.finished if one.shot == "near")
        assert near.match.by == "same things"
        given.append(near.match.stops)
    assert given[1] - given[0] == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize("stops", [-0.5, 0.0, 0.8, 1.5])
def test_the_step_between_a_raw_and_its_picture_is_found(stops: float) -> None:
    developed = (LIGHT * 0.5).astype(np.float32)
    shown = to_8_bits(render(developed, of_array(np.full(3, 2.0**stops)), Curve(1.4, 1.5)))
    found = shown_brighter(developed, shown)
    assert found == pytest.approx(stops, abs=0.1)
    # cut to another shape, or corrected for its lens a little, it says the same
    cut = shown[:, 30:-30]
    assert shown_brighter(developed, cut) == pytest.approx(stops, abs=0.15)
    # filled up with black to another shape, as a JPEG of 160 x 120
    small = Image.fromarray(shown).resize((160, 107), Image.Resampling.BOX)
    filled = Image.new("RGB", (160, 120))
    filled.paste(small, (0, 6))
    filled.save(file := io.BytesIO(), "jpeg", quality=75)
    assert shown_brighter(developed, np.asarray(Image.open(file))) == pytest.approx(stops, abs=0.15)


def test_a_black_or_white_picture_tells_nothing() -> None:
    developed = (LIGHT * 0.5).astype(np.float32)
    assert shown_brighter(developed, np.zeros((100, 150, 3), np.uint8)) is None
    assert shown_brighter(developed, np.full((100, 150, 3), 255, np.uint8)) is None
    assert of_all([None, None]) is None
    assert of_all([None, 0.5, 0.6, 2.0]) == pytest.approx(0.6)
    assert NONE.exposure_stops == pytest.approx(0)
