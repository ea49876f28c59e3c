"""Foods that clip, with their light known: shaded ramps, spheres, crumbs, liquids, a dish of fruit, a blown cloth.

Each pixel has a material, a share of the light, sheen of the light's own colour, and a concentration of its pigment:
the power of its reflectance, as in a deeper layer of it (Beer and Lambert). All shapes, textures and sizes are
invented.
"""

import zlib
from collections.abc import Callable
from functools import cache

import numpy as np
from scipy.ndimage import gaussian_filter

from tests.synthetic.food_spectra import ABOUT, Camera

SIZE = HEIGHT, WIDTH = 360, 480
_Y, _X = np.mgrid[:HEIGHT, :WIDTH]
_WINDOW = np.array([-0.5, -0.5, 0.7])
_CONCENTRATIONS = np.linspace(0.4, 1.8, 40)
_SHADE = 0.12
"""Share of the light that a second, bluer one gives, in a scene lit by two."""
_STANDING = (
    ("leaf", 70, 70, 40),
    ("skin", 410, 300, 45),
    ("sauce", 380, 60, 36),
    ("mint", 60, 300, 42),
    ("blue plate", 120, 330, 25),
)
_FRUIT = ((150, 120), (290, 110), (200, 240), (330, 230), (90, 220))


class Scene:
    """Built up from the back: what is put later hides what was there. Arrays of SIZE."""

    def __init__(self, name: str, food: str, foods: dict[str, np.ndarray]) -> None:
        self.food, self.foods, self.two_lights = food, foods, False
        self.rng = np.random.default_rng(zlib.crc32((name + food).encode()) % 2**31)
        self.grain = float(1 / abs(np.log(foods[food].min())))
        """Change of concentration by which the light that is absorbed most changes as much as it."""
        self.material = np.full(SIZE, "dark", dtype="<U10")
        self.light, self.sheen, self.pigment = np.full(SIZE, 0.6), np.zeros(SIZE), np.ones(SIZE)
        self.thing = np.zeros(SIZE, bool)
        """Where the food is that is looked at."""

    def put(
        self,
        where: np.ndarray,
        material: str,
        light: np.ndarray,
        sheen: np.ndarray | float = 0.0,
        pigment: np.ndarray | float = 1.0,
    ) -> None:
        self.material[where] = material
        for plane, value in ((self.light, light), (self.sheen, sheen), (self.pigment, pigment)):
            plane[where] = np.broadcast_to(value, SIZE)[where]
        self.thing[where] = material == self.food

    def texture(self, scale_px: float = 2.0, amount: float = 0.1) -> np.ndarray:
        return _texture(self.rng, scale_px, amount)

    def pigments(self, amount: float = 0.1) -> np.ndarray:
        return self.texture(3, amount * self.grain)

    def counts(self, camera: Camera) -> np.ndarray:
        """What a camera counts of it (..., 3), a white thing in full light 1; edges are softened by 0.7 px."""
        out = np.zeros((*SIZE, 3))
        for material in np.unique(self.material):
            there = self.material == material
            reflectance = np.clip((self.foods | ABOUT)[material], 1e-3, 1)
            deep = np.stack([reflectance**c for c in _CONCENTRATIONS])
            light, pigment = self.light[there][:, None], self.pigment[there]
            if self.two_lights:
                light = np.clip(light - _SHADE, 0, None)
                out[there] = _SHADE * _read(camera.balanced(deep, cool=True), pigment)
            out[there] += light * _read(camera.balanced(deep), pigment)
        out += self.sheen[..., None]
        return np.stack([gaussian_filter(out[..., c], 0.7) for c in range(3)], -1)


def _texture(rng: np.random.Generator, scale_px: float, amount: float) -> np.ndarray:
    """About 1, with a standard deviation of `amount`, of two sizes."""
    fine, coarse = (gaussian_filter(rng.normal(size=SIZE), s) for s in (scale_px, 4 * scale_px))
    both = fine + 2.4 * coarse
    return np.asarray(1 + amount * both / both.std())


def _read(table: np.ndarray, concentrations: np.ndarray) -> np.ndarray:
    return np.stack([np.interp(concentrations, _CONCENTRATIONS, column) for column in table.T], 1)


