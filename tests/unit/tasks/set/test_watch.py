"""watch: two at once, the lamp-off check over a restart, the set card's back, what others decide meanwhile."""

import threading
from pathlib import Path

import cv2
import numpy as np
import pytest

from plateside.camera.card.pose import shows_back
from plateside.cli.main import main
from plateside.cli.verbs.watch import picture
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from plateside.files.watch_lock import WatchLock
from plateside.model.errors import InputError
from plateside.tasks.set.events import Event
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.lamp import ask_lamp_off
from plateside.tasks.set.shot import name_shot, undo_last
from plateside.tasks.set.watch import watch
from plateside.words.set.events import FOLLOWING, TAKEN_OVER
from tests.shoots.bowl import save, shoot_folder
from tests.synthetic.faults import composed, frame_of
from tests.synthetic.scenes import TEST, Scene, make_scene
from tests.unit.card.synthetic_frames import Truth, make_frame
from tests.unit.tasks.set.watched import TWO_SHOTS, bowl_picture, run


@pytest.fixture(scope="module")
def scene() -> Scene:
    return make_scene(TEST, 5, 900, 600)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = shoot_folder(tmp_path / "shoot")
    (root / "shoot.toml").write_text(TWO_SHOTS)
    return root


def card_back(seed: int) -> np.ndarray:
    focal = 900 * 35 / 23.5
    truth = Truth(
        "A5", True, 80, 10, 2, 0, 210 * focal / (900 * 0.5), focal, 0, (0.1, 0), 0.5, 0.01, 0, 900, 600
    )
    grey = make_frame(truth, seed)
    return grey if grey.ndim == 3 else cv2.cvtColor(grey, cv2.COLOR_GRAY2RGB)


def test_a_second_watcher_follows_and_takes_over(root: Path, scene: Scene) -> None:
    """Two at once: each frame is judged once, both tell it; when the first ends, the second judges."""
    stop_first, stop_second = threading.Event(), threading.Event()
    first: list[Event] = []
    second: list[Event] = []
    following, both, taken = threading.Event(), threading.Event(), threading.Event()

    def hear(told: Event) -> None:
        second.append(told)
        following.set() if told.kind == "following" else None
        taken.set() if told.kind == "watching" else None
        both.set() if told.kind == "verdict" else None

    def follow() -> None:
        watch(root, hear, stop=stop_second.is_set, poll_s=0.02)

    def judge() -> None:
        watch(root, first.append, stop=stop_first.is_set, poll_s=0.02)

    lock = WatchLock(root)
    assert lock.take()
    other = threading.Thread(target=follow)
    other.start()
    assert following.wait(180)
    lock.free()
    # whichever of the two gets the lock now, one judges and one follows
    assert taken.wait(180)
    again = threading.Thread(target=judge)
    again.start()
    save(root, "a.jpg", bowl_picture(scene, 0), 0)
    assert both.wait(180)
    stop_second.set()
    other.join(180)
    save(root, "b.jpg", bowl_picture(scene, 1), 1)
    for _ in range(9000):
        if len(read_state(root).verdicts) == 2:
            break
        threading.Event().wait(0.02)
    stop_first.set()
    again.join(180)
    kinds = [r.kind for r in Journal.open(root).rows()]
    assert (kinds.count("frame landed"), kinds.count("verdict")) == (2, 2)
    assert second[0].words == FOLLOWING and second[1].words == TAKEN_OVER
    assert [t.kind for t in first if t.kind != "decision"] == [
        "following", "landed", "verdict", "watching", "landed", "verdict",
    ]  # fmt: skip
    told = first[2]
    assert (told.name, told.word, told.shot) == ("a.jpg", "good", "bowl")
    # a verdict that was only followed is drawn as large as one's own
    assert len(picture(told, 80, plain=False, quiet=True)) > 8
    assert picture(told, 80, plain=True, quiet=True) == ["a.jpg  good  Keep it.  (bowl)"]


def test_lamp_off_one_frame_settles_it_over_a_restart(root: Path, scene: Scene) -> None:
    Journal.open(root).append("shot current", shot="bowl")
    save(root, "on.jpg", bowl_picture(scene, 0, lamp=0.6), 0)
    run(root)
    asked = ask_lamp_off(root, "bowl")
    assert asked.name == "on.jpg" and "Lamps off" in asked.lines()[1]
    assert run(root) == []
    save(root, "off.jpg", bowl_picture(scene, 1), 1)
    told = run(root)
    assert [t.kind for t in told] == ["landed", "lamp", "verdict"]
    assert "it was a lamp" in [a.code for a in told[2].judged.verdict.acts]  # type: ignore[union-attr]
    state = read_state(root)
    assert state.lamp_checks == {}
    (row,) = {id(v): v for v in state.lamps.values()}.values()
    # most of the light at the spot: 0.6 x (0.2126 x 1.7 + 0.7152 x 0.9 + 0.0722 x 0.25) = 0.61 of daylight, 38 % of all
    assert row["lamp"] and row["share"] == pytest.approx(0.61 / 1.61, abs=0.08)
    words = {state.landed[f]: (v["word"], v["change"]["code"]) for f, v in state.verdicts.items()}
    assert words["on.jpg"] == ("adjust", "lamp on")
    assert words["off.jpg"][0] == "good"
    # judged again from the files, the verdicts say the same
    again = {j.frame.name: j.verdict for j in judge_frames(root, record=False).frames}
    assert (again["on.jpg"].word, again["on.jpg"].first.code) == words["on.jpg"]
    assert "lamp off" in again["off.jpg"].rests_on
    # a frame after that is compared with nothing
    save(root, "next.jpg", bowl_picture(scene, 2), 2)
    assert [t.kind for t in run(root)] == ["landed", "verdict"]


