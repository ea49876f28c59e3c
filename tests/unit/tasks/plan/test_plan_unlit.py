"""A day planned before the studio has a window, or a place for the dish: said plainly, and the rest planned."""

from pathlib import Path

import pytest

from plateside.cli.main import main
from plateside.demo.data import copy_demo
from plateside.files.settings.load import load_studio, open_shoot
from plateside.files.settings.write import Put, update_studio
from plateside.model.errors import SettingsError
from plateside.plan.unlit import ASSUMED, ASSUMED_LX
from plateside.tasks.plan.day import plan_shoot
from plateside.tasks.plan.picture import draw_picture
from plateside.tasks.plan.planned import Memory, sheet
from plateside.tasks.plan.setup import set_up
from plateside.tasks.plan.shown import planned_day


@pytest.fixture
def dark(tmp_path: Path) -> Path:
    """The demo's shoot in its kitchen, without the window."""
    root = tmp_path / "shoot"
    root.mkdir()
    copy_demo(root)
    windowless(root)
    return root


def windowless(root: Path) -> None:
    studio = load_studio(root / "studio.toml")
    unhung = [Put(("diffusers", n, "window"), "") for n, d in enumerate(studio.diffusers) if d.window]
    update_studio(root, unhung)
    text, inside, kept = (root / "studio.toml").read_text(encoding="utf-8"), False, []
    for line in text.splitlines():
        if line.lstrip().startswith("["):
            inside = line.lstrip().startswith("[[windows")
        kept += [] if inside else [line]
    (root / "studio.toml").write_text("\n".join(kept) + "\n", encoding="utf-8")
    assert not open_shoot(root).studio.windows


def test_a_room_without_a_window_is_said_and_everything_else_is_planned(
    dark: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", str(dark)]) == 0
    said = capsys.readouterr().out
    assert "The studio has no window yet, so the light is not known." in said.splitlines()[1]
    assert "Studio page" in said
    assert "good light" not in said.lower()
    assert "about 0 lx" not in said
    report = plan_shoot(dark)
    # what rests on tape and clock is what it is with any light
    lit = plan_shoot(dark, lux=ASSUMED_LX)
    assert [s.hero_in for s in report.day.slots] == [s.hero_in for s in lit.day.slots]
    assert report.day.kitchen == lit.day.kitchen
    assert [s.lens_distance_m for s in report.set_ups] == [s.lens_distance_m for s in lit.set_ups]
    assert len(report.set_ups) == len(open_shoot(dark).shoot.shots)
    # and each card says that its exposure is not of this kitchen
    for s in report.set_ups:
        assert ("assumed", ASSUMED_LX) in {(c.code, c.got) for c in s.checks if not c.ok}
    assert {s.light.source for s in set_up(dark, "pour", at="12:00").set_ups} == {ASSUMED}


def test_the_page_and_its_sheet_say_so(dark: Path) -> None:
    memory = Memory()
    shown = planned_day(dark, memory)
    assert shown.unlit.startswith("The studio has no window yet")
    assert shown.unlit not in shown.notes
    assert all(s.light is None and s.slot is not None and s.card is not None for s in shown.shots)
    assert not shown.good_for_all
    body = sheet(dark, memory).body
    assert "not known: the studio has no window yet" in body
    assert "light not known" in body
    assert "good light</td>" not in body
    with pytest.raises(SettingsError, match="no window yet"):
        draw_picture(dark, "pour")


def test_an_empty_studio_is_no_error(tmp_path: Path) -> None:
    (tmp_path / "studio.toml").write_text(
        'format = 1\n[place]\nlatitude_deg = 38.7\nlongitude_deg = -9.1\ntimezone = "Europe/Lisbon"\n'
        "[room]\nwidth_m = 4\ndepth_m = 3\n", encoding="utf-8"
    )  # fmt: skip
    (tmp_path / "shoot.toml").write_text(
        'format = 1\ndate = "2027-07-15"\n[recipe]\ntitle = "Soup"\n[[recipe.steps]]\nname = "cook"\ntakes = "PT40M"\n'
        '[creator]\nname = "A"\n[[shots]]\nname = "bowl"\nangle = "overhead"\n', encoding="utf-8"
    )  # fmt: skip
    report = plan_shoot(tmp_path)
    assert [t.name for t in report.day.kitchen] == ["cook"]
    assert len(report.day.slots) == 1
    assert report.set_ups == ()
    assert "needs a camera" in report.unsolved[0]
    shown = planned_day(tmp_path, Memory())
    assert shown.unlit
    assert "assumed" not in shown.unlit, "no set-up, so no exposure that could be assumed"
    assert shown.shots[0].problem == report.unsolved[0]
