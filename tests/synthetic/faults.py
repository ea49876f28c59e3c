"""The six kinds of focus and blur, made in linear light with the truth known, and the camera behind them."""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.synthetic.scenes import Array, Scene, Thing, _over, light_over, prop

KINDS = ("good", "shallow", "defocus", "shake", "motion", "elsewhere")


_LEVELS = (np.arange(4096) / 4095.0) ** 2
_ENCODED = (
    np.where(_LEVELS <= 0.0031308, _LEVELS * 12.92, 1.055 * _LEVELS ** (1 / 2.4) - 0.055) * 255 + 0.5
).astype(np.uint8)
"""IEC 61966-2-1, as a table over the square root of the light."""


@dataclass(frozen=True)
class Truth:
    """What was done to a frame. Radii and lengths in pixels of a 1200 px wide picture."""

    kind: str
    hero_radius: float = 0.0
    around_radius: float = 0.0
    length: float = 0.0
    direction_deg: float = 0.0


def disc(radius: float) -> Array | None:
    """Kernel of a defocused lens: a disc, edge antialiased."""
    if radius < 0.3:
        return None
    n = int(np.ceil(radius)) + 1
    v, u = np.mgrid[-n : n + 1, -n : n + 1]
    kernel = np.clip(radius + 0.5 - np.hypot(u, v), 0, 1).astype(np.float32)
    return np.asarray(kernel / kernel.sum(), np.float32)


def streak(length: float, direction_deg: float, bend: float = 0.0) -> Array:
    """Kernel of a movement: a line of `length` px, counter-clockwise from horizontal, slightly bent."""
    n = int(np.ceil(length / 2)) + 3
    kernel = np.zeros((2 * n + 1, 2 * n + 1), np.float32)
    t = np.linspace(-0.5, 0.5, max(int(length * 8), 8))
    a = -np.radians(direction_deg)
    across = bend * length * (t**2 - 1 / 12)
    xs = n + t * length * np.cos(a) - across * np.sin(a)
    ys = n + t * length * np.sin(a) + across * np.cos(a)
    for x, y in zip(xs, ys, strict=True):
        x0, y0 = int(np.floor(x)), int(np.floor(y))
        fx, fy = x - x0, y - y0
        for dy, dx, w in (
            (0, 0, (1 - fx) * (1 - fy)),
            (0, 1, fx * (1 - fy)),
            (1, 0, (1 - fx) * fy),
            (1, 1, fx * fy),
        ):
            kernel[y0 + dy, x0 + dx] += w
    return np.asarray(kernel / kernel.sum(), np.float32)


def blurred(picture: Array, kernel: Array | None) -> Array:
    """The picture through a kernel."""
    if kernel is None:
        return picture
    return np.asarray(cv2.filter2D(picture, -1, kernel, borderType=cv2.BORDER_REFLECT), np.float32)


def composed(scene: Scene, around: Array | None, hero: Array | None) -> Array:
    """Scene with its surroundings through one kernel and its hero through another, cover and all."""
    out = scene.background.copy()
    for thing in scene.props:
        _over(out, thing.colour, thing.cover, thing.x, thing.y)
    out = blurred(out, around)
    width, height = scene.size
    layer, cover = np.zeros_like(out), np.zeros((height, width, 3), np.float32)
    _over(layer, scene.hero.colour, scene.hero.cover, scene.hero.x, scene.hero.y)
    _over(cover, np.ones_like(scene.hero.colour), scene.hero.cover, scene.hero.x, scene.hero.y)
    layer, cover = blurred(layer, hero), blurred(cover, hero)
    return (out * (1 - cover) + layer) * scene.light


