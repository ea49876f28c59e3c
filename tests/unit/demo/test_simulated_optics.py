"""Defocus, shake, motion and aim of the made camera."""

import math

import numpy as np
import pytest

from plateside.demo.camera import optics
from plateside.demo.camera.take import Exposure


def test_blur_disc_against_a_published_case() -> None:
    # thin lens by hand (Ray 2002): 35 mm f/2 focused at 550 mm, point at 1050 mm: 0.5663 mm
    disc = float(optics.signed_disc_mm(1050.0, 35.0, 2.0, 550.0))
    assert disc == pytest.approx(0.5663, rel=2e-4)
    assert float(optics.signed_disc_mm(400.0, 35.0, 2.0, 550.0)) < 0.0
    assert float(optics.signed_disc_mm(550.0, 35.0, 2.0, 550.0)) == 0.0


def test_disc_at_the_depth_of_field_limits_is_the_circle_of_confusion() -> None:
    # thin lens exact near and far limits (Ray 2002)
    f, N, c, s = 35.0, 5.6, 0.019, 700.0
    hyperfocal = f * f / (N * c) + f
    near = s * (hyperfocal - f) / (hyperfocal + s - 2 * f)
    far = s * (hyperfocal - f) / (hyperfocal - s)
    for limit in (near, far):
        assert abs(float(optics.signed_disc_mm(limit, f, N, s))) == pytest.approx(c, rel=1e-4)


@pytest.mark.parametrize("diameter", [0.4, 1.0, 2.5, 7.0, 20.3, 61.0])
def test_disc_kernel_has_the_disc_s_area_and_width(diameter: float) -> None:
    kernel = optics.disc_kernel(diameter)
    assert kernel.sum() == pytest.approx(1.0, abs=1e-5)
    if diameter > 2:
        # a uniform disc's second moment about its middle is d^2 / 8; drawn in square cells it gains 1/12 each way
        half = kernel.shape[0] // 2
        axis = np.arange(-half, half + 1)
        moment = float((kernel * (axis[:, None] ** 2 + axis[None, :] ** 2)).sum())
        assert moment == pytest.approx(diameter**2 / 8 + 1 / 6, rel=0.07)


def test_a_point_becomes_its_disc() -> None:
    disc = np.full((201, 201), 24.0, dtype=np.float32)
    rgb = np.zeros((201, 201, 3), dtype=np.float32)
    rgb[100, 100] = 1000.0
    out = optics.defocused(rgb, disc)
    lit = out[..., 1] > 0.5 * out[..., 1].max()
    assert 2.0 * math.sqrt(lit.sum() / math.pi) == pytest.approx(24.0, rel=0.03)
    assert out.sum() == pytest.approx(rgb.sum(), rel=1e-3)


def test_defocus_keeps_an_even_field_and_leaves_focus_alone() -> None:
    rng = np.random.default_rng(3)
    even = np.full((60, 80, 3), 2.5, dtype=np.float32)
    ramp = np.tile(np.linspace(-12, 20, 80, dtype=np.float32), (60, 1))
    assert np.allclose(optics.defocused(even, ramp), 2.5, rtol=1e-4)
    sharp = rng.random((60, 80, 3), dtype=np.float32)
    assert np.array_equal(optics.defocused(sharp, np.zeros((60, 80), np.float32)), sharp)


def test_a_sharp_thing_before_a_blurred_background_keeps_its_edge() -> None:
    rgb = np.full((80, 120, 3), 1.0, dtype=np.float32)
    disc = np.full((80, 120), 20.0, dtype=np.float32)
    rgb[:, 40:80] = 0.1
    disc[:, 40:80] = 0.0
    out = optics.defocused(rgb, disc)
    assert np.allclose(out[:, 41:79], 0.1, atol=0.01)


@pytest.mark.parametrize(("length", "direction"), [(6.0, 0.0), (15.0, 37.0), (30.5, 90.0), (22.0, 143.0)])
def test_streak_has_its_length_and_direction(length: float, direction: float) -> None:
    kernel = optics.line_kernel(length, direction)
    half = kernel.shape[0] // 2
    y, x = np.mgrid[half : -half - 1 : -1, -half : half + 1]
    assert kernel.sum() == pytest.approx(1.0, abs=1e-5)
    # second moments of a uniform segment: length^2 / 12 along it; sharing between cells adds up to 1/4
    along = x * math.cos(math.radians(direction)) + y * math.sin(math.radians(direction))
    across = -x * math.sin(math.radians(direction)) + y * math.cos(math.radians(direction))
    assert (kernel * along**2).sum() == pytest.approx(length**2 / 12 + 0.15, rel=0.05)
    assert (kernel * across**2).sum() < 0.4


