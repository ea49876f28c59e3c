"""Laid tables under more kinds of light than `lit_tables`: two windows, the sun, two lamps, each traced alone.

Beside it may stand a board (white, black, wood, or of a strong colour), whose bounce is the window's own light in
another colour: it must not be called a lamp. With each table goes a map of its things, and where its windows are, seen
from the camera. Needs the renderer.
"""

import colorsys
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bench.made.lit_tables import LAMPS, TEST_DISHES, TRAIN_DISHES, _area, _hex, _lamp
from bench.made.scenes import TEST, TRAIN, sheet
from plateside.model.studio import Prop, Surface
from plateside.picture.engine import renderer
from plateside.picture.shapes.material import Material
from plateside.picture.shapes.set_table import Laid, things_of
from plateside.picture.stage import mesh_shape

Array = NDArray[np.float32]
SIZE = (162, 108)


@dataclass(frozen=True, eq=False)
class RichTable:
    """One table under each light alone, all white, mean 1; arrays are height x width x 3, linear."""

    windows: tuple[Array, ...]
    from_angles_deg: tuple[float, ...]
    """Where each window is, seen from the camera: 0 right, 90 straight away, 180 left."""
    suns: tuple[Array, ...]
    """Through each window."""
    lamps: tuple[Array, ...]
    things: NDArray[np.int16]
    """Which thing each pixel shows."""
    subject_box: tuple[float, float, float, float]


def rich_table(seed: int, *, for_test: bool, variant: str = "scalar_rgb", samples: int = 24) -> RichTable:
    """Trace one table from a seed."""
    rng = np.random.default_rng([23, int(for_test), seed])
    mi = renderer(variant)
    shapes, width, across, high, elevation = _shapes(rng, mi, for_test=for_test)
    a, d = np.radians(elevation), width * 2.2
    camera = {
        "type": "perspective", "fov": float(np.degrees(2 * np.arctan(width / 2 / d))),
        "to_world": mi.ScalarTransform4f().look_at(
            origin=[0, -d * float(np.cos(a)), high / 2 + d * float(np.sin(a))], target=[0, 0, high / 2], up=[0, 0.1, 1]
        ),
        "film": {"type": "hdrfilm", "width": SIZE[0], "height": SIZE[1], "rfilter": {"type": "box"}},
        "sampler": {"type": "independent"},
    }  # fmt: skip
    windows, angles, suns = [], [], []
    for _ in range(2):
        # from the right (0), from behind the dish (90), from the left (180): rarely from the camera's side
        angle = float(rng.uniform(-20, 200))
        out = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle)), 0.0])
        at = out * rng.uniform(0.5, 1.8) + np.array([0, 0, rng.uniform(0.3, 0.8)])
        half = (float(rng.uniform(0.3, 0.7)), float(rng.uniform(0.3, 0.7)))
        windows.append(_area(at, np.array([0, 0, 0.1]), half, mi))
        angles.append(angle)
        high_deg = np.radians(rng.uniform(15, 60))
        aside = np.radians(angle + rng.uniform(-35, 35))
        sun_at = 1.75 * np.array(
            [np.cos(aside) * np.cos(high_deg), np.sin(aside) * np.cos(high_deg), np.sin(high_deg)]
        )
        suns.append(_area(sun_at, np.array([0, 0, 0.05]), (0.02, 0.02), mi))
    kinds = rng.permutation(LAMPS)[:2]
    lamps = [_lamp(str(kind), rng, mi) for kind in kinds]
    pictures = []
    for light in (*windows, *suns, *lamps):
        scene = mi.load_dict(
            {"type": "scene", "integrator": {"type": "path", "max_depth": 4}, "camera": camera, "light": light,
             **shapes}
        )  # fmt: skip
        seen = np.array(mi.render(scene, spp=samples, seed=seed), np.float32)[..., :3]
        pictures.append(seen / np.float32(max(float(seen.mean()), 1e-9)))
    shown = mi.load_dict(
        {"type": "scene", "integrator": {"type": "aov", "aovs": "which:shape_index"},
         "camera": {**camera, "sampler": {"type": "independent"}}, "light": windows[0], **shapes}
    )  # fmt: skip
    which = np.array(mi.render(shown, spp=1, seed=seed), np.float32)
    things = np.round(which[..., -1]).astype(np.int16)
    wide = min(across / width, 0.96) / 2
    tall = min((across * np.sin(a) + high * np.cos(a)) / (width / 1.5), 0.96) / 2
    box = (0.5 - wide, float(0.5 - tall), 0.5 + wide, float(0.5 + tall))
    return RichTable(
        tuple(pictures[:2]), tuple(angles), tuple(pictures[2:4]), tuple(pictures[4:]), things, box
    )