def frame_of(
    linear: Array,
    rng: np.random.Generator,
    *,
    stops: float = 0.0,
    colour: tuple[float, float, float] = (1.0, 1.0, 1.0),
    psf: float = 0.55,
    noise: float = 0.004,
    quality: int = 92,
) -> NDArray[np.uint8]:
    """What the camera hands over: lens spread, exposure, photon noise, sRGB, JPEG."""
    seen = np.asarray(cv2.GaussianBlur(linear, (0, 0), psf), np.float32)
    seen *= np.float32(2.0**stops) * np.asarray(colour, np.float32)
    grain = rng.standard_normal(seen.shape, dtype=np.float32)
    root = np.sqrt(np.maximum(seen, 0))
    grain *= root * np.float32(noise * 2)
    index = np.sqrt(np.clip(seen + grain, 0, 1)) * np.float32(4095) + np.float32(0.5)
    shown = _ENCODED[index.astype(np.uint16)]
    ok, data = cv2.imencode(".jpg", shown[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])
    assert ok
    back = np.asarray(cv2.imdecode(data, cv2.IMREAD_COLOR), np.uint8)
    return np.ascontiguousarray(back[..., ::-1])


def changed(scene: Scene, rng: np.random.Generator, photos: tuple[str, ...], moved_px: float) -> Scene:
    """The same set-up some minutes later: light changed, a prop moved, one added or gone, camera nudged a little."""
    props = list(scene.props)
    if props and rng.random() < 0.7:
        i = int(rng.integers(len(props)))
        step = rng.normal(0, scene.size[0] * 0.05, 2)
        props[i] = replace(props[i], x=props[i].x + float(step[0]), y=props[i].y + float(step[1]))
    if rng.random() < 0.4:
        width, height = scene.size
        new = prop(str(rng.choice(photos)), rng, height / 4)
        props.append(replace(new, x=float(rng.uniform(0, width)), y=float(rng.choice([0.08, 0.92]) * height)))
    elif props and rng.random() < 0.3:
        props.pop(int(rng.integers(len(props))))
    light = scene.light * light_over(*scene.size, rng) ** np.float32(0.3)
    dx, dy = rng.uniform(-moved_px, moved_px, 2)
    shift = np.array([[1, 0, dx], [0, 1, dy]], np.float32)
    back = cv2.warpAffine(
        scene.background, shift, scene.size, flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT
    )
    moved = tuple(_shifted(p, dx, dy) for p in props)
    return replace(
        scene, background=np.maximum(back, 0), props=moved, light=light, hero=_shifted(scene.hero, dx, dy)
    )


def _shifted(thing: Thing, dx: float, dy: float) -> Thing:
    return replace(thing, x=thing.x + float(dx), y=thing.y + float(dy))


def kernels(truth: Truth, scale: float, bend: float) -> tuple[Array | None, Array | None]:
    """(around, hero) kernels of a truth; `scale`: picture width over 1200."""
    line = streak(truth.length * scale, truth.direction_deg, bend) if truth.length else None
    around, hero = disc(truth.around_radius * scale), disc(truth.hero_radius * scale)
    if truth.kind == "shake":
        return line, line
    if truth.kind == "motion":
        return around, line
    return around, hero


def draw_truth(kind: str, rng: np.random.Generator, shallow: bool) -> Truth:
    """A fault of this kind, from just visible to gross; `shallow`: the set-up has a blurred background."""
    behind = float(rng.uniform(3.0, 9.0)) if shallow else 0.0
    if kind in ("good", "shallow"):
        return Truth("shallow" if shallow else "good", 0.0, behind)
    if kind == "defocus":
        radius = float(rng.uniform(3.0, 9.0))
        return Truth(kind, radius, max(radius * float(rng.uniform(0.8, 1.5)), behind))
    if kind == "shake":
        return Truth(kind, 0, 0, float(rng.uniform(6, 22)), float(rng.uniform(0, 180)))
    if kind == "motion":
        return Truth(kind, 0, behind, float(rng.uniform(7, 26)), float(rng.uniform(0, 180)))
    return Truth("elsewhere", float(rng.uniform(3.0, 9.0)), 0.0)
