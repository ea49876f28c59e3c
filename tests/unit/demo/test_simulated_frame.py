"""The made frame as a whole: exposure, noise, colour, and the truth told."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator
from skimage.color import rgb2xyz

from plateside.demo.camera import layers
from plateside.demo.camera.frame import SimulatedFrame, make_frame
from plateside.demo.camera.optics import magnification
from plateside.demo.camera.photo import scene_from_photo, table_depth_mm
from plateside.demo.camera.take import Exposure
from plateside.ground.iso12232 import metered_exposure_s, saturation_share_per_cd_m2
from plateside.ground.srgb import to_linear
from plateside.ground.temperature import planckian_xy
from plateside.model.errors import InputError
from plateside.picture import develop
from plateside.picture.develop import srgb_encoded, tone
from tests.unit.picture.scenes import CAMERA, LENS, flat_scene, point_scene

GREY = flat_scene()


def greens(frame: SimulatedFrame) -> np.ndarray:
    """One of the two greens of the frame's middle, black level taken off."""
    h, w = frame.mosaic.shape
    middle = frame.mosaic[h // 2 - 24 : h // 2 + 24 : 2, w // 2 - 24 + 1 : w // 2 + 24 : 2]
    return middle.astype(float) - frame.black_level


def variance(values: np.ndarray) -> float:
    """Variance of the noise alone: half the variance of differences of neighbours, blind to slow changes."""
    return float(np.diff(values, axis=1).var() / 2)


def green_share(frame: SimulatedFrame) -> float:
    """Mean green of the frame's middle, as a share of saturation."""
    h, w = frame.mosaic.shape
    middle = frame.mosaic[h // 2 - 16 : h // 2 + 16, w // 2 - 16 : w // 2 + 16].astype(float)
    green = (middle[0::2, 1::2].mean() + middle[1::2, 0::2].mean()) / 2
    return float(green - frame.black_level) / (frame.white_level - frame.black_level)


@pytest.mark.parametrize("stops", [-5.0, -2.0, 0.0, 1.3])
@pytest.mark.parametrize("iso", [100, 800])
def test_grey_reads_back_at_its_exposure(stops: float, iso: int) -> None:
    # ISO 12232: luminance of an 18 % card under E lux is 0.18 E / pi
    t = metered_exposure_s(480.0, 8.0, iso, magnification(35.0, 700.0)) * 2.0**stops
    take = Exposure(exposure_s=t, f_number=8.0, iso=iso)
    # twenty electrons a pixel scatter by a fiftieth of a stop over the patch: the mean of eight frames is asked
    frames = [make_frame(GREY, CAMERA, LENS, take, seed=s) for s in range(8 if stops < -4 else 1)]
    share = float(np.mean([green_share(frame) for frame in frames]))
    luminance = share / saturation_share_per_cd_m2(t, 8.0, iso, magnification(35.0, 700.0))
    frame = frames[0]
    assert abs(math.log2(luminance / (0.18 * 480.0 / math.pi))) < 0.03
    assert frame.truth.stops_from_metered == pytest.approx(stops, abs=1e-6)


def test_clipping_where_iso_12232_says() -> None:
    # a surface at 78 / S of focal-plane exposure is at saturation: 0.1 stop under it hardly clips, 0.3 over it does
    white = flat_scene(((1.0, 1.0, 1.0),))
    m = magnification(35.0, 700.0)
    sat_t = 0.78 * (8.0 * (1 + m)) ** 2 / (0.65 * 480.0 / math.pi)
    under = make_frame(white, CAMERA, LENS, Exposure(exposure_s=sat_t * 2**-0.1, f_number=8.0))
    over = make_frame(white, CAMERA, LENS, Exposure(exposure_s=sat_t * 2**0.3, f_number=8.0))
    middle = (slice(36, 60), slice(36, 60))  # the lens's corners are darker
    assert under.truth.clipped_share < 0.001
    # the green half clips; red and blue are weaker
    assert (over.mosaic[middle] == over.white_level).mean() == pytest.approx(0.5, abs=0.05)
    assert over.mosaic.max() == over.white_level


def test_noise_is_photon_and_read_noise() -> None:
    # variance = signal electrons + read noise^2 (Poisson): full well 40000 e at ISO 100, read noise 4 e.
    # Half the variance of n differences has a relative standard error of about sqrt(3/n): four of them are allowed
    for stops in (0.0, -4.0):
        t = metered_exposure_s(480.0, 8.0, 100) * 2.0**stops
        frame = make_frame(GREY, CAMERA, LENS, Exposure(exposure_s=t, f_number=8.0), seed=9)
        electrons = greens(frame) * 40000.0 / (frame.white_level - frame.black_level)
        spread = 4.0 * math.sqrt(3.0 / electrons.size)
        assert variance(electrons) == pytest.approx(electrons.mean() + 4.0**2, rel=spread)


def test_snr_falls_by_root_two_a_stop() -> None:
    # Poisson: ISO 100 -> 800 at matched brightness divides the shot-noise ratio by 2.83
    def ratio(iso: int) -> float:
        t = metered_exposure_s(480.0, 8.0, iso)
        values = greens(make_frame(GREY, CAMERA, LENS, Exposure(exposure_s=t, f_number=8.0, iso=iso), seed=2))
        return float(values.mean() / math.sqrt(variance(values)))

    assert ratio(100) / ratio(800) == pytest.approx(2.83, rel=0.15)


def test_same_seed_same_frame_other_seed_other_noise() -> None:
    a, b, c = (make_frame(GREY, CAMERA, LENS, Exposure(), seed=s) for s in (1, 1, 2))
    assert np.array_equal(a.mosaic, b.mosaic)
    assert not np.array_equal(a.mosaic, c.mosaic)


def test_standard_output_point_of_the_curve() -> None:
    # ISO 12232 standard output sensitivity: H = 10 / S stands at 118 of 255
    assert 255.0 * float(tone(np.array(10.0 / 78.0))) == pytest.approx(118.0, abs=0.5)
    assert np.all(np.diff(tone(np.linspace(0, 1, 500))) > 0)
    # between its points as scipy's monotone cubics run
    shares = np.linspace(0, 1, 2001)
    curve = PchipInterpolator(develop._IN, develop._OUT)
    np.testing.assert_allclose(tone(shares), curve(srgb_encoded(shares)), atol=1e-12)
    x = np.linspace(0, 1, 101)
    assert np.allclose(to_linear(srgb_encoded(x)), x, atol=1e-9)
    # scikit-image's own sRGB decoding: Y of a neutral is its linear value
    neutral = np.repeat(x[:, None, None], 3, axis=2)
    assert np.allclose(to_linear(x), rgb2xyz(neutral)[:, 0, 1], atol=1e-6)


def test_grey_card_stays_grey_under_any_light() -> None:
    scene = flat_scene()
    warm = replace(
        scene, rgb=scene.rgb * np.array([1.3, 1.0, 0.55], dtype=np.float32), white_rgb=(198.6, 152.8, 84.0)
    )
    picture = make_frame(warm, CAMERA, LENS, Exposure(), seed=3).picture
    r, g, b = picture[32:64, 32:64].reshape(-1, 3).mean(axis=0)
    assert abs(r - g) < 1.5 and abs(b - g) < 1.5


def test_tungsten_lamp_is_warm_and_falls_off() -> None:
    # chromaticity of CIE illuminant A (2856 K): x 0.44757, y 0.40745 (CIE 15:2004)
    x, y = planckian_xy(2856.0)
    assert x == pytest.approx(0.44757, abs=5e-4) and y == pytest.approx(0.40745, abs=5e-4)
    lamp = make_frame(GREY, CAMERA, LENS, Exposure(lamp_share=0.4), seed=1)
    plain = make_frame(GREY, CAMERA, LENS, Exposure(), seed=1)
    assert lamp.truth.illuminance_lx == pytest.approx(1.4 * 480.0, rel=0.01)
    # half a stop brighter by the lamp alone: the exposure is right once it is off
    assert lamp.truth.kinds == ("lamp",) and plain.truth.kinds == ()
    gain = lamp.picture.astype(float).mean(axis=0) - plain.picture.astype(float).mean(axis=0)
    assert gain[-10:].mean() > gain[:10].mean()  # it hangs on the right
    assert gain[..., 0].mean() > gain[..., 2].mean() + 5


def test_defocused_point_has_the_thin_lens_s_disc() -> None:
    # a point 300 mm behind focus, f/2 at 700 mm: b = (f/N) m |x - s| / x (thin lens, Ray 2002), pixels of 23.5/256 mm
    scene = point_scene(1000.0, 700.0)
    frame = make_frame(scene, CAMERA, LENS, Exposure(f_number=2.0, exposure_s=8.0), seed=0)
    expected = 35.0 / 2.0 * (35.0 / 665.0) * 300.0 / 1000.0 / (23.5 / 256)
    assert frame.truth.discs[0].diameter_px == pytest.approx(expected, rel=1e-5)


def test_defocus_of_a_frame_measured_on_its_edge() -> None:
    # the edge through a uniform disc of diameter d rises within w on either side of the middle by
    # (2/pi) (u sqrt(1 - u^2) + asin u), u = 2 w / d: the disc's area between two chords
    scene = flat_scene(((0.05, 0.05, 0.05), (0.6, 0.6, 0.6)), patch_px=400, depth_mm=2000.0)
    frame = make_frame(scene, CAMERA, LENS, Exposure(f_number=2.0, exposure_s=1 / 30), seed=0)
    diameter = 35.0 / 2.0 * (35.0 / 665.0) * 1300.0 / 2000.0 / (23.5 / 800)
    green = frame.mosaic[0::2, 1::2].astype(float).mean(axis=0) - 512
    dark, light = green[180:188].mean(), green[211:219].mean()
    columns = np.arange(green.size) * 2 + 1 - 399.5
    for w in (3.0, 6.0):
        rise = (np.interp(w, columns, green) - np.interp(-w, columns, green)) / (light - dark)
        u = 2 * w / diameter
        assert rise == pytest.approx(2 / math.pi * (u * math.sqrt(1 - u * u) + math.asin(u)), rel=0.04)


def test_upright_scene_makes_a_lying_file() -> None:
    scene = flat_scene(((0.1, 0.1, 0.1), (0.6, 0.6, 0.6)))
    turned = replace(
        scene,
        rgb=np.ascontiguousarray(np.rot90(scene.rgb, -1)),
        depth_mm=np.ascontiguousarray(np.rot90(scene.depth_mm, -1)),
        identity=np.ascontiguousarray(np.rot90(scene.identity, -1)),
    )
    frame = make_frame(turned, CAMERA, LENS, Exposure(), seed=0)
    assert frame.orientation == 6 and frame.mosaic.shape == (96, 192)
    viewed = np.rot90(frame.picture, -1)  # orientation 6: turn a quarter clockwise to view
    lit = turned.rgb[..., 1] > turned.rgb[..., 1].mean()
    assert viewed[lit][:, 1].mean() > viewed[~lit][:, 1].mean() + 40


def test_enlarged_frame_says_so() -> None:
    frame = make_frame(GREY, CAMERA, LENS, Exposure(), size_px=(240, 240))
    assert frame.mosaic.shape == (240, 240) and frame.truth.enlarged == pytest.approx(2.5)


def test_what_cannot_be_is_refused_with_its_mend() -> None:
    with pytest.raises(InputError, match="no even sides: width_px"):
        make_frame(GREY, CAMERA, LENS, Exposure(), size_px=(97, 97))
    with pytest.raises(InputError, match="patch 0"):
        make_frame(GREY, CAMERA, LENS, Exposure(moving="spoon", motion_px=9))
    with pytest.raises(InputError, match="focus inside the lens"):
        make_frame(GREY, CAMERA, LENS, Exposure(focus_distance_mm=30))
    with pytest.raises(InputError, match="frame of another shape"):
        make_frame(GREY, CAMERA, LENS, Exposure(), size_px=(240, 120))


def test_an_exposure_is_right_by_what_was_planned() -> None:
    # a set-up looked at from the side is planned by the light towards the camera, not by that on the level
    as_planned = make_frame(GREY, CAMERA, LENS, Exposure(exposure_s=2 / 3, planned_exposure_s=2 / 3))
    assert as_planned.truth.kinds == () and as_planned.truth.stops_from_metered == pytest.approx(1.0, abs=0.2)
    dark = make_frame(GREY, CAMERA, LENS, Exposure(exposure_s=1 / 3, planned_exposure_s=2 / 3))
    assert dark.truth.kinds == ("exposure",) and dark.truth.stops_from_planned == pytest.approx(-1.0)


def test_truth_names_every_fault() -> None:
    take = Exposure(
        exposure_s=1.5, shake_px=8, focus_distance_mm=500, f_number=2.0, light_stops=-0.5, lamp_share=0.2, tilt_deg=2,
        moving="patch 0", motion_px=10,
    )  # fmt: skip
    kinds = make_frame(flat_scene(patch_px=200), CAMERA, LENS, take).truth.kinds
    assert set(kinds) == {"exposure", "focus", "shake", "motion", "lamp", "light", "tilt"}


def test_a_pour_is_where_it_was_put() -> None:
    scene = flat_scene(((0.3, 0.2, 0.1), (0.3, 0.2, 0.1)), patch_px=200)
    poured, streak = layers.with_pour(scene, Exposure(pour_at=(0.7, 0.6), exposure_s=1 / 125))
    # 1.25 m/s for 1/125 s is 10 mm
    assert streak == pytest.approx(10.0 / scene.mm_per_px)
    stream = np.nonzero(poured.identity == poured.names.index("pour"))
    assert stream[0].max() == pytest.approx(0.6 * 200, abs=2) and stream[1].mean() == pytest.approx(
        0.7 * 400, abs=4
    )


def test_scene_from_a_photograph_says_so() -> None:
    rng = np.random.default_rng(0)
    photo = rng.integers(0, 255, (100, 150, 3), dtype=np.uint8)
    scene = scene_from_photo(photo, width_px=300, height_px=200, illuminance_lx=480.0)
    assert scene.origin == "a photograph, enlarged 2.0 times" and scene.size_px == (300, 200)
    assert scene.illuminance_lx == pytest.approx(480.0, rel=1e-4)
    with pytest.raises(InputError, match="no photograph of 8 bits"):
        scene_from_photo(photo.astype(np.float32))


def test_table_depth_from_geometry() -> None:
    # camera 700 mm from the middle at 45 degrees: the table point 100 mm up the frame's plane is seen at
    # z = s / (1 - tan(t)/tan(45)), tan t = 100/700; straight down all distances are equal
    depth = table_depth_mm((3, 201), 1.0, 700.0, 45.0)
    assert depth[0, 1] == pytest.approx(700.0 / (1 - 100 / 700), rel=1e-5)
    assert np.allclose(table_depth_mm((3, 201), 1.0, 700.0, 90.0), 700.0, rtol=1e-4)
