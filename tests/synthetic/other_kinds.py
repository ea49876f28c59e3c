"""Faults beside the six of `faults`: less depth of focus, bent shakes, focus behind the hero of a shallow set-up, part
of the hero moving. Each against the test frame of its set-up; lengths in pixels of a 1200 px wide picture."""

from dataclasses import replace

import cv2
import numpy as np

from tests.synthetic.blur_cases import BlurCase
from tests.synthetic.faults import Truth, blurred, changed, composed, disc, frame_of
from tests.synthetic.scenes import Array, Scene, make_scene

OTHER = ("less depth", "bent shake", "behind", "part moving", "same", "same shallow")


def graded(picture: Array, per_height: float, at: float) -> Array:
    """Blur that grows from the row `at` (share of the height) on: a disc of `per_height` times the distance [px]."""
    height = picture.shape[0]
    radii = np.abs((np.arange(height) + 0.5) / height - at) * per_height
    steps = np.arange(0, radii.max() + 1.0, 1.0)
    stack = [blurred(picture, disc(float(r))) for r in steps]
    out = np.empty_like(picture)
    for y, r in enumerate(radii):
        k = min(int(r), len(steps) - 2)
        out[y] = stack[k][y] * (1 - (r - k)) + stack[k + 1][y] * (r - k)
    return out


def walk(length: float, rng: np.random.Generator) -> Array:
    """Kernel of a hand's shake: a way of three strokes, each turned up to 70 degrees from the one before."""
    angle, points = rng.uniform(0, 2 * np.pi), [np.zeros(2)]
    for _ in range(3):
        step = length / 3 * np.array([np.cos(angle), np.sin(angle)]) * rng.uniform(0.6, 1.4)
        points.append(points[-1] + step)
        angle += np.radians(rng.uniform(-70, 70))
    t = np.linspace(0, 3, 90)
    way = np.array([np.interp(t, range(4), [p[i] for p in points]) for i in (0, 1)]).T
    way -= way.mean(axis=0)
    n = int(np.abs(way).max()) + 3
    kernel = np.zeros((2 * n + 1, 2 * n + 1), np.float32)
    for x, y in way:
        x0, y0 = int(np.floor(x)), int(np.floor(y))
        fx, fy = x - x0, y - y0
        for dy, dx, w in (
            (0, 0, (1 - fx) * (1 - fy)),
            (0, 1, fx * (1 - fy)),
            (1, 0, (1 - fx) * fy),
            (1, 1, fx * fy),
        ):
            kernel[n + y0 + dy, n + x0 + dx] += w
    return np.asarray(kernel / kernel.sum(), np.float32)


def part_moved(
    picture: Array, x: float, y: float, radius: float, length: float, rng: np.random.Generator
) -> Array:
    """A round part of the picture swept along a line during the exposure, the rest still."""
    height, width = picture.shape[:2]
    v, u = np.mgrid[0:height, 0:width].astype(np.float32)
    angle = rng.uniform(0, 2 * np.pi)
    out = np.zeros_like(picture)
    for t in np.linspace(-0.5, 0.5, 15):
        dx, dy = t * length * np.cos(angle), t * length * np.sin(angle)
        by = np.array([[1, 0, dx], [0, 1, dy]], np.float32)
        cover = np.clip(radius - np.hypot(u - x - dx, v - y - dy) + 0.5, 0, 1).astype(np.float32)[..., None]
        moved = cv2.warpAffine(picture, by, (width, height), borderMode=cv2.BORDER_REFLECT)
        out += (picture * (1 - cover) + moved * cover) / 15
    return out


def other_case(
    photos: tuple[str, ...], seed: int, kind: str, width: int = 900, scene: Scene | None = None
) -> BlurCase:
    """One of OTHER; `scene`: of this one, `width` px wide, in the place of one by the seed."""
    height, scale = width * 2 // 3, width / 1200
    rng = np.random.default_rng([seed, 17])
    scene_seed = int(rng.integers(1 << 31))
    scene = scene or make_scene(photos, scene_seed, width, height)
    shallow = kind in ("behind", "same shallow")
    base = disc(float(rng.uniform(4, 8)) * scale) if shallow else None
    psf, noise = float(rng.uniform(0.5, 0.8)), float(rng.uniform(0.002, 0.008))
    reference = frame_of(composed(scene, base, None), rng, psf=psf, noise=noise)
    later = changed(scene, rng, photos, 2.0 * scale)
    linear = composed(later, base, None)
    truth = Truth(kind)
    if kind == "less depth":
        per_height = float(rng.uniform(7, 22)) * scale
        linear = graded(linear, per_height, (later.hero.y / height) + float(rng.uniform(-0.05, 0.05)))
    elif kind == "bent shake":
        length = float(rng.uniform(8, 26))
        truth = replace(truth, length=length)
        linear = blurred(linear, walk(length * scale, rng))
    elif kind == "behind":
        linear = composed(
            later, disc(float(rng.uniform(0, 2)) * scale), disc(float(rng.uniform(3, 8)) * scale)
        )
    elif kind == "part moving":
        size = later.hero.cover.shape[0]
        share = float(rng.choice([0.05, 0.1, 0.25]))
        truth = replace(truth, length=11.0, hero_radius=share)
        radius = np.sqrt(share * float(later.hero.cover.sum()) / np.pi)
        away = rng.uniform(-0.15, 0.15, 2) * size
        linear = part_moved(
            linear, later.hero.x + away[0], later.hero.y + away[1] * 0.6, radius, 11.2 * scale, rng
        )
    frame = frame_of(
        np.asarray(linear, np.float32), rng, stops=float(rng.uniform(-0.3, 0.2)), psf=psf, noise=noise
    )
    return BlurCase(truth, shallow, reference, frame, scene.subject_box, seed)
