"""A frame a few pixels larger than its test frame, one with a small preview, one turned: compared, or refused."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.frames.compare import Comparison, compare, reference_of
from plateside.frames.exposure import small_linear
from plateside.model.frame import Settings
from tests.synthetic.faults import blurred, composed, disc, frame_of
from tests.synthetic.scenes import TEST, make_scene

BOX = (0.25, 0.2, 0.75, 0.8)


@pytest.fixture(scope="module")
def linear() -> NDArray[np.float32]:
    """Eight pixels larger each way than the camera's JPEG, as a sensor is."""
    return composed(make_scene(TEST, 5, 908, 608), None, None) * np.float32(0.6)


def against(before: NDArray[np.uint8], after: NDArray[np.uint8]) -> Comparison | None:
    reference = reference_of("r", before, small_linear(before), Settings(), BOX)
    return compare(reference, after, small_linear(after), Settings())


def shot_at(linear: NDArray[np.float32], stops: float = 0.0) -> NDArray[np.uint8]:
    return frame_of(linear, np.random.default_rng(1), stops=stops)


@pytest.mark.parametrize("width", [908, 640])
def test_a_larger_raw_and_a_small_preview_are_compared(linear: NDArray[np.float32], width: int) -> None:
    before = shot_at(np.ascontiguousarray(linear[4:604, 4:904]))
    later = shot_at(linear, stops=-0.5)
    if width < 900:
        later = np.asarray(
            cv2.resize(later, (width, width * 608 // 908), interpolation=cv2.INTER_AREA), np.uint8
        )
    seen = against(before, later)
    assert seen is not None and seen.fits
    assert seen.stops == pytest.approx(-0.5, abs=0.04)
    assert seen.moved_share < 0.01 and abs(seen.scale - 1) < 0.012
    assert seen.kind == "sharp"


def test_a_larger_raw_out_of_focus_is_seen(linear: NDArray[np.float32]) -> None:
    seen = against(shot_at(np.ascontiguousarray(linear[4:604, 4:904])), shot_at(blurred(linear, disc(4.0))))
    assert seen is not None and seen.kind == "out of focus"


def test_a_turned_frame_is_not_compared(linear: NDArray[np.float32]) -> None:
    later = shot_at(linear)
    assert against(later, np.ascontiguousarray(np.rot90(later))) is None
