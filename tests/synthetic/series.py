"""Made series of one shot, some frames flawless and the rest with one fault each, as a photographer makes them."""

from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from tests.synthetic.dng import write_dng
from tests.synthetic.faults import blurred, composed, disc, frame_of, streak
from tests.synthetic.scenes import TEST, Array, Scene, light_over, make_scene, prop

FAULTS = (
    "shake", "focus", "motion", "exposure", "clipped", "cast", "pushed", "crumbs", "hand", "stray", "tilt", "cropped",
)  # fmt: skip

RAW_GAIN = (10 / 78) / 0.18
"""ISO 12232: what a camera's JPEG shows as middle grey lies at 10/78 of its raw's saturation."""


@dataclass(frozen=True)
class Series:
    """Frames on disk, in the order of time, and the truth."""

    faults: dict[str, str]
    """file -> its fault; empty when there is none"""
    accepted: str
    """the accepted test frame, or empty"""


def write_series(
    folder: Path, seed: int, photos: tuple[str, ...] = TEST, size: tuple[int, int] = (960, 640)
) -> Series:
    """One series of four to six frames; some in one burst, some with an accepted test frame, some with a raw."""
    rng = np.random.default_rng([88, seed])
    scene = make_scene(photos, int(rng.integers(1 << 31)), *size)
    # exposed as a meter has it, so that a fault in exposure is one
    level = float(np.percentile(composed(scene, None, None).max(axis=2), 97))
    light = 0.75 / level
    good = int(rng.integers(1, 4))
    faults = [""] * good + [str(f) for f in rng.choice(FAULTS, int(rng.integers(2, 4)), replace=False)]
    faults = [faults[i] for i in rng.permutation(len(faults))]
    drift = float(rng.uniform(-0.15, 0.15)) if rng.random() < 0.4 else 0.0
    burst, with_raw = bool(rng.random() < 0.3), bool(rng.random() < 0.15)
    named: dict[str, str] = {}
    for at, fault in enumerate(faults):
        linear = faulty(scene, fault, rng) * light * 2.0 ** (drift * at / len(faults))
        stops, colour = 0.0, (1.0, 1.0, 1.0)
        if fault == "exposure":
            stops = float(rng.choice([-1, 1]) * rng.uniform(0.35, 1.5))
        elif fault == "clipped":
            stops = float(rng.uniform(0.8, 1.6))
        elif fault == "cast":
            warm = float(rng.choice([-1, 1]) * rng.uniform(0.1, 0.4))
            colour = (2.0 ** (warm / 2), 1.0, 2.0 ** (-warm / 2))
        taken = f"2027:05:01 12:{0 if burst else at:02d}:{at if burst else 0:02d}"
        raw = with_raw and not fault
        name = f"S{at:03d}.{'dng' if raw else 'jpg'}"
        if raw:
            seen = np.maximum(cv2.GaussianBlur(linear, (0, 0), 0.55), 0)
            write_dng(
                folder / name, seen, gain=RAW_GAIN, preview_gain=1.0, seed=seed, taken=taken, focal_length_mm=50
            )  # fmt: skip
        else:
            made = frame_of(linear, rng, stops=stops, colour=colour)
            exif = Image.Exif()
            exif[0x8769] = {0x9003: taken, 33434: 1 / 60, 33437: 8.0, 37386: 50.0}
            Image.fromarray(made).save(folder / name, quality=95, exif=exif)
        named[name] = fault
    flawless = [n for n, f in named.items() if not f]
    accepted = str(rng.choice(flawless)) if rng.random() < 0.5 else ""
    return Series(named, accepted)


