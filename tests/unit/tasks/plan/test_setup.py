"""The set-up task and its command."""

import json
import shutil
from pathlib import Path

import pytest

import plateside.demo
from plateside.cli.main import main
from plateside.model.errors import InputError
from plateside.tasks.plan.setup import set_up

DEMO = Path(plateside.demo.__file__).parent


@pytest.fixture
def lisbon(tmp_path: Path) -> Path:
    for name in ("shoot.toml", "studio.toml"):
        shutil.copy(DEMO / name, tmp_path / name)
    return tmp_path


def test_one_shot_under_typed_light(lisbon: Path) -> None:
    report = set_up(lisbon, "three-bowls", lux=900)
    assert [s.shot for s in report.set_ups] == ["three-bowls"]
    s = report.set_ups[0]
    assert s.illuminance_lx == pytest.approx(900)
    assert s.light.source == "typed"
    # thin lens by hand, 35 mm for 700 x 500 mm
    assert (s.lens_above_surface_m, s.sensor_above_surface_m) == pytest.approx((1.157, 1.193), abs=0.001)
    assert report.exit_status == 0


def test_all_shots_at_an_hour(lisbon: Path) -> None:
    report = set_up(lisbon, at="14:00")
    assert len(report.set_ups) > 1
    for s in report.set_ups:
        assert s.light.when is not None
        assert (s.light.when.hour, str(s.light.when.tzinfo)) == (14, "Europe/Lisbon")


def test_the_dark_is_told_and_is_not_a_crash(lisbon: Path, capsys: pytest.CaptureFixture[str]) -> None:
    report = set_up(lisbon, "three-bowls", at="03:00")
    assert not report.set_ups
    assert "no daylight" in report.unsolved[0]
    assert report.exit_status == 1
    assert main(["setup", str(lisbon), "three-bowls", "--at", "03:00"]) == 1
    assert "one lamp" in capsys.readouterr().out


@pytest.mark.parametrize("at", ["noon", "25:00", "12", "12:61"])
def test_an_hour_that_is_none(lisbon: Path, at: str) -> None:
    with pytest.raises(InputError, match="13:30"):
        set_up(lisbon, at=at)


@pytest.mark.parametrize("lux", [0.0, -5.0, float("nan"), 1e9])
def test_light_that_is_none(lisbon: Path, lux: float) -> None:
    with pytest.raises(InputError, match="lx"):
        set_up(lisbon, lux=lux)


def test_a_shot_that_is_not_there(lisbon: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["setup", str(lisbon), "nope", "--lux", "900"]) == 2
    assert "three-bowls" in capsys.readouterr().err


def test_the_command_gives_json(lisbon: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["setup", str(lisbon), "three-bowls", "--lux", "900", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["set_ups"][0]
    assert found["f_number_words"].startswith("f/")
    assert found["rig"]["safety_between_legs"] < found["rig"]["safety_over_leg"]
