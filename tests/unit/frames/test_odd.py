"""What one frame shows alone, on frames made with the truth known."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.odd import Beside, beside, small, usual_of
from plateside.frames.register import shift_between
from plateside.ground.srgb import to_display, to_linear
from tests.photographs import photograph

BOX = (0.25, 0.2, 0.75, 0.8)


def _frame(seed: int, gain: float = 1.0) -> NDArray[np.uint8]:
    noise = np.random.default_rng(seed).normal(0, 2, (400, 600, 3))
    return np.clip(photograph("coffee") * gain + noise, 0, 255).astype(np.uint8)


def _told(frames: list[NDArray[np.uint8]]) -> list[Beside]:
    return beside([small(frame) for frame in frames], BOX)


def test_a_thing_in_one_frame_is_found_with_its_size_and_exposure_is_not_taken_for_it() -> None:
    frames = [_frame(n) for n in range(4)]
    # encoded values times 0.85 are 0.516 stop less light by a power of 2.2
    frames[1] = _frame(1, 0.85)
    frames[2][150:230, 200:320] = (250, 240, 40)
    told = _told(frames)
    # 80 x 120 px of a box of 300 x 240
    assert abs(told[2].odd_share - 80 * 120 / (300 * 240)) < 0.04
    assert max(told[n].odd_share for n in (0, 1, 3)) < 0.004
    assert abs(told[1].stops - told[0].stops - 2.2 * np.log2(0.85)) < 0.05


def test_a_frame_that_is_moved_aside_or_is_another_scene_is_odd_as_a_whole() -> None:
    frames = [_frame(n) for n in range(4)]
    frames[3] = np.ascontiguousarray(np.roll(frames[3], 120, axis=1))
    assert _told(frames)[3].odd_share > 0.2
    assert _told(frames)[0].odd_share < 0.004


def test_two_frames_cannot_outvote_each_other() -> None:
    one, two = _frame(0), _frame(1)
    two[100:300, 100:300] = 255
    assert [t.odd_share for t in _told([one, two])] == [0.0, 0.0]


def test_a_turned_frame_is_told_by_its_angle_and_hand_held_ones_are_not() -> None:
    frames = [_frame(n) for n in range(4)]
    matrix = cv2.getRotationMatrix2D((300, 200), 2.0, 1.0)
    frames[2] = np.asarray(
        cv2.warpAffine(frames[2], matrix, (600, 400), borderMode=cv2.BORDER_REFLECT), np.uint8
    )
    told = _told(frames)
    assert abs(abs(told[2].turn_deg) - 2.0) < 0.2
    assert max(abs(told[n].turn_deg) for n in (0, 1, 3)) < 0.1


def test_of_frames_that_are_all_composed_differently_none_is_odd() -> None:
    frames = [np.ascontiguousarray(np.roll(_frame(n), 130 * n, axis=1)) for n in range(4)]
    assert [t.odd_share for t in _told(frames)] == [0.0] * 4


def _scene(dish: tuple[int, int], shift: tuple[int, int] = (0, 0), seed: int = 0) -> NDArray[np.uint8]:
    """A plate on a strewn table, the camera moved by a shift; the plate's middle in px of the table."""
    rng = np.random.default_rng(5)
    table = np.full((700, 1000, 3), (60, 70, 66), np.uint8)
    for _ in range(900):
        at = (int(rng.integers(1000)), int(rng.integers(700)))
        cv2.circle(table, at, int(rng.integers(2, 7)), rng.integers(30, 230, 3).tolist(), -1, cv2.LINE_AA)
    at = (dish[0] + 200, dish[1] + 150)
    cv2.ellipse(table, at, (120, 90), 0, 0, 360, (215, 212, 205), -1, cv2.LINE_AA)
    cv2.ellipse(table, at, (80, 60), 0, 0, 360, (160, 60, 30), -1, cv2.LINE_AA)
    x, y = 200 + shift[0], 150 + shift[1]
    part = cv2.GaussianBlur(table, (0, 0), 0.7)[y : y + 400, x : x + 600]
    noise = np.random.default_rng(seed).normal(0, 1.5, part.shape)
    return np.clip(part + noise, 0, 255).astype(np.uint8)


