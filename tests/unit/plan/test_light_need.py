"""The light that shots need, by arithmetic: N from the depth, the shutter from what moves, E = 250 N² / (t S)."""

from dataclasses import replace

import pytest

from plateside.camera.setup import LightForShot
from plateside.model.gear import Camera
from plateside.model.shoot import Shot
from plateside.plan.light_need import STILL_S, USUAL, light_need, need_of_all
from plateside.plan.setup import solve
from tests.unit.plan.rooms import CHANNELS, LISBON

STILL = Shot(name="still", angle="overhead", frame_width_mm=450, frame_height_mm=300, dish_height_mm=60)
POUR = replace(STILL, name="pour", angle="three-quarter", moves="frozen drops", fall_height_mm=120)


def test_a_still_thing_is_asked_for_a_second_at_base_iso() -> None:
    need = light_need(LISBON, STILL, ())
    assert (need.exposure_s, need.iso) == (STILL_S, 100)
    # 450 x 300 on 23.5 x 15.6: m = 0.052; diagonal/1500 = 0.0188; 60 mm deep: N = 60 m² / (2 c (1 + m)) = 4.1 or more
    assert need.f_number == pytest.approx(2 ** (4 / 2), rel=0.07)
    effective = need.f_number * (1 + 15.6 / 300)
    assert need.metered_lx == pytest.approx(max(250 * effective**2 / (1.0 * 100), 40.0), rel=0.01)
    assert need.level_share == pytest.approx(1.0)


def test_drops_ask_for_their_own_shutter_at_the_highest_iso() -> None:
    need = light_need(LISBON, POUR, ())
    camera = LISBON.cameras[0]
    assert need.iso == camera.highest_iso
    # 120 mm of fall: 1.53 m/s; four circles of 0.0188 mm at m = 0.052: 1/1060 s
    assert need.exposure_s == pytest.approx(1 / 1060, rel=0.15)
    assert need_of_all(LISBON, (STILL, POUR), ()).shot == "pour"
    assert need.metered_lx > 20 * light_need(LISBON, STILL, ()).metered_lx


@pytest.mark.parametrize(
    "shot", [STILL, POUR, replace(POUR, moves="hand"), replace(STILL, angle="straight-on")]
)
def test_with_the_light_needed_the_solver_takes_the_shot(shot: Shot) -> None:
    need = light_need(LISBON, shot, CHANNELS)
    lux = 1.3 * need.metered_lx
    s = solve(LISBON, shot, CHANNELS, LightForShot(horizontal_lx=lux, facing_lx=lux))
    told = {u.code for u in s.unmet}
    assert not told & {"light", "motion"}


def test_less_than_the_usual_is_said_when_nothing_is_written() -> None:
    assert need_of_all(LISBON, (), ()) == USUAL
    # f/8, 1 s, ISO 100 by ISO 2720: 250 * 64 / 100
    assert USUAL.metered_lx == 160
    assert light_need(replace(LISBON, cameras=()), STILL, ()) == USUAL
    assert USUAL.needs(None).because


def test_by_hand_the_reciprocal_rule_counts() -> None:
    bare = replace(LISBON, supports=(), cameras=(Camera(name="c"),))
    need = light_need(bare, replace(STILL, lens="35"), ())
    # 1/(35 x 1.53 x 1.1), full frame's diagonal over this one's
    assert need.exposure_s == pytest.approx(1 / 59, rel=0.2)
    assert need.iso == bare.cameras[0].highest_iso
