"""A chart's profile against spectra and camera sensitivities that colour-science publishes."""

import warnings

import numpy as np
import pytest

from plateside.finish.chart import NoChart, profile_of, wanted_colours
from plateside.finish.ciede2000 import delta_e
from plateside.ground.srgb import to_lab
from tests.synthetic.charts import LIGHTS, PATCHES, SHAPE, taken

SATURATION = np.ones(3)


@pytest.mark.parametrize("light", LIGHTS)
def test_a_patch_that_the_fit_has_not_seen_is_right(light: str) -> None:
    profile = profile_of(taken(light), SATURATION, LIGHTS[light])
    assert profile.mean_delta_e <= 1.0
    assert profile.worst_delta_e <= 3.0


@pytest.mark.parametrize("seed", range(5))
def test_what_is_far_from_a_chart_is_refused_before_it_is_fitted(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    fitted: list[int] = []
    monkeypatch.setattr("plateside.finish.chart._left_out", lambda *_: fitted.append(1))
    with pytest.raises(NoChart) as refused:
        profile_of(np.random.default_rng(seed).uniform(0.01, 0.9, (24, 3)), SATURATION, 180.0)
    assert refused.value.reason == "not a chart"
    assert not fitted


@pytest.mark.parametrize("light", ["D50", "A"])
def test_the_colours_wanted_are_those_of_the_light_adapted(light: str) -> None:
    """By colour-science: the patches in that very light, Bradford to D65."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        cmfs = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(SHAPE).values
        spectrum = colour.SDS_ILLUMINANTS[light].copy().align(SHAPE).values
        white = spectrum @ cmfs
        xyz = (PATCHES * spectrum) @ cmfs / white[1]
        d65 = colour.xy_to_XYZ(colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"])
        adapted = colour.chromatic_adaptation(xyz, white / white[1], d65, transform="Bradford")
        expected = colour.XYZ_to_Lab(adapted, colour.XYZ_to_xy(d65))
    apart = delta_e(to_lab(wanted_colours(LIGHTS[light])), expected)
    assert apart.max() < 0.15


def test_it_holds_for_any_exposure_and_leaves_grey_grey() -> None:
    profile = profile_of(taken("D50"), SATURATION, LIGHTS["D50"])
    darker = profile_of(taken("D50", 0.1), SATURATION, LIGHTS["D50"])
    np.testing.assert_allclose(profile.terms, darker.terms, atol=1e-4)
    colours = np.random.default_rng(3).random((50, 3))
    np.testing.assert_allclose(profile(colours * 4), 4 * profile(colours), rtol=1e-4, atol=1e-6)
    np.testing.assert_allclose(profile(np.full((1, 3), 0.3)), 0.3, rtol=1e-5)
    assert np.isfinite(profile(np.array([[-0.01, 0.2, 0.1]]))).all()


@pytest.mark.parametrize("reason", ["clipped", "dark", "uneven", "upside down", "not a chart"])
def test_what_is_no_proof_is_refused(reason: str) -> None:
    patches = taken("D50")
    if reason == "clipped":
        patches = np.minimum(taken("D50", 1.4), 1.0)
    elif reason == "dark":
        patches = patches * 1e-4
    elif reason == "uneven":
        patches = patches * 2.0 ** (-0.5 * np.tile(np.arange(6) / 5, 4))[:, None]
    elif reason == "upside down":
        patches, reason = patches[::-1], "not a chart"
    else:
        patches = np.random.default_rng(5).random((24, 3)) * 0.6 + 0.05
    with pytest.raises(NoChart) as refused:
        profile_of(patches, SATURATION, LIGHTS["D50"])
    assert refused.value.reason == reason
