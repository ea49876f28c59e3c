"""Made files as other programs read them: LibRaw (rawpy), exiftool, Pillow."""

import json
import math
import subprocess
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
import rawpy
from PIL import Image
from skimage.color import deltaE_ciede2000, rgb2lab

from plateside.demo.camera.frame import make_frame
from plateside.demo.camera.optics import magnification
from plateside.demo.camera.take import Exposure
from plateside.demo.dng import write_dng, write_jpeg
from plateside.ground.iso12232 import saturation_share_per_cd_m2
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.errors import CouldNotError
from plateside.picture.develop import srgb_encoded
from plateside.words.demo import RENDERED
from tests.unit.picture.scenes import CAMERA, LENS, flat_scene

# linear sRGB reflectances of our own: greys, a leaf, a crust, a glaze, a sky blue, a yolk
PATCHES = (
    (0.85, 0.85, 0.85), (0.08, 0.20, 0.05), (0.40, 0.21, 0.09), (0.18, 0.18, 0.18),
    (0.45, 0.07, 0.05), (0.12, 0.20, 0.42), (0.75, 0.42, 0.06),
)  # fmt: skip
GREY = 3
TAKE = Exposure(exposure_s=1 / 3, f_number=8.0, iso=200, taken_at=datetime(2027, 7, 15, 13, 4, 5, 120000))
FRAME = make_frame(flat_scene(PATCHES), CAMERA, LENS, TAKE, seed=11)


def exiftool(path: Path) -> dict[str, object]:
    found: dict[str, object] = {}
    for asked in (["-all"], ["-validate", "-warning"]):
        out = subprocess.run(["exiftool", "-json", "-n", *asked, path], capture_output=True, check=True)
        found |= json.loads(out.stdout)[0]
    return found


def middle(picture: np.ndarray, k: int) -> np.ndarray:
    return np.asarray(picture[32:64, 96 * k + 32 : 96 * k + 64].reshape(-1, 3).mean(axis=0))


def test_libraw_reads_levels_pattern_and_every_number(tmp_path: Path) -> None:
    path = tmp_path / "a.dng"
    write_dng(path, FRAME)
    with rawpy.imread(str(path)) as raw:
        assert raw.raw_pattern is not None
        assert np.array_equal(raw.raw_image, FRAME.mosaic)
        assert raw.black_level_per_channel == [512] * 4 and raw.white_level == 16383
        assert [raw.color_desc.decode()[i] for i in raw.raw_pattern.ravel()] == ["R", "G", "G", "B"]


def test_libraw_s_colours_are_right(tmp_path: Path) -> None:
    # deltaE 2000 against the patches' own colours, exposure levelled on the grey patch; just noticeable is about 1
    path = tmp_path / "a.dng"
    write_dng(path, FRAME)
    with rawpy.imread(str(path)) as raw:
        linear = raw.postprocess(
            use_camera_wb=True, output_bps=16, gamma=(1, 1), no_auto_bright=True, user_flip=0
        )
    level = 0.18 / middle(linear, GREY)[1]
    for k, patch in enumerate(PATCHES):
        # the corner patches are darker by the lens; each is levelled on its own luminance first
        seen = middle(linear, k) * level
        seen = seen * (LUMINANCE_32 @ np.asarray(patch)) / (LUMINANCE_32 @ seen)
        got, wanted = (rgb2lab(srgb_encoded(rgb)[None, None])[0, 0] for rgb in (seen, np.asarray(patch)))
        assert float(deltaE_ciede2000(got, wanted)) < 1.0, patch


def test_raw_made_at_ev_reads_back_at_ev(tmp_path: Path) -> None:
    path = tmp_path / "a.dng"
    write_dng(path, FRAME)
    with rawpy.imread(str(path)) as raw:
        left = 96 * GREY + 32
        green = raw.raw_image[32:64:2, left + 1 : left + 32 : 2].astype(float).mean() - 512
    share = green / (16383 - 512)
    luminance = share / saturation_share_per_cd_m2(1 / 3, 8.0, 200, magnification(35.0, 700.0))
    assert abs(math.log2(luminance / (0.18 * 480.0 / math.pi))) < 0.03  # the figure


def test_preview_is_the_camera_s_picture(tmp_path: Path) -> None:
    path = tmp_path / "a.dng"
    write_dng(path, FRAME)
    with rawpy.imread(str(path)) as raw:
        thumb = raw.extract_thumb()
    assert thumb.format == rawpy.ThumbFormat.JPEG
    (tmp_path / "t.jpg").write_bytes(bytes(thumb.data))
    with Image.open(tmp_path / "t.jpg") as image:
        shown = np.asarray(image).astype(float)
    assert np.abs(shown - FRAME.picture).mean() < 3.0


@pytest.mark.parametrize("name", ["a.dng", "a.jpg"])
def test_exif_as_exiftool_reads_it(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    (write_dng if name.endswith("dng") else write_jpeg)(path, FRAME)
    said = exiftool(path)
    assert said["Validate"] in ("0 0 0", "OK"), said
    assert said["ExposureTime"] == pytest.approx(1 / 3, rel=1e-4)
    assert said["FNumber"] == 8 and said["ISO"] == 200 and said["FocalLength"] == 35
    assert said["Model"] == "Plateside simulated camera"
    assert said["DateTimeOriginal"] == "2027:07:15 13:04:05" and str(said["SubSecTimeOriginal"]) == "12"
    assert (
        RENDERED in str(said["Software"])
        and RENDERED in str(said["UserComment"])
        and said["ImageDescription"] == RENDERED
    )
    assert said["SubjectDistance"] == pytest.approx(0.7)
    assert said["ShutterSpeedValue"] == pytest.approx(1 / 3, rel=1e-3)  # exiftool turns APEX to seconds
    assert said["ApertureValue"] == pytest.approx(8.0, rel=1e-3)


def test_upright_file_is_turned_by_readers(tmp_path: Path) -> None:
    scene = flat_scene(((0.1, 0.1, 0.1), (0.6, 0.6, 0.6)))
    turned = replace(
        scene,
        rgb=np.ascontiguousarray(np.rot90(scene.rgb)),
        depth_mm=np.ascontiguousarray(np.rot90(scene.depth_mm)),
        identity=np.ascontiguousarray(np.rot90(scene.identity)),
    )
    frame = make_frame(turned, CAMERA, LENS, Exposure())
    path = tmp_path / "u.dng"
    write_dng(path, frame)
    with rawpy.imread(str(path)) as raw:
        seen = raw.postprocess(use_camera_wb=True, half_size=True)
    assert seen.shape[:2] == (96, 48)
    # rot90 puts the right half (bright) on top
    assert seen[:40].mean() > seen[-40:].mean() + 30


def test_a_folder_that_cannot_be_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(CouldNotError):
        write_jpeg(tmp_path / "file" / "a.jpg", FRAME)
