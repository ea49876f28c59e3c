"""Every wish of a shot is met or told: the frame asked for, depth, what moves, blur, channels, light."""

import math
import random
from dataclasses import replace

import numpy as np
import pytest

from plateside.camera.findings import Unmet
from plateside.camera.optics import magnification_at
from plateside.camera.setup import LightForShot, SetUp
from plateside.model.errors import CouldNotError
from plateside.model.gear import Camera, Lens
from plateside.model.shoot import Channel, Shot
from plateside.model.studio import Studio
from plateside.plan.camera_needs import DEPTH_TOLERANCE, FRAME_TOLERANCE, HERO_ROOM, channel_room, needs_of
from plateside.plan.facts import depth_verdict
from plateside.plan.framing import smallest_frame
from plateside.plan.setup import solve
from plateside.words.plan.set_up import frame_failures, setup_lines
from plateside.words.units import METRIC
from tests.synthetic.wished import broken, least_area_mm2, no_channel_holds, optics_allow, random_case
from tests.unit.plan.rooms import CHANNELS, LIGHT, LISBON

SQUARE = Shot(name="square", frame_width_mm=400, frame_height_mm=400, dish_width_mm=300, camera_faces_deg=0)
CLOSE = Shot(name="close", frame_width_mm=140, frame_height_mm=100, dish_width_mm=120, dish_height_mm=30)


def told(s: SetUp, code: str) -> list[Unmet]:
    return [u for u in s.unmet if u.code == code]


@pytest.mark.parametrize("first", [0, 10, 20, 30])
def test_every_wish_of_random_shots_is_met_or_told(first: int) -> None:
    # 300 of them run in `python -m bench wishes`; the ruler there is thin-lens arithmetic of its own
    for seed in range(first, first + 10):
        case = random_case(random.Random(seed), f"shot-{seed}")
        try:
            s = solve(case.studio, case.shot, case.channels, case.light)
        except CouldNotError:
            continue
        assert broken(case, s) == [], case.shot
        if optics_allow(case) and not no_channel_holds(case):
            side = math.sqrt(s.frame_width_mm * s.frame_height_mm / least_area_mm2(case))
            assert side <= FRAME_TOLERANCE + 1e-3
            assert s.framing.as_asked
            assert not told(s, "frame")


@pytest.mark.parametrize("shot", [SQUARE, CLOSE], ids=lambda s: s.name)
def test_the_frame_asked_for_is_kept_when_a_lens_can_give_it(shot: Shot) -> None:
    # by arithmetic: 23.5 x 15.6 mm; a square of 400 mm is 602.6 x 400 of the sensor's shape, 140 x 100 is 150.6 x 100
    s = solve(LISBON, shot, CHANNELS, LIGHT)
    shaped = sorted((shot.frame_height_mm, shot.frame_height_mm * 23.5 / 15.6))
    got = sorted((s.frame_width_mm, s.frame_height_mm))
    assert got[0] == pytest.approx(shaped[0], rel=0.051)
    assert got[1] == pytest.approx(shaped[1], rel=0.051)
    assert s.framing.as_asked
    (shape,) = told(s, "shape")
    assert (shape.reason, shape.fails, shape.asked) == (
        "sensor shape", False, (shot.frame_width_mm, shot.frame_height_mm)
    )  # fmt: skip
    assert shape.ways_out


def test_channels_do_not_loosen_the_frame_and_each_gets_its_own() -> None:
    s = solve(LISBON, replace(SQUARE, orientation="landscape"), CHANNELS, LIGHT)
    cut = told(s, "channel")
    assert cut
    assert {u.about for u in cut} == {c.channel for c in s.coverage if not c.holds_hero}
    assert all(u.reason == "channel shape" and u.ways_out and u.fails for u in cut)
    assert s.framing.channels_mm is not None
    assert s.framing.channels_mm[0] > s.framing.sensor_mm[0]


def test_the_frame_that_holds_a_channel_does_and_none_smaller() -> None:
    needs = needs_of(SQUARE, LISBON.cameras[0], CHANNELS, "landscape")
    shaped = (needs.sensor_width_mm / needs.magnification, needs.sensor_height_mm / needs.magnification)
    for channel in CHANNELS:
        frame = smallest_frame(needs, shaped, [channel])
        assert frame is not None
        for size, holds in ((1.001, True), (0.98, frame == shaped)):
            sides = np.array([frame[0] * size]), np.array([frame[1] * size])
            room = channel_room(*sides, channel, needs.shown_width_mm, needs.shown_height_mm)
            assert (float(room.ratio[0]) >= HERO_ROOM - 0.006) == holds or frame == shaped


