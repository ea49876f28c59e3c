"""The test picture: the white card against the light engine, the blur disc against the thin lens, times.

    python -m bench pictures

Times are of this machine as it is; wanted are 3 s (rough), 10 s (clean, LLVM and denoiser), 30 s (clean, plain).
"""

import math
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from plateside.demo.camera.frame import make_frame
from plateside.demo.camera.photo import scene_from_photo
from plateside.demo.camera.take import Exposure
from plateside.demo.dng import write_dng
from plateside.model.gear import Camera, Lens
from plateside.picture import engine
from plateside.picture.drawn_shot import CLEAN, ROUGH, light_of
from plateside.picture.pose import CameraPose
from plateside.picture.shapes.set_table import TableSetting
from plateside.picture.trace import card_light
from plateside.tasks.plan.picture_engine import find_engine
from tests.unit.picture.stages import SET_UPS, SPOT, STUDIO, at, bare_stage, engine_lux, luminance_of
from tests.unit.picture.test_renderer import _spot_scene

CARD_SAMPLES = 1500
CASES = (
    (35, 2, 0.55, 1.05),
    (35, 2.8, 0.55, 0.42),
    (35, 1.8, 0.55, 3.0),
    (50, 4, 0.8, 1.3),
    (90, 5.6, 0.6, 0.5),
)
"""Focal length [mm], f-number, focus and point from the lens [m]."""


def main() -> None:
    """Print the three tables."""
    with tempfile.TemporaryDirectory() as folder:
        found = find_engine(Path(folder) / "renderer.json")
    cards(found.variant)
    discs()
    times(found.variant)
    made()


def cards(variant: str) -> None:
    """Every set-up: lux that the card in the picture carries, against the light engine's."""
    print(f"White card against the light engine ({len(SET_UPS)} set-ups, {variant})")
    print(f"{'set-up':34} {'engine lx':>10} {'picture lx':>11} {'ratio':>7} {'noise':>7}")
    ratios = []
    for name, (studio, spot, when, sky, boards, hung) in SET_UPS.items():
        lux, error = card_light(
            bare_stage(studio, spot, when, sky, boards, hung), CARD_SAMPLES, variant=variant, seed=1
        )
        drawn, wanted = luminance_of(lux), engine_lux(name)
        ratios.append(drawn / wanted)
        print(f"{name:34} {wanted:10.1f} {drawn:11.1f} {drawn / wanted:7.4f} {error / drawn:7.4f}")
    off = np.abs(np.asarray(ratios) - 1.0)
    print(
        f"mean off by {100 * off.mean():.2f} %, most {100 * off.max():.2f} %, within 3 %: {(off < 0.03).sum()}\n"
    )


def discs() -> None:
    """Blur disc measured in the renderer's picture of a point, against b = (f/N) m |x - s| / x."""
    print("Blur disc against the thin lens")
    print(f"{'f mm':>5} {'N':>5} {'s m':>5} {'x m':>5} {'formula mm':>11} {'measured mm':>12} {'ratio':>7}")
    for f, n, s, x in CASES:
        m = f / (s * 1000 - f)
        disc = f / n * m * abs(x - s) / x
        pose = CameraPose(
            position_m=(0.0, 0.0, 0.0), target_m=(1.0, 0.0, 0.0), focal_length_mm=float(f), f_number=float(n),
            focus_distance_m=s, sensor_width_mm=1.6 * disc, sensor_height_mm=1.6 * disc,
        )  # fmt: skip
        image = _spot_scene(pose, x, 0.03 * disc / 1000 / m * x / s, 48)
        axis = (np.arange(48) - 23.5) * 1.6 * disc / 48
        r2 = axis[:, None] ** 2 + axis[None, :] ** 2
        measured = math.sqrt(8 * float((image * r2).sum() / image.sum()))
        print(f"{f:5} {n:5} {s:5} {x:5} {disc:11.4f} {measured:12.4f} {measured / disc:7.4f}")
    print()


def times(fastest: str) -> None:
    """Seconds from a stage to a cleaned picture, by variant and quality."""
    print(f"Drawing (denoiser {'here' if engine.has_denoiser() else 'not here'})")
    stage = replace(bare_stage(STUDIO, SPOT, at(13, 30), "overcast"), laid=TableSetting())
    light_of(stage, replace(ROUGH, width_px=24))  # imports and compiled kernels are paid once a session
    for variant in dict.fromkeys((engine.SCALAR, fastest)):
        for quality in (ROUGH, CLEAN):
            started, work = time.perf_counter(), time.process_time()
            light_of(stage, quality, variant=variant)
            took, cpu = time.perf_counter() - started, time.process_time() - work
            print(
                f"{quality.name:6} {variant:12} {quality.width_px:4} px wide: {took:6.1f} s ({cpu:.1f} s of processor)"
            )
    print()


def made() -> None:
    """Seconds to take and to write a made frame."""
    rng = np.random.default_rng(1)
    photo = rng.integers(0, 255, (400, 600, 3), dtype=np.uint8)
    scene = scene_from_photo(photo, width_px=1200, height_px=800)
    camera, lens = Camera(name="the camera"), Lens(name="35", focal_length_mm=35.0)
    for size in ((1200, 800), (6000, 4000)):
        started = time.perf_counter()
        frame = make_frame(scene, camera, lens, Exposure(), size_px=size)
        taken = time.perf_counter()
        with tempfile.TemporaryDirectory() as folder:
            write_dng(Path(folder) / "a.dng", frame)
        written = time.perf_counter()
        print(
            f"made frame {size[0]} x {size[1]}: taken {taken - started:.1f} s, written as DNG {written - taken:.1f} s"
        )


if __name__ == "__main__":
    main()
