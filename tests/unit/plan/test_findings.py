"""What a set-up meets in the room: walls, ceiling, supports, shadows, mirror images, the rig."""

from dataclasses import replace

import numpy as np
import pytest

from plateside.camera.findings import Finding
from plateside.camera.optics import depth_limits_mm
from plateside.camera.setup import LightForShot, SetUp
from plateside.ground.exposure import F_NUMBERS
from plateside.model.gear import Support
from plateside.model.room import Spot
from plateside.model.shoot import Channel, PlacedBoard, Shot
from plateside.model.studio import Studio
from plateside.paper.shot_card import shot_sheet
from plateside.plan.camera_needs import HERO_ROOM, channel_room, circle_of, needs_of
from plateside.plan.rigging import stand_for
from plateside.plan.scene import board_rectangle, middle, table_edge_m, window_rectangle
from plateside.plan.setup import NoDaylightError, solve
from plateside.words.plan.set_up import setup_lines
from plateside.words.units import METRIC
from tests.unit.plan.rooms import CHANNELS, LIGHT, LISBON

TOP = Shot(
    name="top", angle="overhead", frame_width_mm=450, frame_height_mm=300, lens="35", camera_faces_deg=0
)


def found(s: SetUp, kind: str) -> list[Finding]:
    return [c for c in s.checks if c.kind == kind]


def test_a_low_ceiling_is_met() -> None:
    low = replace(LISBON, room=replace(LISBON.room, height_m=1.8))
    wide = replace(TOP, frame_width_mm=700.0, frame_height_mm=480.0)
    s = solve(low, wide, (), LIGHT)
    assert any(not c.ok for c in found(s, "ceiling"))
    assert not s.works


def test_a_tripod_that_is_too_short_is_told() -> None:
    short = (Support(name="small", kind="tripod", highest_m=0.9),)
    shot = Shot(
        name="a", support="small", lens="35", elevation_deg=60.0, frame_width_mm=500, frame_height_mm=340
    )
    s = solve(replace(LISBON, supports=short), shot, (), LIGHT)
    (low,) = [c for c in found(s, "height") if not c.ok]
    assert (low.code, low.about, low.asked) == ("support too low", "small", 0.9)
    assert low.got == s.lens_above_floor_m


def test_a_plain_tripod_does_not_hang_over_the_table() -> None:
    s = solve(LISBON, replace(TOP, support="travel tripod"), (), LIGHT)
    assert [(c.code, c.ok) for c in found(s, "arm")] == [("legs in frame", False)]


def test_an_arm_too_short_for_the_frame_is_told() -> None:
    arm = (Support(name="arm", kind="arm", arm_reach_m=0.15, highest_m=2.2, arm_weight_kg=0.3),)
    s = solve(replace(LISBON, supports=arm), replace(TOP, support="arm"), (), LIGHT)
    assert any(not c.ok for c in found(s, "arm"))


def test_over_the_makers_load_limit() -> None:
    weak = tuple(replace(x, load_limit_kg=0.5) for x in LISBON.supports)
    s = solve(replace(LISBON, supports=weak), replace(TOP, support="arm"), (), LIGHT)
    assert s.rig is not None
    assert s.rig.over_load_limit
    assert not s.works
    assert (s.rig.load_kg > 0.5, s.rig.load_limit_kg) == (True, 0.5)


def test_the_column_stands_off_the_table_inside_the_room_and_away_from_the_window() -> None:
    spot, arm = LISBON.spots[0], LISBON.supports[1]
    lens = (2.1, 2.5, 1.9)
    window = window_rectangle(LISBON, LISBON.windows[0])
    side, column = stand_for(LISBON, spot, arm, 0.0, lens, window)
    assert 0 < column[0] < 4.2
    assert 0 < column[1] < 3.1
    # 0.6 m reach, table edge 0.4 m away to the back: not towards the window
    assert side == "near"
    assert column[1] < lens[1]
    taken, _ = stand_for(LISBON, spot, arm, 0.0, lens, window, ["near"])
    assert taken != "near"


def test_standing_between_window_and_dish_is_told() -> None:
    # the dish is 2 m from the window and the camera looks away from it
    deep = replace(LISBON, spots=(Spot(name="deep", from_left_m=2.1, from_front_m=2.0, height_m=0.78),))
    shot = Shot(name="a", angle="straight-on", camera_faces_deg=180, lens="35", frame_width_mm=450)
    s = solve(deep, shot, (), LIGHT)
    assert {c.about for c in found(s, "shadow") if c.code == "shades"} & {"you", "camera"}
    aside = solve(deep, replace(shot, camera_faces_deg=90.0), (), LIGHT)
    assert [c.code for c in found(aside, "shadow")] == ["clear"]


