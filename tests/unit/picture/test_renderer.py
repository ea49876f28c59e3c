"""The renderer against the light engine, closed forms and the thin lens."""

import math
import random
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from plateside.ground.iso12232 import saturation_share_per_cd_m2
from plateside.light.sky import cie_sky
from plateside.model.errors import Cancelled, MissingExtraError
from plateside.picture import engine, outside
from plateside.picture.drawn_shot import ROUGH, Quality, exposed_picture, fingerprint, light_of, scene_of
from plateside.picture.pose import CameraPose
from plateside.picture.sheet import Panel, sheet_of
from plateside.picture.stage import Stage, shapes_of
from plateside.picture.trace import camera_of, card_light, traced
from plateside.words.refused import said
from tests.unit.picture.stages import (
    SET_UPS,
    SPOT,
    STUDIO,
    at,
    bare_stage,
    engine_lux,
    luminance_of,
    with_window,
)

TINY = Quality("tiny", 24, 2, 2)
# A fresh sample every commit would hide a fault for days: the seed is fixed, bench/pictures.py prints them all.
SAMPLED = random.Random(20270715).sample(sorted(SET_UPS), 3)


@pytest.mark.parametrize("name", SAMPLED)
def test_white_card_carries_the_lux_of_the_light_engine(name: str) -> None:
    # the figure: within 3 %; the path tracer's own noise (about 0.4 %) is allowed on top, four times
    studio, spot, when, sky, boards, hung = SET_UPS[name]
    lux, error = card_light(bare_stage(studio, spot, when, sky, boards, hung), 400, seed=5)
    wanted = engine_lux(name)
    assert abs(luminance_of(lux) - wanted) < 0.03 * wanted + 4.0 * min(error, 0.004 * wanted)


def _closed_form(b: float, h: float, d: float) -> float:
    """Share of an overcast sky's horizontal light at the foot of one side of an open hole (b wide, h high, d away).

    SC = 3/(7 pi) (pi F + 2 G) for L = Lz (1 + 2 sin g)/3 (the integrals of P. Moon and
    D. E. Spencer, Illuminating Engineering 37, 1942, from memory).
    """
    d2, h2 = d * d, h * h
    D2, s = d2 + h2, b / math.hypot(b, d)
    F = (math.atan(b / d) - d / math.sqrt(D2) * math.atan(b / math.sqrt(D2))) / (2 * math.pi)
    G = (math.asin(h * s / math.sqrt(D2)) - h * d2 * s / (D2 * math.sqrt(D2 - h2 * s * s))) / 3
    return 3 / (7 * math.pi) * (math.pi * F + 2 * G)


def test_black_room_has_the_closed_form_s_light() -> None:
    # an open hole 1.2 m wide and 1.2 m high that begins 30 mm above the table, 0.6 m away, no glass, all surfaces black
    black = replace(
        with_window(glass_transmittance=1.0, dirt_factor=1.0, frame_share=0.0),
        room=replace(
            STUDIO.room, floor_reflectance=0.0, ceiling_reflectance=0.0, front_reflectance=0.0,
            right_reflectance=0.0, back_reflectance=0.0, left_reflectance=0.0,
        ),
    )  # fmt: skip
    spot = replace(SPOT, table_reflectance=0.0)
    stage = bare_stage(black, spot, at(13, 30), "overcast")
    lux, _ = card_light(stage, 400, seed=2)
    from_card, d = 0.78 - 0.751, 0.6
    share = 2 * (_closed_form(0.6, 1.2 + from_card, d) - _closed_form(0.6, from_card, d))
    # the ground outside is below the card's horizon; 1.5 % for the path tracer's noise and the map's steps
    assert luminance_of(lux) == pytest.approx(share * stage.sky.diffuse_horizontal_lx, rel=0.015)


def test_baked_sky_gives_the_horizontal_its_lux() -> None:
    # whatever the distribution, the scaled sky integrates to the diffuse horizontal light
    for kind in (1, 5, 12, 16):
        sky = cie_sky(kind, 12345.0, 0.0)
        light = outside.SkyLight(sky, np.array([0.3, 0.4, math.sqrt(0.75)]))
        directions, weight = outside._hemisphere()
        total = (light.relative(directions) * light.scale() * directions[..., 2] * weight).sum()
        assert total == pytest.approx(12345.0, rel=1e-9)
    # and a sky of even luminance puts half its horizontal light on an upright plane
    even = outside.SkyLight(
        replace(cie_sky(5, 1000.0, 0.0), a=0.0, b=-1.0, c=0.0, d=-1.0, e=0.0), np.array([0, 0, 1.0])
    )
    assert even.vertical_lx(1.0) == pytest.approx(500.0, rel=2e-3)


def test_map_of_outside_is_dark_where_no_window_looks() -> None:
    stage = bare_stage(STUDIO, SPOT, at(13, 30), "overcast")
    world = outside.baked_outside(stage.scene, stage.light, (0.8,), 91, 180)
    azimuth = (np.arange(180) + 0.5) * 2.0
    behind = (azimuth > 90) & (azimuth < 270)
    assert world[:, behind].max() == 0.0 and world[45, ~behind].min() > 0.0