def _shapes(
    rng: np.random.Generator, mi: Any, *, for_test: bool
) -> tuple[dict[str, Any], float, float, float, float]:
    """Things, board and walls; frame width, dish width, dish height [m], elevation [deg]."""
    dishes, photos = (TEST_DISHES, TEST) if for_test else (TRAIN_DISHES, TRAIN)
    elevation = float(rng.choice([88.0, 60.0, 45.0, 30.0, 15.0]))
    width = float(rng.uniform(0.32, 0.6))
    kinds = ("plate", "bowl", "board", "glass", "cutlery", "linen", "jar", "other")
    props = tuple(
        Prop(name=f"prop {i}", kind=str(rng.choice(kinds)), width_mm=float(rng.uniform(50, 180)),
             height_mm=float(rng.uniform(10, 90)), colour=_hex(rng), gloss=str(rng.choice(["matt", "satin", "glossy"])))
        for i in range(int(rng.integers(1, 7)))
    )  # fmt: skip
    surface = Surface(
        name="surface", width_m=2.4, depth_m=2.4, colour=_hex(rng),
        material=str(rng.choice(["wood", "stone", "linen", "paper", "tile"])),
    )  # fmt: skip
    across, high = float(rng.uniform(0.16, 0.26)), float(rng.uniform(0.04, 0.09))
    things = things_of(
        Laid(dish=str(rng.choice(dishes)), dish_width_m=across, dish_height_m=high, surface=surface, props=props,
             frame_width_m=width, frame_height_m=width / 1.5, elevation_deg=elevation)
    )  # fmt: skip
    if rng.random() < 0.3:
        picture = sheet(str(rng.choice(photos)), 512, 512, rng, 1.0)
        level = np.float32(rng.uniform(0.12, 0.4) / max(float(picture.mean()), 0.02))
        gloss = float(rng.choice([0.0, 0.3]))
        things[0] = replace(
            things[0], material=Material(gloss=gloss, picture=(picture * level).clip(0.01, 0.9))
        )
    shapes: dict[str, Any] = {f"t{i:02d}": mesh_shape(mi, t) for i, t in enumerate(things)}
    for i, normal in enumerate(((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, -1))):
        colour = rng.uniform(0.35, 0.85) * (1 - rng.uniform(0, 0.2, 3) * np.array([0, 0.5, 1]))
        at = -np.array(normal, float) * 2.0 + np.array([0, 0, 0.6])
        shapes[f"wall{i}"] = _panel(at, np.array(normal, float), (3.0, 3.0), colour, mi)
    if rng.random() < 0.6:
        turn = rng.uniform(0, 2 * np.pi)
        out = np.array([np.cos(turn), np.sin(turn), 0.0])
        at = out * (width * 0.5 + rng.uniform(0.08, 0.3)) + np.array([0, 0, 0.2])
        shapes["zboard"] = _panel(at, -out, (0.3, 0.2), _board_colour(rng), mi)
    return shapes, width, across, high, elevation


def _board_colour(rng: np.random.Generator) -> NDArray[Any]:
    kind = rng.choice(["white", "black", "wood", "strong"], p=[0.5, 0.15, 0.2, 0.15])
    if kind == "white":
        return np.full(3, 0.88)
    if kind == "black":
        return np.full(3, 0.05)
    if kind == "wood":
        return np.array([0.55, 0.40, 0.25]) * rng.uniform(0.6, 1.2)
    return np.array(colorsys.hsv_to_rgb(rng.uniform(), rng.uniform(0.4, 0.9), rng.uniform(0.3, 0.8)))


def _panel(at: NDArray[Any], facing: NDArray[Any], half: tuple[float, float], colour: Any, mi: Any) -> Any:
    place = mi.ScalarTransform4f().look_at(
        origin=at.tolist(), target=(at + facing).tolist(), up=[0, 1, 0] if facing[2] else [0, 0, 1]
    )
    return {
        "type": "rectangle",
        "to_world": place @ mi.ScalarTransform4f().scale([half[0], half[1], 1]),
        "bsdf": {"type": "diffuse", "reflectance": {"type": "rgb", "value": np.asarray(colour).tolist()}},
    }


def kept_rich(folder: Path, seed: int, *, for_test: bool) -> RichTable:
    """A traced table, from the folder when it is there."""
    path = folder / f"rich-{'test' if for_test else 'train'}{seed:03d}.npz"
    if not path.exists():
        t = rich_table(seed, for_test=for_test)
        np.savez_compressed(
            path, windows=np.array(t.windows, np.float16), suns=np.array(t.suns, np.float16),
            lamps=np.array(t.lamps, np.float16), angles=t.from_angles_deg, things=t.things, box=t.subject_box,
        )  # fmt: skip
    with np.load(path) as z:
        x0, y0, x1, y1 = (float(v) for v in z["box"])
        each = {
            k: tuple(np.asarray(v, np.float32).clip(0, 1e4) for v in z[k])
            for k in ("windows", "suns", "lamps")
        }
        return RichTable(
            each["windows"], tuple(float(v) for v in z["angles"]), each["suns"], each["lamps"], z["things"],
            (x0, y0, x1, y1),
        )  # fmt: skip
