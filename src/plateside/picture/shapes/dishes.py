"""The stand-in dishes. Each takes its width and height [m] and stands on z = 0."""

import math
from collections.abc import Callable

import numpy as np

from plateside.picture.shapes import garnish as g
from plateside.picture.shapes import ware
from plateside.picture.shapes.material import Colour, Material, linear, mixed, shade
from plateside.picture.shapes.mesh import (
    Mesh,
    Thing,
    blob,
    box,
    bumps,
    disc,
    joined,
    lathe,
    leaf,
    sheet,
    tube,
)
from plateside.picture.shapes.texture import clouds, crust, ramp, wood

Dish = list[Thing]


def soup(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """A pale green chilled soup in a bowl, with oil, halved grapes, crumbs and mint; three bowls when it is very wide."""
    if width_m > 4.5 * height_m:
        one = 0.47 * width_m
        out: Dish = []
        for k, turn in enumerate((100.0, 222.0, 338.0)):
            x, y = (0.265 * width_m * f(math.radians(turn)) for f in (math.cos, math.sin))
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
    meniscus = lambda x, y: 0.0012 * np.exp(-((r - np.hypot(x, y)) / 0.004))  # noqa: E731 - a height field
    surface = disc(r, level, height=meniscus)
    liquid = Material(
        picture=base.astype(np.float32), gloss=0.035, relief=clouds(43, 2.2), relief_depth=0.004
    )
    s = width_m / 0.2
    grapes = g.halves(np.array([(-0.022, 0.012), (0.012, 0.026), (0.004, -0.010), (0.034, 0.004), (-0.012, -0.032)]) * s,
                      level, 0.019 * s, 5)  # fmt: skip
    ring = g.scattered(60, 0.036 * s, 12) + np.array([0.004, 0.0]) * s
    crumb = g.crumbs(ring, level, 0.0028 * s, 9)
    mint = Thing(
        "mint", g.sprig(-0.004 * s, 0.002 * s, level + 0.009 * s, 0.026 * s, 4, 6), g.leaf_material(g.MINT)
    )
    return [bowl, Thing("soup", surface, liquid), *grapes, crumb, mint]


def tart(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """A round tart with a fluted crust, custard, peas and green tips."""
    h = min(height_m, 0.22 * width_m)
    r = width_m / 2 * 0.96
    flute = lambda a, radius, z: 1.0 + 0.022 * np.cos(34 * a) * np.clip(radius / r - 0.80, 0, 0.2) / 0.2  # noqa: E731
    profile = [(0, 0.001), (0.86 * r, 0.0), (0.90 * r, 0.004), (0.985 * r, 0.80 * h), (r, 0.96 * h), (0.985 * r, h),
               (0.95 * r, 0.985 * h), (0.915 * r, 0.86 * h), (0.90 * r, 0.70 * h), (0.0, 0.66 * h)]  # fmt: skip
    pastry = crust(51, linear("#ead3a0"), linear("#cf9d55"), linear("#6f4119"), 0.42)
    shell = Thing("crust", lathe(profile, segments=340, fine=4, flute=flute), pastry)
    top = 0.86 * h
    field = np.clip(0.6 * clouds(52, 1.7) + 0.4 * clouds(53, 1.0), 0, 1)
    picture = ramp(
        field,
        [
            (0.0, linear("#f3dfa0")),
            (0.6, linear("#ecca73")),
            (0.85, linear("#cf9340")),
            (1.0, linear("#8c5420")),
        ],
    )
    hills = clouds(54, 2.0)

    def lift(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        column = np.clip(((x / r * 0.5 + 0.5) * (hills.shape[1] - 1)).astype(int), 0, hills.shape[1] - 1)
        row = np.clip(((y / r * 0.5 + 0.5) * (hills.shape[0] - 1)).astype(int), 0, hills.shape[0] - 1)
        return np.asarray(0.004 * (hills[row, column] - 0.5) * (width_m / 0.24))

    filling = Thing("custard", disc(0.915 * r, top, rings=60, height=lift),
                    Material(picture=picture, gloss=0.16, relief=clouds(53, 1.0), relief_depth=0.002))  # fmt: skip
    s = width_m / 0.24
    rng = np.random.default_rng(55)
    peas = g.berries(g.scattered(54, 0.088 * s, 56, apart=0.0078 * s), top, 0.0085 * s, 57, linear("#6f9440"))
    curds = []
    for x, y in g.scattered(11, 0.080 * s, 58, apart=0.03 * s):
        curds.append(
            blob((0.011 * s, 0.010 * s, 0.006 * s), rough=0.22, seed=int(1e6 * abs(x)), rings=16).moved(
                x, y, top + 0.003 * s
            )
        )
    spears = []
    for k in range(9):
        a = 2 * math.pi * k / 9 + rng.uniform(-0.15, 0.15)
        t = np.linspace(0, 1, 24)
        length = 0.070 * s
        start, bend = 0.016 * s, rng.uniform(-0.10, 0.10)
        along = start + length * t
        path = np.stack(
            [
                along * np.cos(a + bend * t),
                along * np.sin(a + bend * t),
                top + 0.0065 * s + 0.002 * s * np.sin(3 * t),
            ],
            axis=1,
        )
        radius = (
            0.0042
            * s
            * (1.0 + 0.28 * np.exp(-(((t - 0.82) / 0.11) ** 2)))
            * np.clip((1.02 - t) / 0.10, 0.0, 1.0) ** 0.5
        )
        spears.append(tube(path, radius, sides=12))
    green = ramp(
        clouds(59, 1.2, 256, stretch=(8, 1)),
        [(0.0, linear("#6a8a38")), (0.7, linear("#88a24b")), (1.0, linear("#5d5a45"))],
    )
    herbs = joined(
        [
            g.sprig(x, y, top + 0.008 * s, 0.018 * s, 60 + k, 4)
            for k, (x, y) in enumerate(g.scattered(5, 0.07 * s, 61, apart=0.04 * s))
        ]
    )
    return [shell, filling, peas, Thing("curd", joined(curds), Material(colour=linear("#f4f0e4"), gloss=0.3)),
            Thing("asparagus", joined(spears), Material(picture=green, gloss=0.14)), Thing("herbs", herbs, g.leaf_material(g.MINT))]  # fmt: skip


def stack(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """Pancakes on a plate, with butter, syrup and berries."""
    plate_h = 0.016
    plate = ware.plate(width_m, plate_h, ware.glazed(china))
    floor = ware.plate_floor(width_m, plate_h)
    cakes = max(3, round((height_m - floor) / 0.0125))
    thick = max((height_m - floor - 0.006) / cakes, 0.008)
    r = 0.33 * width_m
    out: Dish = [plate]
    rng = np.random.default_rng(71)
    browned = ramp(np.clip(0.55 * clouds(72, 1.6) + 0.45 * clouds(73, 0.9), 0, 1),
                   [(0.0, linear("#e2b56e")), (0.35, linear("#c4853a")), (0.8, linear("#9a5a22")), (1.0, linear("#74401a"))])  # fmt: skip
    z = floor
    for k in range(cakes):
        rr = r * rng.uniform(0.95, 1.05)
        seed = 74 + k
        phase, phase2 = rng.uniform(0, 6, 2)

        def wobble(
            a: np.ndarray, _radius: np.ndarray, _z: np.ndarray, p: float = phase, q: float = phase2
        ) -> np.ndarray:
            return np.asarray(1.0 + 0.018 * np.sin(3 * a + p) + 0.010 * np.sin(5 * a + q))

        edge = [
            (0, 0.0),
            (0.93 * rr, 0.0),
            (0.99 * rr, 0.22 * thick),
            (1.0 * rr, 0.5 * thick),
            (0.985 * rr, 0.78 * thick),
            (0.93 * rr, 0.97 * thick),
            (0, thick),
        ]
        body = lathe(edge, segments=120, fine=4, flute=wobble)
        # pale sponge round the edge, browned above and below: by height within the cake
        share = np.clip(body.corners[:, 2] / thick, 0, 1)
        body = Mesh(body.corners, body.triangles, np.column_stack([body.uv[:, 0] * 0.999, share]))
        side = ramp(np.tile(np.linspace(0, 1, 256, dtype=np.float32)[:, None], (1, 256)) + 0.12 * (clouds(seed, 0.9, 256) - 0.5),
                    [(0.0, linear("#a8672a")), (0.16, linear("#d29a4e")), (0.3, linear("#f0d28f")), (0.7, linear("#eecb84")), (0.86, linear("#cd9145")), (1.0, linear("#a8672a"))])  # fmt: skip
        dx, dy = rng.normal(0, 0.004, 2)
        at = body.moved(dx, dy, z)
        out.append(
            Thing(
                f"pancake {k}",
                at,
                Material(
                    picture=np.ascontiguousarray(side), relief=clouds(seed, 0.8, 256), relief_depth=0.0015
                ),
            )
        )
        cap = disc(0.935 * rr, z + thick + 2e-4, rings=12).moved(dx, dy)
        out.append(
            Thing(
                f"pancake top {k}",
                cap,
                Material(
                    picture=np.rot90(browned, k % 4).copy(), relief=clouds(73, 0.9), relief_depth=0.0015
                ),
            )
        )
        z += thick
    s = width_m / 0.22
    syrup_colour = linear("#7a3a10")
    angle = np.linspace(0, 2 * np.pi, 181)
    reach = r * (0.74 + 0.16 * np.sin(3 * angle + 1) + 0.10 * np.sin(7 * angle))
    rings = np.linspace(0, 1, 18)
    rad = rings[:, None] * reach[None, :]
    dome = 0.0022 * np.sqrt(np.clip(1 - rings**6, 0, 1))[:, None] * np.ones_like(rad)
    pool = Mesh(
        np.stack([rad * np.cos(angle), rad * np.sin(angle), z + 3e-4 + dome], axis=-1).reshape(-1, 3),
        _disc_grid(18, 181),
        np.zeros((18 * 181, 2)),
    )
    drips = [pool]
    for a, length in ((-1.9, 0.72), (-1.35, 0.45), (-0.75, 0.85), (-2.6, 0.35), (0.1, 0.5), (2.4, 0.6)):
        t = np.linspace(0, 1, 30)
        drop = length * (z - floor)
        out_r = np.where(t < 0.25, 0.80 + 0.8 * t, 1.0) * r + 0.0015
        down = np.clip((t - 0.22) / 0.78, 0, 1)
        path = np.stack([out_r * math.cos(a), out_r * math.sin(a), z + 0.001 - down * drop], axis=1)
        drips.append(tube(path, 0.0032 * s * (0.75 + 0.5 * np.exp(-(((t - 0.96) / 0.05) ** 2))), sides=12))
    out.append(Thing("syrup", joined(drips), Material(colour=syrup_colour, gloss=0.03)))
    butter = box(0.030 * s, 0.027 * s, 0.011 * s, 0.0015 * s).turned(24).moved(-0.004, 0.002, z + 0.002)
    out.append(Thing("butter", butter, Material(colour=linear("#f1dc8b"), gloss=0.2)))
    fallen = (
        np.array([(0.72, -0.35), (0.66, -0.52), (-0.74, -0.20), (0.10, -0.80), (-0.60, 0.50)])
        * width_m
        / 2
        * 1.05
    )
    out.append(g.berries(fallen, floor + 0.001, 0.013 * s, 75, linear("#2c2f52")))
    out.append(
        g.berries(
            np.array([(0.020, 0.012), (0.028, -0.004), (-0.022, -0.016)]) * s,
            z + 0.001,
            0.013 * s,
            76,
            linear("#2c2f52"),
        )
    )
    out.append(
        Thing("mint", g.sprig(0.012 * s, 0.014 * s, z + 0.004, 0.020 * s, 77, 4), g.leaf_material(g.MINT))
    )
    return out


def _disc_grid(rows: int, columns: int) -> np.ndarray:
    from plateside.picture.shapes.mesh import grid

    return np.ascontiguousarray(grid(rows, columns)[:, ::-1])


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


def drink(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """A tall iced milk coffee: layers, ice, foam, in clear glass."""
    glass_w = min(width_m, 0.55 * height_m)
    glass = Thing("glass", ware.tumbler(glass_w, height_m), Material(kind="glass"))
    r, h, wall = glass_w / 2, height_m, 0.003
    level = 0.86 * h
    body = lathe([(0, 0.008), (0.78 * r - wall, 0.008), (0.83 * r - wall, 0.012), (0.90 * r - wall, 0.45 * h),
                  (0.975 * r - wall, level), (0.90 * r - wall, level + 0.002), (0, level)], fine=8, segments=128)  # fmt: skip
    share = np.clip(body.corners[:, 2] / level, 0, 1)
    body = Mesh(body.corners, body.triangles, np.column_stack([body.uv[:, 0], share]))
    size = 512
    y = np.linspace(0, 1, size, dtype=np.float32)[:, None] * np.ones((1, size), np.float32)
    wisp = y + 0.16 * (clouds(91, 1.9, size, stretch=(1.0, 0.5)) - 0.5) * np.sin(np.pi * np.clip(y, 0, 1))
    coffee = ramp(np.clip(wisp, 0, 1), [(0.0, linear("#f0e4d2")), (0.30, linear("#e9d5b8")), (0.52, linear("#c39a6a")), (0.72, linear("#7a4a26")),
                                        (0.93, linear("#4a2a14")), (1.0, linear("#5a3820"))])  # fmt: skip
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
    out += [Thing(t.name, t.mesh, Material(colour=linear("#b3231a") if t.name == "grapes" else linear("#d4513a"), gloss=t.material.gloss))
            for t in g.halves(red, floor + 0.30 * top, 0.026 * s, 124)]  # fmt: skip
    curds = [blob((0.009 * s, 0.008 * s, 0.006 * s), rough=0.25, seed=130 + k, rings=14).moved(x, y, floor + 0.45 * top)
             for k, (x, y) in enumerate(g.scattered(10, 0.062 * s, 125, apart=0.022 * s))]  # fmt: skip
    out.append(Thing("curd", joined(curds), Material(colour=linear("#f5f2e8"))))
    out.append(g.crumbs(g.scattered(40, 0.085 * s, 126), floor + 0.25 * top, 0.003 * s, 127))
    return out


def buns(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """Twelve glazed buns with seeds in a tin."""
    tin_h = 0.5 * height_m
    depth = 0.74 * width_m
    t = 0.0018
    walls = [box(width_m, t, tin_h).moved(y=-depth / 2), box(width_m, t, tin_h).moved(y=depth / 2),
             box(t, depth, tin_h).moved(x=-width_m / 2), box(t, depth, tin_h).moved(x=width_m / 2), box(width_m, depth, 0.002)]  # fmt: skip
    rim_path = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1)]) * np.array([width_m / 2, depth / 2])
    rim = [
        tube(np.linspace([*rim_path[k], tin_h], [*rim_path[k + 1], tin_h], 8), 0.0028, sides=10)
        for k in range(4)
    ]
    tin = Thing("tin", joined([*walls, *rim]), Material(colour=linear("#4b4d50"), gloss=0.22, kind="metal"))
    glaze = ramp(np.clip(0.7 * clouds(141, 1.7) + 0.3 * clouds(142, 1.0), 0, 1),
                 [(0.0, linear("#d9a45c")), (0.4, linear("#b8722c")), (0.8, linear("#8c4a18")), (1.0, linear("#5f300f"))])  # fmt: skip
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


STAND_INS: dict[str, Callable[[float, float, Colour], Dish]] = {
    "soup": soup, "tart": tart, "stack": stack, "loaf": loaf, "drink": drink, "noodles": noodles, "leaves": leaves, "buns": buns,
}  # fmt: skip


def stand_in(kind: str, width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """The stand-in of this name (model.shoot.Shot.stand_in)."""
    return STAND_INS[kind](width_m, height_m, shade(china, 1.0))
