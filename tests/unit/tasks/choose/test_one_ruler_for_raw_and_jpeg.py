"""A raw and a JPEG of one scene are measured alike, be there a preview in the raw or not."""

import shutil
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from plateside.files.settings.load import open_shoot
from plateside.ground.srgb import to_display, to_linear
from plateside.tasks.choose.rulers import Measures, measures_of
from plateside.tasks.choose.selects import choose_frames
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.shot import name_shot
from tests.photographs import photograph
from tests.shoots.chosen import SHOOT
from tests.shoots.folder import shoot_folder
from tests.synthetic.dng import write_dng
from tests.synthetic.series import RAW_GAIN


def _shoot(folder: Path, *, preview: bool, frames: int) -> Path:
    """One dim scene as a raw and JPEGs of it. The camera's tone curve lifts its JPEG and its preview by 0.6 stop."""
    lifted = 1.5 if preview else 1.0
    shoot_folder(folder, SHOOT)
    linear = cv2.resize(to_linear(photograph("coffee") / 255.0).astype(np.float32), (960, 640))
    linear = linear * np.float32(0.26 / np.percentile(linear.max(axis=2), 97))
    write_dng(
        folder / "frames" / "1.dng", linear, gain=RAW_GAIN, preview=preview, preview_gain=lifted,
        taken="2027:05:01 12:00:00",
    )  # fmt: skip
    for n in range(2, frames + 1):
        exif = Image.Exif()
        exif[0x8769] = {0x9003: f"2027:05:01 12:0{n}:00", 33434: 1 / 3, 33437: 8.0, 37386: 35.0}
        shown = (
            to_display(np.clip(linear * lifted, 0, 1)) * 255
            + 0.5
            + np.random.default_rng(n).normal(0, 0.5, linear.shape)
        )
        picture = Image.fromarray(np.clip(shown, 0, 255).astype(np.uint8))
        picture.save(folder / "frames" / f"{n}.jpg", quality=95, exif=exif)
    name_shot(folder, "dish", [f"{n}.{'dng' if n == 1 else 'jpg'}" for n in range(1, frames + 1)])
    return folder


def _measured(folder: Path) -> dict[str, Measures]:
    opened, judged = open_shoot(folder), judge_frames(folder).frames
    found = measures_of(opened, opened.shoot.shots[0], judged, "")
    return {j.frame.name: found[j.frame.id] for j in judged}


@pytest.mark.parametrize(("preview", "frames"), [(True, 2), (False, 3)])
def test_a_raw_is_as_bright_as_its_jpeg_and_is_preferred(preview: bool, frames: int, tmp_path: Path) -> None:
    folder = _shoot(tmp_path / "shoot", preview=preview, frames=frames)
    found = _measured(folder)
    raw, other = found["1.dng"], found["2.jpg"]
    assert raw.exposure_stops is not None and other.exposure_stops is not None
    # one metered exposure: ISO 12232 puts a raw's white half a stop below its saturation
    assert abs(raw.exposure_stops - other.exposure_stops) < 0.1
    assert raw.odd_share < 0.01 and abs((raw.cast_mired or 0) - (other.cast_mired or 0)) < 4
    if preview:
        assert raw.sharpness_stops is not None and other.sharpness_stops is not None
        assert abs(raw.sharpness_stops - other.sharpness_stops) < 0.04
        hero = choose_frames(folder).shots[0].select
        assert hero is not None and hero.name == "1.dng"
        # and a byte-identical copy of it is the same exposure
        shutil.copy(folder / "frames" / "1.dng", folder / "frames" / "0-copy.dng")
        again = choose_frames(folder).shots[0].select
        assert again is not None
        assert (folder / "frames" / again.name).read_bytes() == (folder / "frames" / "1.dng").read_bytes()
