"""Small props from the studio file, in their colours."""

import numpy as np

from plateside.model.gear import Prop
from plateside.picture.shapes import ware
from plateside.picture.shapes.garnish import leaf_material
from plateside.picture.shapes.material import Material, linear
from plateside.picture.shapes.mesh import Mesh, Thing, box, disc, joined, lathe, leaf, sheet, tube
from plateside.picture.shapes.texture import clouds, linen, wood

GLOSS = {"matt": 0.0, "satin": 0.25, "glossy": 0.06}


def prop_things(prop: Prop, seed: int = 0) -> list[Thing]:
    """The prop standing on z = 0 in the middle."""
    w, h = prop.width_mm / 1000, max(prop.height_mm, 2.0) / 1000
    colour = linear(prop.colour)
    plain = Material(colour=colour, gloss=GLOSS[prop.gloss])
    china = ware.glazed(colour, max(GLOSS[prop.gloss], 0.06), 200 + seed) if prop.gloss != "matt" else plain
    if prop.kind == "plate":
        return [ware.plate(w, min(h, 0.25 * w), china, prop.name)]
    if prop.kind == "bowl":
        return [ware.bowl(w, h, china, prop.name)]
    if prop.kind == "chopping board":
        return [Thing(prop.name, box(w, 0.62 * w, max(h, 0.012), 0.003), wood(colour, 210 + seed, planks=3))]
    if prop.kind == "glass":
        water = lathe(
            [(0, 0.006), (0.40 * w - 0.003, 0.006), (0.46 * w - 0.003, 0.6 * h), (0, 0.6 * h)], fine=1
        )
        return [
            Thing(f"{prop.name} water", water, Material(colour=(0.55, 0.58, 0.57), gloss=0.03)),
            Thing(prop.name, ware.tumbler(w, h), Material(kind="glass")),
        ]
    if prop.kind == "cutlery":
        return [Thing(prop.name, _spoon(w), Material(colour=colour, gloss=0.12, kind="metal"))]
    if prop.kind == "linen":
        return [Thing(prop.name, _napkin(w, seed), linen(colour, 220 + seed))]
    if prop.kind == "pan":
        handle = tube(np.linspace([w / 2 - 0.005, 0, 0.8 * h], [w * 1.05, 0, 0.95 * h], 12), 0.008, 12)
        pan = lathe(
            [
                (0, 0),
                (0.42 * w, 0),
                (0.46 * w, 0.1 * h),
                (w / 2, h),
                (w / 2 - 0.003, h),
                (0.45 * w, 0.14 * h),
                (0, 0.06 * h),
            ]
        )
        return [Thing(prop.name, joined([pan, handle]), Material(colour=colour, gloss=0.25, kind="metal"))]
    if prop.kind == "jar":
        shell = lathe(
            [
                (0, 0),
                (0.46 * w, 0),
                (w / 2, 0.05 * h),
                (w / 2, 0.72 * h),
                (0.40 * w, 0.84 * h),
                (0.40 * w, h),
                (0.37 * w, h),
            ],
            fine=5,
        )
        filled = lathe(
            [(0, 0.01), (0.44 * w, 0.01), (0.47 * w, 0.06 * h), (0.47 * w, 0.6 * h), (0, 0.6 * h)], fine=2
        )
        return [
            Thing(f"{prop.name} contents", filled, plain),
            Thing(prop.name, shell, Material(kind="glass")),
        ]
    if prop.gloss == "matt":
        return [_bunch(prop, w, h, seed)]
    turned = lathe(
        [(0, 0), (0.44 * w, 0), (w / 2, 0.12 * h), (0.46 * w, 0.7 * h), (0.30 * w, h), (0, h)], fine=4
    )
    return [Thing(prop.name, turned, plain)]


def _bunch(prop: Prop, width: float, height: float, seed: int) -> Thing:
    """A loose bunch of leaves or petals lying on the table."""
    rng = np.random.default_rng(240 + seed)
    out = []
    for k in range(46):
        length = width * rng.uniform(0.14, 0.24)
        one = leaf(
            length, length * rng.uniform(0.6, 0.8), curl=rng.uniform(0.2, 0.9), seed=seed + k, frill=0.5
        )
        x, y = rng.normal(0.0, 0.17, 2) * np.array([1.5, 0.9]) * width
        pose = one.turned(*rng.uniform((-180, -30, -50), (180, 30, 10)))
        out.append(pose.moved(x, y, 0.006 + rng.uniform(0, 0.35) * min(height, 0.05)))
    return Thing(prop.name, joined(out), leaf_material(linear(prop.colour), 250 + seed))


def _spoon(length: float) -> Mesh:
    """A spoon lying along x, its bowl to the left."""
    bowl_l, bowl_w = 0.30 * length, 0.19 * length
    cup = disc(1.0, 0.0, segments=64, rings=16)
    corners = cup.corners.copy()
    r2 = np.clip(corners[:, 0] ** 2 + corners[:, 1] ** 2, 0, 1)
    corners = np.column_stack([corners[:, 0] * bowl_l / 2, corners[:, 1] * bowl_w / 2, 0.0075 * r2 + 0.001])
    head = Mesh(corners, cup.triangles, cup.uv)
    t = np.linspace(0, 1, 40)
    x = bowl_l / 2 - 0.004 + (length - bowl_l) * t
    z = 0.009 + 0.012 * np.sin(np.pi * t) * (1 - 0.4 * t) - 0.006 * t
    shaft = tube(np.column_stack([x, 0 * x, z]), 0.0022 + 0.0028 * t**2, sides=12).scaled(1.0, 1.5, 0.75)
    return joined([head, shaft]).moved(x=-length * 0.32)


def _napkin(width: float, seed: int) -> Mesh:
    """A cloth dropped in loose folds."""
    rng = np.random.default_rng(230 + seed)
    phase = rng.uniform(0, 6, 4)
    hills = clouds(231 + seed, 2.2, 128)

    def folds(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        u, v = x / width, y / width
        wave = 0.5 + 0.5 * np.sin(13 * u + 5 * v + phase[0] + 1.2 * np.sin(6 * v + phase[1]))
        second = 0.5 + 0.5 * np.sin(7 * v - 6 * u + phase[2])
        column = np.clip(((u + 0.5) * 127).astype(int), 0, 127)
        row = np.clip(((v + 0.8) / 1.6 * 127).astype(int), 0, 127)
        lift = 0.55 * wave**2 + 0.25 * second**2 + 0.35 * hills[row, column]
        return np.asarray(0.002 + 0.016 * (width / 0.3) * lift)

    cloth = sheet(width, 0.62 * width, folds, 120, 90)
    return Mesh(cloth.corners, cloth.triangles, cloth.uv * np.array([1.6, 1.0]))


def reach_m(prop: Prop) -> float:
    """Half of what the prop takes up on the table [m]."""
    return prop.width_mm / 2000 * (1.0 if prop.kind != "cutlery" else 0.9)
