"""Tracing a stage: light, distance and what is what, at each pixel.

Long work is cut into passes; between two of them the progress callback may stop it.
"""

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import LUMINANCE
from plateside.model.progress import Progress, silent
from plateside.picture import engine
from plateside.picture.pose import CameraPose
from plateside.picture.stage import CARD_REFLECTANCE, CARD_SIZE_M, Stage, shapes_of, uses_sheets

Float = NDArray[np.float32]

MOST_BOUNCES = 24
EVEN = (12, 8, 6, 4, 3, 2, 1)
"""Samples that can be spread evenly over pixel, lens and lights (multi-jittered: Chiu, Shirley, Wang 1994)."""
SAMPLES_A_PASS = 8
MOST_AT_ONCE = 8_000_000
"""Paths that one pass follows: the fast renderer keeps all of them in memory, some hundred bytes each."""
GUIDE_SAMPLES = 12


@dataclass(frozen=True)
class Traced:
    """What the renderer found: linear sRGB luminance [cd/m2] and guides, each (height, width, ...)."""

    rgb: Float
    albedo: Float
    normal: Float
    distance_m: Float
    """Along each ray from the lens [m]."""


def load(stage: Stage, variant: str, size_px: tuple[int, int], *, pinhole: bool = False) -> tuple[Any, Any]:
    """The renderer and its scene with the camera in it."""
    mi = engine.renderer(variant)
    shapes, _ = shapes_of(mi, stage)
    shapes["camera"] = camera_of(mi, stage.pose, size_px, pinhole=pinhole)
    # not optimised: merging walls of one material let shadow rays through them (renderer 3.9.1)
    return mi, mi.load_dict(shapes, optimize=False)


def camera_of(
    mi: Any, pose: CameraPose, size_px: tuple[int, int], *, pinhole: bool = False
) -> dict[str, Any]:
    """A thin lens (or a pinhole) with the pose's sensor, focal length, f-number and focus.

    The angle of view is the focused lens's: sensor over image distance v = f (1 + m).
    """
    v = pose.focal_length_mm * (1.0 + pose.magnification)
    out: dict[str, Any] = {
        "type": "perspective" if pinhole else "thinlens",
        "fov": math.degrees(2.0 * math.atan(pose.sensor_width_mm / (2.0 * v))),
        "fov_axis": "x",
        "near_clip": 0.01,
        "to_world": mi.ScalarTransform4f().look_at(origin=pose.position_m, target=pose.target_m, up=pose.up),
        "film": {
            "type": "hdrfilm", "width": size_px[0], "height": size_px[1], "pixel_format": "rgb",
            "rfilter": {"type": "box"} if pinhole else {"type": "tent", "radius": 0.75},
        },
        "sampler": {"type": "multijitter", "sample_count": 1},
    }  # fmt: skip
    if not pinhole:
        out["aperture_radius"] = pose.focal_length_mm / pose.f_number / 2.0 / 1000.0
        out["focus_distance"] = pose.focus_distance_m
    return out


def integrator_of(mi: Any, stage: Stage) -> Any:
    """Path tracing; where light passes a sheet unscattered, the kind whose shadow rays pass it too."""
    kind = "volpath" if uses_sheets(stage) else "path"
    return mi.load_dict({"type": kind, "max_depth": MOST_BOUNCES, "rr_depth": 4})


def traced(
    stage: Stage,
    size_px: tuple[int, int],
    samples: int,
    *,
    variant: str = engine.SCALAR,
    pinhole: bool = False,
    guides: int = GUIDE_SAMPLES,
    seed: int = 0,
    progress: Progress = silent,
) -> Traced:
    """Trace the stage with this many samples a pixel, and what guides the denoiser with `guides`.

    Raises MissingExtraError; Cancelled when told to stop.
    """
    progress(0, samples)
    mi, scene = load(stage, variant, size_px, pinhole=pinhole)
    integrator = integrator_of(mi, stage)
    most = max(1, MOST_AT_ONCE // (size_px[0] * size_px[1]))
    left, done = samples, 0
    total = np.zeros((), dtype=np.float32)
    while left > 0:
        now = _even(min(SAMPLES_A_PASS, most, left))
        part = np.array(
            mi.render(scene, integrator=integrator, spp=now, seed=seed * 7919 + done), dtype=np.float32
        )
        total = total + part[..., :3] * np.float32(now)
        left, done = left - now, done + now
        progress(done, samples)
    # what guides the denoiser needs no light, so it may have many more samples
    guide_integrator = mi.load_dict({"type": "aov", "aovs": "a:albedo,n:sh_normal,d:depth"})
    shown = np.array(
        mi.render(scene, integrator=guide_integrator, spp=_even(min(guides, most)), seed=seed + 1),
        dtype=np.float32,
    )[..., -7:]
    return Traced(
        rgb=np.ascontiguousarray(np.maximum(np.nan_to_num(total / np.float32(samples)), 0.0)),
        albedo=np.ascontiguousarray(shown[..., 0:3]),
        normal=np.ascontiguousarray(shown[..., 3:6]),
        distance_m=np.ascontiguousarray(shown[..., 6]),
    )


def _even(most: int) -> int:
    """The most samples, up to this many, that can be spread evenly."""
    return next(n for n in EVEN if n <= most)


def cleaned(found: Traced, *, guides_by: str = "high") -> Float:
    """The light with the renderer's noise taken out where the denoiser is here; else as it is."""
    if not engine.has_denoiser():
        return found.rgb
    return np.maximum(engine.denoised(found.rgb, found.albedo, found.normal, guides_by=guides_by), 0.0)


def card_light(
    stage: Stage, samples: int, *, variant: str = engine.SCALAR, seed: int = 0
) -> tuple[NDArray[np.float64], float]:
    """Light on the white card lying at the dish, by bands [lx], and the standard error of its luminance [lx].

    A camera close above looks at the card; its luminance times pi over its reflectance is its light.
    """
    x, y, z = stage.scene.dish
    pose = CameraPose(
        position_m=(float(x), float(y), float(z) + 0.3), target_m=(float(x), float(y), float(z)), up=(0.0, 1.0, 0.0),
        focal_length_mm=35.0, f_number=22.0, focus_distance_m=0.3, sensor_width_mm=1.0, sensor_height_mm=1.0,
    )  # fmt: skip
    # the sensor's side is chosen so that the card's inner nine tenths fill the frame
    side = 0.9 * CARD_SIZE_M * pose.magnification * 1000.0
    measured = replace(stage, card=True, pose=replace(pose, sensor_width_mm=side, sensor_height_mm=side))
    mi, scene = load(measured, variant, (16, 16), pinhole=True)
    integrator = integrator_of(mi, measured)
    image = np.array(mi.render(scene, integrator=integrator, spp=samples, seed=seed), dtype=np.float64)[
        ..., :3
    ]
    lux = image.reshape(-1, 3) * (math.pi / CARD_REFLECTANCE)
    luma = lux @ LUMINANCE
    return lux.mean(axis=0), float(luma.std(ddof=1) / math.sqrt(len(luma)))
