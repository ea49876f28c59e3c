"""What is strewn and laid on top: herbs, crumbs, seeds, berries, halves of fruit."""

import math

import numpy as np

from plateside.picture.shapes.material import Colour, Material, linear, shade
from plateside.picture.shapes.mesh import Mesh, Thing, blob, joined, leaf
from plateside.picture.shapes.texture import clouds, ramp

MINT = linear("#4f7f34")
GRAPE = linear("#a9b45a")
BERRY = linear("#7a1626")


def leaf_material(colour: Colour, seed: int = 31) -> Material:
    """A leaf with a paler rib and veins."""
    size = 256
    v = np.abs(np.linspace(-1, 1, size, dtype=np.float32))[:, None] * np.ones((1, size), np.float32)
    u = np.linspace(0, 1, size, dtype=np.float32)[None, :] * np.ones((size, 1), np.float32)
    rib = np.exp(-((v / 0.05) ** 2))
    veins = np.clip(1.0 - 6.0 * np.abs((u * 9.0 - v * 3.0) % 1.0 - 0.5), 0, 1) * 0.5
    mottle = clouds(seed, 1.4, size)
    field = np.clip(0.35 + 0.30 * (mottle - 0.5) + 0.4 * rib + 0.25 * veins, 0, 1)
    picture = ramp(field, [(0.0, shade(colour, 0.45)), (0.4, colour), (1.0, shade(colour, 2.0))])
    # rows of a leaf's texture run across it
    return Material(picture=np.ascontiguousarray(picture), gloss=0.28)


def sprig(x: float, y: float, z: float, size_m: float, seed: int, leaves: int = 5) -> Mesh:
    """A few leaves spread from one point."""
    rng = np.random.default_rng(seed)
    out = []
    for k in range(leaves):
        length = size_m * rng.uniform(0.7, 1.0)
        one = leaf(length, length * 0.55, curl=rng.uniform(0.25, 0.6), seed=seed * 7 + k)
        turn = 360.0 * k / leaves + rng.uniform(-25, 25)
        out.append(one.turned(about_y_deg=rng.uniform(-28, -8)).turned(turn).moved(x, y, z + 0.001 * k))
    return joined(out)


def strewn(kind: Mesh, places: np.ndarray, sizes: np.ndarray, seed: int, *, sink: float = 0.3) -> Mesh:
    """Many of one small thing, each turned at random; `places` (n, 3) are where they lie."""
    rng = np.random.default_rng(seed)
    out = []
    for (x, y, z), size in zip(places, sizes, strict=True):
        a, b, c = rng.uniform(0, 360, 3)
        out.append(kind.scaled(size).turned(a, b, c).moved(x, y, z + size * (1.0 - sink)))
    return joined(out)


def scattered(count: int, radius: float, seed: int, *, inner: float = 0.0, apart: float = 0.0) -> np.ndarray:
    """Places (n, 2) on a ring of a disc, no two nearer than `apart`."""
    rng = np.random.default_rng(seed)
    out: list[tuple[float, float]] = []
    for _ in range(count * 60):
        r = math.sqrt(rng.uniform(inner**2, radius**2))
        a = rng.uniform(0, 2 * math.pi)
        x, y = r * math.cos(a), r * math.sin(a)
        if all((x - p) ** 2 + (y - q) ** 2 >= apart**2 for p, q in out):
            out.append((x, y))
        if len(out) == count:
            break
    return np.asarray(out)


def crumbs(places: np.ndarray, z: float, size_m: float, seed: int, colour: Colour | None = None) -> Thing:
    """Toasted crumbs."""
    rng = np.random.default_rng(seed)
    at = np.column_stack([places, np.full(len(places), z)])
    stone = blob((1.0, 0.8, 0.7), rough=0.35, seed=seed, rings=7)
    mesh = strewn(stone, at, size_m * rng.uniform(0.5, 1.2, len(at)), seed)
    return Thing("crumbs", mesh, Material(colour=colour or linear("#b07a3e")))


def halves(places: np.ndarray, z: float, size_m: float, seed: int, colour: Colour = GRAPE) -> list[Thing]:
    """Halved grapes, cut side up: skin below, wet pale flesh above."""
    rng = np.random.default_rng(seed)
    skins, faces = [], []
    for x, y in places:
        turn, tip = rng.uniform(0, 360), rng.uniform(-18, 18)
        body = blob((size_m * 0.62, size_m * 0.48, size_m * 0.42), power=2.1, rings=20)
        low = body.corners.copy()
        low[:, 2] = np.minimum(low[:, 2], 0.04 * size_m)
        skin = Mesh(low, body.triangles, body.uv)
        rim = blob((size_m * 0.55, size_m * 0.42, size_m * 0.055), power=2.2, rings=14)
        skins.append(skin.turned(turn, tip).moved(x, y, z + 0.20 * size_m))
        faces.append(rim.moved(z=0.035 * size_m).turned(turn, tip).moved(x, y, z + 0.20 * size_m))
    flesh = ramp(clouds(seed, 1.3, 256), [(0.0, shade(colour, 1.0)), (1.0, shade(colour, 1.7))])
    return [
        Thing("grapes", joined(skins), Material(colour=shade(colour, 0.75), gloss=0.12)),
        Thing("grape flesh", joined(faces), Material(picture=flesh, gloss=0.05)),
    ]


def berries(places: np.ndarray, z: float, size_m: float, seed: int, colour: Colour = BERRY) -> Thing:
    """Round berries."""
    rng = np.random.default_rng(seed)
    at = np.column_stack([places, np.full(len(places), z)])
    ball = blob((1.0, 1.0, 0.94), rough=0.03, seed=seed, rings=18)
    mesh = strewn(ball, at, size_m / 2 * rng.uniform(0.85, 1.1, len(at)), seed, sink=0.12)
    return Thing("berries", mesh, Material(colour=colour, gloss=0.16))
