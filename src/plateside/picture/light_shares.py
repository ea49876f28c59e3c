"""How often each light is asked: by what it gives at the dish.

The renderer asks one light at each point a path meets, each as often as another unless it is told otherwise: with the
window's four reveals beside it the sky came once in five times, and a picture of few paths was made of that noise.
A share changes the noise alone, never the picture: what a rarer light gives counts for more when it is asked
(importance sampling: Veach 1997, Robust Monte Carlo Methods for Light Transport Simulation, chapter 9).
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import LUMINANCE
from plateside.light.scene import Scene

Array = NDArray[np.float64]

LEAST = 0.01
"""Share of a light that gives the dish next to nothing: it may still be what lights a wall."""
OUTSIDE_LEAST = 0.5
"""Share of the outside among all but the sun: what a sheet lets through unscattered is little and noisy."""
SUN = 0.5
"""Share of the sun: where it falls, on the dish or on a wall, it outshines the rest, and where it does not, the rest
must not be noisy for it."""
CELLS = 12
"""Cells along each side of a window whose light is added up."""


def with_shares(shapes: dict[str, Any], scene: Scene, world: NDArray[np.floating]) -> dict[str, Any]:
    """The renderer's shapes, each light with the share of paths that ask it.

    world  what stands outside, as outside.baked_outside gives it
    """
    given = {
        name: _given_by(one, scene.dish)
        for name, one in shapes.items()
        if isinstance(one, dict) and "emitter" in one
    }
    others = sum(given.values())
    given["outside"] = max(_given_outside(scene, world), others * OUTSIDE_LEAST / (1.0 - OUTSIDE_LEAST))
    total = sum(given.values())
    shares = {name: max(one / total if total > 0 else 1.0, LEAST) for name, one in given.items()}
    if "sun" in shapes:
        shares["sun"] = sum(shares.values()) * SUN / (1.0 - SUN)
    return {name: _weighed(one, shares[name]) if name in shares else one for name, one in shapes.items()}


def _weighed(shape: dict[str, Any], share: float) -> dict[str, Any]:
    if "emitter" in shape:
        return {**shape, "emitter": {**shape["emitter"], "sampling_weight": share}}
    return {**shape, "sampling_weight": share}


def _given_by(shape: dict[str, Any], dish: Array) -> float:
    """Luminance of a glowing rectangle times the solid angle that it fills at the dish, about [lx]."""
    matrix = np.asarray(shape["to_world"].matrix, dtype=np.float64)
    u, v, normal, centre = (matrix[:3, k] for k in range(4))
    way = dish - centre
    far = max(float(np.linalg.norm(way)), 0.05)
    # a side that looks past the dish from its middle is seen from elsewhere in the picture
    seen = max(float(normal @ way) / far, 0.1)
    filled = min(4.0 * float(np.linalg.norm(np.cross(u, v))) * seen / far**2, np.pi)
    return float(LUMINANCE @ np.asarray(shape["emitter"]["radiance"]["value"])) * filled


def _given_outside(scene: Scene, world: NDArray[np.floating]) -> float:
    """What the windows' bare parts, and sheets in so far as they are clear, let through to the dish, about [lx].

    Most paths that ask the outside ask for a direction that leads past the window: what is met seldom is as noisy as
    more light met always, by the root of how seldom (a share goes as the root of the second moment).
    """
    rows, columns = world.shape[:2]
    share = (np.arange(CELLS) + 0.5) / CELLS
    given = open_holes = 0.0
    for aperture, opening in zip(scene.apertures, scene.openings, strict=True):
        wide, high = float(opening["width"]), float(opening["height"])
        points = (
            opening["corner"]
            + opening["along"] * (share * wide)[:, None, None]
            + np.array([0.0, 0.0, 1.0]) * (share * high)[None, :, None]
        )
        way = points - scene.dish
        far = np.maximum(np.linalg.norm(way, axis=-1), 0.05)
        facing = np.maximum(way @ opening["outward"], 0.0) / far
        polar = np.arccos(np.clip(way[..., 2] / far, -1.0, 1.0))
        turn = np.arctan2(way[..., 0], way[..., 1]) % (2 * np.pi)
        row = np.rint(polar / np.pi * (rows - 1)).astype(int)
        column = np.minimum((turn / (2 * np.pi) * columns).astype(int), columns - 1)
        luminance = world[row, column] @ LUMINANCE
        solid = facing / far**2 * (wide * high / CELLS**2)
        through = float((luminance * solid).sum())
        open_holes += through
        given += through * (aperture.clear if aperture.sheet else 1.0)
    everywhere = float((world @ LUMINANCE).mean(axis=1) @ np.sin(np.linspace(0.0, np.pi, rows)))
    everywhere *= 2 * np.pi * np.pi / rows
    return given * float(np.sqrt(max(everywhere / open_holes, 1.0))) if open_holes > 0 else 0.0
