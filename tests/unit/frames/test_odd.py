"""What one frame shows alone, on frames made with the truth known."""

import numpy as np
from numpy.typing import NDArray

from plateside.frames.odd import beside
from tests.photographs import photograph

BOX = (0.25, 0.2, 0.75, 0.8)


def _frame(seed: int, gain: float = 1.0) -> NDArray[np.uint8]:
    noise = np.random.default_rng(seed).normal(0, 2, (400, 600, 3))
    return np.clip(photograph("coffee") * gain + noise, 0, 255).astype(np.uint8)


def test_a_thing_in_one_frame_is_found_with_its_size_and_exposure_is_not_taken_for_it() -> None:
    frames = [_frame(n) for n in range(4)]
    # encoded values times 0.85 are 0.516 stop less light by a power of 2.2
    frames[1] = _frame(1, 0.85)
    frames[2][150:230, 200:320] = (250, 240, 40)
    told = beside(frames, BOX)
    # 80 x 120 px of a box of 300 x 240
    assert abs(told[2].odd_share - 80 * 120 / (300 * 240)) < 0.04
    assert max(told[n].odd_share for n in (0, 1, 3)) < 0.004
    assert abs(told[1].stops - told[0].stops - 2.2 * np.log2(0.85)) < 0.05


def test_a_frame_that_is_moved_aside_or_is_another_scene_is_odd_as_a_whole() -> None:
    frames = [_frame(n) for n in range(4)]
    frames[3] = np.ascontiguousarray(np.roll(frames[3], 120, axis=1))
    assert beside(frames, BOX)[3].odd_share > 0.2
    assert beside(frames, BOX)[0].odd_share < 0.004


def test_two_frames_cannot_outvote_each_other() -> None:
    one, two = _frame(0), _frame(1)
    two[100:300, 100:300] = 255
    assert [t.odd_share for t in beside([one, two], BOX)] == [0.0, 0.0]
