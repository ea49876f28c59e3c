"""Laid tables ready to be traced: by the window alone, by a lamp alone. Light adds, so any mixture comes from the two.

Dishes of TRAIN_DISHES are for fitting, those of TEST_DISHES for the figures shown; surfaces and props are drawn by
chance, half of the surfaces carry a photograph (see `scenes`: TRAIN and TEST are disjoint too). Needs the renderer.
"""

import colorsys
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.model.gear import Prop, Surface
from plateside.picture.engine import renderer
from plateside.picture.shapes.material import Material
from plateside.picture.shapes.set_table import TableSetting, things_of
from plateside.picture.stage import mesh_shape
from tests.synthetic.scenes import TEST, TRAIN, sheet

Array = NDArray[np.float32]

TRAIN_DISHES = ("soup", "stack", "loaf", "leaves")
TEST_DISHES = ("tart", "drink", "noodles", "buns")
LAMPS = ("ceiling", "side", "strip")
SIZE = (288, 192)


def _hex(rng: np.random.Generator) -> str:
    """Half pale and near neutral, as most ware and cloth is; half of any colour."""
    if rng.random() < 0.5:
        r, g, b = colorsys.hsv_to_rgb(rng.uniform(), rng.uniform(0, 0.15), rng.uniform(0.6, 0.97))
    else:
        r, g, b = colorsys.hsv_to_rgb(rng.uniform(), rng.uniform(0.1, 0.75), rng.uniform(0.2, 0.85))
    return "#" + "".join(f"{int(v * 255):02x}" for v in (r, g, b))


def _area(at: NDArray[Any], towards: NDArray[Any], half: tuple[float, float], mi: Any) -> dict[str, Any]:
    up = [0, 0, 1] if abs((towards - at)[2]) < 0.95 * float(np.linalg.norm(towards - at)) else [0, 1, 0]
    place = mi.ScalarTransform4f().look_at(origin=at.tolist(), target=towards.tolist(), up=up)
    return {
        "type": "rectangle",
        "to_world": place @ mi.ScalarTransform4f().scale([half[0], half[1], 1]),
        "emitter": {"type": "area", "radiance": {"type": "rgb", "value": 1.0}},
        "bsdf": {"type": "diffuse", "reflectance": {"type": "rgb", "value": 0.5}},
    }


@dataclass(frozen=True)
class Laying:
    """One table ready for the renderer."""

    shapes: dict[str, Any]
    heroes: frozenset[str]
    """Which of them are the dish."""
    window: dict[str, Any]
    lamp: dict[str, Any]
    camera: dict[str, Any]
    subject_box: tuple[float, float, float, float]


