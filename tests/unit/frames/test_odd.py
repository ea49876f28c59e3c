"""What one frame shows alone, on frames made with the truth known."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.odd import Beside, beside, small
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
