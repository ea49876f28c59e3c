"""Scenes in linear light, made of a background, props and a hero, so that each can be blurred or moved by itself.

Texture comes from photographs that scikit-image brings with it (all free to use: CC0 or public domain, named in
its own data README): TRAIN for choosing thresholds, TEST for the figures shown, disjoint. Photographs are small, so
they are laid out as mirrored tiles near their own scale: what is sharp in them stays sharp to the pixel.
The drawn things (plates, sauce, leaves, cutlery, glints) are ours, made from a seed.
"""

from dataclasses import dataclass, field, replace
from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray
from skimage import data

Array = NDArray[np.float32]

TRAIN = ("chelsea", "brick", "coins", "moon", "cell", "immunohistochemistry")
"""No picture of a person. The weights in use were fitted with two such pictures among the six (docs/measured.md)."""
TEST = ("coffee", "stereo_motorcycle", "rocket", "grass", "gravel", "hubble_deep_field")


@dataclass(frozen=True, eq=False)
class Thing:
    """A flat thing in the picture: colour and cover, where it stands."""

    colour: Array
    """height x width x 3, linear."""
    cover: Array
    """height x width, 0..1."""
    x: float
    y: float
    """Of its middle, px."""


@dataclass(frozen=True, eq=False)
class Scene:
    """Background, props, hero, in linear light; the hero is the last thing."""

    background: Array
    props: tuple[Thing, ...]
    hero: Thing
    light: Array
    """What the light does over the frame, height x width x 3."""
    subject_box: tuple[float, float, float, float] = field(default=(0.25, 0.2, 0.75, 0.8))

    @property
    def size(self) -> tuple[int, int]:
        """Width, height [px]."""
        return self.background.shape[1], self.background.shape[0]


@lru_cache(maxsize=32)
def photo(name: str) -> Array:
    """A bundled photograph in linear light, height x width x 3."""
    picture = getattr(data, name)()
    if isinstance(picture, tuple):
        picture = picture[0]
    if picture.ndim == 2:
        picture = np.dstack([picture] * 3)
    v = picture[..., :3].astype(np.float32) / 255
    linear = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
    return np.asarray(linear, np.float32)


def sheet(name: str, width: int, height: int, rng: np.random.Generator, scale: float) -> Array:
    """A sheet of texture: the photograph mirrored to fill the size, turned and shifted by chance."""
    source = photo(name)
    if scale != 1.0:
        source = np.maximum(
            cv2.resize(
                source,
                None,
                fx=scale,
                fy=scale,
                interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC,
            ),
            0,
        ).astype(np.float32)
    if rng.random() < 0.5:
        source = np.ascontiguousarray(source[:, ::-1])
    rows, columns = _mirrored(height, source.shape[0], rng), _mirrored(width, source.shape[1], rng)
    return np.ascontiguousarray(source[rows][:, columns])


def _mirrored(wanted: int, there: int, rng: np.random.Generator) -> NDArray[np.intp]:
    """So many places in a row of `there`, to and fro, from one by chance."""
    at = (np.arange(wanted) + int(rng.integers(2 * there))) % (2 * there)
    return np.minimum(at, 2 * there - 1 - at)


