"""How near a patch of sun comes to the dish."""

import numpy as np
from numpy.typing import NDArray

Polygon = tuple[tuple[float, float], ...]


def distance_m(point: tuple[float, float], polygon: Polygon) -> float:
    """From a point to the nearest place of a polygon [m]; 0 when it lies inside."""
    corners = np.array(polygon, float)
    nexts = np.roll(corners, -1, axis=0)
    here = np.array(point, float)
    if _inside(here, corners, nexts):
        return 0.0
    span = nexts - corners
    length2 = np.maximum((span**2).sum(axis=1), 1e-18)
    along = np.clip(((here - corners) * span).sum(axis=1) / length2, 0, 1)
    gap = here - (corners + along[:, None] * span)
    return float(np.hypot(gap[:, 0], gap[:, 1]).min())


def _inside(here: NDArray[np.float64], corners: NDArray[np.float64], nexts: NDArray[np.float64]) -> bool:
    """Even-odd rule: a ray to the right crosses the outline an odd number of times."""
    above = corners[:, 1] > here[1]
    crosses = above != (nexts[:, 1] > here[1])
    rise = np.where(crosses, nexts[:, 1] - corners[:, 1], 1.0)
    at = corners[:, 0] + (here[1] - corners[:, 1]) / rise * (nexts[:, 0] - corners[:, 0])
    return bool((crosses & (at > here[0])).sum() % 2)
