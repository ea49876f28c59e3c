"""Room for the tripod's feet, the camera and the person behind it: told when there is none, with ways that hold."""

import math
import random
import re
from dataclasses import replace

import pytest

from plateside.camera.setup import SetUp
from plateside.model.gear import Lens, Support
from plateside.model.room import Block, Spot
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.plan.footing import BODY_M, FOOT_M, feet, leg_turn, point_short
from plateside.plan.setup import solve
from plateside.plan.standing import CameraStand, lacks, ways_out
from tests.unit.plan.rooms import CHANNELS, LIGHT, LISBON, random_shot, random_studio

TRIPOD = Support(name="tripod", kind="tripod", feet_radius_m=0.45, lowest_m=0.2, highest_m=2.0)


def stand(**given: object) -> CameraStand:
    """A low camera 0.9 m from a dish in the middle of a room 4.2 by 3.1 m."""
    studio = given.pop("studio", LISBON)
    assert isinstance(studio, Studio)
    spot = Spot(name="here", from_left_m=2.1, from_front_m=1.5, table_width_m=0.8, table_depth_m=0.8)
    usual: dict[str, object] = {
        "studio": studio, "spot": spot, "support": TRIPOD, "faces_deg": 90.0, "elevation_deg": 5.0,
        "aim_above_table_m": 0.03, "sensor_distance_m": 0.9, "overhead": False, "dish_radius_m": 0.1, "column": None,
    }  # fmt: skip
    return CameraStand(**{**usual, **given})  # type: ignore[arg-type]


def said(at: CameraStand) -> str:
    return "; ".join(x.words for x in lacks(at))


def near_the_left_wall(gap_m: float) -> CameraStand:
    """The camera looks to the right from `gap_m` off the left wall."""
    spot = Spot(
        name="here", from_left_m=gap_m + 0.9 * math.cos(math.radians(5)), from_front_m=1.5, table_width_m=0.8
    )
    return stand(spot=spot)


def test_in_the_middle_of_a_room_there_is_room_for_all() -> None:
    assert lacks(stand()) == []


def test_an_equilateral_tripod_stands_half_its_reach_from_a_wall() -> None:
    # two feet along the wall, the third away from it: cos 60 degrees of the radius
    least = 0.45 * math.cos(math.radians(60)) + FOOT_M
    assert "feet" not in said(near_the_left_wall(least + 0.005))
    assert "the feet of tripod would stand 0.02 m into the left wall" in said(
        near_the_left_wall(least - 0.02)
    )
    # in a corner it cannot turn away from both: more than the half is needed
    corner = leg_turn(LISBON, (least + 0.005, least + 0.005), 0.45, 0.0)[1]
    assert corner.by_m > 0.05


def test_feet_may_stand_under_a_wall_cupboard_but_not_in_a_fridge() -> None:
    fridge = Block(name="fridge", from_left_m=0.7, from_front_m=1.2, width_m=0.6, depth_m=0.6, height_m=1.8)
    beside = stand(studio=replace(LISBON, furniture=(fridge,)))
    assert "fridge" in said(beside)
    hung = stand(studio=replace(LISBON, furniture=(replace(fridge, bottom_m=2.0, height_m=0.4),)))
    assert lacks(hung) == []


def test_the_camera_does_not_stand_in_furniture() -> None:
    fridge = Block(name="fridge", from_left_m=1.0, from_front_m=1.2, width_m=0.6, depth_m=0.6, height_m=1.8)
    assert said(stand(studio=replace(LISBON, furniture=(fridge,)))).startswith("the camera would be")
    low = replace(fridge, height_m=0.4)
    assert "the camera would" not in said(stand(studio=replace(LISBON, furniture=(low,)), elevation_deg=45.0))


def test_nobody_behind_or_beside_the_camera_is_told() -> None:
    # a corridor as wide as the tripod's feet: walls to both sides, and the camera's back to the third
    narrow = replace(LISBON, room=replace(LISBON.room, width_m=2.0, depth_m=1.0))
    spot = Spot(name="here", from_left_m=1.4, from_front_m=0.5, table_width_m=0.6, table_depth_m=0.6)
    small = replace(TRIPOD, feet_radius_m=0.2)
    tight = stand(studio=narrow, spot=spot, support=small, sensor_distance_m=1.1)
    assert "nobody finds room behind or beside the camera" in said(tight)
    by_hand = stand(studio=narrow, spot=spot, support=replace(small, kind="hand"), sensor_distance_m=1.1)
    assert "nobody finds room behind the camera" in said(by_hand)


def test_a_column_inside_the_tables_edge_is_told_by_how_much() -> None:
    wide = Spot(name="here", from_left_m=2.1, from_front_m=1.5, table_width_m=2.4, table_depth_m=2.4)
    assert "inside the table's edge" in said(stand(spot=wide, dish_radius_m=1.1))
    s = solve(LISBON, Shot(name="a", lens="35", support="travel tripod", elevation_deg=60.0), CHANNELS, LIGHT)
    assert any("set the dish that much nearer" in c.words for c in s.checks)


