"""The demo: every stage runs on it, its frames say that they are made, and somebody's own work is not written over."""

import json
from html.parser import HTMLParser
from pathlib import Path

import pytest

from plateside.demo import frames as demo_frames
from plateside.demo import run as demo
from plateside.demo import scenes as demo_scenes
from plateside.demo.data import demo_takes
from plateside.demo.run import DemoReport, run_demo
from plateside.files.originals.metadata import read_settings
from plateside.model.errors import InputError


class _Page(HTMLParser):
    """Collects what the page points at, and whether pictures have words."""

    def __init__(self) -> None:
        super().__init__()
        self.targets: list[str] = []
        self.without_words = 0
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        target = given.get("src") or given.get("href")
        if target:
            self.targets.append(target)
        if tag == "img" and not given.get("alt"):
            self.without_words += 1

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, DemoReport]:
    """The whole demo, small, on the scenes that come with it: three takes of two shots."""
    target = tmp_path_factory.mktemp("demo") / "out"
    takes = [t for t in demo_takes() if t["file"] in ("DEMO0101", "DEMO0103", "DEMO0202")]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(demo, "demo_takes", lambda: takes)
        patch.setattr(demo_scenes, "find_spec", lambda _name: None)
        for module in (demo_scenes, demo_frames):
            patch.setattr(module, "LONG_SIDE_PX", 900)
        return target, run_demo(target)


@pytest.mark.slow
def test_every_stage_leaves_its_results(ran: tuple[Path, DemoReport]) -> None:
    target, report = ran
    words = dict(report.verdicts)
    assert set(words) == {"DEMO0101.jpg", "DEMO0103.dng", "DEMO0202.dng"}
    assert words["DEMO0101.jpg"] != "good"  # it was made 1.7 stops too dark
    truth = json.loads((target / "shoot" / "truth.json").read_text(encoding="utf-8"))
    assert next(t for t in truth if t["name"] == "DEMO0101.jpg")["kinds"] == ["exposure"]
    assert len(list((target / "shoot" / "finished").glob("*.tif"))) == 2
    assert list((target / "shoot" / "delivery").rglob("*.webp"))
    assert list((target / "plan").glob("*.html"))


@pytest.mark.slow
def test_the_page_says_made_and_points_at_nothing_missing(ran: tuple[Path, DemoReport]) -> None:
    target, report = ran
    page = _Page()
    page.feed(report.page.read_text(encoding="utf-8"))
    assert "rendered, not photographed" in " ".join(page.text.split())
    # what stands in the pictures is the shoot's own dish: nothing else is named
    assert all(m.origin == "traced" for m in report.frames)
    assert "coffee" not in report.page.read_text(encoding="utf-8")
    assert page.without_words == 0
    local = [t for t in page.targets if not t.startswith("#")]
    assert len(local) > 12
    assert all((target / t).exists() for t in local)
    assert any("RENDERED" in line for line in report.lines())


@pytest.mark.slow
def test_the_frames_themselves_say_that_they_are_made(ran: tuple[Path, DemoReport]) -> None:
    target, _report = ran
    frames = target / "shoot" / "frames"
    assert "simulated" in read_settings(frames / "DEMO0103.jpg").camera_model.lower()
    assert "simulated" in read_settings(frames / "DEMO0103.dng").camera_model.lower()


def test_somebody_elses_shoot_is_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "shoot").mkdir()
    own = tmp_path / "shoot" / "shoot.toml"
    own.write_text("format = 1\n", encoding="utf-8")
    with pytest.raises(InputError, match="not the demo's"):
        run_demo(tmp_path)
    assert own.read_text(encoding="utf-8") == "format = 1\n"
