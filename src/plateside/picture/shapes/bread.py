"""Stand-ins of bread: country loaf, tin of buns."""

import math

import numpy as np

from plateside.picture.shapes import garnish as g
from plateside.picture.shapes import ware
from plateside.picture.shapes.material import Colour, Material, linear
from plateside.picture.shapes.mesh import (
    Mesh,
    Thing,
    blob,
    box,
    bumps,
    joined,
    sheet,
    tube,
)
from plateside.picture.shapes.texture import clouds, crust, ramp, wood

Dish = list[Thing]


def loaf(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """A country loaf on a board, two slices cut from it."""
    board_t = 0.018
    board = Thing(
        "board", box(width_m * 1.16, width_m * 0.62, board_t, 0.003), wood(linear("#9a7046"), 81, planks=3)
    )
    h = max(height_m - board_t, 0.05)
    length, depth = 0.74 * width_m, 0.40 * width_m
    body = blob((length / 2, depth / 2, h * 0.62), power=2.25, rings=80)
    points = body.corners.copy()
    direction = points / np.maximum(np.linalg.norm(points, axis=1, keepdims=True), 1e-9)
    points *= (1.0 + 0.022 * bumps(direction, 82))[:, None]
    # three slashes opened across the crown
    for at in (-0.26, 0.02, 0.30):
        across = (points[:, 0] / length - at) - 0.22 * points[:, 1] / depth
        ridge = np.exp(-((across / 0.045) ** 2)) - 0.9 * np.exp(-(((across - 0.05) / 0.022) ** 2))
        crown = np.clip(points[:, 2] / (h * 0.62), 0, 1) ** 1.2
        points[:, 2] += 0.085 * h * ridge * crown
    points[:, 2] = np.maximum(points[:, 2], -0.36 * h) + 0.36 * h + board_t
    points[:, 0] += 0.10 * width_m
    uv = np.column_stack([points[:, 0] / width_m + 0.5, 0.5 + points[:, 1] / width_m])
    flour = clouds(85, 1.0)
    base = crust(83, linear("#d9ab6c"), linear("#a9682c"), linear("#4a2710"), 0.55)
    dust = np.clip((flour - 0.60) * 3.0, 0, 0.75)[..., None]
    picture = np.asarray(base.picture) * (1 - dust) + np.float32(0.72) * dust
    body_thing = Thing(
        "loaf",
        Mesh(points, body.triangles, uv),
        Material(picture=picture.astype(np.float32), relief=clouds(84, 0.9), relief_depth=0.004),
    )
    holes = np.clip((clouds(86, 0.95) - 0.60) * 7.0, 0, 1)
    crumb_picture = ramp(
        1.0 - holes, [(0.0, linear("#b38a58")), (0.5, linear("#dcc090")), (1.0, linear("#efdcb4"))]
    )
    crumb = Material(picture=crumb_picture, relief=1.0 - holes, relief_depth=0.005)
    out: Dish = [board, body_thing]
    for k, (x, y, lean, turn) in enumerate(((-0.325, -0.035, 74.0, 8.0), (-0.43, -0.06, 80.0, -16.0))):
        face = blob((0.5 * depth, 0.5 * h * 0.98, 0.006), power=2.3, rings=40)
        shell = face.scaled(1.025, 1.025, 0.96)
        flat = np.column_stack([face.corners[:, 0] / depth + 0.5, face.corners[:, 1] / depth + 0.5])
        slice_mesh = Mesh(face.corners, face.triangles, flat)
        for name, mesh, material in (
            ("slice", slice_mesh, crumb),
            ("slice crust", shell, Material(colour=linear("#8a5022"))),
        ):
            placed = (
                mesh.turned(about_x_deg=lean)
                .turned(turn + 62)
                .moved(x * width_m, y * width_m, board_t + 0.47 * h)
            )
            out.append(Thing(f"{name} {k}", placed, material))
    fallen = g.scattered(70, 0.16 * width_m, 87) * np.array([1.2, 0.8]) + np.array(
        [-0.36 * width_m, -0.12 * width_m]
    )
    out.append(g.crumbs(fallen, board_t, 0.0016, 88, linear("#c79a5c")))
    return out


def buns(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """Twelve glazed buns with seeds in a tin."""
    tin_h = 0.5 * height_m
    depth = 0.74 * width_m
    t = 0.0018
    walls = [
        box(width_m, t, tin_h).moved(y=-depth / 2),
        box(width_m, t, tin_h).moved(y=depth / 2),
        box(t, depth, tin_h).moved(x=-width_m / 2),
        box(t, depth, tin_h).moved(x=width_m / 2),
        box(width_m, depth, 0.002),
    ]
    rim_path = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1)]) * np.array([width_m / 2, depth / 2])
    rim = [
        tube(np.linspace([*rim_path[k], tin_h], [*rim_path[k + 1], tin_h], 8), 0.0028, sides=10)
        for k in range(4)
    ]
    tin = Thing("tin", joined([*walls, *rim]), Material(colour=linear("#4b4d50"), gloss=0.22, kind="metal"))
    glaze = ramp(
        np.clip(0.7 * clouds(141, 1.7) + 0.3 * clouds(142, 1.0), 0, 1),
        [
            (0.0, linear("#d9a45c")),
            (0.4, linear("#b8722c")),
            (0.8, linear("#8c4a18")),
            (1.0, linear("#5f300f")),
        ],
    )
    rng = np.random.default_rng(143)
    out: Dish = [tin]
    sides, seeds = [], []
    nx, ny = 4, 3
    bw, bd = (width_m - 0.004) / nx, (depth - 0.004) / ny
    for i in range(nx):
        for j in range(ny):
            h = height_m * rng.uniform(0.93, 1.0)
            one = blob(
                (bw * 0.515, bd * 0.515, h * 0.62), power=2.7, rough=0.018, seed=150 + 5 * i + j, rings=36
            )
            low = one.corners.copy()
            low[:, 2] = np.maximum(low[:, 2], -0.38 * h) + 0.38 * h + 0.002
            shift = np.array([(i - 1.5) * bw, (j - 1.0) * bd, 0.0])
            # browner on top than down the sides: the texture is read by height and turned for each bun
            uv = np.column_stack([low[:, 0] / width_m + 0.5 + 0.23 * i, low[:, 1] / width_m + 0.5 + 0.31 * j])
            sides.append(Mesh(low + shift, one.triangles, uv))
            for _ in range(16):
                a, d = rng.uniform(0, 2 * np.pi), math.sqrt(rng.uniform(0, 1)) * 0.30
                x, y = d * bw * math.cos(a), d * bd * math.sin(a)
                z = (
                    0.002
                    + 0.38 * h
                    + 0.62
                    * h
                    * (1 - (abs(x) / (0.515 * bw)) ** 2.7 - (abs(y) / (0.515 * bd)) ** 2.7) ** (1 / 2.7)
                )
                grain = blob((0.0021, 0.0012, 0.0007), rings=8).turned(rng.uniform(0, 360)).moved(x, y, z)
                seeds.append(grain.moved(*shift))
    out.append(
        Thing(
            "buns",
            joined(sides),
            Material(picture=glaze, gloss=0.14, relief=clouds(142, 1.1), relief_depth=0.0015),
        )
    )
    out.append(Thing("seeds", joined(seeds), Material(colour=linear("#ead9b0"))))
    paper = sheet(width_m * 0.96, depth * 0.96, lambda x, y: 0.0022 + 0 * x)
    out.append(Thing("baking paper", paper, Material(colour=linear("#d8c9a8"))))
    return out