def test_the_sun_behind_an_overhead_camera_throws_its_shadow_on_the_dish() -> None:
    sun = LightForShot(
        horizontal_lx=20000, facing_lx=20000, key_faces_deg=0, key_elevation_deg=89, direct_sun=True
    )
    s = solve(LISBON, TOP, (), sun)
    assert ("shades", "camera", False) in {(c.code, c.about, c.ok) for c in found(s, "shadow")}
    low = solve(LISBON, TOP, (), replace(sun, key_elevation_deg=35))
    (falls,) = [c for c in found(low, "shadow") if c.code == "camera's shadow"]
    # the lens is 0.9 m up: the shadow of a sun 35 degrees high falls its height over tan 35 away
    assert falls.got == pytest.approx(low.lens_above_surface_m / np.tan(np.radians(35)), rel=0.05)


def test_a_glossy_dish_before_the_window_mirrors_it_and_the_way_out_works() -> None:
    shot = Shot(name="a", camera_faces_deg=0, elevation_deg=50, lens="35", dish_height_mm=40, glossy=True)
    s = solve(LISBON, shot, (), LIGHT)
    (mirrors,) = [c for c in found(s, "gloss") if c.code == "mirrors"]
    assert dict(mirrors.parts)["kitchen window"] > 0
    away = solve(LISBON, replace(shot, camera_faces_deg=90.0), (), LIGHT)
    assert "kitchen window" not in {name for c in found(away, "gloss") for name in (c.about, *dict(c.parts))}
    matt = solve(LISBON, replace(shot, glossy=False), (), LIGHT)
    assert found(matt, "gloss") == []


def test_a_far_board_is_told_where_it_fills_the_gloss() -> None:
    shot = Shot(
        name="a",
        camera_faces_deg=90,
        elevation_deg=25,
        lens="35",
        dish_width_mm=150,
        glossy=True,
        boards=(PlacedBoard(board="white", side="far", distance_m=1.4),),
    )
    s = solve(LISBON, shot, (), LIGHT)
    (board,) = [c for c in found(s, "gloss") if c.code == "board"]
    assert (board.about, board.ways[0].code) == ("white board", "board at")


def test_windows_lie_on_their_walls() -> None:
    for bearing, wall in ((20, "front"), (110, "right"), (200, "back"), (290, "left")):
        # 0.4 m from the wall's left end, seen from inside
        w = replace(LISBON.windows[0], bearing_deg=float(bearing), from_left_m=0.4)
        room = replace(LISBON.room, front_bearing_deg=20.0)
        studio = replace(LISBON, windows=(w,), room=room)
        assert studio.wall_of(w) == wall
        r = window_rectangle(studio, w)
        mid = middle(r)
        expected = {
            "front": (1.0, 3.1),
            "right": (4.2, 3.1 - 1.0),
            "back": (4.2 - 1.0, 0.0),
            "left": (0.0, 1.0),
        }[wall]
        assert mid[:2] == pytest.approx(expected)
        assert mid[2] == pytest.approx(0.78 + 0.6)


def test_boards_stand_where_the_camera_sees_them() -> None:
    shot = Shot(name="a", camera_faces_deg=90)
    dish = (2.1, 1.5, 0.78)
    # looking right (+x): far is +x, left is +y
    far = middle(board_rectangle(LISBON, shot, PlacedBoard(board="white", side="far", distance_m=0.5), dish))
    left = middle(
        board_rectangle(LISBON, shot, PlacedBoard(board="white", side="left", distance_m=0.5), dish)
    )
    assert far == pytest.approx((2.6, 1.5, 0.78 + 0.25))
    assert left == pytest.approx((2.1, 2.0, 0.78 + 0.25))


def test_table_edges() -> None:
    spot = Spot(name="a", from_left_m=2, from_front_m=1, table_width_m=1.0, table_depth_m=0.8)
    assert table_edge_m(LISBON, spot, 0) == pytest.approx(0.4)
    assert table_edge_m(LISBON, spot, 90) == pytest.approx(0.5)
    assert table_edge_m(LISBON, spot, 45) == pytest.approx(0.4 * np.sqrt(2))


def test_crops_of_every_channel() -> None:
    # arithmetic: 4000 x 6000 gives 16:9 as 4000 x 2250, 9:16 as 3375 x 6000
    w, h = np.array([400.0]), np.array([600.0])
    wide = channel_room(w, h, Channel(name="w", width_px=1600, height_px=900), 100, 100)
    assert (wide.crop_width[0], wide.crop_height[0]) == pytest.approx((400, 225))
    tall = channel_room(w, h, Channel(name="t", width_px=1080, height_px=1920), 100, 100)
    assert (tall.crop_width[0], tall.crop_height[0]) == pytest.approx((337.5, 600))
    assert tall.ratio[0] == pytest.approx(3.375)


@pytest.mark.parametrize("side", ["top", "bottom", "left", "right"])
def test_text_keeps_its_third_clear_of_the_hero(side: str) -> None:
    """By placing the crop and checking that the hero, in the frame's middle, lies in the other two thirds."""
    channel = Channel(name="c", width_px=1080, height_px=1920, text_space=side)
    fw, fh, hero = 900.0, 700.0, 120.0
    room = channel_room(np.array([fw]), np.array([fh]), channel, hero, hero)
    assert room.ratio[0] >= HERO_ROOM
    along, crop = (fh, room.crop_height[0]) if side in ("top", "bottom") else (fw, room.crop_width[0])
    slack = (along - crop) / 2
    fits = [
        d
        for d in np.linspace(-slack, slack, 401)
        if d - crop / 2 <= -hero / 2 and d + crop / 2 - crop / 3 >= hero / 2
    ]
    assert fits


