"""The planned picture: what the camera would take, and the linear scene behind it.

    picture_of    one picture, at a quality
    scene_of      the same stage all in focus, in linear light with distances and names, for the made camera
    Quality       rough (a moment), clean (to judge by), fine (for a page)

White balance is that of a grey card at the dish; exposure is the pose's own by ISO 12232; the tone curve is the made
camera's.
"""

import hashlib
from collections.abc import MutableMapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.ground.iso12232 import saturation_share_per_cd_m2
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.progress import Progress, silent
from plateside.picture import engine
from plateside.picture.develop import camera_to_srgb, toned
from plateside.picture.scene import LinearScene
from plateside.picture.sensor import SRGB_TO_CAMERA
from plateside.picture.stage import Stage
from plateside.picture.trace import Float, Traced, cleaned, load, traced

RENDERER = "plateside test shot 3"
"""Changes when the drawing changes, so that a cache is not believed past its time."""


@dataclass(frozen=True)
class Quality:
    """How much work a picture is worth."""

    name: str
    width_px: int
    samples: int
    """Paths a pixel by the plain renderer, where the denoiser is here."""
    samples_without: int
    """Paths a pixel where it is not."""
    guides: int = 12
    """Rays a pixel for the colour and shape that guide the denoiser: they need no light."""

    def samples_with(self, variant: str) -> int:
        """Paths a pixel on this machine: the fast renderer draws twice as many in less time."""
        plain = self.samples if engine.has_denoiser() else self.samples_without
        return plain * 2 if variant != engine.SCALAR else plain


ROUGH = Quality("rough", 180, 6, 8, 4)
CLEAN = Quality("clean", 480, 6, 20, 8)
FINE = Quality("fine", 960, 20, 80)
QUALITIES = {q.name: q for q in (ROUGH, CLEAN, FINE)}

HATCH_PX = 4
"""Width of a stripe over what clips."""

Cache = MutableMapping[str, NDArray[Any]]
"""Where finished light is kept: by content, so a thing once drawn is not drawn again."""


@dataclass(frozen=True)
class DrawnShot:
    """A drawn picture and what can be measured in it."""

    picture: NDArray[np.uint8]
    """sRGB, height x width x 3."""
    luminance: Float
    """Linear sRGB [cd/m2], height x width x 3."""
    clipped: NDArray[np.bool_]
    """Where a raw value of the real camera would clip."""
    exposed: Float
    """Share of saturation of the strongest raw channel."""

    @property
    def clipped_share(self) -> float:
        return float(self.clipped.mean())


def load_renderer() -> None:
    """Load what a first picture needs: renderer, denoiser, tone curve. Raises MissingExtraError."""
    engine.renderer()
    blank = np.zeros((16, 16, 3), dtype=np.float32)
    if engine.has_denoiser():
        engine.denoised(blank, blank, blank)
    toned(blank)


def height_px(stage: Stage, width_px: int) -> int:
    """Height of a picture of this width [px], even."""
    return max(2, round(width_px * stage.pose.sensor_height_mm / stage.pose.sensor_width_mm / 2) * 2)


def fingerprint(*things: Any) -> str:
    """A content hash of dataclasses, numbers, words and arrays."""
    digest = hashlib.blake2b(RENDERER.encode(), digest_size=16)

    def feed(value: Any) -> None:
        if is_dataclass(value) and not isinstance(value, type):
            digest.update(type(value).__name__.encode())
            for f in fields(value):
                digest.update(f.name.encode())
                feed(getattr(value, f.name))
        elif isinstance(value, tuple | list):
            digest.update(b"[%d" % len(value))
            for one in value:
                feed(one)
        elif isinstance(value, np.ndarray):
            digest.update(str(value.shape).encode() + np.ascontiguousarray(value).tobytes())
        else:
            digest.update(repr(value).encode())

    for thing in things:
        feed(thing)
    return digest.hexdigest()


