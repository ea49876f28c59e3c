"""Stand-ins that are fresh: tall drink in glass, plate of leaves."""

import math

import numpy as np

from plateside.picture.shapes import garnish as g
from plateside.picture.shapes import ware
from plateside.picture.shapes.material import Colour, Material, linear
from plateside.picture.shapes.mesh import (
    Mesh,
    Thing,
    blob,
    bumps,
    disc,
    joined,
    lathe,
    leaf,
    tube,
)
from plateside.picture.shapes.texture import clouds, ramp

Dish = list[Thing]


def drink(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """A tall iced milk coffee: layers, ice, foam, in clear glass."""
    glass_w = min(width_m, 0.55 * height_m)
    glass = Thing("glass", ware.tumbler(glass_w, height_m), Material(kind="glass"))
    r, h, wall = glass_w / 2, height_m, 0.003
    level = 0.86 * h
    body = lathe(
        [
            (0, 0.008),
            (0.78 * r - wall, 0.008),
            (0.83 * r - wall, 0.012),
            (0.90 * r - wall, 0.45 * h),
            (0.975 * r - wall, level),
            (0.90 * r - wall, level + 0.002),
            (0, level),
        ],
        fine=8,
        segments=128,
    )
    share = np.clip(body.corners[:, 2] / level, 0, 1)
    body = Mesh(body.corners, body.triangles, np.column_stack([body.uv[:, 0], share]))
    size = 512
    y = np.linspace(0, 1, size, dtype=np.float32)[:, None] * np.ones((1, size), np.float32)
    wisp = y + 0.16 * (clouds(91, 1.9, size, stretch=(1.0, 0.5)) - 0.5) * np.sin(np.pi * np.clip(y, 0, 1))
    coffee = ramp(
        np.clip(wisp, 0, 1),
        [
            (0.0, linear("#f0e4d2")),
            (0.30, linear("#e9d5b8")),
            (0.52, linear("#c39a6a")),
            (0.72, linear("#7a4a26")),
            (0.93, linear("#4a2a14")),
            (1.0, linear("#5a3820")),
        ],
    )
    liquid = Thing("liquid", body, Material(picture=np.ascontiguousarray(coffee), gloss=0.05))
    rng = np.random.default_rng(92)
    cubes = []
    for k in range(5):
        a = 2 * math.pi * k / 5 + rng.uniform(-0.3, 0.3)
        cube = blob((0.22 * r, 0.21 * r, 0.20 * r), power=5.0, rough=0.02, seed=93 + k, rings=16)
        cubes.append(
            cube.turned(*rng.uniform(0, 60, 3)).moved(
                0.48 * r * math.cos(a), 0.48 * r * math.sin(a), level + 0.05 * r
            )
        )
    ice = Thing("ice", joined(cubes), Material(colour=(0.62, 0.60, 0.57), gloss=0.04))
    froth = disc(
        0.955 * r - wall,
        level + 0.0022,
        height=lambda x, y: 0.0008 * bumps(np.stack([x, y, 0 * x], -1) * 400, 3),
    )
    foam = Thing(
        "foam",
        froth,
        Material(
            picture=ramp(
                clouds(95, 0.8, 512),
                [(0.0, linear("#8d6238")), (0.55, linear("#c79f70")), (1.0, linear("#e6cfac"))],
            ),
            gloss=0.3,
        ),
    )
    straw_path = np.linspace([-0.30 * r, 0.20 * r, 0.10 * h], [0.62 * r, -0.10 * r, 1.24 * h], 24)
    straw = Thing("straw", tube(straw_path, 0.0034, sides=16), Material(colour=linear("#d8c7a2"), gloss=0.2))
    saucer = ware.plate(glass_w * 1.75, 0.010, ware.glazed(china))
    lifted = [
        Thing(t.name, t.mesh.moved(z=ware.plate_floor(glass_w * 1.75, 0.010)), t.material)
        for t in (liquid, foam, ice, straw, glass)
    ]
    return [saucer, *lifted]


def leaves(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """A plate of leaves with tomatoes, radish and curd."""
    plate_h = 0.020
    plate = ware.plate(width_m, plate_h, ware.glazed(china))
    floor = ware.plate_floor(width_m, plate_h)
    rng = np.random.default_rng(121)
    greens: dict[str, list[Mesh]] = {"light leaves": [], "dark leaves": [], "red leaves": []}
    s = width_m / 0.26
    top = max(height_m - floor, 0.02)
    for k in range(110):
        level = k / 110
        reach = 0.086 * s * (1.0 - 0.60 * level)
        a = rng.uniform(0, 2 * np.pi)
        d = reach * math.sqrt(rng.uniform(0, 1))
        one = leaf(
            rng.uniform(0.040, 0.068) * s,
            rng.uniform(0.020, 0.034) * s,
            curl=rng.uniform(0.1, 0.8),
            seed=k,
            frill=rng.uniform(0.3, 1.2),
        )
        pose = (
            one.moved(x=-0.02 * s)
            .turned(about_x_deg=rng.uniform(-35, 35), about_y_deg=rng.uniform(-42, 6))
            .turned(math.degrees(a) + rng.uniform(-60, 60))
        )
        kind = rng.choice(list(greens), p=[0.5, 0.35, 0.15])
        greens[kind].append(pose.moved(d * math.cos(a), d * math.sin(a), floor + 0.004 + 0.72 * top * level))
    out: Dish = [plate]
    for (name, meshes), colour in zip(greens.items(), ("#7fa044", "#3f6a2b", "#5e2733"), strict=True):
        out.append(Thing(name, joined(meshes), g.leaf_material(linear(colour), 122)))
    red = g.scattered(9, 0.075 * s, 123, inner=0.03 * s, apart=0.03 * s)
    out += [
        Thing(
            t.name,
            t.mesh,
            Material(
                colour=linear("#b3231a") if t.name == "grapes" else linear("#d4513a"), gloss=t.material.gloss
            ),
        )
        for t in g.halves(red, floor + 0.30 * top, 0.026 * s, 124)
    ]
    curds = [
        blob((0.009 * s, 0.008 * s, 0.006 * s), rough=0.25, seed=130 + k, rings=14).moved(
            x, y, floor + 0.45 * top
        )
        for k, (x, y) in enumerate(g.scattered(10, 0.062 * s, 125, apart=0.022 * s))
    ]
    out.append(Thing("curd", joined(curds), Material(colour=linear("#f5f2e8"))))
    out.append(g.crumbs(g.scattered(40, 0.085 * s, 126), floor + 0.25 * top, 0.003 * s, 127))
    return out
