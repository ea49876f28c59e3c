"""The set card's back in a frame: it moves on to the next shot, and so do frames that landed after it."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.camera.card.pose import shows_back
from plateside.files.journal.state import ShootState

CARD_PX = 750


def is_card_back(picture: NDArray[np.uint8]) -> bool:
    """Whether a frame (height x width x 3, sRGB) shows the card's back."""
    scale = CARD_PX / max(picture.shape[:2])
    small = (
        cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA) if scale < 1 else picture
    )
    return shows_back(np.asarray(cv2.cvtColor(small, cv2.COLOR_RGB2GRAY), np.uint8))


def after_card(state: ShootState, card: str, as_it_landed: str) -> list[str]:
    """Frames that landed after a card and were filed as it was, by nobody's word but the current shot's.

    as_it_landed  the shot under which the card itself was filed as it landed
    """
    later: list[str] = []
    for frame in reversed(state.landed):
        if frame == card:
            break
        if frame in state.no_pictures:
            continue
        if frame in state.guessed or state.shot_of.get(frame, "") == as_it_landed:
            later.insert(0, frame)
    return later
