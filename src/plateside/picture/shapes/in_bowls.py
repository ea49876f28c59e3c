"""Stand-ins in a bowl: chilled soup, noodles in broth."""

import math

import numpy as np

from plateside.picture.shapes import garnish as g
from plateside.picture.shapes import ware
from plateside.picture.shapes.material import Colour, Material, linear, mixed
from plateside.picture.shapes.mesh import (
    Mesh,
    Thing,
    blob,
    disc,
    joined,
    tube,
)
from plateside.picture.shapes.texture import clouds, crust, ramp

Dish = list[Thing]


def soup(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """A pale green chilled soup with oil, halved grapes, crumbs and mint; three bowls when it is very wide."""
    if width_m > 4.5 * height_m:
        one = 0.44 * width_m
        out: Dish = []
        for k, turn in enumerate((100.0, 222.0, 338.0)):
            x, y = (0.28 * width_m * f(math.radians(turn)) for f in (math.cos, math.sin))
            for t in _one_soup(one, height_m, china):
                out.append(Thing(f"{t.name} {k}", t.mesh.turned(120.0 * k).moved(x, y), t.material))
        return out
    return _one_soup(width_m, height_m, china)


def _one_soup(width_m: float, height_m: float, china: Colour) -> Dish:
    bowl = ware.bowl(width_m, height_m, ware.glazed(china))
    level = 0.80 * height_m
    r = ware.inner_radius(width_m, height_m, level) * 1.004
    field = clouds(41, 2.0)
    base = ramp(field, [(0.0, linear("#b9c98d")), (0.5, linear("#c9d6a3")), (1.0, linear("#d8e0b8"))])
    # drops of green oil, darker, in a loose arc
    size = base.shape[0]
    yy, xx = np.mgrid[0:size, 0:size] / size - 0.5
    rng = np.random.default_rng(8)
    for _ in range(46):
        a = rng.uniform(-0.6, 2.6)
        d = rng.normal(0.27, 0.055)
        rad = rng.uniform(0.004, 0.020)
        i, j, reach = (int((v + 0.5) * size) for v in (d * np.sin(a), d * np.cos(a), rad - 0.5 + 3 / size))
        part = (slice(max(i - reach, 0), i + reach), slice(max(j - reach, 0), j + reach))
        away = np.hypot(xx[part] - d * np.cos(a), yy[part] - d * np.sin(a))
        mask = np.clip((rad - away) * size / 1.5 + 0.5, 0, 1)[..., None]
        base[part] = base[part] * (1 - mask) + np.asarray(linear("#6f8f2c"), np.float32) * mask
    meniscus = lambda x, y: 0.0004 * np.exp(-((r - np.hypot(x, y)) / 0.004))  # noqa: E731 - a height field
    surface = disc(r, level, height=meniscus)
    liquid = Material(
        picture=base.astype(np.float32), gloss=0.035, relief=clouds(43, 2.2), relief_depth=0.0015
    )
    s = width_m / 0.2
    grapes = g.halves(
        np.array([(-0.022, 0.012), (0.012, 0.026), (0.004, -0.010), (0.034, 0.004), (-0.012, -0.032)]) * s,
        level,
        0.019 * s,
        5,
    )
    ring = g.scattered(60, 0.036 * s, 12) + np.array([0.004, 0.0]) * s
    crumb = g.crumbs(ring, level, 0.0028 * s, 9)
    mint = Thing(
        "mint", g.sprig(-0.004 * s, 0.002 * s, level + 0.009 * s, 0.026 * s, 4, 6), g.leaf_material(g.MINT)
    )
    return [bowl, Thing("soup", surface, liquid), *grapes, crumb, mint]


def noodles(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """Noodles in broth with halved egg, mushrooms and greens, in a dark bowl."""
    dark = mixed(china, linear("#3c4247"), 0.85)
    bowl = ware.bowl(width_m, height_m, ware.glazed(dark, 0.12, 101))
    level = 0.72 * height_m
    r = ware.inner_radius(width_m, height_m, level) * 1.004
    broth = Thing(
        "broth",
        disc(r, level),
        Material(
            picture=ramp(clouds(102, 1.8), [(0.0, linear("#6b4318")), (1.0, linear("#95682c"))]), gloss=0.03
        ),
    )
    rng = np.random.default_rng(103)
    strands = []
    s = width_m / 0.2
    for _ in range(64):
        cx, cy = rng.normal(-0.008, 0.021, 2) * s
        rad = rng.uniform(0.020, 0.050) * s
        turns = rng.uniform(0.7, 1.6)
        a0 = rng.uniform(0, 2 * np.pi)
        t = np.linspace(0, 1, 90)
        a = a0 + 2 * np.pi * turns * t
        rr = rad * (1 + 0.16 * np.sin(3 * a + a0) + 0.08 * np.sin(7 * t * np.pi))
        x, y = cx + rr * np.cos(a), cy + 0.9 * rr * np.sin(a)
        limit = (r - 0.006) / np.maximum(np.hypot(x, y), 1e-9)
        x, y = x * np.minimum(limit, 1), y * np.minimum(limit, 1)
        mound = 0.026 * s * np.exp(-((x / (0.045 * s)) ** 2 + (y / (0.045 * s)) ** 2))
        z = (
            level
            - 0.004
            + mound * rng.uniform(0.3, 1.05)
            + 0.0035 * s * np.sin(2 * np.pi * rng.uniform(1, 2) * t + a0)
        )
        strands.append(tube(np.stack([x, y, z], axis=1), 0.0016 * s, sides=8))
    out: Dish = [
        bowl,
        broth,
        Thing("noodles", joined(strands), Material(colour=linear("#ecd79c"), gloss=0.12)),
    ]
    for k, (x, y, turn) in enumerate(((0.036, -0.018, 20.0), (0.040, 0.016, -30.0))):
        white = blob((0.021 * s, 0.016 * s, 0.013 * s), rings=24)
        low = white.corners.copy()
        low[:, 2] = np.minimum(low[:, 2], 0.0)
        yolk = blob((0.0105 * s, 0.0100 * s, 0.0022 * s), rings=16)
        for name, mesh, material in (
            ("egg", Mesh(low, white.triangles, white.uv), Material(colour=linear("#f3efe6"), gloss=0.12)),
            ("yolk", yolk, Material(colour=linear("#e08a1c"), gloss=0.06)),
        ):
            out.append(
                Thing(f"{name} {k}", mesh.turned(turn, 14).moved(x * s, y * s, level + 0.015 * s), material)
            )
    slices = []
    for k in range(7):
        lean = 2.0 + 0.33 * k
        cap = blob((0.015 * s, 0.011 * s, 0.0028 * s), power=2.6, rough=0.10, seed=110 + k, rings=18)
        slices.append(
            cap.turned(math.degrees(lean) + 90, 28).moved(
                0.046 * s * math.cos(lean), 0.046 * s * math.sin(lean), level + 0.012 * s
            )
        )
    out.append(
        Thing(
            "mushrooms",
            joined(slices),
            crust(104, linear("#c79a62"), linear("#94602c"), linear("#4b2a12"), 0.5),
        )
    )
    rings = []
    for x, y in g.scattered(26, 0.05 * s, 105):
        t = np.linspace(0, 2 * np.pi, 20)
        ring = np.stack([0.0030 * s * np.cos(t), 0.0030 * s * np.sin(t), 0 * t], axis=1)
        z = level + 0.004 * s + 0.027 * s * math.exp(-((x * x + y * y) / (0.045 * s) ** 2))
        rings.append(
            tube(ring, 0.0009 * s, sides=6).turned(0, *rng.uniform(-50, 50, 2)).moved(x - 0.006 * s, y, z)
        )
    out.append(Thing("spring onion", joined(rings), Material(colour=linear("#7da63f"), gloss=0.15)))
    return out