def sphere(
    x: float, y: float, radius: float, towards: np.ndarray = _WINDOW
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Where it is, how squarely the light falls on it (0 to 1), and how near it is to mirroring it to the camera."""
    across, down = (_X - x) / radius, (_Y - y) / radius
    left = 1 - across * across - down * down
    up, towards = np.sqrt(np.clip(left, 0, 1)), towards / np.linalg.norm(towards)
    half = towards + np.array([0, 0, 1])
    lit, mirrored = (
        np.clip(across * v[0] + down * v[1] + up * v[2], 0, 1) for v in (towards, half / np.linalg.norm(half))
    )
    return left > 0, lit, mirrored


def _dish(scene: Scene) -> None:
    """A plate on wood, and things of other colours about it."""
    scene.put(_Y >= 0, "wood", 0.55 * np.clip(scene.texture(4, 0.15), 0.4, 1.6))
    scene.put(sphere(240, 180, 175)[0], "plate", 0.5 * np.clip(scene.texture(30, 0.06), 0.7, 1.3))
    for material, x, y, radius in _STANDING:
        where, lit, mirrored = sphere(x, y, radius)
        scene.put(where, material, (0.1 + 0.9 * lit) * np.clip(scene.texture(), 0.6, 1.4), 0.1 * mirrored**40)


def _ramp(scene: Scene, pigment: bool = False) -> None:
    light = np.linspace(0.08, 1, WIDTH) * np.clip(scene.texture(), 0.6, 1.4)
    scene.put(_Y >= 0, scene.food, light, 0.0, scene.pigments() if pigment else 1.0)


def _sphere(
    scene: Scene, glint: float = 0.0, among: bool = True, pigment: bool = False, amount: float = 0.1
) -> None:
    if among:
        _dish(scene)
    where, lit, mirrored = sphere(240, 180, 120)
    light = (0.06 + 0.94 * lit) * np.clip(scene.texture(amount=amount), 0.6, 1.4)
    scene.put(where, scene.food, light, glint * mirrored**60, scene.pigments() if pigment else 1.0)


def _two_lights(scene: Scene) -> None:
    _sphere(scene, glint=0.2)
    scene.two_lights = True


def _cloth(scene: Scene) -> None:
    """Beside a cloth that is lost altogether."""
    scene.put(_Y >= 0, "cloth", np.clip(scene.texture(2, 0.03), 0.9, 1.1) * (0.75 + 0.5 * _X / WIDTH))
    where, lit, _ = sphere(200, 180, 110)
    scene.put(where, scene.food, (0.06 + 0.94 * lit) * np.clip(scene.texture(amount=0.06), 0.7, 1.3))


def _fruit(scene: Scene) -> None:
    """The food on a plate with the four others."""
    _dish(scene)
    others = [other for other in scene.foods if other != scene.food]
    for (x, y), food in zip(_FRUIT, [scene.food, *others], strict=True):
        where, lit, mirrored = sphere(x, y, 62)
        light = (0.08 + 0.92 * lit) * np.clip(scene.texture(), 0.7, 1.3)
        scene.put(where, food, light, 0.25 * mirrored**80, scene.pigments(0.08))


@cache
def _crumb() -> np.ndarray:
    """The same texture on each: what is between them makes them differ."""
    return np.asarray(np.clip(_texture(np.random.default_rng(99), 1.5, 0.1), 0.7, 1.3))


def _crumbs(scene: Scene, among: bool = False) -> None:
    """260 crumbs, each at its own slant, brightness and concentration."""
    if among:
        _dish(scene)
    rng = scene.rng
    places = [rng.uniform(*ends, 260) for ends in ((90, 390), (60, 300), (7, 18))]
    for x, y, radius in zip(*places, strict=True):
        where, lit, mirrored = sphere(x, y, radius, _WINDOW + rng.normal(size=3) * 0.25)
        pigment = rng.normal(1, 0.1 * scene.grain)
        light = (0.08 + 0.92 * lit) * rng.uniform(0.6, 1) * _crumb()
        scene.put(where, scene.food, light, 0.15 * mirrored**30, pigment)


def _liquid(scene: Scene) -> None:
    """A bowl with slow waves and the soft, broad sheen of a window."""
    _dish(scene)
    wave = gaussian_filter(scene.rng.normal(size=SIZE), 18)
    wave /= wave.std()
    light = 0.55 + 0.42 * (1 - (_X + _Y) / (HEIGHT + WIDTH)) + 0.05 * wave
    pane = [
        np.clip(1.3 - np.abs((at - middle + 6 * wave) / half), 0, 1)
        for at, middle, half in ((_X, 190, 55), (_Y, 130, 40))
    ]
    sheen = 0.35 * gaussian_filter(pane[0] * pane[1], 5)
    scene.put(sphere(240, 180, 150)[0], scene.food, light, sheen, 1 + 0.05 * wave * scene.grain)


Draw = Callable[[Scene], None]
SCENES: dict[str, dict[str, Draw]] = {
    "building": {
        "ramp": _ramp,
        "ramp-pigment": lambda s: _ramp(s, pigment=True),
        "sphere": lambda s: _sphere(s, among=False),
        "sphere-glint": lambda s: _sphere(s, glint=0.8),
        "sphere-pigment": lambda s: _sphere(s, pigment=True),
        "cloth": _cloth,
        "dish": _fruit,
    },
    "held out": {
        "crumbs": _crumbs,
        "crumbs-dish": lambda s: _crumbs(s, among=True),
        "liquid": _liquid,
        "cloth": _cloth,
        "dish": _fruit,
        "sphere-rough": lambda s: _sphere(s, glint=0.3, pigment=True, amount=0.16),
        "mixed": _two_lights,
        "ramp": _ramp,
        "ramp-pigment": lambda s: _ramp(s, pigment=True),
    },
}


def clipped_scene(material: str, name: str, food: str, foods: dict[str, np.ndarray]) -> Scene:
    scene = Scene(name, food, foods)
    SCENES[material][name](scene)
    return scene
