"""Develop, render, sharpen, profile: against lcms, against what 8 bits allow, and by their laws."""

import io
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image, ImageCms

from plateside.finish.develop import develop, reduced
from plateside.finish.icc import primaries_d50, srgb_profile
from plateside.finish.render import highlight, render, to_8_bits
from plateside.finish.sharpen import sharpen
from plateside.finish.tone import STRAIGHT, Curve
from plateside.finish.white_balance import NONE, Gains
from plateside.ground.srgb import to_linear
from plateside.model.errors import Cancelled
from plateside.model.pixels import LinearPicture
from tests.photographs import photograph


def test_a_jpeg_that_needs_nothing_comes_through_unchanged() -> None:
    codes = photograph("coffee")
    linear = to_linear(np.arange(256) / 255.0).astype(np.float32)[codes]
    np.testing.assert_array_equal(to_8_bits(render(linear, NONE, STRAIGHT)), codes)


def test_one_stop_more_is_one_stop_more_in_light() -> None:
    linear = np.linspace(0.001, 0.45, 3000, dtype=np.float32).reshape(10, 100, 3)
    brighter = to_linear(render(linear, Gains(2, 2, 2), STRAIGHT) / 65535.0)
    plain = to_linear(render(linear, NONE, STRAIGHT) / 65535.0)
    np.testing.assert_allclose(brighter / plain, 2.0, rtol=0.01)


def test_every_row_is_rendered_whatever_the_height() -> None:
    linear = np.random.default_rng(0).random((700, 5, 3), dtype=np.float32)
    whole = render(linear, NONE, Curve(1.15, 1.5))
    np.testing.assert_array_equal(whole[600:], render(linear[600:], NONE, Curve(1.15, 1.5)))


def test_rendering_can_be_stopped() -> None:
    def stop(done: int, total: int) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        render(np.zeros((300, 4, 3), np.float32), NONE, STRAIGHT, stop)


def test_highlight_is_after_the_gains() -> None:
    linear = np.full((50, 50, 3), 0.4, np.float32)
    assert highlight(linear, Gains(1, 2, 1)) == pytest.approx(0.8)


def test_raw_grey_becomes_grey_with_its_own_balance_and_white_stays_white() -> None:
    shot = (2.0, 1.0, 1.6)
    grey = np.array([0.2 / 2.0, 0.2, 0.2 / 1.6], np.float32)
    matrix = ((1.6, -0.4, -0.2), (-0.2, 1.5, -0.3), (0.0, -0.5, 1.5))
    picture = LinearPicture(
        rgb=np.stack([grey, np.ones(3, np.float32)])[None],
        white_balance=shot, to_srgb=matrix, is_raw=True,
    )  # fmt: skip
    made = develop(picture)[0]
    # ISO 12232: 10/78 of saturation, where a meter puts the scene, is shown as middle grey
    lift = 0.18 / (10 / 78)
    np.testing.assert_allclose(made[0], 0.2 * lift, rtol=1e-5)
    # a saturated photosite group is white, not pink: a white thing was that bright when its last channel went
    np.testing.assert_allclose(made[1], lift * 2.0, rtol=1e-5)


def test_the_reference_s_balance_can_be_used() -> None:
    picture = LinearPicture(rgb=np.full((2, 2, 3), 0.1, np.float32), white_balance=(9, 1, 9), is_raw=True)
    np.testing.assert_allclose(
        develop(picture, (2.0, 1.0, 1.5))[0, 0], np.array([0.2, 0.1, 0.15]) * 0.18 * 7.8, rtol=1e-6
    )


def test_a_small_picture_keeps_the_mean_light() -> None:
    linear = np.random.default_rng(3).random((400, 640, 3), dtype=np.float32)
    small = reduced(linear, 160)
    assert small.shape == (100, 160, 3)
    np.testing.assert_allclose(small.mean(axis=(0, 1)), linear.mean(axis=(0, 1)), rtol=1e-3)


@pytest.mark.parametrize("kind", [np.uint8, np.uint16])
def test_sharpening_leaves_flat_areas_and_steepens_edges_without_halo(kind: Any) -> None:
    top = np.iinfo(kind).max
    step: Any = np.full((40, 60, 3), round(0.3 * top), kind)
    step[:, 30:] = round(0.7 * top)
    soft: Any = cv2.GaussianBlur(step, (0, 0), 1.2)
    sharp = sharpen(soft, 0.6)
    assert sharp.dtype == kind
    np.testing.assert_array_equal(sharp[:, :20], soft[:, :20])
    middle = soft[20, 28:32, 1].astype(float), sharp[20, 28:32, 1].astype(float)
    assert np.abs(np.diff(middle[1])).max() > np.abs(np.diff(middle[0])).max()
    # never further out than a fiftieth of the range beyond the neighbours
    assert int(sharp.max()) <= int(soft.max()) + 0.021 * top
    assert int(sharp.min()) >= int(soft.min()) - 0.021 * top
    np.testing.assert_array_equal(sharpen(soft, 0.0), soft)


def test_the_profile_is_srgb_to_little_cms() -> None:
    """Little CMS, through Pillow, turns every code of our profile into the same code of its own sRGB."""
    ours = ImageCms.ImageCmsProfile(io.BytesIO(srgb_profile()))
    codes = np.random.default_rng(0).integers(0, 256, (128, 128, 3), dtype=np.uint8)
    for intent in (ImageCms.Intent.PERCEPTUAL, ImageCms.Intent.RELATIVE_COLORIMETRIC):
        turned = ImageCms.profileToProfile(
            Image.fromarray(codes), ours, ImageCms.createProfile("sRGB"), renderingIntent=intent
        )
        assert turned is not None
        assert int(np.abs(np.asarray(turned).astype(int) - codes).max()) == 0


def test_the_profile_s_primaries_are_the_published_ones() -> None:
    # B. Lindbloom's table of sRGB adapted to D50 by Bradford, to the fourth decimal (his D65 is 0.95047 1 1.08883).
    table = [
        [0.4360747, 0.3850649, 0.1430804],
        [0.2225045, 0.7168786, 0.0606169],
        [0.0139322, 0.0971045, 0.7141733],
    ]
    np.testing.assert_allclose(primaries_d50(), table, atol=3e-4)
