"""Fine contrast of one dish does not depend on how large, how bright or how far clipped a frame shows it."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.bursts import sharpnesses
from plateside.frames.dish_detail import details_alike, dish_of
from plateside.frames.facts import Box
from plateside.ground.srgb import to_display, to_linear
from tests.photographs import photograph

BOX: Box = (0.2, 0.2, 0.8, 0.8)


def _missing_stops(frames: list[NDArray[np.uint8]], stops: list[float]) -> list[float]:
    details = details_alike([dish_of(f, BOX) for f in frames], stops)
    assert all(d is not None for d in details)
    return [float(-np.log2(v)) for v in sharpnesses([d for d in details if d is not None])]


def _exposed(stops: float) -> NDArray[np.uint8]:
    """The photograph with glints, exposed as a sensor would: clipped at white."""
    linear = to_linear(photograph("coffee") / 255.0)
    for x, y in ((280, 150), (330, 220), (250, 240)):
        cv2.circle(linear, (x, y), 4, (3.0, 3.0, 3.0), -1, cv2.LINE_AA)
    return np.asarray(to_display(np.minimum(linear * 2.0**stops, 1)) * 255 + 0.5, np.uint8)


def test_exposure_is_not_sharpness() -> None:
    stops = [0.0, -0.9, 0.7]
    frames = [_exposed(s) for s in stops]
    # held as they are, the glints that the darkest keeps count as fine contrast
    assert max(_missing_stops(frames, [0.0] * 3)) > 0.04
    assert max(_missing_stops(frames, stops)) < 0.02


def test_a_smaller_preview_is_not_less_sharp_and_a_blurred_one_is() -> None:
    whole = cv2.resize(photograph("coffee"), (1200, 800), interpolation=cv2.INTER_CUBIC)
    half = cv2.resize(whole, (600, 400), interpolation=cv2.INTER_AREA)
    soft = cv2.GaussianBlur(whole, (0, 0), 4.0)
    told = _missing_stops([np.asarray(f, np.uint8) for f in (whole, half, soft)], [0.0] * 3)
    assert max(told[:2]) < 0.02 < 0.2 < told[2]