def light_of(
    stage: Stage,
    quality: Quality,
    *,
    variant: str = engine.SCALAR,
    cache: Cache | None = None,
    progress: Progress = silent,
    size_px: tuple[int, int] | None = None,
) -> Float:
    """The picture in linear light [cd/m2], cleaned of the renderer's noise; from the cache when it is there.

    Exposure is not part of it: one drawing serves every shutter time and ISO.
    """
    size = size_px or (quality.width_px, height_px(stage, quality.width_px))
    samples = quality.samples_with(variant)
    plain = replace(stage, pose=replace(stage.pose, exposure_s=1.0, iso=100.0))
    key = fingerprint(plain, size, samples, quality.guides, engine.has_denoiser())
    if cache is not None and key in cache:
        progress(samples, samples)
        return np.asarray(cache[key], dtype=np.float32)
    found = traced(plain, size, samples, variant=variant, guides=quality.guides, progress=progress)
    # a picture to look at; frames that are measured have the slower filter
    out = cleaned(found, guides_by="fast")
    if cache is not None:
        cache[key] = out
    return out


def exposed_picture(
    luminance: Float, stage: Stage, white_rgb: tuple[float, float, float], *, show_clipped: bool = False
) -> DrawnShot:
    """Linear light to the camera's picture: exposure, white balance, tone.

    white_rgb     colour of the light at the dish (linear sRGB), taken as white
    show_clipped  hatch what clips
    """
    pose = stage.pose
    per_cd = saturation_share_per_cd_m2(pose.exposure_s, pose.f_number, pose.iso, pose.magnification)
    per_cd *= 2.0**-pose.filter_stops
    raw = luminance @ (SRGB_TO_CAMERA.T * per_cd).astype(np.float32)
    clipped = raw.max(axis=-1) >= 1.0
    neutral = SRGB_TO_CAMERA @ (
        np.asarray(white_rgb) / max(float(LUMINANCE_32 @ np.asarray(white_rgb)), 1e-9)
    )
    neutral = neutral / neutral.max()
    balanced = np.minimum(np.minimum(raw, 1.0) / neutral.astype(np.float32), 1.0)
    picture = toned(np.asarray(balanced @ camera_to_srgb().T.astype(np.float32), dtype=np.float32))
    if show_clipped:
        picture = hatched(picture, clipped)
    return DrawnShot(picture, luminance, clipped, np.asarray(raw.max(axis=-1), dtype=np.float32))


def hatched(picture: NDArray[np.uint8], where: NDArray[np.bool_]) -> NDArray[np.uint8]:
    """The picture with diagonal black and white stripes over some places: a colour might be the dish's own."""
    rows, columns = np.indices(where.shape)
    black = (rows + columns) // HATCH_PX % 2 == 0
    out = picture.copy()
    out[where & black], out[where & ~black] = 0, 255
    return out


def picture_of(
    stage: Stage,
    white_rgb: tuple[float, float, float],
    quality: Quality = CLEAN,
    *,
    variant: str = engine.SCALAR,
    cache: Cache | None = None,
    progress: Progress = silent,
    show_clipped: bool = False,
    size_px: tuple[int, int] | None = None,
) -> DrawnShot:
    """Draw a stage as its camera would take it.

    white_rgb  the light at the dish as linear sRGB (the light engine's `light_rgb`): what a grey card sets as white
    Raises MissingExtraError without the renderer, Cancelled when the progress callback says so.
    """
    light = light_of(stage, quality, variant=variant, cache=cache, progress=progress, size_px=size_px)
    return exposed_picture(light, stage, white_rgb, show_clipped=show_clipped)


def scene_of(
    stage: Stage,
    white_rgb: tuple[float, float, float],
    size_px: tuple[int, int],
    samples: int = 16,
    *,
    variant: str = engine.SCALAR,
    progress: Progress = silent,
) -> LinearScene:
    """Trace the stage all in focus, with distances and names: what the made camera takes its frames from.

    white_rgb  luminance of a perfect white card at the dish, linear sRGB [cd/m2]: its lux over pi, times its colour
    """
    found = traced(stage, size_px, samples, variant=variant, pinhole=True, progress=progress)
    identity, names = identities(stage, size_px)
    return scene_from(stage, found, identity, names, white_rgb)


