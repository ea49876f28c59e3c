"""What was set on Light is what Plan looks for, and Light asks a shot's own wish again."""

from pathlib import Path

import pytest

from plateside.demo.data import copy_demo
from plateside.files.settings.load import load_shoot, open_shoot
from plateside.model.errors import InputError
from plateside.plan.light_need import light_need, need_of_all
from plateside.tasks.light.asked import asked_of
from plateside.tasks.light.choice import LightChoice, choice_of
from plateside.tasks.plan.from_light import plan_by
from plateside.tasks.studio.edit import read_settings, undo_change


@pytest.fixture
def root(tmp_path: Path) -> Path:
    copy_demo(tmp_path)
    return tmp_path


def by(root: Path, asked: LightChoice, shot: str = "") -> tuple[str, ...]:
    return plan_by(
        root, shot, asked.spot, least_lx=asked.at_least_lx, fill_stops=asked.at_most_key_fill_stops,
        direct_sun=not asked.no_direct_sun,
    )  # fmt: skip


def test_a_shots_own_least_light_shadow_and_sun_reach_plan_and_are_one_step_of_undo(root: Path) -> None:
    before = (root / "shoot.toml").read_bytes()
    names = [s.name for s in load_shoot(root / "shoot.toml").shots]
    asked = choice_of({"lux": "900", "fill": "1,5", "sun": "yes"})
    assert by(root, asked, names[1]) == (names[1],)
    opened = open_shoot(root)
    first, second, *_ = opened.shoot.shots
    assert (second.least_lx, second.fill_stops, second.direct_sun) == (900, 1.5, True)
    assert (first.least_lx, first.direct_sun) == (None, False)
    # Plan asks the light engine for just that: level light, on the table, as Light does
    needs = light_need(opened.studio, second, opened.shoot.channels).needs(
        second.fill_stops, not second.direct_sun
    )
    light = asked_of(root, asked)
    assert needs == light.needs(light.stand())
    # the light that a whole shoot needs counts a wish as well
    assert need_of_all(opened.studio, opened.shoot.shots, opened.shoot.channels).typed_lx in (None, 900)
    undo_change(root, "shoot", read_settings(root, "shoot").version)
    assert (root / "shoot.toml").read_bytes() == before


def test_what_was_left_empty_stays_and_a_spot_means_every_shot_at_it(root: Path) -> None:
    spots = [s.name for s in open_shoot(root).studio.spots]
    before = {s.name: s for s in load_shoot(root / "shoot.toml").shots}
    there = [name for name, s in before.items() if (s.spot or spots[0]) == spots[0]]
    asked = choice_of({"spot": spots[0], "lux": "350"})
    assert list(by(root, asked)) == there
    for shot in load_shoot(root / "shoot.toml").shots:
        assert shot.fill_stops == before[shot.name].fill_stops
        assert shot.least_lx == (350 if shot.name in there else before[shot.name].least_lx)


def test_a_spot_without_a_shot_is_told(root: Path) -> None:
    before = (root / "shoot.toml").read_bytes()
    with pytest.raises(InputError):
        by(root, choice_of({"spot": "nowhere", "lux": "350"}))
    assert (root / "shoot.toml").read_bytes() == before