@pytest.mark.parametrize(
    ("lens", "reason"),
    [
        # thin lens: 140 x 100 mm on 23.5 x 15.6 wants m = 0.156, 35 mm at 0.304 m from the sensor
        (Lens(name="far", focal_length_mm=35, closest_focus_m=0.45), "closest focus"),
        # 14 mm at m = 0.156 stands at 0.12 m from the sensor: a barrel of 0.12 m is in the food
        (Lens(name="long", focal_length_mm=14, closest_focus_m=0.056, length_mm=120), "working distance"),
    ],
)
def test_a_frame_that_no_lens_gives_is_the_first_thing_said(lens: Lens, reason: str) -> None:
    s = solve(replace(LISBON, lenses=(lens,)), CLOSE, CHANNELS, LIGHT)
    first = s.unmet[0]
    assert (first.code, first.reason, first.fails) == ("frame", reason, True)
    assert first.asked == pytest.approx((140, 100))
    assert first.got == (s.frame_width_mm, s.frame_height_mm)
    assert first.ways_out
    assert s.checks[0].kind == "frame"
    assert not s.works
    assert len(frame_failures(s, METRIC)) == 1
    assert "140 x 100 mm" in setup_lines(s, METRIC)[0]


def test_a_low_camera_over_a_table_that_is_to_be_sharp_keeps_the_frame_asked_for() -> None:
    """Thin lens: 202 x 138 mm is 208 x 138 of the sensor's shape, m = 0.113, the sensor 383 mm from the dish and a
    lens of 100 mm some 280: over the table before the dish, whose own front is 67 mm from its middle.
    """
    shot = Shot(
        name="low", angle="straight-on", frame_width_mm=202, frame_height_mm=138, dish_width_mm=127, dish_height_mm=86,
        sharp="plane", camera_faces_deg=0, background_gap_mm=780,
    )  # fmt: skip
    only = replace(LISBON, lenses=LISBON.lenses[:1])
    s = solve(only, shot, (), LIGHT)
    assert s.framing.as_asked
    assert not told(s, "frame")
    # where the picture's lower edge meets the table: the lens is 43 mm and its own rise above it, and looks down
    away, down = 1000 * s.lens_distance_m, math.radians(shot.elevation)
    height = 43 + away * math.sin(down)
    ground = height / math.tan(down + math.atan(138 / 2 / away))
    along_the_axis = ground * math.cos(down) + height * math.sin(down)
    # and a few mm nearer: the dish's rim over the table, and a camera two degrees off level
    assert along_the_axis - 15 < s.depth.needed_near_m * 1000 < along_the_axis
    # what cannot all be sharp from so near is told
    assert told(s, "depth")


def test_another_lens_of_the_studio_that_can_is_offered() -> None:
    lenses = (Lens(name="far", focal_length_mm=35, closest_focus_m=0.45), *LISBON.lenses)
    named = solve(replace(LISBON, lenses=lenses), replace(CLOSE, lens="far"), (), LIGHT)
    offered = [way.name for way in named.unmet[0].ways_out if way.code == "lens"]
    assert len(offered) == 1
    assert offered[0] in {lens.name for lens in LISBON.lenses}
    free = solve(replace(LISBON, lenses=lenses), CLOSE, (), LIGHT)
    assert free.framing.as_asked
    assert free.lens != "far"


def test_a_close_crop_cuts_the_dish_as_asked_and_nothing_nags() -> None:
    near = replace(CLOSE, dish_width_mm=260)
    s = solve(LISBON, near, (Channel(name="wide", width_px=1500, height_px=1000),), LIGHT)
    assert s.framing.as_asked
    assert not told(s, "channel")
    assert all(c.holds_hero for c in s.coverage)
    # nor is there any room round a dish that is cut: less than none cannot be
    assert any(c.margin_percent < 0 for c in s.coverage)
    assert not [c for c in s.checks if c.kind == "hero"]


def test_a_background_that_cannot_melt_is_told_with_what_can_be() -> None:
    # straight on, the backdrop 100 mm behind: f/2.8 at most on the only lens
    only = replace(LISBON, lenses=(Lens(name="slow", focal_length_mm=35, widest_aperture=5.6),))
    shot = Shot(name="a", angle="straight-on", background_blur_percent=4.0, background_gap_mm=100)
    s = solve(only, shot, (), LIGHT)
    (wish,) = told(s, "background")
    assert wish.asked == (4.0,)
    assert wish.got == (s.background_blur_percent,)
    assert s.background_blur_percent < 0.95 * 4.0
    assert wish.fails
    assert wish.ways_out


def test_a_ceiling_in_the_way_is_told_as_a_wish_not_met() -> None:
    low = replace(LISBON, room=replace(LISBON.room, height_m=1.8))
    wide = Shot(
        name="top", angle="overhead", frame_width_mm=700, frame_height_mm=480, lens="35", camera_faces_deg=0
    )
    (place,) = [u for u in solve(low, wide, (), LIGHT).unmet if u.reason == "ceiling"]
    assert place.code == "place"
    assert place.fails


