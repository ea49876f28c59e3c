"""How bright a raw is to be: as its camera showed it, one figure for a camera, an ISO and a picture setting.

Cameras hide a step between what the sensor counts and what they show: a margin for highlights, which differs from model
to model, with ISO and with the picture setting. A DNG says it in its tag BaselineExposure (Adobe DNG 1.7, tag 50730:
stops by which the raw is brightened so that models look alike). Else the picture inside the raw tells: of each
frame the step at which its development is as bright as that picture, and of all frames the median, so that no frame is
brightened by itself.
"""

from collections.abc import Sequence

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.finish.render import highlight
from plateside.finish.tone import apply_curve, set_curve
from plateside.finish.white_balance import NONE
from plateside.ground.srgb import LUMINANCE, Floats, byte_table

LEAST_STOPS, MOST_STOPS = -2.0, 4.0
"""What no camera's step goes beyond (common practice, no source): more is a fault in the file."""
_LONGEST_PX = 240
_QUANTILES = np.linspace(0.15, 0.85, 29)
_DARKEST, _BRIGHTEST = 0.01, 0.9
_FEWEST_QUANTILES = 5
_OF_A_BAR = 2
"""Half of a bar is as black, whatever its JPEG spreads into it from the picture; a dark backdrop is not quite."""
_STEPS = 14


def shown_brighter(developed: Floats, shown: NDArray[np.uint8]) -> float | None:
    """Stops by which a developed raw (h, w, 3) must be brightened to be as bright as the camera's picture of it (sRGB).

    By the quantiles of luminance, so that a picture whose lens was corrected, or that is cropped, says the same.
    None where that picture is too dark or too bright.
    """
    one, two = _cropped_alike(developed, _without_bars(shown, developed))
    small = np.asarray(_small(one.astype(np.float32)))
    theirs = np.quantile(_small(byte_table()[two]) @ LUMINANCE, _QUANTILES)
    there = (theirs > _DARKEST) & (theirs < _BRIGHTEST)
    if there.sum() < _FEWEST_QUANTILES:
        return None

    def apart(stops: float) -> float:
        lifted = np.asarray(small * np.float32(2.0**stops))
        curve = set_curve([highlight(lifted, NONE)], scene_referred=True)
        mine = np.quantile(apply_curve(lifted, curve) @ LUMINANCE, _QUANTILES)
        return float(np.median(np.log2(np.maximum(mine[there], 1e-6) / theirs[there])))

    low, high = LEAST_STOPS, MOST_STOPS
    if apart(low) > 0 or apart(high) < 0:
        return None
    for _ in range(_STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if apart(middle) < 0 else (low, middle)
    return (low + high) / 2


def of_all(found: Sequence[float | None]) -> float | None:
    """The one figure of the frames of a camera, an ISO and a picture setting; None when none of them tells."""
    told = [stops for stops in found if stops is not None]
    return float(np.median(told)) if told else None


def _small(picture: Floats) -> Floats:
    height, width = picture.shape[:2]
    scale = min(_LONGEST_PX / max(height, width), 1.0)
    size = max(round(width * scale), 1), max(round(height * scale), 1)
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA))


def _without_bars(two: NDArray[np.uint8], one: Floats) -> NDArray[np.uint8]:
    """Without the black bars that fill up a thumbnail of another shape than the raw."""
    (h1, w1), (h2, w2) = one.shape[:2], two.shape[:2]
    width, height = min(w2, round(h2 * w1 / h1)), min(h2, round(w2 * h1 / w1))
    x, y = (w2 - width) // 2, (h2 - height) // 2
    bars = np.ones((h2, w2), bool)
    bars[y : y + height, x : x + width] = False
    if not bars.any() or np.median(two[bars]) > _OF_A_BAR:
        return two
    return two[y : y + height, x : x + width]


def _cropped_alike(one: Floats, two: NDArray[np.uint8]) -> tuple[Floats, NDArray[np.uint8]]:
    """The middle of the larger shape, so that both show as much: previews are cut to another shape by some settings."""
    (h1, w1), (h2, w2) = one.shape[:2], two.shape[:2]
    wide = w2 / h2
    width, height = min(w1, round(h1 * wide)), min(h1, round(w1 / wide))
    x, y = (w1 - width) // 2, (h1 - height) // 2
    return one[y : y + max(height, 1), x : x + max(width, 1)], two
