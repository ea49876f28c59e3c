"""Reading the card from a camera's file: magnification, focal length, light on the grey card, wrong files."""

from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from plateside.camera.card.advice import Move, Wanted
from plateside.camera.card.layout import layout
from plateside.demo.camera.frame import make_frame
from plateside.demo.camera.take import Exposure
from plateside.demo.dng import write_dng, write_jpeg
from plateside.model.errors import CouldNotError, InputError
from plateside.model.gear import Camera, Lens
from plateside.picture.scene import LinearScene
from plateside.tasks.plan.set_card import read_card
from tests.unit.card.synthetic_frames import PX_PER_MM, print_card

LUX = 480.0
DISTANCE_MM = 745.0
FOCAL_MM = 35.0
WIDTH_PX, HEIGHT_PX = 2400, 1600


def scene() -> LinearScene:
    """The A4 card with an 18 % card on it, straight below, lit by 480 lx."""
    side = layout("A4")
    sheet = print_card(side)
    g = side.grey
    top = round((side.paper.height_mm - g.y_mm - g.height_mm) * PX_PER_MM)
    left = round(g.x_mm * PX_PER_MM)
    sheet[top : top + round(g.height_mm * PX_PER_MM), left : left + round(g.width_mm * PX_PER_MM)] = 0.18
    magnification = FOCAL_MM / (DISTANCE_MM - FOCAL_MM)
    mm_per_px = 23.5 / WIDTH_PX / magnification
    scale = 1 / (mm_per_px * PX_PER_MM)
    small = cv2.resize(sheet, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    table = np.full((HEIGHT_PX, WIDTH_PX), 0.25, np.float32)
    y, x = (HEIGHT_PX - small.shape[0]) // 2, (WIDTH_PX - small.shape[1]) // 2
    table[y : y + small.shape[0], x : x + small.shape[1]] = small
    white = LUX / np.pi
    return LinearScene(
        rgb=np.repeat((table * white)[..., None], 3, axis=2).astype(np.float32),
        depth_mm=np.full((HEIGHT_PX, WIDTH_PX), DISTANCE_MM, np.float32),
        identity=np.zeros((HEIGHT_PX, WIDTH_PX), np.int16),
        names=("card",),
        white_rgb=(white, white, white),
        mm_per_px=mm_per_px,
        focus_distance_mm=DISTANCE_MM,
    )


@pytest.fixture(scope="module")
def frames(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("card")
    made = make_frame(
        scene(),
        Camera(name="c"),
        Lens(name="35", focal_length_mm=FOCAL_MM),
        Exposure(exposure_s=1 / 3, f_number=8.0),
    )
    write_dng(folder / "card.dng", made)
    write_jpeg(folder / "card.jpg", made)
    return folder


def test_scale_height_and_light_from_a_raw(frames: Path) -> None:
    reading = read_card(frames / "card.dng", None, None, Wanted(90.0, DISTANCE_MM - 40))
    assert reading.magnification == pytest.approx(FOCAL_MM / (DISTANCE_MM - FOCAL_MM), rel=0.01)
    assert reading.pose.distance_mm == pytest.approx(DISTANCE_MM, rel=0.02)
    assert reading.pose.elevation_deg == pytest.approx(90, abs=0.3)
    assert reading.light is not None
    assert abs(np.log2(reading.light.illuminance_lx / LUX)) < 0.15
    assert reading.to_do[0] == Move("distance", 40.0, "lower")


def test_a_jpeg_tells_everything_but_the_light(frames: Path) -> None:
    reading = read_card(frames / "card.jpg", None, 192.0)
    assert reading.light is None
    assert reading.print_scale == pytest.approx(0.96)
    assert reading.print_scale == pytest.approx(0.96)
    assert reading.grey == "needs raw"


def test_a_ruler_that_cannot_be_is_refused(frames: Path) -> None:
    with pytest.raises(InputError, match="200 mm"):
        read_card(frames / "card.jpg", None, 20.0)


def test_no_card_and_no_focal_length_are_said(tmp_path: Path) -> None:
    plain = tmp_path / "plain.jpg"
    Image.fromarray(np.full((400, 600, 3), 120, np.uint8)).save(plain)
    with pytest.raises(InputError, match="focal length"):
        read_card(plain, None, None)
    exif = Image.Exif()
    exif[0x8769] = {0x920A: IFDRational(35, 1)}
    Image.fromarray(np.full((400, 600, 3), 120, np.uint8)).save(plain, exif=exif)
    with pytest.raises(CouldNotError, match="No set card"):
        read_card(plain, None, None)