HANDS = Shot(
    name="hands", angle="overhead", frame_width_mm=600, frame_height_mm=400, dish_width_mm=240, dish_height_mm=50,
    moves="hand", person=True, camera_faces_deg=0, lens="35",
)  # fmt: skip


def test_hands_over_a_dish_count_in_the_depth_and_the_iso_goes_up_for_them() -> None:
    """Hands 100 mm over the rim; ISO 3200 is allowed (the camera's highest in the studio's default)."""
    camera = Camera(name="the camera", highest_iso=3200)
    s = solve(
        replace(LISBON, cameras=(camera,)), HANDS, (), replace(LIGHT, horizontal_lx=400.0, facing_lx=400.0)
    )
    top = s.lens_distance_m - 0.150
    assert s.depth.needed_near_m == pytest.approx(top, abs=1e-6)
    assert s.depth.verdict != "not enough"
    assert s.moving is not None
    assert s.moving.counted
    # by similar triangles: the hand's blur is within the circle, 5 % for the tape
    assert s.moving.blur_px * s.sensor_width_mm / s.pixels_wide <= 1.05 * s.depth.circle_mm
    assert s.f_number > 4


def test_what_the_shot_lets_blur_is_told_by_how_much() -> None:
    s = solve(LISBON, replace(HANDS, deliberate=("blur",)), (), LIGHT)
    still = solve(LISBON, replace(HANDS, moves="nothing", person=False), (), LIGHT)
    assert s.depth.needed_mm == pytest.approx(still.depth.needed_mm)
    assert s.moving is not None
    assert not s.moving.counted
    # thin lens: a point at x blurs by A m |x - s| / x, A the entrance pupil
    f, focus, at = s.focal_length_mm, 1000 * s.focus_lens_distance_m, 1000 * s.lens_distance_m - 150
    disc = f / s.f_number * magnification_at(f, focus) * (focus - at) / at
    assert s.moving.blur_px == pytest.approx(disc / (s.sensor_width_mm / s.pixels_wide), rel=1e-3)
    assert s.moving.blur_mm == pytest.approx(disc / magnification_at(f, at), rel=1e-3)
    assert any(c.kind == "moving" for c in s.checks)


@pytest.mark.parametrize(
    ("moves", "fall_mm", "counted"),
    [
        ("silk pour", 150, True),
        ("frozen drops", 150, True),
        ("falling sugar", 150, True),
        ("steam", 150, False),
    ],
)
def test_streams_and_grains_count_from_where_they_fall(moves: str, fall_mm: float, counted: bool) -> None:
    shot = replace(HANDS, moves=moves, fall_height_mm=fall_mm, person=False)
    needs = needs_of(shot, LISBON.cameras[0], (), "landscape")
    over = 100 if moves == "steam" else fall_mm
    assert needs.moving_height_mm == pytest.approx(50 + over)
    assert needs.moving_counted == counted
    assert needs.nearer_mm == pytest.approx(50 + over if counted else 50)


def test_a_stream_is_counted_only_as_far_as_the_picture_shows_it() -> None:
    # at 60 degrees a frame 200 mm high shows 100 / cos 60 = 200 mm over the aim point, half the dish up
    shot = replace(HANDS, elevation_deg=60.0, moves="silk pour", fall_height_mm=900, frame_height_mm=200)
    assert needs_of(shot, LISBON.cameras[0], (), "landscape").moving_height_mm == pytest.approx(25 + 200)


@pytest.mark.parametrize(
    ("total", "needed", "circles", "verdict"),
    [
        (147.0, 134.0, 0.9, "enough"),
        (131.0, 134.0, 1.02, "just enough"),
        (134.2, 134.4, 1.0, "enough"),
        (134.0 * (1 - DEPTH_TOLERANCE) - 1, 134.0, 1.04, "not enough"),
        (131.0, 134.0, 1.06, "not enough"),
        (math.inf, 134.0, 0.5, "enough"),
    ],
)
def test_the_verdict_on_depth_has_one_tolerance(
    total: float, needed: float, circles: float, verdict: str
) -> None:
    assert depth_verdict(total, needed, circles) == verdict


def test_the_verdict_on_depth_is_the_same_everywhere() -> None:
    studio: Studio = LISBON
    for lux in (2000.0, 300.0, 60.0):
        light = LightForShot(horizontal_lx=lux, facing_lx=lux)
        s = solve(studio, HANDS, CHANNELS, light)
        assert s.depth.enough == (s.depth.verdict != "not enough")
        assert bool(told(s, "depth")) == (s.depth.verdict == "not enough")
        assert any(s.depth.verdict in line for line in setup_lines(s, METRIC))
