"""watch: files changed while it runs, frames put into another shot, asked for again, and moves taken back."""

from collections.abc import Callable
from pathlib import Path

import pytest

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.tasks.set.events import Event
from plateside.tasks.set.press import press
from plateside.tasks.set.shot import name_shot, undo_last
from plateside.tasks.set.watch import watch
from tests.shoots.bowl import SHOOT, save, shoot_folder
from tests.synthetic.scenes import TEST, Scene, make_scene
from tests.unit.tasks.set.watched import TWO_SHOTS, bowl_picture

THIRD = '[[shots]]\nname = "from-above"\nangle = "overhead"\nframe_width_mm = 450\nframe_height_mm = 300\n'


@pytest.fixture(scope="module")
def scene() -> Scene:
    return make_scene(TEST, 5, 900, 600)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = shoot_folder(tmp_path / "shoot")
    (root / "shoot.toml").write_text(TWO_SHOTS)
    return root


def run(root: Path, *steps: Callable[[], object]) -> list[Event]:
    """One watch on a clock of its own; each step is taken once all before it has been told."""
    now, quiet, left, told = [0.0], [0], list(steps), []

    def say(one: Event) -> None:
        quiet[0] = 0
        told.append(one)

    def sleep(seconds: float) -> None:
        now[0] += max(seconds, 0.3)
        quiet[0] += 1
        if quiet[0] >= 8 and left:
            quiet[0] = 0
            left.pop(0)()

    watch(root, say, stop=lambda: not left and quiet[0] >= 8, clock=lambda: now[0], sleep=sleep)
    return told


def verdicts(root: Path) -> list[tuple[str, str]]:
    """(file, shot) of each verdict row."""
    rows = Journal.open(root).rows()
    names = {r.data["frame"]: r.data["name"] for r in rows if r.kind == "frame landed"}
    return [(names[r.data["frame"]], r.data["shot"]) for r in rows if r.kind == "verdict"]


def test_a_shot_added_while_it_runs_is_known(root: Path, scene: Scene) -> None:
    def add() -> None:
        (root / "shoot.toml").write_text(TWO_SHOTS + THIRD)
        name_shot(root, "from-above", [])

    run(root, add, lambda: save(root, "P1.jpg", bowl_picture(scene, 1), 0))
    assert verdicts(root) == [("P1.jpg", "from-above")]
    state = read_state(root)
    assert list(state.shot_of.values()) == ["from-above"]
    assert not state.guessed


def test_a_broken_file_is_told_once_and_frames_are_judged_as_before(root: Path, scene: Scene) -> None:
    told = run(
        root,
        lambda: (root / "shoot.toml").write_text(TWO_SHOTS + "[[shots\n"),
        lambda: save(root, "P1.jpg", bowl_picture(scene, 1), 0),
        lambda: (root / "shoot.toml").write_text(SHOOT),
    )
    said = [t.words for t in told if t.kind == "settings"]
    assert len(said) == 1
    assert [name for name, _shot in verdicts(root)] == ["P1.jpg"]


def test_a_frame_put_into_another_shot_is_judged_again_also_after_a_restart(root: Path, scene: Scene) -> None:
    name_shot(root, "spoon", [])
    save(root, "P1.jpg", bowl_picture(scene, 1), 0)
    frame: list[str] = []

    def move(shot: str) -> None:
        frame[:] = read_state(root).landed
        press(root, "frame belongs", {"frame": frame[0], "shot": shot}, Journal.open(root).last_number())

    run(root, lambda: move("bowl"))
    assert verdicts(root) == [("P1.jpg", "spoon"), ("P1.jpg", "bowl")]
    move("spoon")  # nobody watches now
    run(root)
    assert verdicts(root)[2:] == [("P1.jpg", "spoon")]
    run(root)
    assert len(verdicts(root)) == 3


def test_asked_for_again_it_is_judged_once_more(root: Path, scene: Scene) -> None:
    name_shot(root, "bowl", [])
    save(root, "P1.jpg", bowl_picture(scene, 1), 0)

    def again() -> None:
        (frame,) = read_state(root).landed
        press(root, "judge again", {"frame": frame}, Journal.open(root).last_number())
        assert read_state(root).to_judge() == [frame]

    run(root, again)
    assert verdicts(root) == [("P1.jpg", "bowl")] * 2
    assert read_state(root).to_judge() == []


def test_taking_back_the_move_to_a_shot_leaves_its_frames_there(root: Path, scene: Scene) -> None:
    name_shot(root, "spoon", [])
    run(root, lambda: save(root, "P1.jpg", bowl_picture(scene, 1), 0))
    undo_last(root)
    state = read_state(root)
    assert state.current_shot == ""
    assert list(state.shot_of.values()) == ["spoon"]
    assert state.to_judge() == []