def _spot_scene(
    pose: CameraPose, distance_m: float, radius_m: float, pixels: int, samples: int = 600
) -> np.ndarray:
    """A tiny glowing disc on the axis, this far from the lens, as the pose's camera sees it."""
    mi = engine.renderer()
    x, y, z = pose.position_m
    at_disc = mi.ScalarTransform4f().look_at(origin=[x + distance_m, y, z], target=[x, y, z], up=[0, 0, 1])
    scene = mi.load_dict(
        {
            "type": "scene",
            "camera": camera_of(mi, pose, (pixels, pixels)),
            "glow": {
                "type": "disk",
                "to_world": at_disc @ mi.ScalarTransform4f().scale(radius_m),
                "emitter": {"type": "area", "radiance": 1.0},
            },
        }
    )
    image = np.array(mi.render(scene, integrator=mi.load_dict({"type": "direct"}), spp=samples, seed=3))
    return np.asarray(image[..., 1], dtype=np.float64)


@pytest.mark.parametrize(("f_number", "distance_m"), [(2.0, 1.05), (2.8, 0.42), (1.8, 3.0)])
def test_blur_disc_of_the_thin_lens(f_number: float, distance_m: float) -> None:
    # thin lens (Ray 2002): b = (f/N) m |x - s| / x; the first, by hand, is 0.5663 mm
    f, s = 35.0, 0.55
    m = f / (s * 1000 - f)
    disc = f / f_number * m * abs(distance_m - s) / distance_m
    side, pixels = 1.6 * disc, 48
    pose = CameraPose(
        position_m=(0.0, 0.0, 0.0), target_m=(1.0, 0.0, 0.0), focal_length_mm=f, f_number=f_number, focus_distance_m=s,
        sensor_width_mm=side, sensor_height_mm=side,
    )  # fmt: skip
    glow = 0.03 * disc / 1000 / m * distance_m / s  # its own image is a thirtieth of the disc's radius
    image = _spot_scene(pose, distance_m, glow, pixels)
    axis = (np.arange(pixels) - (pixels - 1) / 2) * side / pixels
    r2 = axis[:, None] ** 2 + axis[None, :] ** 2
    # second moment of a uniform disc is d^2 / 8
    measured = math.sqrt(8.0 * float((image * r2).sum() / image.sum()))
    assert measured == pytest.approx(disc, rel=0.05)


def test_frame_width_at_the_focus_plane() -> None:
    # thin lens: W = w (s - f) / f; a glowing disc of known size at that plane has its size in the picture
    pose = CameraPose(
        position_m=(0.0, 0.0, 0.0),
        target_m=(1.0, 0.0, 0.0),
        focus_distance_m=0.7,
        f_number=16.0,
        sensor_height_mm=23.5,
    )
    width_m = 23.5 * (700.0 - 35.0) / 35.0 / 1000
    radius, pixels = 0.12, 64
    image = _spot_scene(pose, 0.7, radius, pixels, 128)
    lit = float((image > 0.5 * image.max()).sum())
    assert math.sqrt(lit / math.pi) * width_m / pixels == pytest.approx(radius, rel=0.015)


def test_passes_agree_with_a_converged_render() -> None:
    # z-test of block means: many short renders against one long one, familywise significance 1 % (Sidak), as the
    # renderer's own tests do; the blocks are independent, their spread is measured from the short ones
    stage = bare_stage(STUDIO, SPOT, at(13, 30), "overcast")
    short = np.stack([traced(stage, (8, 6), 16, seed=k).rgb[..., 1] for k in range(10)]).astype(np.float64)
    long = traced(stage, (8, 6), 512, seed=99).rgb[..., 1].astype(np.float64)
    spread = short.std(axis=0, ddof=1) * math.sqrt(1 / 10 + 16 / 512)
    t = np.abs(short.mean(axis=0) - long) / np.maximum(spread, 1e-12)
    p = 2 * stats.t.sf(t, df=9)
    assert p.min() > 1 - (1 - 0.01) ** (1 / p.size)


def test_exposure_of_the_picture_is_iso_12232_s() -> None:
    stage = bare_stage(STUDIO, SPOT, at(13, 30), "overcast")
    pose = stage.pose
    per_cd = saturation_share_per_cd_m2(pose.exposure_s, pose.f_number, pose.iso, pose.magnification)
    light = np.full((8, 12, 3), (10.0 / 78.0) / per_cd, dtype=np.float32)
    shot = exposed_picture(light, stage, (1.0, 1.0, 1.0))
    # an 18 % surface at the standard output point stands at 118 of 255 (ISO 12232)
    assert np.abs(shot.picture.astype(int) - 118).max() <= 1
    over = exposed_picture(light * 10.0, stage, (1.0, 1.0, 1.0), show_clipped=True)
    assert over.clipped_share == 1.0
    assert set(np.unique(over.picture)) == {0, 255}  # hatched: a colour might be the dish's own
    assert (over.picture[..., :1] == over.picture).all()