def test_a_low_wall_behind_the_camera_turns_the_solver_to_a_shorter_focal_length() -> None:
    zoom = Lens(
        name="zoom", focal_length_mm=18, focal_length_to_mm=55, widest_aperture=3.5, closest_focus_m=0.25
    )
    shot = Shot(name="a", support="tripod", elevation_deg=5.0, camera_faces_deg=90.0, frame_width_mm=500.0)
    spot = Spot(name="here", from_left_m=0.75, from_front_m=1.5, table_width_m=0.6, table_depth_m=0.6)
    room = replace(LISBON, supports=(TRIPOD,), lenses=(zoom,), spots=(spot,))
    tight, free = (
        solve(room, shot, (), LIGHT),
        solve(replace(room, spots=(replace(spot, from_left_m=2.6),)), shot, (), LIGHT),
    )
    assert tight.focal_length_mm < 0.8 * free.focal_length_mm
    assert tight.sensor_m[0] >= 0.45 / 2 + FOOT_M - 1e-6


def test_the_ways_out_are_ways_out() -> None:
    """Law: whatever is offered, done as it is said, leaves nothing that does not fit."""
    rng = random.Random(20261125)
    offered = 0
    for n in range(60):
        studio = random_studio(rng)
        room = studio.room
        fridge = Block(
            name="fridge", from_left_m=rng.uniform(0, room.width_m - 0.6),
            from_front_m=rng.uniform(0, room.depth_m - 0.6), width_m=0.6, depth_m=0.6, height_m=1.8,
        )  # fmt: skip
        other = Spot(
            name="other", from_left_m=room.width_m / 2, from_front_m=room.depth_m / 2, table_width_m=0.6
        )
        studio = replace(studio, furniture=(fridge,), spots=(*studio.spots, other))
        at = stand(
            studio=studio, spot=studio.spots[0], faces_deg=rng.choice((0.0, 90.0, 180.0, 270.0)),
            elevation_deg=rng.choice((5.0, 45.0)), sensor_distance_m=rng.uniform(0.5, 1.4),
        )  # fmt: skip
        if not lacks(at):
            continue
        for way in ways_out(at, 50.0, studio.lenses):
            offered += 1
            if turned := re.search(r"to face (\d+)°", way):
                assert lacks(replace(at, faces_deg=float(turned[1]))) == [], n
            elif way.startswith("shoot at"):
                assert lacks(replace(at, spot=other)) == [], n
            else:
                name = way.split("“")[1].split("”")[0]
                lens = next(x for x in studio.lenses if x.name == name)
                at_mm = re.search(r"at (\d+) mm", way)
                f = float(at_mm[1]) if at_mm else lens.focal_length_mm
                assert f < 50.0
                assert lens.focal_length_mm <= f <= (lens.focal_length_to_mm or lens.focal_length_mm)
    assert offered > 20


def test_what_is_not_told_stands_free_whatever_the_room() -> None:
    """Law, by another way of reckoning: a set-up of which nothing is said has feet and body clear of every wall."""
    rng = random.Random(7)
    told = free = 0
    for n in range(28):
        studio = random_studio(rng)
        shot, light = random_shot(rng, f"s{n}")
        s: SetUp = solve(studio, shot, CHANNELS, light)
        bad = [c for c in s.checks if c.kind in ("room", "ceiling") and not c.ok]
        if bad:
            told += 1
            assert re.search(r"turn the camera|table spot|lens|frame tighter", bad[0].words)
            continue
        free += 1
        w, d = studio.room.width_m, studio.room.depth_m
        x, y, _ = s.sensor_m
        assert min(x, w - x, y, d - y) > 0.05
        if s.rig is not None and s.rig.column_m is not None:
            radius = next(p.feet_radius_m for p in studio.supports if p.name == s.support)
            cx, cy = s.rig.column_m[:2]
            freest = max(
                min(
                    min(px, w - px, py, d - py)
                    for px, py in (
                        (cx + radius * math.cos(t + k * 2.0944), cy + radius * math.sin(t + k * 2.0944))
                        for k in range(3)
                    )
                )
                for t in (math.radians(deg / 2) for deg in range(240))
            )
            assert freest > 0.0, n
        # somebody of 0.5 m breadth stands within arm's reach of the camera, or at the table under it
        reach = 1.3 if s.elevation_deg >= 75 else 0.5
        near = [(x + reach * math.cos(a / 20), y + reach * math.sin(a / 20)) for a in range(126)]
        assert any(
            BODY_M - 0.06 < px < w - BODY_M + 0.06 and BODY_M - 0.06 < py < d - BODY_M + 0.06
            for px, py in near
        ), n
    assert free > 8
    assert told > 1


@pytest.mark.parametrize("turn", [0.0, 33.0, 120.0, 250.0])
def test_feet_are_a_third_of_a_turn_apart_and_stand_where_the_legs_say(turn: float) -> None:
    three = feet((1.0, 2.0), 0.4, turn)
    assert all(math.dist(p, (1.0, 2.0)) == pytest.approx(0.4) for p in three)
    assert math.dist(three[0], three[1]) == pytest.approx(0.4 * math.sqrt(3))
    assert sum(p[0] for p in three) / 3 == pytest.approx(1.0)


def test_how_short_is_measured_along_the_nearest_way_out() -> None:
    assert point_short(LISBON, (0.1, 1.5), 0.25).by_m == pytest.approx(0.15)
    block = replace(
        LISBON, furniture=(Block(name="b", from_left_m=1, from_front_m=1, width_m=1, depth_m=1, height_m=1),)
    )
    inside = point_short(block, (1.9, 1.5), 0.25)  # 0.1 m from its right side
    assert inside.what == "b"
    assert inside.by_m == pytest.approx(0.35)
    assert point_short(block, (2.2, 1.5), 0.25).by_m == pytest.approx(0.05)
