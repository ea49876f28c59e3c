"""One frame over another of the same camera: both are parts of one sensor about its middle. Arithmetic."""

import numpy as np
import pytest

from plateside.frames.facts import CardInFrame
from plateside.frames.over import laid_over, level_of
from plateside.frames.register import register

FULL, WIDE, SQUARE, FOUR_THIRDS = (6000, 4000), (6000, 3376), (4000, 4000), (5328, 4000)


def small(size: tuple[int, int]) -> tuple[int, int]:
    """The same part of the sensor, kept with fewer pixels."""
    return round(size[0] * 0.5), round(size[1] * 0.5)


@pytest.mark.parametrize("other", [FULL, WIDE, SQUARE, FOUR_THIRDS])
@pytest.mark.parametrize("frame", [FULL, WIDE, SQUARE, FOUR_THIRDS])
@pytest.mark.parametrize("kept", [lambda s: s, small], ids=["all pixels", "half the pixels"])
def test_frames_of_one_sensor_lie_pixel_on_pixel(frame: tuple, other: tuple, kept: object) -> None:
    found = laid_over(frame, kept(other))  # type: ignore[operator]
    expected = (
        (1 - other[0] / frame[0]) / 2, (1 - other[1] / frame[1]) / 2, other[0] / frame[0], other[1] / frame[1],
    )  # fmt: skip
    assert found == pytest.approx(expected, abs=0.002)


def test_portrait_is_not_laid_over_landscape_and_lies_over_portrait() -> None:
    assert laid_over(FULL, FULL[::-1]) is None
    assert laid_over(FULL[::-1], FULL) is None
    x, y, w, h = laid_over(FULL[::-1], WIDE[::-1]) or (0, 0, 0, 0)
    assert (w, h) == pytest.approx((3376 / 4000, 1.0), abs=0.002)
    assert (x, y) == pytest.approx(((1 - w) / 2, 0.0), abs=0.002)


def test_a_raw_a_few_pixels_larger_than_its_jpeg_is_the_same_frame() -> None:
    assert laid_over((6000, 4000), (6024, 4020)) == (0.0, 0.0, 1.0, 1.0)


def test_another_sensor_is_taken_as_it_is() -> None:
    # 4:3 sensor: 3:2 is cut from it, so the whole of it reaches beyond at top and bottom
    x, y, w, h = laid_over((5184, 3456), (5184, 3888), 4 / 3) or (0, 0, 0, 0)
    assert (x, w) == pytest.approx((0.0, 1.0))
    assert h == pytest.approx(3888 / 3456)
    assert y == pytest.approx((1 - h) / 2)


def card(roll: float, elevation: float = 40.0, back: bool = False) -> CardInFrame:
    return CardInFrame("A5", back, 450.0, elevation, roll, 0.0, 0.0, 800.0, 8)


def test_level_is_the_set_cards_and_never_guessed() -> None:
    assert level_of(None, None, None) is None
    assert level_of(card(1.5, back=True), None, None) is None
    assert level_of(card(0.0, elevation=89.0), None, None) is None, "from above there is no horizon"
    found = level_of(card(1.5), card(0.2), None)
    assert found is not None
    assert (found.roll_deg, found.by) == (1.5, "set card")


def test_a_camera_that_turned_since_the_test_frame_is_off_level_by_that() -> None:
    """A camera turned clockwise shows the scene turned anticlockwise: the scene is turned here."""
    import cv2

    rng = np.random.default_rng(2)
    scene = cv2.GaussianBlur(rng.random((300, 400)).astype(np.float32), (0, 0), 4)
    scene = (scene - scene.min()) / np.ptp(scene)
    # OpenCV: positive turns the picture anticlockwise about its middle
    turned = cv2.warpAffine(scene, cv2.getRotationMatrix2D((200, 150), 2.0, 1), (400, 300))
    fit = register(scene, np.asarray(turned, np.float32))

    class Compared:
        fits = fit.fits
        turn_deg = fit.turn_deg

    found = level_of(None, card(0.5), Compared())  # type: ignore[arg-type]
    assert fit.fits
    assert found is not None
    assert found.by == "test frame"
    assert found.roll_deg == pytest.approx(2.5, abs=0.2)
