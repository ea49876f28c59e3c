"""What a hand sets: stops by arithmetic, warmth by colour-science, geometry by plane trigonometry."""

import warnings

import numpy as np
import pytest

from plateside.finish.by_hand import (
    curve_of,
    gains_of,
    straightened,
    straightened_size,
    straightened_to_look_at,
)
from plateside.finish.hand import LIMITS, UNTOUCHED, Hand, hand_of
from plateside.finish.quick import quick_render
from plateside.finish.render import render, to_8_bits
from plateside.finish.tone import LARGEST_WHITE, Curve
from plateside.finish.white_balance import NONE, Gains
from plateside.ground.srgb import LUMINANCE, TO_XYZ

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour


def test_untouched_changes_nothing() -> None:
    assert not UNTOUCHED.changes
    np.testing.assert_allclose(gains_of(UNTOUCHED).array, 1, atol=1e-12)
    picture = np.random.default_rng(1).random((40, 60, 3), np.float32)
    assert straightened(picture, 0.0) is picture
    assert curve_of(Curve(1.4, 1.7), UNTOUCHED) == Curve(1.4, 1.7)


@pytest.mark.parametrize("stops", [-2.0, -0.3, 0.5, 3.0])
def test_brighter_is_by_so_many_stops_and_the_highlights_keep_their_room(stops: float) -> None:
    np.testing.assert_allclose(gains_of(Hand(brighter_stops=stops)).array, 2.0**stops, rtol=1e-6)
    curve = curve_of(Curve(1.4, 2.0), Hand(brighter_stops=stops))
    # what was just white before is just white after, unless it would need more than the curve can bend
    assert curve.white == pytest.approx(min(max(2.0 * 2.0**stops, 1.0), LARGEST_WHITE))


@pytest.mark.parametrize("mired", [-60.0, -20.0, 15.0, 50.0])
def test_warmth_moves_a_grey_by_so_many_mired_and_keeps_its_luminance(mired: float) -> None:
    """Correlated colour temperature by colour-science (Ohno 2013); McCamy's, which is ours, is within 2 mired there."""
    gains = gains_of(Hand(warmer_mired=mired)).array
    grey = 0.18 * gains
    assert 0.18 / float(LUMINANCE @ (1 / gains)) == pytest.approx(0.18, rel=1e-6)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")

        def kelvin(rgb: np.ndarray) -> float:
            uv = colour.UCS_to_uv(colour.XYZ_to_UCS(TO_XYZ @ rgb))
            return float(colour.temperature.uv_to_CCT_Ohno2013(uv)[0])

        moved = 1e6 / kelvin(grey) - 1e6 / kelvin(np.full(3, 0.18))
    assert moved == pytest.approx(mired, abs=max(2.0, abs(mired) * 0.06))


def test_magenta_is_density_in_green_alone() -> None:
    """CC10M has a density of 0.10 in green (names of colour compensating filters; from memory)."""
    gains = gains_of(Hand(magenta_cc=10)).array
    assert gains[1] / gains[0] == pytest.approx(10**-0.1)
    assert gains[0] == gains[2]
    greener = gains_of(Hand(magenta_cc=-10)).array
    assert greener[1] / greener[0] == pytest.approx(10**0.1)


@pytest.mark.parametrize("degrees", [-12.0, -1.0, 0.7, 5.0, 15.0])
@pytest.mark.parametrize("size", [(600, 400), (400, 600), (500, 500), (1000, 120)])
def test_no_corner_from_outside_gets_into_a_straightened_picture(
    degrees: float, size: tuple[int, int]
) -> None:
    width, height = size
    wide, high = straightened_size(width, height, degrees)
    assert wide / high == pytest.approx(width / height, rel=3 / min(wide, high))
    turn = np.radians(degrees)
    for x, y in ((wide / 2, high / 2), (wide / 2, -high / 2)):
        across = abs(x * np.cos(turn) - y * np.sin(turn))
        down = abs(x * np.sin(turn) + y * np.cos(turn))
        assert across <= width / 2 + 1e-6
        assert down <= height / 2 + 1e-6
    # as much as there can be: one pixel more would not fit
    further, higher = np.array([1, 1]) * (wide + 2) / 2, np.array([1, -1]) * (high + 2) / 2
    across_2 = np.abs(further * np.cos(turn) - higher * np.sin(turn)).max()
    down_2 = np.abs(further * np.sin(turn) + higher * np.cos(turn)).max()
    assert across_2 > width / 2 or down_2 > height / 2


@pytest.mark.parametrize("degrees", [-4.0, 2.5])
def test_a_slanting_edge_becomes_level(degrees: float) -> None:
    """An edge drawn at an angle by the line's own equation; what turns clockwise levels one that rises to the right."""
    height, width = 240, 360
    y, x = np.mgrid[:height, :width].astype(float)
    rise = np.tan(np.radians(degrees))
    edge = (height - 1) / 2 - rise * (x - (width - 1) / 2)
    picture = np.repeat(np.clip(y - edge + 0.5, 0.1, 1.0)[..., None], 3, axis=2).astype(np.float32)
    turned = straightened(picture, degrees)[..., 1]
    where = np.argmax(turned > 0.55, axis=0)
    assert np.ptp(where[5:-5]) <= 1
    shown = straightened_to_look_at((picture * 255).astype(np.uint8), degrees)
    assert shown.shape[:2] == turned.shape


def test_the_quick_picture_is_the_finished_one() -> None:
    rng = np.random.default_rng(2)
    linear = np.abs(rng.normal(0.3, 0.6, (60, 90, 3))).astype(np.float32)
    linear[:5] = 0
    for curve in (Curve(1.4, 2.2), Curve(1.0, 1.0), Curve(1.0, 4.0)):
        for gains in (NONE, Gains(1.3, 0.9, 0.6)):
            quick = quick_render(linear, gains, curve).astype(int)
            assert np.abs(quick - to_8_bits(render(linear, gains, curve))).max() <= 2


def test_what_is_set_for_series_and_picture_adds_up_within_the_limits() -> None:
    one, two = Hand(2.5, 10, -5, 1), Hand(1.5, -30, -30, 2)
    assert one.and_(two) == Hand(3.0, -20, -30, 3)
    for name, most in LIMITS.items():
        assert hand_of({name: most}) != UNTOUCHED
        for wrong in (most * 1.01, float("nan"), "1", True, None):
            with pytest.raises(ValueError, match=name):
                hand_of({name: wrong})