def test_a_frame_framed_anew_is_odd_as_a_whole_and_yet_tells_which_of_the_others_is() -> None:
    # the same table shows in all three: the dish lies 40 px aside in the second alone
    frames = [_scene((300, 200), seed=1), _scene((340, 215), seed=2), _scene((300, 200), (-110, -80), seed=3)]
    told = _told(frames)
    assert told[0].odd_share < 0.004 < 0.05 < told[1].odd_share < 1.0
    assert told[2].odd_share == 1.0


def test_of_three_the_one_framed_anew_says_which_of_the_others_is_warmer() -> None:
    frames = [_scene((300, 200), seed=1), _scene((300, 200), seed=2), _scene((300, 200), (-110, -80), seed=3)]
    frames[1] = np.clip(frames[1] * np.array([1.08, 1.0, 0.92]), 0, 255).astype(np.uint8)
    told = _told(frames)
    assert abs(told[0].cast_mired) < 2 < 10 < told[1].cast_mired


def test_two_of_four_that_are_off_do_not_move_the_ruler() -> None:
    # half and whole a stop brighter in linear light; a median of four would lie a quarter stop off the other two
    frames = [_scene((300, 200), seed=n) for n in range(4)]
    linear = [to_linear(f / 255.0) for f in frames]
    for at, stops in ((1, 0.5), (2, 1.0)):
        frames[at] = np.asarray(to_display(np.minimum(linear[at] * 2.0**stops, 1)) * 255, np.uint8)
    told = [one.stops for one in _told(frames)]
    assert max(abs(told[0]), abs(told[3])) < 0.02
    assert abs(told[1] - 0.5) < 0.08 and abs(told[2] - 1.0) < 0.08  # dark parts are lifted a little


def test_what_most_are_is_the_one_dense_cluster_else_the_middle() -> None:
    assert usual_of(np.array([0.0, 0.01, 0.5, 1.0]), 0.06) == 0.005
    assert usual_of(np.array([0.0, 0.5, 1.0]), 0.06) == 0.5
    # two against two: nobody has the majority
    assert abs(usual_of(np.array([0.0, 0.01, 0.5, 0.51]), 0.06) - 0.255) < 1e-9


def test_frames_of_nearly_one_shape_are_held_beside_each_other() -> None:
    # a raw's preview is some rows taller than its JPEG
    frames = [_frame(n) for n in range(4)]
    frames[0] = np.ascontiguousarray(np.pad(frames[0], ((4, 4), (0, 0), (0, 0)), "edge"))
    frames[2][150:230, 200:320] = (250, 240, 40)
    told = _told(frames)
    assert told[2].odd_share > 0.05
    assert max(told[n].odd_share for n in (0, 1, 3)) < 0.004


def test_pictures_are_not_changed_by_looking_for_a_shift() -> None:
    # of these sizes OpenCV's phase correlation lays its window over what it is given
    for shape in ((160, 240), (300, 400)):
        one = np.random.default_rng(0).random(shape, dtype=np.float32)
        two = np.roll(one, 3, axis=1)
        before = one.copy(), two.copy()
        (x, y), _ = shift_between(one, two)
        assert abs(x - 3) < 0.1 and abs(y) < 0.1
        assert np.array_equal(one, before[0]) and np.array_equal(two, before[1])


def test_a_turn_among_many_frames_is_seen_beside_a_frame_that_is_overexposed() -> None:
    frames = [_scene((300, 200), seed=n) for n in range(5)]
    matrix = cv2.getRotationMatrix2D((300, 200), 1.6, 1.0)
    frames[3] = np.asarray(
        cv2.warpAffine(frames[3], matrix, (600, 400), borderMode=cv2.BORDER_REFLECT), np.uint8
    )
    frames[4] = np.clip(frames[4] * 1.5, 0, 255).astype(np.uint8)
    told = _told(frames)
    assert abs(abs(told[3].turn_deg) - 1.6) < 0.2
    assert max(abs(told[n].turn_deg) for n in (0, 1, 2, 4)) < 0.1
