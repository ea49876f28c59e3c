"""One frame to facts: everything that can be told without another frame."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from plateside.frames import colour, exposure
from plateside.frames.ball import find_ball
from plateside.frames.facts import Box, ColourFacts, FrameFacts
from plateside.frames.grey_card import SURE, find_grey_card, looks_grey
from plateside.frames.sharpness import focus_of, in_full
from plateside.frames.subject import subject_box
from plateside.model.pixels import LinearPicture, RawLevels
from plateside.model.shoot import Shot

FACTS_VERSION = "15"
"""Raised when a measure changes, so that cached facts are taken anew."""


def facts_of(
    picture: NDArray[np.uint8],
    shot: Shot | None = None,
    linear: LinearPicture | None = None,
    levels: RawLevels | None = None,
    *,
    width_px: int = 0,
    height_px: int = 0,
    early: bool = False,
    before: FrameFacts | None = None,
    grey_card: Box | None = None,
    card_may_be_gone: bool = False,
) -> FrameFacts:
    """Facts of a frame.

    picture      display picture, height x width x 3, uint8 sRGB, upright
    linear, levels  the raw's own numbers when they are there: exposure, headroom and colour come from them
    width_px, height_px  of the original; left out, the picture's
    early        a first word is wanted at once: what can wait is left out, and of a raw only the preview was read
    before       facts taken early of the same picture: its focus, where it was looked for in the same place, holds, and
                 where no raw says more and no grey card was named, its exposure and colour
    grey_card    where a grey card is (shares of the picture), if one is
    card_may_be_gone  it was named in an earlier frame: used only while what lies there still looks like one
    """
    high, wide = picture.shape[:2]
    box = subject_box(shot, wide, high)
    is_raw = linear is not None and levels is not None and linear.is_raw
    if before is not None and before.subject_box == box and not is_raw and grey_card is None:
        focus = in_full(before.focus, picture, box)
        ball = find_ball(exposure.small_linear(picture))
        return replace(before, focus=focus, ball=ball, provisional=False)
    if linear is not None and levels is not None and linear.is_raw:
        small = exposure.display_linear(linear)
        clipped = exposure.clipped_raw(linear)
        headroom = exposure.headroom_of(levels)
    else:
        small = exposure.small_linear(picture)
        clipped = exposure.clipped_display(picture)
        headroom = exposure.headroom_of_display(picture)
    gone = grey_card is not None and card_may_be_gone and not looks_grey(small, grey_card)
    cast = _colour(small, None if gone else grey_card)
    light = exposure.exposure_of(small, clipped, box, headroom, from_raw=is_raw)
    if cast.card_level is not None:
        light = exposure.by_card(light, cast.card_level)
    if before is not None and before.subject_box == box:
        focus = in_full(before.focus, picture, box)
    else:
        focus = focus_of(picture, box, early=early)
    return FrameFacts(
        version=FACTS_VERSION,
        width_px=width_px or wide,
        height_px=height_px or high,
        subject_box=box,
        exposure=light,
        focus=focus,
        colour=cast,
        provisional=early,
        ball=None if early else find_ball(small),
    )


def _colour(small: NDArray[np.float32], named: Box | None) -> ColourFacts:
    """From the card that was named, from one found by itself when it is sure, else from the picture."""
    if named:
        return colour.cast_of_card(small, named)
    found = find_grey_card(small)
    if found is not None and found.confidence >= SURE:
        return colour.cast_of_card(small, found.box, found.confidence)
    world = colour.cast_of_world(small)
    return world if found is None else replace(world, card_box=found.box, card_confidence=found.confidence)
