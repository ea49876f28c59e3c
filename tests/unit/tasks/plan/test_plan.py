"""The plan task over real settings files: the demo's rooms, light typed and light predicted, sheets on disk."""

import json
import re
import shutil
from pathlib import Path

import pytest

import plateside.demo
from plateside.cli.main import main
from plateside.files.settings.load import open_shoot
from plateside.model.errors import CouldNotError, InputError
from plateside.model.progress import silent
from plateside.tasks.plan.day import plan_shoot
from plateside.tasks.plan.setup import good_steps, light_of, plan_of
from plateside.tasks.report import as_json

DEMO = Path(plateside.demo.__file__).parent


@pytest.fixture
def lisbon(tmp_path: Path) -> Path:
    root = tmp_path / "soup – été"
    root.mkdir()
    for name in ("shoot.toml", "studio.toml"):
        shutil.copy(DEMO / name, root / name)
    return root


def test_every_shot_gets_an_hour_and_a_set_up(lisbon: Path) -> None:
    report = plan_shoot(lisbon, lux=900)
    names = [s.shot for s in report.day.slots]
    assert sorted(names) == sorted(s.shot for s in report.set_ups)
    assert not report.unsolved
    # thin lens by hand, 35 mm for 700 x 500 mm: lens 1.157 m, sensor 1.193 m above the surface
    top = next(s for s in report.set_ups if s.shot == "three-bowls")
    assert top.lens_above_surface_m == pytest.approx(1.157, abs=0.001)
    assert [n.code for n in report.day.notes if n.code in ("plates", "holding")] == ["plates", "holding"]
    assert (report.day.rule.code, report.day.rule.country) == ("EU", "PT")
    assert json.loads(json.dumps(as_json(report)))["day"]["slots"][0]["shot"] == names[0]


def test_no_hour_is_called_good_with_less_light_than_the_light_page_asks_for(lisbon: Path) -> None:
    shoot = lisbon / "shoot.toml"
    text = re.sub(r"(?m)^date = .*$", 'date = "2027-12-21"', shoot.read_text(encoding="utf-8"))
    shoot.write_text(re.sub(r"(?m)^(sky|fill_stops) = .*$", "", text), encoding="utf-8")
    lights = plan_of(open_shoot(lisbon), None, silent).lights
    days = [light.day for light in lights.values() if light.day is not None]
    assert days
    for day in days:
        assert (day.horizontal_lx < 40).any(), "the winter day has dark hours"
        assert (day.horizontal_lx[good_steps(day)] >= 40).all()


def test_light_is_predicted_when_none_is_typed(lisbon: Path) -> None:
    report = plan_shoot(lisbon)
    light = report.set_ups[0].light
    assert light.source == "predicted"
    assert light.when is not None
    assert light.low_share < 1 < light.high_share
    # the window faces 20 degrees: in Lisbon in July the sun leaves it before noon, so the good light is soft
    assert all(s.good_light for s in report.day.slots)
    assert not any(s.light.direct_sun for s in report.set_ups)
    # the key comes by the front window
    assert light.key_faces_deg is not None
    assert min(light.key_faces_deg, 360 - light.key_faces_deg) < 60
    # the day's steps and a moment of its own are two roads through the light engine
    opened = open_shoot(lisbon)
    shot = next(s for s in opened.shoot.shots if s.name == report.set_ups[0].shot)
    moment = light_of(opened, shot, light.when, None)
    assert light.horizontal_lx == pytest.approx(moment.horizontal_lx, rel=0.05)
    assert light.facing_lx == pytest.approx(moment.facing_lx, rel=0.08)
    assert light.high_share == pytest.approx(moment.high_share, rel=0.2)
    assert moment.key_faces_deg is not None
    assert abs((light.key_faces_deg - moment.key_faces_deg + 180) % 360 - 180) < 30


def test_sheets_are_written_and_written_again(lisbon: Path, tmp_path: Path) -> None:
    out = tmp_path / "out" / "plan"
    for _ in range(2):
        report = plan_shoot(lisbon, out, lux=900)
    assert report.written[0] == out / "call-sheet.html"
    assert report.written[1] == out / "call-sheet.pdf"
    assert report.written[1].read_bytes().startswith(b"%PDF")
    text = (out / "call-sheet.html").read_text(encoding="utf-8")
    for s in report.set_ups:
        assert (out / "cards" / f"{s.shot}.html").is_file()
        assert f'id="{s.shot}"' in text
    assert not list(out.glob("**/*.part*"))


def test_a_place_that_cannot_be_written_is_told(lisbon: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(CouldNotError, match="--out"):
        plan_shoot(lisbon, tmp_path / "file" / "plan", lux=900)


def test_a_day_that_ends_before_it_begins(lisbon: Path) -> None:
    shoot = lisbon / "shoot.toml"
    text = shoot.read_text(encoding="utf-8")
    turned = re.sub(r"(?m)^to_time = .*$", 'to_time = "08:00"', text, count=1)
    assert turned != text
    shoot.write_text(turned, encoding="utf-8")
    with pytest.raises(InputError):
        plan_shoot(lisbon, lux=900)


def test_the_command_gives_json(lisbon: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", str(lisbon), "--lux", "900", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["day"]["rule"]["own"] is False
    assert len(found["set_ups"]) == len(found["day"]["slots"])


@pytest.mark.parametrize(("room", "code"), [("melbourne", "AU"), ("edinburgh", "GB hot")])
def test_each_country_has_its_own_holding_rule(room: str, code: str, tmp_path: Path) -> None:
    # Australia: FSANZ, Standard 3.2.2; Scotland: SSI 2006/3
    shutil.copytree(DEMO / room, tmp_path / room)
    report = plan_shoot(tmp_path / room, lux=300)
    assert report.day.rule.code == code


def test_light_that_was_read_is_good_only_for_the_shots_that_it_suffices(lisbon: Path) -> None:
    # the pour asks for f/8, 1/60 s and ISO 3200: 250 x 64 x 1.1 / (3200 / 60) = 350 lx and less for what stands still
    slots = {s.shot: s for s in plan_shoot(lisbon, lux=300).day.slots}
    assert not slots["pour"].good_light
    (short,) = [r for r in slots["pour"].remarks if r.code == "light"]
    assert short.needed_lx == pytest.approx(350, rel=0.05)
    assert short.illuminance_lx == pytest.approx(300, rel=0.01)
    assert slots["one-bowl"].good_light
    assert all(s.good_light for s in plan_shoot(lisbon, lux=900).day.slots)