def test_the_circle_is_the_most_demanding_channels_within_bounds() -> None:
    pixel = 23.5 / 6000
    easy, _ = circle_of(23.5, 15.6, pixel, ())
    assert easy == pytest.approx(0.0188, abs=1e-4)
    hard, because = circle_of(23.5, 15.6, pixel, (Channel(name="big", width_px=6000, height_px=4000),))
    assert hard == pytest.approx(2 * pixel)
    assert because.code == "pixels"
    some, because = circle_of(23.5, 15.6, pixel, (Channel(name="mid", width_px=2400, height_px=1600),))
    assert some == pytest.approx(1.5 * 23.4 / 2400, rel=0.01)
    assert (because.code, because.channel, because.width_px) == ("channel", "mid", 2400)


@pytest.mark.parametrize(
    ("angle", "sharp", "needed"),
    [
        ("overhead", "hero", 60.0),
        ("three-quarter", "hero", (130 + 60) * np.sqrt(0.5)),
        ("three-quarter", "front", (130 + 60) * np.sqrt(0.5) / 6),
    ],
)
def test_depth_needed(angle: str, sharp: str, needed: float) -> None:
    # by hand: a bowl of 130 mm needs 130 cos 45 = 92 mm and its rim's height
    shot = Shot(name="a", angle=angle, sharp=sharp, dish_width_mm=130, dish_height_mm=60)
    n = needs_of(shot, LISBON.cameras[0], CHANNELS, "landscape")
    assert n.nearer_mm + n.farther_mm == pytest.approx(needed, rel=1e-6)


def test_the_polar_night_is_answered_for_every_shot() -> None:
    dark = LightForShot(horizontal_lx=3.0, facing_lx=1.0)
    studio: Studio = LISBON
    with pytest.raises(NoDaylightError):
        solve(studio, TOP, (), dark)


@pytest.mark.parametrize(
    "changes",
    [
        {"elevation_deg": 0.0, "dish_height_mm": 0.0},
        {"elevation_deg": 90.0, "dish_height_mm": 0.0, "angle": "overhead"},
        {"elevation_deg": 75.0, "angle": "overhead"},
        {"frame_width_mm": 20.0, "frame_height_mm": 20.0, "dish_width_mm": 10.0},
        {"frame_width_mm": 4000.0, "frame_height_mm": 4000.0},
        {"dish_width_mm": 1500.0, "dish_height_mm": 800.0},
        {"background_blur_percent": 50.0, "angle": "straight-on"},
        {"moves": "frozen drops", "fall_height_mm": 1500.0},
        {"background_gap_mm": 0.0, "sharp": "front"},
    ],
    ids=str,
)
def test_the_ends_of_every_range_are_answered(changes: dict[str, object]) -> None:
    shot = replace(Shot(name="edge", glossy=True), **changes)  # type: ignore[arg-type]
    bare = replace(LISBON, supports=(), boards=(), windows=())
    for studio in (LISBON, bare):
        s = solve(studio, shot, CHANNELS, LIGHT)
        assert np.isfinite(s.merit)
        assert s.lens_distance_m > 0
        assert setup_lines(s, METRIC)
        assert shot_sheet(studio, shot, s, None)


@pytest.mark.parametrize(("moves", "frame_mm"), [("nothing", 120), ("hand", 120), ("hand", 200)])
def test_a_depth_that_is_lacking_comes_with_its_cure(moves: str, frame_mm: int) -> None:
    near = Shot(
        name="near", angle="three-quarter", frame_width_mm=frame_mm, frame_height_mm=frame_mm / 1.5,
        dish_width_mm=100,
        dish_height_mm=60, lens="35", sharp="hero", moves=moves,
    )  # fmt: skip
    s = solve(LISBON, near, (), replace(LIGHT, horizontal_lx=120.0))
    assert not s.depth.enough
    (lacking,) = found(s, "depth")
    assert lacking.unmet is not None
    ways = {w.code: w for w in lacking.unmet.ways_out}
    lens = next(x for x in LISBON.lenses if x.name == s.lens)
    depths = {
        m.exact: np.subtract(*depth_limits_mm(
            s.focal_length_mm, m.exact, s.depth.circle_mm, 1000 * s.focus_lens_distance_m, s.pupil_magnification
        )[::-1])
        for m in F_NUMBERS if m.exact <= lens.smallest_aperture * 1.01
    }  # fmt: skip
    # the first mark that holds it, and none before; without such a mark none is named
    holding = [exact for exact, depth in depths.items() if depth >= s.depth.needed_mm]
    assert (ways["aperture"].value if "aperture" in ways else None) == (holding[0] if holding else None)
    assert ("stack" in ways) == (s.stack is not None)
    assert {"far soft", "soft or crop"} & set(ways)