def laying(seed: int, *, for_test: bool, variant: str = "scalar_rgb", size: tuple[int, int] = SIZE) -> Laying:
    """Draw one table from a seed."""
    rng = np.random.default_rng([11, int(for_test), seed])
    dishes, photos = (TEST_DISHES, TEST) if for_test else (TRAIN_DISHES, TRAIN)
    dish = str(rng.choice(dishes))
    elevation = float(rng.choice([88.0, 60.0, 45.0, 30.0]))
    width = float(rng.uniform(0.32, 0.6))
    kinds = ("plate", "bowl", "chopping board", "glass", "cutlery", "linen", "jar", "other")
    props = tuple(
        Prop(name=f"prop {i}", kind=str(rng.choice(kinds)), width_mm=float(rng.uniform(50, 180)),
             height_mm=float(rng.uniform(10, 90)), colour=_hex(rng), gloss=str(rng.choice(["matt", "satin", "glossy"])))
        for i in range(int(rng.integers(2, 7)))
    )  # fmt: skip
    surface = Surface(
        name="surface", width_m=2.4, depth_m=2.4, colour=_hex(rng),
        material=str(rng.choice(["wood", "stone", "linen", "paper", "tile"])),
    )  # fmt: skip
    across, high = float(rng.uniform(0.16, 0.26)), float(rng.uniform(0.04, 0.09))
    laid = TableSetting(
        dish=dish, dish_width_m=across, dish_height_m=high, surface=surface, props=props, frame_width_m=width,
        frame_height_m=width / 1.5, elevation_deg=elevation,
    )  # fmt: skip
    things = things_of(laid)
    if rng.random() < 0.5:
        picture = sheet(str(rng.choice(photos)), 768, 768, rng, 1.0)
        picture = (picture * np.float32(rng.uniform(0.12, 0.4) / max(float(picture.mean()), 0.02))).clip(
            0.01, 0.9
        )
        things[0] = replace(
            things[0], material=Material(gloss=float(rng.choice([0.0, 0.3])), picture=picture)
        )
    mi = renderer(variant)
    surfaces: dict[int, Any] = {}
    shapes: dict[str, Any] = {f"t{i}": mesh_shape(mi, t, surfaces) for i, t in enumerate(things)}
    for i, (normal, colour) in enumerate(
        (n, rng.uniform(0.35, 0.85) * (1 - rng.uniform(0, 0.2, 3) * np.array([0, 0.5, 1])))
        for n in ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, -1))
    ):
        at = -np.array(normal, float) * 2.0 + np.array([0, 0, 0.6])
        place = mi.ScalarTransform4f().look_at(
            origin=at.tolist(),
            target=(at + np.array(normal)).tolist(),
            up=[0, 1, 0] if normal[2] else [0, 0, 1],
        )
        shapes[f"wall{i}"] = {
            "type": "rectangle",
            "to_world": place @ mi.ScalarTransform4f().scale([3, 3, 1]),
            "bsdf": {"type": "diffuse", "reflectance": {"type": "rgb", "value": colour.tolist()}},
        }
    bearing = float(
        rng.uniform(-200, 20)
    )  # from the left, from behind, from the right: rarely from the camera
    far = float(rng.uniform(0.6, 1.8))
    out = np.array([np.cos(np.radians(bearing + 180)), np.sin(np.radians(bearing + 180)), 0.0])
    window = _area(
        out * far + np.array([0, 0, rng.uniform(0.3, 0.8)]), np.array([0, 0, 0.1]),
        (float(rng.uniform(0.3, 0.7)), float(rng.uniform(0.3, 0.7))), mi,
    )  # fmt: skip
    lamp = _lamp(str(rng.choice(LAMPS)), rng, mi)
    a, d = np.radians(elevation), width * 2.2
    camera = {
        "type": "perspective", "fov": float(np.degrees(2 * np.arctan(width / 2 / d))),
        "to_world": mi.ScalarTransform4f().look_at(
            origin=[0, -d * float(np.cos(a)), high / 2 + d * float(np.sin(a))], target=[0, 0, high / 2], up=[0, 0.1, 1]
        ),
        "film": {"type": "hdrfilm", "width": size[0], "height": size[1], "rfilter": {"type": "box"}},
        "sampler": {"type": "independent"},
    }  # fmt: skip
    wide = min(across / width, 0.96) / 2
    tall = min((across * np.sin(a) + high * np.cos(a)) / (width / 1.5), 0.96) / 2
    heroes = frozenset(f"t{i}" for i, t in enumerate(things) if t.name.startswith("hero"))
    box = (0.5 - wide, float(0.5 - tall), 0.5 + wide, float(0.5 + tall))
    return Laying(shapes, heroes, window, lamp, camera, box)


def _lamp(kind: str, rng: np.random.Generator, mi: Any) -> dict[str, Any]:
    turn = rng.uniform(0, 2 * np.pi)
    aside = np.array([np.cos(turn), np.sin(turn), 0.0])
    if kind == "ceiling":
        at = aside * rng.uniform(0.1, 1.0) + np.array([0, 0, rng.uniform(1.1, 1.8)])
        return _area(at, at - np.array([0, 0, 1.0]), (0.18, 0.18), mi)
    if kind == "side":
        at = aside * rng.uniform(0.45, 1.2) + np.array([0, 0, rng.uniform(0.25, 0.8)])
        return _area(at, np.array([0, 0, 0.05]), (0.08, 0.08), mi)
    at = aside * rng.uniform(0.3, 0.7) + np.array([0, 0, rng.uniform(0.5, 0.8)])
    return _area(at, np.array([0, 0, 0.0]), (0.4, 0.015), mi)
