"""Where surface, dish, props and backdrop stand, seen from the camera."""

import math
from dataclasses import dataclass, replace

import numpy as np

from plateside.model.gear import Prop, Surface
from plateside.picture.shapes import ware
from plateside.picture.shapes.dishes import stand_in
from plateside.picture.shapes.material import linear
from plateside.picture.shapes.mesh import Mesh, Thing, sheet
from plateside.picture.shapes.props import prop_things, reach_m
from plateside.picture.shapes.texture import SURFACES, clouds, paper

SURFACE_LIFT_M = 0.003
"""A surface is as thin as this, so that the set-up's heights hold."""
REPEAT_M = {"linen": 0.26, "tile": 0.5}
"""Size of one repeat of a texture; the others span the whole surface."""

ANCHORS = (
    (-0.74, 0.62),
    (0.72, 0.58),
    (0.80, -0.42),
    (-0.84, -0.30),
    (-0.22, 0.98),
    (0.34, 1.0),
    (-0.56, -0.86),
    (0.42, -0.9),
)
"""Where props go, in half frames to the right and away from the camera, in the order they are named."""


@dataclass(frozen=True, kw_only=True)
class TableSetting:
    """What is on the table: the stand-in, what it stands on, and what stands about it."""

    dish: str = "soup"
    dish_width_m: float = 0.2
    dish_height_m: float = 0.06
    surface: Surface | None = None
    props: tuple[Prop, ...] = ()
    frame_width_m: float = 0.45
    frame_height_m: float = 0.30
    elevation_deg: float = 45.0
    backdrop_colour: str = ""
    """Colour of a painted panel behind the dish; empty: none, the room is seen."""
    backdrop_gap_m: float = 0.5


def things_of(laid: TableSetting) -> list[Thing]:
    """Everything on the table; x right, y away from the camera, z up from the table top."""
    out: list[Thing] = []
    lift = 0.0
    if laid.surface is not None:
        out.append(_surface(laid.surface))
        lift = SURFACE_LIFT_M
    china = next((p.colour for p in laid.props if p.kind in ("bowl", "plate")), "")
    dish = stand_in(laid.dish, laid.dish_width_m, laid.dish_height_m, linear(china) if china else ware.CHINA)
    hero = [Thing(f"hero {t.name}", t.mesh.moved(z=lift), t.material) for t in dish]
    out += hero
    for prop, (x, y), k in _placed(laid):
        turn = 25.0 * ((k * 7) % 5 - 2)
        if prop.kind == "cutlery":
            turn = 74.0 + 10 * k
        out += [
            Thing(t.name, t.mesh.turned(turn).moved(x, y, lift + 2e-4), t.material)
            for t in prop_things(prop, k)
        ]
    if laid.backdrop_colour:
        out.append(_backdrop(laid))
    return out


def _surface(surface: Surface) -> Thing:
    material = SURFACES[surface.material](linear(surface.colour))
    soft = surface.material == "linen"
    hills = clouds(301, 2.4, 160)

    def height(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        if not soft:
            return np.zeros_like(x) + SURFACE_LIFT_M
        column = np.clip(((x / surface.width_m + 0.5) * 159).astype(int), 0, 159)
        row = np.clip(((y / surface.depth_m + 0.5) * 159).astype(int), 0, 159)
        return np.asarray(0.0006 + 0.0024 * hills[row, column])

    fine = 160 if soft else 2
    mesh = sheet(surface.width_m, surface.depth_m, height, fine, fine)
    repeat = REPEAT_M.get(surface.material)
    if repeat:
        uv = mesh.uv * np.array([surface.width_m / repeat, surface.depth_m / repeat])
        mesh = replace(mesh, uv=uv)
    else:
        # the texture is square: keep its proportions on a surface that is not
        mesh = replace(mesh, uv=mesh.uv * np.array([1.0, surface.depth_m / surface.width_m]))
    return Thing("surface", mesh, material)


def _placed(laid: TableSetting) -> list[tuple[Prop, tuple[float, float], int]]:
    """Props with their places, each pushed outwards until it is clear of the dish and of the others."""
    half_w = laid.frame_width_m / 2
    sine = max(math.sin(math.radians(laid.elevation_deg)), 0.30)
    half_h = laid.frame_height_m / 2 / sine
    low = laid.elevation_deg < 25
    taken: list[tuple[float, float, float]] = [(0.0, 0.0, laid.dish_width_m / 2 * 1.03)]
    out = []
    for k, prop in enumerate(laid.props):
        ax, ay = ANCHORS[k % len(ANCHORS)]
        if low and ay < 0:
            ay = abs(ay) * 0.5  # seen from the side, a prop in front would hide the dish
        reach = reach_m(prop)
        x, y = ax * half_w, ay * half_h
        for _ in range(60):
            if all(math.hypot(x - p, y - q) >= reach + r for p, q, r in taken):
                break
            x, y = x * 1.04 + 0.002 * ax, y * 1.04 + 0.002 * ay
        taken.append((x, y, reach))
        out.append((prop, (x, y), k))
    return out


def _backdrop(laid: TableSetting) -> Thing:
    """A painted panel standing behind the dish."""
    panel = sheet(1.6, 1.1, None, 2, 2).turned(about_x_deg=90.0)
    return Thing(
        "backdrop",
        panel.moved(0.0, laid.backdrop_gap_m + laid.dish_width_m / 2, 0.45),
        paper(linear(laid.backdrop_colour)),
    )


def to_room(mesh: Mesh, dish: tuple[float, float, float], faces_deg: float) -> Mesh:
    """From the table's coordinates (y away from the camera) to the room's."""
    return mesh.turned(about_z_deg=-faces_deg).moved(*dish)
