"""Sets to which warm props were added, and sets on which a lamp was left on: what changed is known.

Props stand on the table with a shadow and a little of their own colour on the cloth beside them; lamps are smooth
fields of light of their own colour that multiply what is there. Scenes: `tests/synthetic/scenes` and plain tables of
few things (a white plate on linen), where little texture helps.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.synthetic.faults import frame_of
from tests.synthetic.scenes import Array, Scene, flat, light_over, make_scene, plate, sheet

WARM = {
    "tomatoes": (0.45, 0.035, 0.02), "carrots": (0.62, 0.19, 0.03), "curry": (0.5, 0.24, 0.03),
    "bread": (0.42, 0.24, 0.10), "copper": (0.5, 0.25, 0.15), "lemons": (0.7, 0.5, 0.05),
}  # fmt: skip


@dataclass(frozen=True, eq=False)
class LightCase:
    """A test frame and a later one."""

    name: str
    before: NDArray[np.uint8]
    after: NDArray[np.uint8]
    lamp_share: float
    """Of the light where the lamp is strongest; 0: none is on."""
    subject_box: tuple[float, float, float, float]


def table(photos: tuple[str, ...], seed: int, width: int, height: int) -> Scene:
    """A plain or a rich table by the seed."""
    scene = make_scene(photos, seed, width, height)
    rng = np.random.default_rng([seed, 1])
    if rng.random() < 0.5:
        return scene
    tone = np.asarray(rng.uniform(0.12, 0.5) * np.exp(rng.normal(0, 0.08, 3)), np.float32)
    weave = 1 + 0.06 * cv2.GaussianBlur(rng.normal(0, 1, (height, width)).astype(np.float32), (0, 0), 1.2)
    ground = tone * weave[..., None].astype(np.float32)
    hero = plate(str(rng.choice(photos)), int(height * 0.6), rng, 0.75)
    hero = type(hero)(hero.colour, hero.cover, width / 2, height / 2)
    return Scene(ground, scene.props[: int(rng.integers(0, 3))], hero, light_over(width, height, rng))


def with_prop(linear: Array, rng: np.random.Generator, photos: tuple[str, ...]) -> tuple[str, Array]:
    """A warm thing set down at chance, whole or cut by the frame's edge, with its shadow."""
    height, width = linear.shape[:2]
    name = str(rng.choice(list(WARM)))
    size = float(rng.uniform(0.13, 0.42)) * width
    angle, far = rng.uniform(0, 2 * np.pi), rng.uniform(0.55, 1.05)
    x, y = width * (0.5 + 0.45 * far * np.cos(angle)), height * (0.5 + 0.45 * far * np.sin(angle))
    v, u = np.mgrid[0:height, 0:width].astype(np.float32)
    flat_by = float(rng.uniform(0.5, 1.0))
    radius = np.hypot(u - x, (v - y) / flat_by) / (size / 2)
    cover = np.clip((1 - radius) * size / 2 + 0.5, 0, 1).astype(np.float32)[..., None]
    inner = np.clip((0.86 - radius) * size / 2 + 0.5, 0, 1).astype(np.float32)[..., None]
    off = rng.normal(0, 0.06, 2) * size
    shadow = np.exp(-((np.hypot(u - x - off[0], (v - y - off[1]) / flat_by) / (size * 0.62)) ** 4))
    out = linear * (1 - float(rng.uniform(0.15, 0.5)) * shadow[..., None].astype(np.float32))
    tone = np.asarray(WARM[name], np.float32)
    # the colour that it throws on what lies beside it: a few per cent
    out = out * (1 + 0.05 * tone / tone.max() * np.exp(-((radius - 1).clip(0) / 0.3))[..., None])
    light = float(np.median(linear[int(height * 0.3) : int(height * 0.7)].mean(axis=2)) / 0.2)
    body = tone * (0.75 + 0.5 * _lumps(height, width, size, rng))[..., None]
    if rng.random() < 0.5:
        texture = sheet(str(rng.choice(photos)), width, height, rng, 1.0).mean(axis=2, keepdims=True)
        body = body * (0.6 + 0.4 * texture / max(float(texture.mean()), 0.02)).clip(0, 2.5)
    rim = np.full(3, float(rng.choice([0.05, 0.7])), np.float32)
    thing = (rim * (1 - inner) + body * inner) * np.float32(np.clip(light, 0.5, 1.6))
    return name, np.asarray(out * (1 - cover) + thing * cover, np.float32)


def _lumps(height: int, width: int, size: float, rng: np.random.Generator) -> Array:
    noise = cv2.GaussianBlur(rng.normal(0, 1, (height, width)).astype(np.float32), (0, 0), size / 14)
    return np.asarray((noise / (np.abs(noise).max() + 1e-6) + 1) / 2, np.float32)


def lamp_field(rng: np.random.Generator, width: int, height: int, share: float) -> Array:
    """What a lamp that gives `share` of the light at its brightest place multiplies the picture by."""
    v, u = np.mgrid[0:height, 0:width].astype(np.float32)
    x, y = rng.uniform(0.05, 0.95) * width, rng.uniform(0.05, 0.95) * height
    reach = rng.uniform(0.22, 0.7, 2) * width
    if rng.random() < 0.5:
        spot = np.exp(-(((u - x) / reach[0]) ** 2 + ((v - y) / reach[1]) ** 2))
    else:  # a bulb above the table: inverse square and cosine
        spot = (1 + ((u - x) ** 2 + (v - y) ** 2) / float(reach[0]) ** 2) ** -2.0
    colour = np.array([(1.75, 0.88, 0.22), (1.5, 0.93, 0.45), (1.3, 0.96, 0.66)][int(rng.integers(3))])
    colour = colour / float(colour @ np.array([0.2126, 0.7152, 0.0722]))
    return np.asarray(1 + spot[..., None] * colour * (share / (1 - share)), np.float32)


def light_case(
    photos: tuple[str, ...],
    seed: int,
    kind: str,
    width: int = 900,
    height: int = 600,
    scene: Scene | None = None,
) -> LightCase:
    """kind: prop, lamp, both, same. `scene`: of this one, of that size, in the place of one by the seed."""
    rng = np.random.default_rng([seed, 9])
    scene_seed = int(rng.integers(1 << 31))
    scene = scene or table(photos, scene_seed, width, height)
    still = flat(scene)
    still = still * np.float32(0.62 / max(float(np.percentile(still.max(axis=2), 98.5)), 1e-3))
    after, name, share = still, kind, 0.0
    if kind in ("prop", "both"):
        name, after = with_prop(after, rng, photos)
    if kind in ("lamp", "both"):
        share = float(rng.uniform(0.2, 0.5))
        after = after * lamp_field(rng, width, height, share)
    # the window's own light wanders a little, in strength and slope
    after = np.asarray(after * light_over(width, height, rng) ** np.float32(0.15), np.float32)
    stops = float(rng.uniform(-0.25, 0.15))
    shift = rng.uniform(-1.5, 1.5, 2)
    matrix = np.array([[1, 0, shift[0]], [0, 1, shift[1]]], np.float32)
    nudged = cv2.warpAffine(
        after, matrix, (width, height), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT
    )
    return LightCase(
        name, frame_of(still, rng), frame_of(np.asarray(nudged, np.float32), rng, stops=stops), share,
        scene.subject_box,
    )  # fmt: skip