def faulty(scene: Scene, fault: str, rng: np.random.Generator) -> Array:
    """The scene in linear light with one fault; exposure and colour are the caller's."""
    width, height = scene.size
    unit = width / 1200
    if fault == "shake":
        line = streak(float(rng.uniform(5, 22)) * unit, float(rng.uniform(0, 180)))
        return blurred(composed(scene, None, None), line)
    if fault == "focus":
        radius = float(rng.uniform(2.5, 8)) * unit
        return composed(scene, disc(radius * float(rng.uniform(0.6, 1.2))), disc(radius))
    if fault == "motion":
        return composed(scene, None, streak(float(rng.uniform(6, 24)) * unit, float(rng.uniform(0, 180))))
    if fault == "pushed":
        way = rng.uniform(0, 2 * np.pi)
        far = float(rng.uniform(0.02, 0.08)) * width
        hero = replace(scene.hero, x=scene.hero.x + np.cos(way) * far, y=scene.hero.y + np.sin(way) * far)
        return composed(replace(scene, hero=hero), None, None)
    out = composed(scene, None, None)
    if fault in ("crumbs", "hand", "stray"):
        return _covered(out, scene, fault, rng)
    if fault in ("tilt", "cropped"):
        turn = float(rng.choice([-1, 1]) * rng.uniform(1.0, 4.0)) if fault == "tilt" else 0.0
        matrix = cv2.getRotationMatrix2D((width / 2, height / 2), turn, 1.0)
        if fault == "cropped":
            matrix = matrix + np.outer(
                rng.choice([-1, 1], 2) * rng.uniform(0.1, 0.3, 2) * (width, height), [0, 0, 1]
            )
        moved = cv2.warpAffine(
            out, matrix, (width, height), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT
        )
        return np.maximum(moved, 0).astype(np.float32)
    return out


def _covered(out: Array, scene: Scene, fault: str, rng: np.random.Generator) -> Array:
    """Crumbs beside and on the dish, a hand reaching in from the edge, or a thing left lying."""
    width, height = scene.size
    cover = np.zeros((height, width), np.float32)
    if fault == "crumbs":
        for _ in range(int(rng.integers(12, 40))):
            at = (scene.hero.x + rng.normal(0, width * 0.12), scene.hero.y + rng.normal(0, height * 0.12))
            axes = (int(rng.integers(3, 9)), int(rng.integers(2, 6)))
            cv2.ellipse(cover, (int(at[0]), int(at[1])), axes, float(rng.uniform(0, 180)), 0, 360, 1.0, -1)
        tone = np.array([0.30, 0.17, 0.07]) * rng.uniform(0.5, 1.6)
    elif fault == "hand":
        edge = rng.uniform(0, 2 * np.pi)
        start = (int(width * (0.5 + 0.7 * np.cos(edge))), int(height * (0.5 + 0.7 * np.sin(edge))))
        reach = float(rng.uniform(0.25, 0.55))
        end = (
            int(start[0] + (scene.hero.x - start[0]) * reach),
            int(start[1] + (scene.hero.y - start[1]) * reach),
        )
        cv2.line(cover, start, end, 1.0, int(height * 0.16))
        tone = np.array([0.45, 0.26, 0.19]) * rng.uniform(0.4, 1.2)
    else:
        thing = prop(str(rng.choice(TEST)), rng, height / 4)
        size = thing.cover.shape[0]
        x, y = int(rng.uniform(0, width - size)), int(rng.uniform(0, height - size))
        part = thing.cover[..., None]
        colour = thing.colour
        # what is as bright as the ground it lies on is seen by nobody
        ground = float((out[y : y + size, x : x + size] * part).sum() / max(3 * part.sum(), 1))
        own = float((colour * part).sum() / max(3 * part.sum(), 1))
        if abs(own - ground) < 0.15:
            colour = np.minimum(colour * np.float32((0.6 if ground < 0.3 else 0.05) / max(own, 1e-3)), 0.95)
        out[y : y + size, x : x + size] = out[y : y + size, x : x + size] * (1 - part) + colour * part
        return out
    soft = cv2.GaussianBlur(cover, (0, 0), 0.8)[..., None]
    light = light_over(width, height, rng) ** np.float32(0.2)
    return np.asarray(out * (1 - soft) + tone.astype(np.float32) * soft * light, np.float32)
