"""One made frame from a scene, a camera, a lens and a take."""

import math
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.demo.camera import optics
from plateside.demo.camera.layers import with_pour
from plateside.demo.camera.light import daylight_change, lamp_factor
from plateside.demo.camera.take import Disc, Exposure, Truth
from plateside.ground.exposure import ev100
from plateside.ground.iso12232 import metered_exposure_s, saturation_share_per_cd_m2
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.errors import RefusedError
from plateside.model.gear import Camera, Lens
from plateside.picture.develop import developed
from plateside.picture.scene import LinearScene
from plateside.picture.sensor import (
    BLACK_LEVEL,
    WHITE_LEVEL,
    XYZ_TO_CAMERA,
    exposed,
    mosaic_shares,
    neutral_of,
)

Float = NDArray[np.float32]

# when a fault counts as one (ours): a third of a stop; a blur of two pixels where sharpness was planned;
# a streak of more than a pixel and a half; a lamp that adds 2 %; a sixth of a stop of drift; half a degree
EXPOSURE_STOPS, FOCUS_PX, STREAK_PX, LAMP_SHARE, DRIFT_STOPS, TILT_DEG = 0.34, 2.0, 1.5, 0.02, 0.17, 0.5


@dataclass(frozen=True, kw_only=True)
class SimulatedFrame:
    """A made frame: raw mosaic, the camera's own JPEG, and the truth."""

    mosaic: NDArray[np.uint16]
    """Bayer mosaic RGGB, 14 bits, height x width; always lying, as the sensor is."""
    black_level: int
    white_level: int
    neutral: tuple[float, float, float]
    """Camera values of what was taken as white, largest 1 (DNG AsShotNeutral)."""
    colour_matrix: NDArray[np.float64]
    """CIE XYZ (D65) to camera, 3 x 3 (DNG ColorMatrix1, CalibrationIlluminant1 21)."""
    picture: NDArray[np.uint8]
    """The camera's own sRGB picture, height x width x 3, lying like the mosaic."""
    orientation: int
    """EXIF orientation: 1, or 6 (turn a quarter clockwise to view) when the camera stood upright."""
    camera: Camera
    lens: Lens
    truth: Truth


