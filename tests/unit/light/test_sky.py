"""Skies: laws that hold for each; their tables are held by tests/authority/test_cie_skies.py and test_perez.py."""

import numpy as np
import pytest
from pvlib.clearsky import simplified_solis

from plateside.light import perez
from plateside.light.ineichen2008 import solis_irradiances
from plateside.light.records import THING, records
from plateside.light.sky import (
    SKY_WORDS,
    cie_sky,
    luminance_ratio,
    perez_series,
    sky_for,
    word_series,
)
from plateside.light.sky_light import light_of_sky
from plateside.model.errors import InputError


def horizontal_of(sky, sun_elevation_deg: float) -> float:  # type: ignore[no-untyped-def]
    """Horizontal illuminance of a sky by summing its luminance over a fine net of directions."""
    rows, columns = 240, 480
    sine = (np.arange(rows) + 0.5) / rows
    turn = (np.arange(columns) + 0.5) * 2 * np.pi / columns
    flat = np.sqrt(1 - sine**2)[:, None]
    directions = np.stack(
        [flat * np.sin(turn), flat * np.cos(turn), np.broadcast_to(sine[:, None], (rows, columns))], axis=-1
    ).reshape(-1, 3)
    h = np.radians(sun_elevation_deg)
    part = (directions[:, 2] * 2 * np.pi / (rows * columns))[:, None, None]
    series = sky_for(sky, np.array([sun_elevation_deg]))
    got, _ = light_of_sky(
        series.kind, series.shape, np.array([[0.0, np.cos(h), np.sin(h)]]), series.diffuse_horizontal_lx,
        np.zeros(1), directions, part, np.zeros((0, 1, 1)), records([], THING),
    )  # fmt: skip
    return float(got[0, 0, 0])


@pytest.mark.parametrize("number", range(1, 17))
@pytest.mark.parametrize("height", [5.0, 35.0, 70.0])
def test_every_cie_sky_gives_the_light_it_is_said_to_give(number: int, height: float) -> None:
    assert horizontal_of(cie_sky(number, 10000), height) == pytest.approx(10000, rel=0.004)


@pytest.mark.parametrize("dni", [0.0, 50.0, 200.0, 450.0, 700.0, 950.0])
@pytest.mark.parametrize("height", [8.0, 30.0, 60.0])
def test_every_perez_sky_gives_the_light_it_is_said_to_give(dni: float, height: float) -> None:
    sky = perez_series(np.array([dni]), np.array([120.0]), np.array([height]), day_of_year=172.0).at(0)
    assert horizontal_of(sky, height) == pytest.approx(sky.diffuse_horizontal_lx, rel=0.01)


def test_the_overcast_sky_is_three_times_as_bright_at_the_zenith() -> None:
    """CIE S 011, type 16: zenith to horizon 3 : 1."""
    assert luminance_ratio(cie_sky(16, 1), 0.0, 90.0, 40.0) == pytest.approx(1 / 3)


def test_words_stand_in_their_order() -> None:
    """At noon in summer: the clear sun outshines the hazy one, that the broken sky's mean; overcast has none."""
    at = {word: word_series(word, np.array([50.0])).at(0) for word in SKY_WORDS}
    beams = [at[word].direct_normal_lx for word in SKY_WORDS]
    assert beams == sorted(beams, reverse=True) and beams[-1] == 0
    assert 80000 < beams[0] < 110000  # direct sun about 100 klx (common handbook figure)
    whole = {w: s.diffuse_horizontal_lx + s.direct_normal_lx * np.sin(np.radians(50)) for w, s in at.items()}
    assert whole["clear"] > whole["broken"] > whole["overcast"]


def test_light_falls_without_a_jump_into_the_night() -> None:
    heights = np.linspace(8, -20, 2801)
    for word in SKY_WORDS:
        lux = word_series(word, heights, true_elevation_deg=heights).diffuse_horizontal_lx
        assert np.all(np.isfinite(lux)) and np.all(lux > 0)
        # The efficacy of Perez 1990 steps by up to 0.2 stop from bin to bin of clearness; nothing else may jump.
        assert np.abs(np.diff(np.log2(lux))).max() < 0.2
        assert np.abs(np.diff(np.log2(lux[heights < 0.5]))).max() < 0.1
        assert lux[heights <= -6][0] == pytest.approx(3.4, rel=0.02)  # end of civil twilight


def test_perez_takes_the_dark_and_the_horizon() -> None:
    heights = np.array([-10.0, -0.5, 0.0, 0.2, 3.0])
    series = perez_series(np.zeros(5), np.array([0.0, 0.0, 1.0, 3.0, 20.0]), heights)
    assert np.all(np.isfinite(series.diffuse_horizontal_lx)) and np.all(np.isfinite(series.shape))
    assert series.diffuse_horizontal_lx[0] < series.diffuse_horizontal_lx[1]


def test_efficacy_is_that_of_daylight() -> None:
    """Perez 1990: daylight gives about 95 to 130 lm/W."""
    diffuse, direct = perez.illuminances(np.array([800.0]), np.array([100.0]), np.array([45.0]), 172.0)
    assert 110 < diffuse[0] / 100 < 150
    assert 85 < direct[0] / 800 < 115


@pytest.mark.parametrize("aerosol", [0.02, 0.05, 0.1, 0.35])
def test_the_cloudless_sky_is_pvlibs(aerosol: float) -> None:
    """pvlib's own implementation of the simplified Solis model."""
    heights = np.array([0.5, 3.0, 10.0, 30.0, 60.0, 90.0])
    dni, dhi = solis_irradiances(heights, aerosol, 1.7, 950.0, 1380.0)
    expected = simplified_solis(heights, aerosol, 1.7, 95000.0, 1380.0)
    assert dni == pytest.approx(expected["dni"], rel=1e-9)
    assert dhi == pytest.approx(expected["dhi"], rel=1e-9)


def test_the_earth_is_nearest_in_january() -> None:
    """Extraterrestrial irradiance varies by +-3.3 % with the distance of the sun (J. Spencer, 1971)."""
    near, far = perez.extraterrestrial_wm2(3.0), perez.extraterrestrial_wm2(185.0)
    assert float(near) / 1361 == pytest.approx(1.034, abs=0.003)
    assert float(far) / 1361 == pytest.approx(0.967, abs=0.003)


def test_unknown_skies_are_refused() -> None:
    with pytest.raises(InputError, match="no such sky: got 'foggy'"):
        word_series("foggy", np.array([30.0]))
    with pytest.raises(InputError, match="no such sky type: got 17"):
        cie_sky(17, 1000)
    with pytest.raises(InputError, match="sky of other moments: got 2, wanted 1"):
        sky_for(word_series("clear", np.array([10.0, 20.0])), np.array([10.0]))
