"""Stand-ins baked flat: tart, stack of pancakes."""

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
    disc,
    grid,
    joined,
    lathe,
    tube,
)
from plateside.picture.shapes.texture import clouds, crust, ramp

Dish = list[Thing]


def tart(width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """A round tart with a fluted crust, custard, peas and green tips."""
    h = min(height_m, 0.22 * width_m)
    r = width_m / 2 * 0.96
    flute = lambda a, radius, z: 1.0 + 0.022 * np.cos(34 * a) * np.clip(radius / r - 0.80, 0, 0.2) / 0.2  # noqa: E731
    profile = [
        (0, 0.001),
        (0.86 * r, 0.0),
        (0.90 * r, 0.004),
        (0.985 * r, 0.80 * h),
        (r, 0.96 * h),
        (0.985 * r, h),
        (0.95 * r, 0.985 * h),
        (0.915 * r, 0.86 * h),
        (0.90 * r, 0.70 * h),
        (0.0, 0.66 * h),
    ]
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

    filling = Thing(
        "custard",
        disc(0.915 * r, top, rings=60, height=lift),
        Material(picture=picture, gloss=0.16, relief=clouds(53, 1.0), relief_depth=0.002),
    )
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
    return [
        shell,
        filling,
        peas,
        Thing("curd", joined(curds), Material(colour=linear("#f4f0e4"), gloss=0.3)),
        Thing("asparagus", joined(spears), Material(picture=green, gloss=0.14)),
        Thing("herbs", herbs, g.leaf_material(g.MINT)),
    ]


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
    browned = ramp(
        np.clip(0.55 * clouds(72, 1.6) + 0.45 * clouds(73, 0.9), 0, 1),
        [
            (0.0, linear("#e2b56e")),
            (0.35, linear("#c4853a")),
            (0.8, linear("#9a5a22")),
            (1.0, linear("#74401a")),
        ],
    )
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
        side = ramp(
            np.tile(np.linspace(0, 1, 256, dtype=np.float32)[:, None], (1, 256))
            + 0.12 * (clouds(seed, 0.9, 256) - 0.5),
            [
                (0.0, linear("#a8672a")),
                (0.16, linear("#d29a4e")),
                (0.3, linear("#f0d28f")),
                (0.7, linear("#eecb84")),
                (0.86, linear("#cd9145")),
                (1.0, linear("#a8672a")),
            ],
        )
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
        np.ascontiguousarray(grid(18, 181)[:, ::-1]),
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