def _ellipse(size: int, wide: float, high: float, turn: float) -> Array:
    mask = np.zeros((size, size), np.uint8)
    shift = 4
    unit = 1 << shift
    cv2.ellipse(
        mask, ((size * unit) // 2, (size * unit) // 2), (int(wide * unit / 2), int(high * unit / 2)), turn, 0, 360,
        255, -1, cv2.LINE_AA, shift,
    )  # fmt: skip
    return np.asarray(mask, np.float32) / np.float32(255)


def _over(base: Array, colour: Array, cover: Array, x: float, y: float) -> None:
    """Lay a thing over `base` in place; cut at the edges."""
    h, w = cover.shape
    left, top = round(x - w / 2), round(y - h / 2)
    x0, y0 = max(left, 0), max(top, 0)
    x1, y1 = min(left + w, base.shape[1]), min(top + h, base.shape[0])
    if x1 <= x0 or y1 <= y0:
        return
    part = cover[y0 - top : y1 - top, x0 - left : x1 - left, None]
    base[y0:y1, x0:x1] = (
        base[y0:y1, x0:x1] * (1 - part) + colour[y0 - top : y1 - top, x0 - left : x1 - left] * part
    )


def _colour(rng: np.random.Generator, low: float = 0.02, high: float = 0.7) -> NDArray[np.float32]:
    base = np.exp(rng.uniform(np.log(low), np.log(high)))
    return np.asarray((base * np.exp(rng.normal(0, 0.35, 3))).clip(0.005, 0.92), np.float32)


def plate(name: str, size: int, rng: np.random.Generator, flatness: float) -> Thing:
    """A plate or bowl with food: rim, sauce (smooth), photographed texture, leaves and glints."""
    outer = _ellipse(size, size * 0.96, size * 0.96 * flatness, 0)
    inner = _ellipse(size, size * 0.78, size * 0.78 * flatness, 0)
    food = _ellipse(size, size * 0.62, size * 0.58 * flatness, float(rng.uniform(0, 30)))
    white = np.full(3, rng.uniform(0.45, 0.8), np.float32) * np.exp(rng.normal(0, 0.04, 3)).astype(np.float32)
    colour = np.ones((size, size, 3), np.float32) * white
    colour = colour * (1 - inner[..., None] * 0.22)
    sauce = _ellipse(size, size * 0.74, size * 0.74 * flatness, 0)
    shade = cv2.GaussianBlur(rng.normal(0, 1, (size, size)).astype(np.float32), (0, 0), size / 12)
    smooth = _colour(rng, 0.08, 0.5) * (1 + 0.25 * shade / (np.abs(shade).max() + 1e-6))[..., None]
    colour = colour * (1 - sauce[..., None]) + smooth.astype(np.float32) * sauce[..., None]
    texture = sheet(name, size, size, rng, float(rng.uniform(0.8, 1.25)))
    texture = texture * np.float32(0.25 / max(float(texture.mean()), 0.02))
    colour = colour * (1 - food[..., None]) + texture.clip(0, 0.9) * food[..., None]
    for _ in range(int(rng.integers(4, 14))):
        leaf = _ellipse(
            int(size * 0.2),
            size * rng.uniform(0.02, 0.12),
            size * rng.uniform(0.01, 0.05),
            rng.uniform(0, 180),
        )
        at = rng.normal(size / 2, size * 0.12, 2)
        tone = _colour(rng, 0.03, 0.5)
        _over(
            colour,
            np.ones((*leaf.shape, 3), np.float32) * tone,
            leaf,
            float(at[0]),
            float(at[1] * flatness + size * (1 - flatness) / 2),
        )
    for _ in range(int(rng.integers(0, 6))):
        glint = _ellipse(24, rng.uniform(3, 9), rng.uniform(2, 5), rng.uniform(0, 180))
        at = rng.normal(size / 2, size * 0.15, 2)
        _over(
            colour, np.full((24, 24, 3), rng.uniform(1.0, 4.0), np.float32), glint, float(at[0]), float(at[1])
        )
    return Thing(colour.astype(np.float32), outer, 0, 0)


def prop(name: str, rng: np.random.Generator, unit: float) -> Thing:
    """A small thing: cloth, spoon, jar lid, fruit."""
    size = int(unit * rng.uniform(0.5, 1.1))
    if rng.random() < 0.5:
        cover = _ellipse(size, size * 0.95, size * 0.95 * rng.uniform(0.3, 1), rng.uniform(0, 180))
    else:
        cover = np.zeros((size, size), np.float32)
        box = cv2.boxPoints(
            ((size / 2, size / 2), (size * 0.65, size * rng.uniform(0.15, 0.65)), rng.uniform(0, 180))
        )
        cv2.fillConvexPoly(cover, np.round(box * 16).astype(np.int32), 1.0, cv2.LINE_AA, 4)
    colour = np.ones((size, size, 3), np.float32) * _colour(rng)
    if rng.random() < 0.6:
        texture = sheet(name, size, size, rng, 1.0)
        colour = colour * (0.5 + texture / max(float(texture.mean()), 0.02) * 0.5).clip(0, 3)
    return Thing(colour.clip(0, 0.95).astype(np.float32), cover, 0, 0)


def make_scene(photos: tuple[str, ...], seed: int, width: int = 1200, height: int = 800) -> Scene:
    """A scene from a seed: one photograph as the surface, another in the hero, props round about."""
    rng = np.random.default_rng(seed)
    names = list(rng.permutation(photos))
    background = sheet(names[0], width, height, rng, float(rng.uniform(0.8, 1.3)))
    background = (
        background * np.float32(rng.uniform(0.08, 0.35) / max(float(background.mean()), 0.02))
    ).clip(0, 0.9)
    flatness = float(rng.choice([1.0, 0.75, 0.45]))
    size = int(height * rng.uniform(0.5, 0.72))
    hero = plate(names[1], size, rng, flatness)
    x, y = width * rng.uniform(0.46, 0.54), height * rng.uniform(0.46, 0.54)
    props = []
    for _ in range(int(rng.integers(3, 8))):
        thing = prop(names[int(rng.integers(len(names)))], rng, height / 4)
        angle, far = rng.uniform(0, 2 * np.pi), rng.uniform(0.75, 1.0)
        props.append(
            replace(
                thing, x=x + np.cos(angle) * width * 0.42 * far, y=y + np.sin(angle) * height * 0.45 * far
            )
        )
    half_w, half_h = size / 2 / width, size / 2 / height * max(flatness, 0.6)
    box = (x / width - half_w, y / height - half_h, x / width + half_w, y / height + half_h)
    return Scene(background, tuple(props), replace(hero, x=x, y=y), light_over(width, height, rng), box)


def light_over(width: int, height: int, rng: np.random.Generator) -> Array:
    """Window light from one side: falls off by up to a stop and a half across the frame."""
    angle = rng.uniform(0, 2 * np.pi)
    v, u = np.mgrid[0:height, 0:width].astype(np.float32)
    along = ((u / width - 0.5) * np.cos(angle) + (v / height - 0.5) * np.sin(angle)).astype(np.float32)
    return np.repeat((2.0 ** (along * np.float32(rng.uniform(0.3, 1.5))))[..., None], 3, axis=2).astype(
        np.float32
    )


def flat(scene: Scene) -> Array:
    """The scene put together, everything sharp, in linear light."""
    out = scene.background.copy()
    for thing in (*scene.props, scene.hero):
        _over(out, thing.colour, thing.cover, thing.x, thing.y)
    return out * scene.light