def make_frame(
    scene: LinearScene,
    camera: Camera,
    lens: Lens,
    take: Exposure,
    *,
    size_px: tuple[int, int] | None = None,
    seed: int = 0,
) -> SimulatedFrame:
    """Take a frame of the scene; an upright scene makes an upright frame (lying file, orientation 6).

    size_px   width and height of the frame as viewed [px], even numbers; left out, the scene's own
    seed      of photon and read noise; the same seed gives the same frame

    Raises InputError when the size is odd or the thing said to move is not in the scene.
    """
    scene, enlarged = _at_size(scene, size_px)
    width, height = scene.size_px
    pitch_mm = camera.sensor_width_mm / max(width, height)
    focal = take.focal_length_mm or lens.focal_length_mm
    focus = take.focus_distance_mm or scene.focus_distance_mm
    if focus <= focal * 1.01:
        raise RefusedError("focus inside the lens", focus_mm=float(focus), focal_mm=float(focal))

    white = np.asarray(scene.white_rgb, dtype=np.float32) * daylight_change(take)
    scene = replace(scene, rgb=scene.rgb * daylight_change(take), white_rgb=_colour(white))
    scene, streak_px = with_pour(scene, take, seed=seed)
    rgb = scene.rgb
    lit = white
    lamp = lamp_factor(take, (width, height), scene.white_rgb)
    if lamp is not None:
        rgb = rgb * (1.0 + lamp)
        lit = white * (1.0 + lamp[height // 2, width // 2])

    pointing = optics.pointing(take, (width, height), pitch_mm, focal, scene.focus_distance_mm)
    maps = optics.sampling_maps(pointing, (width, height))
    rgb = np.maximum(cv2.remap(rgb, *maps, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT), 0.0)
    depth = cv2.remap(scene.depth_mm, *maps, cv2.INTER_NEAREST, borderMode=cv2.BORDER_REFLECT)
    identity = cv2.remap(scene.identity, *maps, cv2.INTER_NEAREST, borderMode=cv2.BORDER_REFLECT)

    if take.moving:
        if take.moving not in scene.names:
            raise RefusedError("nothing so called", got=take.moving, known=list(scene.names))
        mask = identity == scene.names.index(take.moving)
        rgb = optics.moved(rgb, mask, take.motion_px, take.motion_direction_deg)
    disc_mm = optics.signed_disc_mm(np.asarray(depth, dtype=np.float32), focal, take.f_number, focus)
    rgb = optics.defocused(rgb, disc_mm / np.float32(pitch_mm))
    rgb = optics.streaked(rgb, take.shake_px, take.shake_direction_deg)

    m = optics.magnification(focal, focus)
    vignette = optics.vignetting(
        (width, height), pitch_mm, focal * (1 + m), take.f_number, lens.widest_aperture
    )
    per_cd = saturation_share_per_cd_m2(take.exposure_s, take.f_number, take.iso, m)
    shares = rgb * (vignette * np.float32(per_cd))[..., None]
    upright = height > width
    if upright:
        shares = np.ascontiguousarray(np.rot90(shares))
    mosaic = exposed(mosaic_shares(shares), camera, take.iso, np.random.default_rng(seed))
    neutral = neutral_of(take.white or scene.white_rgb)

    discs = tuple(
        Disc(name=n, depth_mm=d, diameter_mm=abs(b), diameter_px=abs(b) / pitch_mm)
        for n, d, b in _discs(scene, focal, take.f_number, focus)
    )
    lux = float(np.pi * float(LUMINANCE_32 @ lit))
    stops = math.log2(take.exposure_s / metered_exposure_s(lux, take.f_number, take.iso, m))
    daylight_lux = float(np.pi * float(LUMINANCE_32 @ white))
    off = math.log2(take.exposure_s / metered_exposure_s(daylight_lux, take.f_number, take.iso, m))
    if take.planned_exposure_s is not None:
        off = take.light_stops + math.log2(take.exposure_s / take.planned_exposure_s)
    planned_blur = (
        float(optics.signed_disc_mm(scene.focus_distance_mm, focal, take.f_number, focus)) / pitch_mm
    )
    amiss = (
        ("exposure", abs(off) > EXPOSURE_STOPS),
        ("focus", abs(planned_blur) > FOCUS_PX),
        ("shake", take.shake_px > STREAK_PX),
        ("motion", bool(take.moving) and take.motion_px > STREAK_PX),
        ("lamp", take.lamp_share > LAMP_SHARE),
        ("light", abs(take.light_stops) > DRIFT_STOPS),
        ("tilt", max(abs(take.tilt_deg), abs(take.roll_deg), abs(take.yaw_deg)) > TILT_DEG),
    )
    truth = Truth(
        take=take,
        illuminance_lx=lux,
        ev100=ev100(take.f_number, take.exposure_s, take.iso),
        stops_from_metered=stops,
        stops_from_planned=off,
        clipped_share=float((mosaic >= WHITE_LEVEL).mean()),
        focus_mm=focus,
        focus_error_mm=focus - scene.focus_distance_mm,
        discs=discs,
        shake_px=take.shake_px,
        motion_px=take.motion_px if take.moving else streak_px,
        lamp_share=take.lamp_share,
        kinds=tuple(kind for kind, is_so in amiss if is_so),
        enlarged=enlarged,
        origin=scene.origin,
        seed=seed,
    )
    return SimulatedFrame(
        mosaic=mosaic,
        black_level=BLACK_LEVEL,
        white_level=WHITE_LEVEL,
        neutral=neutral,
        colour_matrix=XYZ_TO_CAMERA,
        picture=developed(mosaic, neutral),
        orientation=6 if upright else 1,
        camera=camera,
        lens=lens,
        truth=truth,
    )


def _colour(values: Float) -> tuple[float, float, float]:
    r, g, b = (float(v) for v in values)
    return r, g, b


def _at_size(scene: LinearScene, size_px: tuple[int, int] | None) -> tuple[LinearScene, float]:
    """The scene at the frame's size, and how many times it was enlarged."""
    width, height = size_px or scene.size_px
    if width % 2 or height % 2 or min(width, height) < 16:
        raise RefusedError("no even sides", width_px=width, height_px=height)
    if (width, height) == scene.size_px:
        return scene, 1.0
    factor = width / scene.size_px[0]
    if abs(height / scene.size_px[1] / factor - 1.0) > 0.02:
        raise RefusedError("frame of another shape", width_px=width, height_px=height, scene_px=scene.size_px)
    method = cv2.INTER_CUBIC if factor > 1 else cv2.INTER_AREA
    size = (width, height)
    sized = replace(
        scene,
        rgb=np.maximum(cv2.resize(scene.rgb, size, interpolation=method), 0.0),
        depth_mm=np.asarray(
            cv2.resize(scene.depth_mm, size, interpolation=cv2.INTER_NEAREST), dtype=np.float32
        ),
        identity=np.asarray(
            cv2.resize(scene.identity, size, interpolation=cv2.INTER_NEAREST), dtype=np.int16
        ),
        mm_per_px=scene.mm_per_px / factor,
    )
    return sized, max(1.0, factor)


def _discs(
    scene: LinearScene, focal_mm: float, f_number: float, focus_mm: float
) -> list[tuple[str, float, float]]:
    """Name, median distance [mm] and signed blur disc [mm] of each thing in the scene."""
    out = []
    for number, name in enumerate(scene.names):
        mask = scene.identity == number
        if mask.any():
            depth = float(np.median(scene.depth_mm[mask]))
            out.append((name, depth, float(optics.signed_disc_mm(depth, focal_mm, f_number, focus_mm))))
    return out
