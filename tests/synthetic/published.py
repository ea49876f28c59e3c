"""Photographs as they are published: cropped, toned, made small, sharpened, compressed; the dish is sharp in each.

From made scenes and from photographs that packages bring with them. What is around the dish may be melted, the depth of
focus may end on the dish, and the dish may lie where a page wants it, beside the middle.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.synthetic.faults import composed, disc
from tests.synthetic.other_kinds import graded
from tests.synthetic.scenes import Array, Scene

LOOKS = ("plain", "high key", "dark", "faded", "contrast", "black and white")
LONGEST_PX = (600, 800, 1080, 1200, 1600, 2048)


@dataclass(frozen=True, eq=False)
class Published:
    """One picture, and how it was made."""

    made: str
    picture: NDArray[np.uint8]


def taken(scene: Scene, rng: np.random.Generator) -> tuple[str, Array]:
    """A made scene in linear light, with depth of focus as food is mostly shown."""
    scale = scene.size[0] / 1200
    depth = str(rng.choice(["deep", "melted", "graded", "little"]))
    behind = {"deep": 0.0, "melted": rng.uniform(5, 16), "graded": 0.0, "little": rng.uniform(1, 4)}[depth]
    linear = composed(scene, disc(float(behind) * scale), None)
    if depth == "graded":
        at = float(np.clip(scene.hero.y / scene.size[1] + rng.uniform(-0.03, 0.08), 0.05, 0.95))
        linear = graded(linear, float(rng.uniform(10, 40)) * scale, at)
    return depth, np.asarray(
        linear * np.float32(0.7 / max(float(np.percentile(linear.mean(axis=2), 98)), 1e-3))
    )


def cropped(linear: Array, rng: np.random.Generator) -> Array:
    """To a page's shape, the middle of the scene where a third of the picture is, or near it."""
    high, wide = linear.shape[:2]
    shape = float(rng.choice([2 / 3, 4 / 5, 1.0, 4 / 3, 3 / 2, 16 / 9]))
    h = min(high, wide / shape) * rng.uniform(0.8, 1.0)
    w = h * shape
    x, y = ((free) * (0.5 + rng.uniform(-0.5, 0.5)) for free in (wide - w, high - h))
    return np.ascontiguousarray(linear[int(y) : int(y + h), int(x) : int(x + w)])


def toned(linear: Array, look: str, rng: np.random.Generator) -> Array:
    """Encoded 0..1, as a finisher leaves it."""
    stops = {"high key": rng.uniform(0.3, 0.9), "dark": rng.uniform(-2.5, -1.0)}.get(
        look, rng.uniform(-0.3, 0.2)
    )
    light = np.clip(linear * np.float32(2.0**stops), 0, 1)
    shown = np.asarray(light ** np.float32(1 / 2.2), np.float32)
    if look == "faded":
        shown = shown * np.float32(0.8) + np.float32(0.12)
    if look == "contrast":
        shown = shown * shown * (3 - 2 * shown)
    if look == "black and white":
        shown = np.repeat(shown @ np.array([[0.3], [0.6], [0.1]], np.float32), 3, axis=2)
    return shown


def published(linear: Array, rng: np.random.Generator, look: str = "", *, longest_px: int = 0) -> Published:
    """`linear` as it would be seen on a page."""
    look = look or str(rng.choice(LOOKS))
    shown = toned(cropped(linear, rng), look, rng)
    high, wide = shown.shape[:2]
    longest = longest_px or int(rng.choice(LONGEST_PX))
    scale = min(longest / max(high, wide), 1.0)
    size = (round(wide * scale), round(high * scale))
    shown = np.asarray(cv2.resize(shown, size, interpolation=cv2.INTER_AREA), np.float32)
    done = [look, f"{size[0]} x {size[1]}"]
    if rng.random() < 0.6:
        amount = float(rng.uniform(0.3, 1.2))
        shown = shown + np.float32(amount) * (
            shown - cv2.GaussianBlur(shown, (0, 0), float(rng.uniform(0.5, 1.2)))
        )
        done.append(f"sharpened {amount:.1f}")
    if rng.random() < 0.4:
        v, u = np.mgrid[0 : size[1], 0 : size[0]].astype(np.float32)
        far = np.hypot(u / size[0] - 0.5, v / size[1] - 0.5)[..., None]
        shown = shown * (1 - np.float32(rng.uniform(0.2, 0.7)) * far * far * 2)
        done.append("vignette")
    if rng.random() < 0.3:
        grain = rng.standard_normal((size[1], size[0], 1), dtype=np.float32)
        soft = cv2.GaussianBlur(grain, (0, 0), float(rng.uniform(0.3, 0.9))).reshape(grain.shape)
        grain = soft * np.float32(rng.uniform(0.005, 0.03) / soft.std())
        shown = np.asarray(shown + grain, np.float32)
        done.append("grain")
    if rng.random() < 0.15:
        wide = round(float(rng.uniform(0.02, 0.1)) * max(size))
        tone = (float(rng.integers(2)),) * 3
        border = cv2.copyMakeBorder(shown, wide, wide, wide, wide, cv2.BORDER_CONSTANT, value=tone)
        shown = np.asarray(border, np.float32)
        done.append("border")
    codes = np.asarray(np.clip(shown, 0, 1) * 255 + 0.5, np.uint8)
    quality = int(rng.integers(60, 96))
    ok, data = cv2.imencode(".jpg", codes[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])
    assert ok
    done.append(f"quality {quality}")
    back = np.asarray(cv2.imdecode(data, cv2.IMREAD_COLOR), np.uint8)
    return Published(", ".join(done), np.ascontiguousarray(back[..., ::-1]))