def test_moving_thing_leaves_the_rest_alone() -> None:
    rng = np.random.default_rng(5)
    rgb = rng.random((90, 120, 3), dtype=np.float32)
    mask = np.zeros((90, 120), dtype=bool)
    mask[40:50, 50:60] = True
    out = optics.moved(rgb, mask, 12.0, 0.0)
    assert np.allclose(out[:30], rgb[:30], atol=1e-6)
    assert not np.allclose(out[40:50, 50:60], rgb[40:50, 50:60], atol=1e-2)


def test_fill_continues_what_surrounds_the_hole() -> None:
    rgb = np.full((64, 64, 3), 3.0, dtype=np.float32)
    hole = np.zeros((64, 64), dtype=bool)
    hole[20:40, 20:44] = True
    rgb[hole] = 99.0
    assert np.allclose(optics.filled(rgb, hole), 3.0, rtol=1e-3)


def test_level_camera_looks_straight() -> None:
    h = optics.pointing(Exposure(), (600, 400), 0.04, 35.0, 700.0)
    assert np.allclose(h / h[2, 2], np.eye(3), atol=1e-12)


def test_focusing_nearer_enlarges_as_a_thin_lens_does() -> None:
    # v = f (1 + m): image distance of the thin lens; from 700 mm to 500 mm
    h = optics.pointing(Exposure(focus_distance_mm=500.0), (601, 401), 0.04, 35.0, 700.0)
    v700, v500 = 1 / (1 / 35 - 1 / 700), 1 / (1 / 35 - 1 / 500)
    assert (h / h[2, 2])[0, 0] == pytest.approx(v700 / v500, rel=1e-9)


def test_roll_turns_lines_by_the_angle_and_borders_stay_out() -> None:
    h = optics.pointing(Exposure(roll_deg=3.0), (600, 400), 0.04, 35.0, 700.0)
    h = h / h[2, 2]
    assert math.degrees(math.atan2(h[1, 0], h[0, 0])) == pytest.approx(3.0, abs=1e-6)
    map_x, map_y = optics.sampling_maps(h, (600, 400))
    assert map_x.min() > -0.6 and map_x.max() < 599.6 and map_y.min() > -0.6 and map_y.max() < 399.6


def test_tilt_converges_as_the_shared_formula_says() -> None:
    # geometry: convergence of opposite edges about W sin(tilt) / s; a 400 mm deep frame at 700 mm, 3 degrees
    f, s, pitch = 35.0, 700.0, 0.04
    v = f * (1 + f / (s - f))
    height = round(400.0 * v / s / pitch)
    h = optics.pointing(Exposure(tilt_deg=3.0), (600, height), pitch, f, s)
    top, bottom = [h @ np.array([[0, 599], [y, y], [1, 1]]) for y in (0, height - 1)]
    widths = [np.ptp(p[0] / p[2]) for p in (top, bottom)]
    convergence = abs(widths[0] - widths[1]) / np.mean(widths)
    assert convergence == pytest.approx(400.0 * math.sin(math.radians(3.0)) / s, rel=0.03)


def test_vignetting_follows_cos4_when_stopped_down() -> None:
    # cos^4 law; at f/16 the barrel's own part is below 1 % of a stop
    pitch, v = 23.5 / 600, 36.8
    share = optics.vignetting((600, 400), pitch, v, 16.0, 1.8)
    half_diagonal = math.hypot(299.5, 199.5) * pitch
    cos4 = math.cos(math.atan(half_diagonal / v)) ** 4
    assert share[0, 0] == pytest.approx(cos4, rel=0.01)
    assert share[200, 300] == pytest.approx(1.0, abs=1e-4)
    wide_open = optics.vignetting((600, 400), pitch, v, 1.8, 1.8)
    assert math.log2(share[0, 0] / wide_open[0, 0]) == pytest.approx(0.9, abs=0.02)
