"""What stands up from the table, seen from another place: it lies elsewhere in the two pictures than the table says.

The table carries one picture to the other by a homography; a dish on it is moved besides, the higher the more
(parallax). Where a dense flow (T. Kroeger et al., "Fast Optical Flow using Dense Inverse Search", ECCV 2016), the same
there and back, finds the same pattern a little aside, the same thing stands there, and its colours can be compared. Its
gloss and its shadow side are seen from there too: what differs by them differs in the finished pictures.
"""

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.finish.shared import Shared, shared_at, usable
from plateside.ground.srgb import LUMINANCE, Floats, to_display
from plateside.model.channels import length

_AGREE_PX = 0.7
"""So near must a place come back to itself."""
_ASIDE_PX = 1.0
"""From here on it is more than the table's own error."""
FARTHEST_PX = 40.0
"""What lies farther aside was moved."""
_WINDOW_PX = 15
_ALIKE, _TEXTURE_STOPS = 0.8, 0.06
"""Correlation of the light around, and how much must be there to correlate (as in `across`)."""
_FEWEST = 0.01
"""Of the picture: a thing of which less was found tells nothing."""
_APART_PX = 5
"""What is nearer than that is one thing."""


def followed(
    reference: NDArray[np.float32], laid: NDArray[np.float32], there: NDArray[np.bool_], back: Floats,
    size: tuple[int, ...],
) -> Shared:  # fmt: skip
    """Colours of what both pictures show, each where it is in either: the table's, and what stands up from it.

    Each thing that stands up is there once more for itself: a small dish that is off would not be seen in the middle
    of all that stands about it. As `raised_places`, and `shared_at`.
    """
    at, up = raised_places(reference, laid, there)
    moved = np.asarray(cv2.remap(laid, at, np.empty(0), cv2.INTER_LINEAR), np.float32)
    up &= usable(moved)
    near = cv2.dilate(up.astype(np.uint8), np.ones((_APART_PX, _APART_PX), np.uint8))
    count, thing = cv2.connectedComponents(near)
    masks = [up & (thing == n) for n in range(1, count)]
    raised = tuple(
        shared_at(reference[m], moved[m], at[m], back, size) for m in masks if m.sum() > _FEWEST * m.size
    )
    # held against the table's place there, what stands up would be taken for something else
    y, x = np.mgrid[: up.shape[0], : up.shape[1]]
    places = np.where(up[..., None], at, np.stack([x, y], axis=-1))
    mine = np.where(up[..., None], moved, laid)
    whole = shared_at(reference[there], mine[there], places[there], back, size)
    return replace(whole, raised=raised)


def raised_places(
    reference: NDArray[np.float32], laid: NDArray[np.float32], there: NDArray[np.bool_]
) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    """Where each place of the reference is in `laid`, x and y (h, w, 2) [px], and which places surely stand up.

    reference, laid  linear pictures (h, w, 3), a little blurred, `laid` carried onto the reference by the table
    there            where both show anything
    """
    light, other = (np.log2(np.maximum(v @ LUMINANCE, 1e-4)).astype(np.float32) for v in (reference, laid))
    if not there.any():
        return np.zeros((*light.shape, 2), np.float32), there
    other = other + np.float32(np.median((light - other)[there]))
    grey = [np.asarray(to_display(np.clip(2.0**v, 0, 1)) * 255, np.uint8) for v in (light, other)]
    flow = cv2.DISOpticalFlow_create(cv2.DISOPTICAL_FLOW_PRESET_MEDIUM)  # type: ignore[attr-defined]
    away, back = flow.calc(grey[0], grey[1], None), flow.calc(grey[1], grey[0], None)
    height, width = light.shape
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    at = np.stack([x, y], axis=-1) + away
    home = np.asarray(
        cv2.remap(back, at, np.empty(0), cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=1e3)
    )
    aside = length(away)
    sure = there & (length(away + home) < _AGREE_PX)
    sure &= (aside > _ASIDE_PX) & (aside < FARTHEST_PX)
    moved = cv2.remap(other, at, np.empty(0), cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return at, sure & _alike(light, np.asarray(moved, np.float32))


def _alike(one: Floats, two: Floats) -> NDArray[np.bool_]:
    """Where the light around a place has the same pattern in both."""
    mean = [_mean(v) for v in (one, two)]
    spread = [np.sqrt(np.maximum(_mean(v * v) - m * m, 0)) for v, m in zip((one, two), mean, strict=True)]
    together = _mean(one * two) - mean[0] * mean[1]
    textured = np.minimum(*spread) > _TEXTURE_STOPS
    return np.asarray(textured & (together > _ALIKE * np.maximum(spread[0] * spread[1], 1e-9)))


def _mean(picture: Floats) -> NDArray[np.float32]:
    return np.asarray(cv2.blur(np.asarray(picture, np.float32), (_WINDOW_PX, _WINDOW_PX)), np.float32)