def test_white_is_the_light_at_the_dish() -> None:
    stage = bare_stage(STUDIO, SPOT, at(13, 30), "clear")
    bluish = np.full((2, 2, 3), [16.0, 20.0, 30.0], dtype=np.float32)
    picture = exposed_picture(bluish, stage, (0.8, 1.0, 1.5)).picture.astype(int)
    assert np.ptp(picture.reshape(-1, 3), axis=1).max() <= 2


def test_drawn_once_kept_for_every_shutter_time() -> None:
    stage = bare_stage(STUDIO, SPOT, at(13, 30), "overcast")
    cache: dict[str, np.ndarray] = {}
    first = light_of(stage, TINY, cache=cache)
    assert len(cache) == 1
    slower = replace(stage, pose=replace(stage.pose, exposure_s=1.0, iso=400.0))
    assert np.array_equal(light_of(slower, TINY, cache=cache), first) and len(cache) == 1
    wider = replace(stage, pose=replace(stage.pose, f_number=2.0))
    light_of(wider, TINY, cache=cache)
    assert len(cache) == 2
    assert fingerprint(stage) != fingerprint(wider)


def test_drawing_can_be_stopped() -> None:
    def stop(done: int, total: int) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        light_of(bare_stage(STUDIO, SPOT, at(13, 30), "overcast"), TINY, progress=stop)


def test_without_the_renderer_the_line_to_run_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engine, "find_spec", lambda name: None)
    with pytest.raises(MissingExtraError) as missing:
        engine.renderer()
    assert 'pip install "plateside[picture]"' in said(missing.value)
    assert not engine.has_denoiser()


@pytest.fixture(scope="module")
def scene() -> Iterator[object]:
    from plateside.picture.shapes.set_table import TableSetting

    stage = replace(bare_stage(STUDIO, SPOT, at(13, 30), "overcast"), laid=TableSetting())
    yield scene_of(stage, (500.0, 500.0, 500.0), (60, 40), 2)


def test_linear_scene_knows_distances_and_names(scene: object) -> None:
    from plateside.picture.scene import LinearScene

    assert isinstance(scene, LinearScene)
    assert {"room", "table", "bowl", "soup"} <= set(scene.names)
    soup = scene.identity == scene.names.index("soup")
    table = scene.identity == scene.names.index("table")
    assert soup.sum() > 100 and table.sum() > 1000
    # the camera stands 0.707 m from the aim point; the bowl's soup lies about there, nearer at the frame's bottom
    assert np.median(scene.depth_mm[soup]) == pytest.approx(700.0, abs=30.0)
    rows = np.arange(40)[:, None] * np.ones((1, 60))
    assert np.corrcoef(rows[table], scene.depth_mm[table])[0, 1] < -0.9
    assert scene.mm_per_px == pytest.approx(23.5 * (707 - 35) / 35 / 60, rel=1e-6)


def test_every_shape_of_the_stage_loads() -> None:
    mi = engine.renderer()
    studio, spot, when, sky, boards, hung = SET_UPS["tenement, reveal, clear"]
    stage: Stage = bare_stage(studio, spot, when, sky, boards, hung)
    shapes, _ = shapes_of(mi, stage)
    assert "reveal_0_0" in shapes and "table" in shapes and "outside" in shapes
    mi.load_dict(shapes)


def test_sheet_holds_its_panels() -> None:
    picture = np.full((80, 120, 3), 90, dtype=np.uint8)
    sheet = sheet_of([Panel(picture, "bare", "900 lx")] * 4, "three-bowls: boards", "drawn")
    assert sheet.shape[1] > 240 and sheet.shape[0] > 160
    assert (sheet == 90).all(axis=-1).sum() >= 4 * 78 * 118
    assert tuple(sheet[1, 1]) == (250, 247, 242)


def test_more_paths_where_nothing_cleans_and_where_they_cost_less(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engine, "find_spec", lambda name: None)
    alone = ROUGH.samples_with(engine.SCALAR)
    monkeypatch.setattr(engine, "find_spec", lambda name: object())
    assert alone > ROUGH.samples_with(engine.SCALAR)
    assert ROUGH.samples_with(engine.LLVM) > ROUGH.samples_with(engine.SCALAR)


@pytest.mark.parametrize(
    ("name", "at_most"),
    [("reveal", 0.85), ("overhang", 0.95), ("clear morning, sun on the wall", 1.1), ("sheer, overcast", 1.1)],
)
def test_light_that_gives_more_is_asked_more_often(
    monkeypatch: pytest.MonkeyPatch, name: str, at_most: float
) -> None:
    # the law: importance sampling has less noise for the same paths, and the same mean (Veach 1997, chapter 9);
    # with the sky alone, or the sky and one other light, there is nothing to gain, and nothing may be lost
    stage = bare_stage(*SET_UPS[name])
    lux, error = card_light(stage, 200, seed=3)
    monkeypatch.setattr("plateside.picture.stage.with_shares", lambda shapes, scene, world: shapes)
    alike, error_alike = card_light(stage, 200, seed=3)
    assert error < at_most * error_alike
    assert luminance_of(lux) == pytest.approx(luminance_of(alike), abs=5.0 * math.hypot(error, error_alike))
