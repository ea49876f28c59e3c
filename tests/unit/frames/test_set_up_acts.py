"""Focus in millimetres on made frames with the plane of focus known; orientation, fill, card and lux."""

from dataclasses import replace

import cv2
import numpy as np
import pytest
from skimage import data

from plateside.camera.card.layout import layout, marker_cells
from plateside.demo.camera.frame import make_frame
from plateside.demo.camera.photo import scene_from_photo
from plateside.demo.camera.take import Exposure
from plateside.frames.facts import Ball, CardInFrame
from plateside.frames.set_up_acts import (
    WantedGeometry,
    Why,
    card_acts,
    card_in_frame,
    dish_lux,
    fill_acts,
    focus_act,
    focus_mm_of,
    orientation_acts,
)
from plateside.frames.sharpness import focus_of
from plateside.ground.iso12232 import metered_exposure_s
from plateside.model.frame import Settings
from plateside.model.gear import Camera, Lens
from plateside.model.shoot import Shot
from tests.unit.frames.plain import PLAIN

AT = Settings(f_number=8, exposure_s=1 / 3, iso=100)
CAMERA = Camera(name="the camera")
HERE = WantedGeometry("landscape", 40.0, 700.0, 700.0, 12.0, 14.0, 50.0, 2.8, CAMERA.sensor_width_mm, 450.0)


@pytest.mark.parametrize(
    ("photograph", "focus_mm"),
    [("gravel", 620.0), ("gravel", 700.0), ("gravel", 800.0), ("grass", 620.0), ("grass", 800.0)],
)
def test_the_sharpest_rows_tell_where_the_focus_lies(photograph: str, focus_mm: float) -> None:
    """A flat table (no dish raised on it) drawn by the made camera, whose blur is the thin lens's (Ray 2002)."""
    picture = getattr(data, photograph)()
    picture = np.dstack([np.tile(picture, (1, 2))] * 3)[:512, :768]
    width_mm = CAMERA.sensor_width_mm * (700.0 - 50.0) / 50.0
    scene = scene_from_photo(
        picture, width_px=768, height_px=512, distance_mm=700.0, elevation_deg=40.0, dish_height_mm=0.0,
        frame_width_mm=width_mm,
    )  # fmt: skip
    shutter = metered_exposure_s(480.0, 2.8, 100, 0.08)
    take = Exposure(
        exposure_s=shutter, f_number=2.8, iso=100, focal_length_mm=50.0, focus_distance_mm=focus_mm
    )
    frame = make_frame(
        scene, CAMERA, Lens(name="50", focal_length_mm=50.0, widest_aperture=1.8), take, seed=1
    )
    facts = focus_of(frame.picture, (0.3, 0.3, 0.7, 0.7))
    found = focus_mm_of(facts, HERE, 768, 512)
    assert found is not None
    # the side is sure, the size within a third and 20 mm
    assert found - 700.0 == pytest.approx(focus_mm - 700.0, abs=20 + abs(focus_mm - 700.0) / 3)


def test_from_above_rows_say_nothing() -> None:
    focus = replace(PLAIN.focus, rows_px2=tuple(np.linspace(0.5, 9, 24)))
    assert focus_mm_of(focus, replace(HERE, elevation_deg=90.0), 6000, 4000) is None


def test_how_far_to_move_the_focus() -> None:
    near, far = focus_act(715.2, HERE), focus_act(640.0, HERE)
    assert near is not None and (near.way, near.amount, near.rough) == ("nearer", 15, False)
    assert far is not None and (far.way, far.amount, far.rough) == ("further", 60, True)
    assert focus_act(704.0, HERE) is None


def test_orientation() -> None:
    why = Why("channel", "tall", 1080, 1350)
    (told,) = orientation_acts(PLAIN, "portrait", why, sure=True)
    act = told.act
    assert (act.code, act.way, act.by, act.name) == ("turn camera", "portrait", "channel", "tall")
    assert told.weight == 1
    assert orientation_acts(PLAIN, "portrait", why, sure=False)[0].weight == 0
    assert orientation_acts(PLAIN, "landscape", Why(), sure=True) == []
    assert orientation_acts(replace(PLAIN, width_px=4000), "portrait", Why(), sure=True) == []


def ball(stops: float) -> Ball:
    return Ball(stops, -0.7, 0.5, 0.5, (0.7, 0.3), 0.1, 0.8)


def test_fill_against_what_was_asked() -> None:
    facts = replace(PLAIN, ball=ball(2.3))
    asked = Shot(name="bowl", fill_stops=1.5)
    closer = fill_acts(facts, asked)[0].act
    assert (closer.code, closer.way, closer.amount, closer.against) == ("white board", "closer", 2.3, 1.5)
    assert fill_acts(replace(PLAIN, ball=ball(0.6)), asked)[0].act.way == "further"
    assert fill_acts(replace(PLAIN, ball=ball(1.7)), asked) == []
    (remark,) = fill_acts(facts, Shot(name="bowl"))
    act = remark.act
    assert (remark.weight, act.code, act.by, act.amount, act.way) == (
        0,
        "key and fill",
        "ball",
        2.3,
        "left above",
    )
    assert fill_acts(replace(PLAIN, ball=replace(ball(2.3), confidence=0.2)), asked) == []


CARD = CardInFrame("A4", False, 450.0, 90.0, 0.0, 0.0, 0.0, 800.0, 10)


def test_level_and_scale_from_the_card() -> None:
    acts = [w.act for w in card_acts(replace(CARD, frame_width_mm=480.0, tilt_right_deg=1.2), None, 450.0)]
    assert [(a.code, a.amount, a.way, a.against) for a in acts] == [
        ("card level", 1.2, "left", None), ("card width", 480.0, "", 450.0),
    ]  # fmt: skip
    assert card_acts(CARD, None, 450.0) == []
    assert card_acts(replace(CARD, back=True, tilt_right_deg=5.0), None, 300.0) == []


def test_the_card_is_seen_and_measured() -> None:
    """The card drawn from its own millimetres at 5 px each, seen straight on by an ideal pinhole: 5 px is 1 mm."""
    side = layout("A4")
    sheet = np.full((1050, 1485), 235, np.uint8)
    for marker in side.markers:
        cells = np.where(marker_cells(marker.id), 20, 235).astype(np.uint8)
        big = cv2.resize(cells, (170, 170), interpolation=cv2.INTER_NEAREST)
        x, y = round(marker.x_mm * 5), round((210 - marker.y_mm - marker.side_mm) * 5)
        sheet[y : y + 170, x : x + 170] = big
    picture = np.full((1400, 2100), 120, np.uint8)
    picture[175:1225, 307:1792] = sheet
    found = card_in_frame(np.asarray(cv2.GaussianBlur(picture, (0, 0), 1.0), np.uint8), 50.0, 23.5)
    assert found is not None
    assert (found.paper, found.back) == ("A4", False)
    assert found.frame_width_mm == pytest.approx(420.0, rel=0.01)
    assert card_in_frame(np.full((1400, 2100), 120, np.uint8), 50.0, 23.5) is None


def test_lux_by_the_card_is_the_incident_meter() -> None:
    """ISO 2720: f/8, 1/3 s, ISO 100, an 18 % card at its level: E = C N^2 / (t S) = 250 x 64 x 3 / 100 = 480 lx."""
    facts = replace(PLAIN, colour=replace(PLAIN.colour, card_level=0.18))
    lux, by = dish_lux(facts, AT)
    assert lux == pytest.approx(480)
    assert by == "grey card"
    assert dish_lux(facts, Settings())[0] is None