def test_no_lamp_is_said_as_plainly(root: Path, scene: Scene) -> None:
    Journal.open(root).append("shot current", shot="bowl")
    save(root, "a.jpg", bowl_picture(scene, 0), 0)
    run(root)
    assert main(["shot", str(root), "--lamp-off"]) == 0
    save(root, "b.jpg", bowl_picture(scene, 1), 1)
    assert len([t for t in run(root) if t.kind == "lamp"]) == 1
    assert not any(row["lamp"] for row in read_state(root).lamps.values())
    assert {v["word"] for v in read_state(root).verdicts.values()} == {"good"}


def test_a_frame_of_something_else_leaves_the_check_open(root: Path, scene: Scene) -> None:
    Journal.open(root).append("shot current", shot="bowl")
    save(root, "a.jpg", bowl_picture(scene, 0), 0)
    run(root)
    ask_lamp_off(root, "bowl")
    save(root, "b.jpg", bowl_picture(make_scene(TEST, 77, 900, 600), 1), 1)
    (lamp,) = [t for t in run(root) if t.kind == "lamp"]
    assert "not show the same set-up" in lamp.words
    assert "bowl" in read_state(root).lamp_checks
    undo_last(root)
    assert read_state(root).lamp_checks == {}


def test_lamp_off_needs_a_frame_to_compare_with(root: Path) -> None:
    with pytest.raises(InputError, match="No frame of spoon has landed"):
        ask_lamp_off(root, "spoon")
    assert main(["shot", str(root), "nowhere", "--lamp-off"]) == 2


def test_the_cards_back_calls_the_next_shot(root: Path, scene: Scene) -> None:
    save(root, "0.jpg", card_back(1), 0)
    (landed, first) = run(root)
    assert (landed.kind, first.kind, first.shot) == ("landed", "card", "bowl")
    assert "next shot, bowl" in first.words
    save(root, "1.jpg", bowl_picture(scene, 0), 1)
    assert [t.shot for t in run(root) if t.kind == "verdict"] == ["bowl"]
    save(root, "2.jpg", card_back(2), 2)
    assert [t.shot for t in run(root) if t.kind == "card"] == ["spoon"]
    save(root, "3.jpg", card_back(3), 3)
    assert "last shot on the list" in next(t.words for t in run(root) if t.kind == "card")
    state = read_state(root)
    assert state.current_shot == "spoon"
    assert sorted(state.landed[f] for f in state.cards) == ["0.jpg", "2.jpg", "3.jpg"]
    # the card is no frame of a shot: not judged now, nor later, nor at a restart
    assert [state.landed[f] for f in state.verdicts] == ["1.jpg"]
    assert [j.frame.name for j in judge_frames(root).frames] == ["1.jpg"]
    assert name_shot(root, "", []).not_judged == 0
    assert run(root) == []
    undo_last(root)
    assert read_state(root).current_shot == "bowl"


def test_a_cards_front_and_a_dish_are_no_back(scene: Scene) -> None:
    focal = 900 * 35 / 23.5
    for back in (False, True):
        truth = Truth("A4", back, 60, 0, 0, 0, 297 * focal / 540, focal, 0, (0, 0), 0.8, 0.01, 0, 900, 600)
        assert shows_back(make_frame(truth, 4)) is back
    dish = frame_of(composed(scene, None, None), np.random.default_rng(0))
    assert not shows_back(np.asarray(cv2.cvtColor(dish, cv2.COLOR_RGB2GRAY), np.uint8))


def test_what_others_decide_meanwhile_is_told_once(root: Path, scene: Scene) -> None:
    told: list[Event] = []
    now = [0.0]

    def step(seconds: float) -> None:
        now[0] += max(seconds, 0.3)
        if now[0] < 0.5:
            Journal.open(root).append("shot current", shot="spoon")

    save(root, "a.jpg", bowl_picture(scene, 0), 0)
    watch(root, told.append, once=True, clock=lambda: now[0], sleep=step)
    assert [(t.kind, t.shot) for t in told] == [("shot", "spoon"), ("landed", "spoon"), ("verdict", "spoon")]
    assert told[0].words == "Current shot: spoon."
