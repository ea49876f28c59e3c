"""The tone curve by its laws: pins, order, the limits of its formula, hue kept, nothing clipped channel by channel."""

import numpy as np
import pytest

from plateside.finish.tone import STRAIGHT, Curve, apply_curve, fit_display, set_curve
from plateside.ground.srgb import LUMINANCE
from plateside.model.errors import InputError

CURVES = [Curve(1.15, 1.0), Curve(1.15, 2.5), Curve(1.0, 3.0), Curve(1.6, 8.0)]


@pytest.mark.parametrize("curve", CURVES)
def test_black_middle_grey_and_white_are_pinned(curve: Curve) -> None:
    np.testing.assert_allclose(curve(np.array([0.0, 0.18, curve.white])), [0.0, 0.18, 1.0], atol=1e-12)


@pytest.mark.parametrize("curve", CURVES)
def test_brighter_stays_brighter_and_highlights_are_held(curve: Curve) -> None:
    x = np.linspace(0, curve.white, 5001)
    y = curve(x)
    assert np.all(np.diff(y) > 0)
    assert y.max() <= 1.0 + 1e-12


def test_without_contrast_and_with_white_at_one_nothing_changes() -> None:
    x = np.linspace(0, 1, 101)
    np.testing.assert_array_equal(STRAIGHT(x), x)
    rgb = np.random.default_rng(1).random((20, 20, 3), dtype=np.float32)
    np.testing.assert_allclose(apply_curve(rgb, STRAIGHT), rgb, atol=1e-6)


def test_with_one_as_contrast_it_is_the_global_curve_of_reinhard_scaled_to_its_white() -> None:
    # Reinhard et al. 2002, eq. 3: L / (1 + L). Both pins fix the scale inside and outside: solve for it here anew.
    white = 4.0
    inside = (white - 1) / (0.82 * white)  # from f(0.18) = 0.18 and f(white) = 1
    x = np.linspace(0, white, 200)
    level = x * inside
    simple = level / (1 + level)
    np.testing.assert_allclose(Curve(1.0, white)(x), simple / simple[-1], rtol=1e-9)


def test_grey_follows_the_curve_exactly_in_a_picture() -> None:
    curve = Curve(1.15, 2.0)
    values = np.linspace(0.001, 2.5, 400, dtype=np.float32)
    shown = apply_curve(np.repeat(values[:, None], 3, axis=1), curve)
    np.testing.assert_allclose(shown[:, 1], curve(np.minimum(values, 2.0)), atol=3e-6)


def test_a_colour_keeps_the_ratios_of_its_channels() -> None:
    colour = np.array([[0.30, 0.12, 0.05]], np.float32)
    shown = apply_curve(colour, Curve(1.15, 2.0))
    np.testing.assert_allclose(shown / shown[:, :1], colour / colour[:, :1], rtol=1e-5)


def test_too_bright_colours_go_to_grey_and_keep_their_luminance() -> None:
    colours = np.array([[1.6, 0.5, 0.2], [0.4, 1.2, 0.3], [0.2, 0.3, 2.0]], np.float32)
    shown = fit_display(colours)
    assert shown.max() <= 1.0
    np.testing.assert_allclose(shown @ LUMINANCE, np.minimum(colours @ LUMINANCE, 1), atol=2e-6)


def test_one_curve_holds_the_brightest_picture_of_the_set() -> None:
    assert set_curve([0.8, 1.7, 1.2], scene_referred=False) == Curve(1.0, 1.7)
    assert set_curve([0.6, 0.9], scene_referred=False) == STRAIGHT
    assert set_curve([0.6, 0.9], scene_referred=True).white == 1.0
    assert set_curve([0.6, 0.9], scene_referred=True).contrast > 1.0


@pytest.mark.parametrize(("contrast", "white"), [(1.0, 0.5), (1.0, 20.0), (0.5, 1.0), (3.0, 1.0)])
def test_what_is_no_curve_is_refused(contrast: float, white: float) -> None:
    with pytest.raises(InputError):
        Curve(contrast, white)


def test_the_series_curve_is_film_like_steeper_in_the_middle_with_a_shoulder_and_never_turns() -> None:
    """Slopes in logarithms, by differences; a quiet print stock has 1.1 to 1.4 in the middle (common practice)."""
    for white in (1.0, 1.5, 4.0):
        curve = set_curve([white], scene_referred=True)
        x = np.geomspace(1e-4, white, 4000)
        slope = np.gradient(np.log(curve(x)), np.log(x))
        middle = float(slope[np.argmin(np.abs(x - 0.18))])
        assert (np.diff(curve(x)) > 0).all()
        if white > 1:
            assert 1.1 < middle < 1.4
            assert slope[-2] < 0.75 * middle
