"""What one frame tells of a blur by itself; the truth is how the picture was made."""

from itertools import islice

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.frames import kinds
from plateside.frames.blur_features import ALONE_NAMES
from plateside.frames.edges import find_edges, smoothed
from plateside.frames.kinds import BlurKind, kind_of
from plateside.frames.sharpness import focus_of, profile, sharp_across
from plateside.frames.subject import on_subject
from tests.photographs import photograph
from tests.synthetic.faults import composed, disc, frame_of, streak
from tests.synthetic.sauces import sauce
from tests.synthetic.scenes import TEST, TRAIN, Scene, make_scene
from tests.unit.frames.facts import facts
from tests.unit.frames.shapes import shapes

BOX = (0.25, 0.2, 0.75, 0.8)


def shown(picture: NDArray[np.float32]) -> NDArray[np.uint8]:
    return np.dstack([np.clip(picture * 255 + 0.5, 0, 255).astype(np.uint8)] * 3)


def test_a_shake_leaves_nothing_sharp_across_it_and_what_moved_by_itself_does() -> None:
    still = shapes()
    moved = np.asarray(cv2.filter2D(still, -1, streak(14.0, 25.0)), np.float32)
    high, wide = still.shape
    seen: list[float] = []
    for around in (moved, still):
        picture = around.copy()
        rows, columns = slice(high // 5, high * 4 // 5), slice(wide // 4, wide * 3 // 4)
        picture[rows, columns] = moved[rows, columns]
        edges = find_edges(smoothed(shown(picture)))
        hero = on_subject(edges.x, edges.y, BOX, wide, high)
        direction = profile(edges.chosen(hero))[2]
        seen.append(sharp_across(edges.chosen(~hero), direction, wide, high))
    assert seen[0] == pytest.approx(0.0, abs=0.1)
    assert seen[1] > 0.6


@pytest.mark.parametrize("seed", [9100, 9108, 9109])
def test_a_sauce_that_moved_is_not_called_sharp(seed: int) -> None:
    moved, box = sauce(TEST + TRAIN, seed, moved=True)
    assert kind_of(focus_of(moved, box))[0] is not BlurKind.SHARP


def told(p: tuple[float, ...], sharp_around: float, monkeypatch: pytest.MonkeyPatch) -> BlurKind:
    """What is told with these probabilities (keep, defocus, shake, motion, elsewhere) where a streak is borne out."""
    features = dict.fromkeys(ALONE_NAMES, 0.0) | {"directions agree": 2.0, "subject most direction": 1.5}
    focus = facts(1.0).focus
    changed = {"features": tuple(features.values()), "sharp_across": sharp_around}
    monkeypatch.setattr(kinds, "probabilities", lambda _features, _model: p)
    return kind_of(type(focus)(**{**vars(focus), **changed}))[0]


def test_with_sharp_edges_across_it_all_around_no_shake_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    shake, own = (0.0, 0.0, 0.9, 0.1, 0.0), (0.0, 0.0, 0.6, 0.4, 0.0)
    assert told(shake, 0.0, monkeypatch) is BlurKind.SHAKE
    assert told(shake, -1.0, monkeypatch) is BlurKind.SHAKE
    assert told(shake, 0.9, monkeypatch) is BlurKind.UNSURE
    assert told(own, 0.9, monkeypatch) is BlurKind.MOTION


def test_what_is_more_likely_fit_to_keep_is_looked_at_and_not_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert told((0.6, 0.0, 0.1, 0.3, 0.0), 0.0, monkeypatch) is BlurKind.UNSURE
    assert told((0.4, 0.0, 0.1, 0.5, 0.0), 0.0, monkeypatch) is BlurKind.MOTION


@pytest.mark.parametrize("name", ["coffee", "chelsea", "rocket", "grass", "gravel", "brick", "coins"])
def test_a_sharp_photograph_is_sharp(name: str) -> None:
    picture = photograph(name)
    rgb = picture if picture.ndim == 3 else np.dstack([picture] * 3)
    assert kind_of(focus_of(np.ascontiguousarray(rgb), (0.2, 0.2, 0.8, 0.8)))[0] is BlurKind.SHARP


def test_a_photograph_taken_while_the_camera_moved_is_not_sharp() -> None:
    # scikit-image: "a wall clock ... taken while moving the camera in an approximately horizontal direction"
    kind = kind_of(focus_of(np.dstack([photograph("clock")] * 3), (0.2, 0.2, 0.8, 0.8)))[0]
    assert kind in (BlurKind.SHAKE, BlurKind.MOTION)


def low_dishes(number: int) -> list[Scene]:
    """Scenes whose dish is seen low: it is less than half as high as wide, and its box holds much of the table."""
    scenes = (make_scene(TEST + TRAIN, seed, 600, 400) for seed in range(600, 700))

    def low(scene: Scene) -> bool:
        rows = np.flatnonzero(scene.hero.cover.max(axis=1) > 0.5)
        return bool((rows[-1] - rows[0]) < 0.5 * scene.hero.cover.shape[1])

    return list(islice((scene for scene in scenes if low(scene)), number))


def test_a_low_dish_out_of_focus_is_not_kept_for_the_sharp_table_in_its_box() -> None:
    rng = np.random.default_rng(3)
    scenes = low_dishes(10)
    still = [kind_of(focus_of(frame_of(composed(s, None, None), rng), s.subject_box))[0] for s in scenes]
    soft = [kind_of(focus_of(frame_of(composed(s, None, disc(4.0)), rng), s.subject_box))[0] for s in scenes]
    assert all(kind.keeps for kind in still)
    assert sum(kind in (BlurKind.SHARP, BlurKind.SHALLOW) for kind in soft) == 0
    assert sum(kind is BlurKind.ELSEWHERE for kind in soft) >= 6


def beside_the_middle(seed: int) -> NDArray[np.uint8]:
    """A sharp dish in a third of the frame, all around it melted."""
    scene = make_scene(TEST + TRAIN, seed, 900, 600)
    linear = composed(scene, disc(8.0), None)
    x = int(scene.hero.x) - 100
    return frame_of(np.ascontiguousarray(linear[:, x : x + 450]), np.random.default_rng(seed))


@pytest.mark.parametrize("seed", [700, 701, 702, 703, 704, 705])
def test_without_a_shot_a_sharp_dish_beside_the_middle_is_no_fault(seed: int) -> None:
    focus = focus_of(beside_the_middle(seed), (0.25, 0.25, 0.75, 0.75))
    assert kind_of(focus, placed=False)[0].keeps


def test_without_a_shot_a_frame_that_is_streaked_all_over_is_still_a_shake() -> None:
    told_kinds = []
    for seed in range(710, 716):
        rng = np.random.default_rng(seed)
        linear = composed(make_scene(TEST + TRAIN, seed, 900, 600), None, None)
        shaken = np.asarray(cv2.filter2D(linear, -1, streak(18.0, 30.0)), np.float32)
        focus = focus_of(frame_of(shaken, rng, noise=0.002), (0.25, 0.25, 0.75, 0.75))
        told_kinds.append(kind_of(focus, placed=False)[0])
    assert set(told_kinds) <= {BlurKind.SHAKE, BlurKind.UNSURE}
    assert told_kinds.count(BlurKind.SHAKE) >= 3
