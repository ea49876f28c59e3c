"""Registration against movements made by ourselves."""

import cv2
import numpy as np
import pytest

from plateside.frames.register import moved, only_scaled, register
from tests.unit.frames.shapes import shapes


@pytest.mark.parametrize(
    ("dx", "dy", "turn", "scale"),
    [
        (0.0, 0.0, 0.0, 1.0),
        (7.5, -4.0, 0.0, 1.0),
        (60.0, 35.0, 0.0, 1.0),
        (3.0, 5.0, 1.5, 1.01),
        (30.0, 0.0, -4.0, 0.97),
    ],
)
def test_a_known_movement(dx: float, dy: float, turn: float, scale: float) -> None:
    before = shapes(3)
    matrix = np.asarray(cv2.getRotationMatrix2D((450, 300), -turn, scale), np.float64)
    matrix[:, 2] += (dx, dy)
    after = cv2.warpAffine(before, matrix, (900, 600), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT)
    fit = register(before, np.asarray(after * 0.8, np.float32))
    assert fit.fits
    x, y = np.array([200, 700, 450], np.float32), np.array([150, 450, 300], np.float32)
    u, v = moved(x, y, fit.matrix)
    wanted = matrix @ np.stack([x, y, np.ones(3)])
    assert np.hypot(u - wanted[0], v - wanted[1]).max() < 1.2
    assert fit.shift_px == pytest.approx(np.hypot(dx, dy), abs=1.2)
    assert fit.turn_deg == pytest.approx(turn, abs=0.15)


@pytest.mark.parametrize(
    ("dx", "dy", "turn", "scale", "only"),
    [
        # thin lens, v = f (1 + m): 35 mm from 502 to 412 mm draws 1.0169 times as large
        (0.0, 0.0, 0.0, 1.0169, True),
        (0.0, 0.0, 0.0, 0.99, True),
        (0.0, 0.0, 0.0, 1.0, False),
        (9.0, 0.0, 0.0, 1.0169, False),
        (0.0, 0.0, 1.0, 1.0169, False),
        (0.0, 0.0, 0.0, 1.15, False),
    ],
)
def test_only_scaled_is_what_focusing_does_and_no_hand(
    dx: float, dy: float, turn: float, scale: float, only: bool
) -> None:
    before = shapes(3)
    matrix = np.asarray(cv2.getRotationMatrix2D((450, 300), -turn, scale), np.float64)
    matrix[:, 2] += (dx, dy)
    after = cv2.warpAffine(before, matrix, (900, 600), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT)
    for blur in (0.0, 12.0):
        seen = cv2.blur(after, (round(blur), 1)) if blur else after
        fit = register(before, np.asarray(seen, np.float32))
        assert only_scaled(fit.scale, fit.shift_px / 900, fit.turn_deg) is only


def test_another_scene_does_not_fit() -> None:
    assert not register(shapes(3), shapes(4)).fits
