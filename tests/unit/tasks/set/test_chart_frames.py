"""A frame of a colour chart: of no shot, told as what it is, not judged; and a picture once you say so."""

from pathlib import Path

import numpy as np
import pytest

from plateside.cli.main import main
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.originals.identity import content_hash
from plateside.tasks.choose.selects import choose_frames
from plateside.tasks.set.events import Event
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.now import OnSet
from plateside.tasks.set.shot import name_shot, undo_last
from tests.shoots.bowl import save, shoot_folder
from tests.synthetic.chart_frames import as_shown, chart_flat, seen_on, table
from tests.unit.tasks.set.watched import TWO_SHOTS, run


@pytest.fixture(scope="module")
def pictures() -> dict[str, np.ndarray]:
    """A dish, then the chart beside it, a little from the side."""
    rng = np.random.default_rng(7)
    plain = table(rng)[::2, ::2]
    charted = seen_on(plain, chart_flat(), rng, 0.4, 12, 0.2)
    return {"1-dish.jpg": as_shown(plain, rng), "2-chart.jpg": as_shown(charted, rng)}


@pytest.fixture
def shoot(tmp_path: Path, pictures: dict[str, np.ndarray]) -> Path:
    root = shoot_folder(tmp_path / "shoot")
    (root / "shoot.toml").write_text(TWO_SHOTS, encoding="utf-8")
    for minute, (name, picture) in enumerate(pictures.items()):
        save(root, name, picture, minute)
    return root


def chart_id(root: Path) -> str:
    return content_hash(root / "frames" / "2-chart.jpg")


def of_chart(told: list[Event]) -> list[str]:
    return [event.kind for event in told if event.name == "2-chart.jpg"]


def test_it_lands_is_told_and_is_of_no_shot(shoot: Path) -> None:
    name_shot(shoot, "bowl", [])
    assert of_chart(run(shoot)) == ["landed", "chart"]
    state = read_state(shoot)
    assert (state.charts_seen, state.to_judge()) == ({chart_id(shoot)}, [])
    assert set(state.shot_of.values()) == {"bowl"} and chart_id(shoot) not in state.shot_of
    assert of_chart(run(shoot)) == []
    frame = OnSet(shoot).now().frame
    assert frame and (frame.name, frame.chart, frame.shot, frame.word) == ("2-chart.jpg", True, "", "")


def test_you_say_its_shot_and_it_is_judged_until_you_take_that_back(shoot: Path) -> None:
    run(shoot)
    name_shot(shoot, "spoon", ["2-chart.jpg"])
    assert of_chart(run(shoot))[-1] == "verdict"
    state = read_state(shoot)
    assert (state.shot_of[chart_id(shoot)], state.charts_seen) == ("spoon", set())
    assert state.verdicts[chart_id(shoot)]["shot"] == "spoon"
    assert not OnSet(shoot).now().frame.chart  # type: ignore[union-attr]
    undo_last(shoot)
    assert read_state(shoot).charts_seen == {chart_id(shoot)}
    assert read_state(shoot).to_judge() == []


def test_the_command_says_so_too_and_never_chooses_it(
    shoot: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for _ in range(2):
        assert main(["judge", str(shoot)]) == 0
        said = capsys.readouterr().out
        assert said.count("2-chart.jpg") == 1
        assert "2-chart.jpg shows a colour chart" in said
    assert judge_frames(shoot).charts == ("2-chart.jpg",)
    rows = [row.kind for row in Journal.open(shoot).rows() if row.data.get("frame") == chart_id(shoot)]
    assert rows == ["frame landed", "chart seen"]
    assert "2-chart.jpg" not in str(choose_frames(shoot).shots)


def test_what_you_kept_before_it_could_be_told_stays_a_picture(shoot: Path) -> None:
    rows = [("frame landed", {"frame": chart_id(shoot), "name": "2-chart.jpg", "shot": "bowl"})]
    Journal.open(shoot).append_many([*rows, ("kept", {"frame": chart_id(shoot)})])
    assert judge_frames(shoot).charts == ()
    assert read_state(shoot).verdicts[chart_id(shoot)]["shot"] == "bowl"
