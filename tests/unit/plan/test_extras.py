"""What a set-up needs besides, counted in time and exposure."""

import math
from dataclasses import replace

import pytest

from plateside.camera.findings import Finding
from plateside.demo.data import copy_demo
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.model.progress import silent
from plateside.model.shoot import Shot
from plateside.plan.extras import EXTRA_MIN, extra_minutes, offers_of
from plateside.plan.light_need import light_need
from plateside.plan.setup import solve
from plateside.tasks.plan.setup import light_of, plan_of


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> OpenShoot:
    root = tmp_path_factory.mktemp("extras")
    copy_demo(root)
    return open_shoot(root)


def _exposure(opened: OpenShoot, shot: Shot) -> float:
    s = solve(opened.studio, shot, opened.shoot.channels, light_of(opened, shot, None, 900.0))
    # log2 of t S / N^2: what the settings let in; what is still missing is told as under_stops
    return math.log2(s.exposure_s * s.iso / s.effective_f_number**2) + s.under_stops


def test_a_polarisers_stops_are_in_exposure_and_need(opened: OpenShoot) -> None:
    shot = opened.shoot.shots[0]
    filtered = replace(shot, polariser_stops=1.5)
    # APEX: what a filter takes is added to the exposure; marks of the scales are a third of a stop apart
    assert _exposure(opened, filtered) - _exposure(opened, shot) == pytest.approx(1.5, abs=0.34)
    # of the most demanding shot: what needs next to nothing is held at a least light
    hard = max(opened.shoot.shots, key=lambda s: light_need(opened.studio, s, ()).metered_lx)
    plain, more = (
        light_need(opened.studio, replace(hard, polariser_stops=lost), opened.shoot.channels)
        for lost in (None, 1.5)
    )
    assert more.metered_lx / plain.metered_lx == pytest.approx(2**1.5)


def test_frames_besides_take_their_time_before_the_hero(opened: OpenShoot) -> None:
    shots = opened.shoot.shots
    asked = replace(shots[0], extras=("clean frame", "grey card"))
    assert extra_minutes(shots[0]) == 0
    assert extra_minutes(asked) == 2 * EXTRA_MIN
    more = replace(opened, shoot=replace(opened.shoot, shots=(asked, *shots[1:])))
    for one, minutes in ((opened, 0.0), (more, 2 * EXTRA_MIN)):
        slot = next(s for s in plan_of(one, 900.0, silent).day.slots if s.shot == shots[0].name)
        setting = (slot.set_by - slot.starts).total_seconds() / 60
        assert setting == pytest.approx(0.6 * shots[0].minutes + minutes)


def test_what_helps_is_offered_and_what_is_there_is_not() -> None:
    mirror = Finding(kind="gloss", ok=True, code="window", about="window", got=0.4, unit="share")
    shiny = Shot(name="a", glossy=True)
    assert offers_of(shiny, (mirror,)) == ("polariser", "grey card")
    assert offers_of(shiny, ()) == ("grey card",)
    assert offers_of(replace(shiny, polariser_stops=1.4, extras=("grey card",)), (mirror,)) == ()
    assert "clean frame" in offers_of(Shot(name="a", moves="silk pour"), ())
    assert "clean frame" in offers_of(Shot(name="a", person=True), ())
    assert "clean frame" not in offers_of(Shot(name="a", person=True, extras=("clean frame",)), ())
