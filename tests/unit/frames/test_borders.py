"""A border about a photograph, and the bars of a collage, are no part of its exposure."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.frames.borders import photographed
from plateside.frames.exposure import clipped_display, exposure_of, headroom_of_display, small_linear
from plateside.frames.facts import ExposureFacts
from tests.photographs import photograph

BOX = (0.25, 0.25, 0.75, 0.75)
Picture = NDArray[np.uint8]


def coffee() -> Picture:
    """CC0, comes with scikit-image; 600 x 400."""
    return photograph("coffee")


def framed(picture: Picture, level: int, share: float) -> Picture:
    wide = round(share * picture.shape[1])
    return np.asarray(
        cv2.copyMakeBorder(picture, wide, wide, wide, wide, cv2.BORDER_CONSTANT, value=(level,) * 3), np.uint8
    )


def as_jpeg(picture: Picture) -> Picture:
    ok, data = cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, 75])
    assert ok
    return np.asarray(cv2.imdecode(data, cv2.IMREAD_COLOR), np.uint8)


def exposure(picture: Picture) -> ExposureFacts:
    headroom = headroom_of_display(picture)
    return exposure_of(small_linear(picture), clipped_display(picture), BOX, headroom, from_raw=False)


@pytest.mark.parametrize("share", [0.02, 0.1, 0.25])
def test_a_border_changes_no_exposure(share: float) -> None:
    plain, bordered = exposure(coffee()), exposure(as_jpeg(framed(coffee(), 255, share)))
    assert bordered.bright_level == pytest.approx(plain.bright_level, rel=0.06)
    assert bordered.lost_share <= plain.lost_share + 0.002


def test_the_bars_of_a_collage_are_no_highlights() -> None:
    one = framed(coffee(), 255, 0.02)
    collage = as_jpeg(np.vstack([np.hstack([one, one])] * 2))
    facts = exposure(collage)
    assert facts.lost_on_subject_share < 0.005
    # twice as small, the spot that is taken off is twice as large
    assert facts.bright_level == pytest.approx(exposure(coffee()).bright_level, rel=0.15)


@pytest.mark.parametrize("name", ["coffee", "chelsea", "brick", "grass", "rocket"])
def test_of_a_photograph_nothing_is_a_border(name: str) -> None:
    picture = photograph(name)
    rgb = picture if picture.ndim == 3 else np.dstack([picture] * 3)
    rows, columns = photographed(small_linear(rgb))
    assert rows.all()
    assert columns.all()


def test_a_plain_picture_is_looked_at_as_it_is() -> None:
    rows, columns = photographed(np.ones((40, 60, 3), np.float32))
    assert rows.all()
    assert columns.all()


@pytest.mark.parametrize("longest", [600, 320, 160, 80])
def test_a_small_file_is_as_bright_as_the_large_one(longest: int) -> None:
    whole = exposure(np.asarray(cv2.resize(coffee(), (1500, 1000), interpolation=cv2.INTER_CUBIC), np.uint8))
    size = (longest, longest * 2 // 3)
    small = exposure(np.asarray(cv2.resize(coffee(), size, interpolation=cv2.INTER_AREA), np.uint8))
    assert small.bright_level == pytest.approx(whole.bright_level, rel=0.12)