def scene_from(
    stage: Stage,
    found: Traced,
    identity: NDArray[np.int16],
    names: tuple[str, ...],
    white_rgb: tuple[float, float, float],
) -> LinearScene:
    """The scene of what the renderer has found; parameters as in scene_of, identity and names as of identities."""
    height, width = identity.shape
    v = stage.pose.focal_length_mm * (1.0 + stage.pose.magnification)
    pitch = stage.pose.sensor_width_mm / width
    x, y = np.meshgrid(np.arange(width) - (width - 1) / 2, np.arange(height) - (height - 1) / 2)
    slant = np.sqrt(1.0 + (x * x + y * y) * (pitch / v) ** 2)
    far = np.where(found.distance_m > 0, found.distance_m, 100.0)
    focus_mm = stage.pose.focus_distance_m * 1000.0
    return LinearScene(
        rgb=cleaned(found),
        depth_mm=(far / slant * 1000.0).astype(np.float32),
        identity=identity,
        names=names,
        white_rgb=white_rgb,
        mm_per_px=pitch / stage.pose.magnification,
        focus_distance_mm=focus_mm,
        origin="traced",
    )


def identities(stage: Stage, size_px: tuple[int, int]) -> tuple[NDArray[np.int16], tuple[str, ...]]:
    """What is seen at each pixel's middle, and the names; parts of one thing keep one name.

    Always by the plain renderer: the fast one numbers meshes and rectangles each from 1, so that two things share a
    number (renderer 3.9.1).
    """
    mi, scene = load(stage, engine.SCALAR, size_px, pinhole=True)
    integrator = mi.load_dict({"type": "aov", "aovs": "i:shape_index"})
    index = np.array(mi.render(scene, integrator=integrator, spp=1, seed=1))[..., -1]
    ids = [str(shape.id()) for shape in scene.shapes()]
    names: list[str] = ["room"]
    number_of = []
    for one in ids:
        name = _said(one)
        if name not in names:
            names.append(name)
        number_of.append(names.index(name))
    found = np.rint(np.nan_to_num(index)).astype(int) - 1  # the renderer counts from 1; 0 is nothing
    table = np.asarray([*number_of, 0], dtype=np.int16)
    inside = (found >= 0) & (found < len(number_of)) & np.isfinite(index)
    return np.where(inside, table[np.clip(found, 0, len(number_of) - 1)], 0).astype(np.int16), tuple(names)


def _said(shape_id: str) -> str:
    """The renderer's id as a name a person would use."""
    name = shape_id
    if name.startswith("thing_"):
        name = name.split("_", 2)[2]
    if name.startswith("hero_"):
        return name.removeprefix("hero_").replace("_", " ")
    if name.startswith(("wall_", "floor", "ceiling", "reveal", "overhang", "sheet")):
        return "room"
    return name.replace("_", " ")


def blur_disc_px(stage: Stage, width_px: int, distance_m: float) -> float:
    """Diameter of the blur disc of a point this far from the lens [px], thin lens: b = (f/N) m |x - s| / x."""
    pose = stage.pose
    b = pose.focal_length_mm / pose.f_number * pose.magnification
    b *= abs(distance_m - pose.focus_distance_m) / distance_m
    return b / pose.sensor_width_mm * width_px


__all__ = [
    "CLEAN",
    "FINE",
    "QUALITIES",
    "ROUGH",
    "Cache",
    "DrawnShot",
    "Quality",
    "blur_disc_px",
    "exposed_picture",
    "fingerprint",
    "height_px",
    "identities",
    "light_of",
    "load_renderer",
    "picture_of",
    "scene_from",
    "scene_of",
]  # fmt: skip
