"""The net of directions on which the sky's luminance is asked: elevations by azimuths, drawn straight between.

Finer near the horizon, where luminance changes fastest and where a window looks. Azimuths are clockwise from the front
wall's normal. Every elevation is a multiple of half a degree, so that a row is found by a table.
"""

from math import pi

import numpy as np

AZIMUTHS = 72
ELEVATIONS_DEG = np.array(
    [0, 1, 2, 4, 6, 8, 10, 12.5, 15, 17.5, 20, 22.5, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90.0]
)
ELEVATIONS_RAD = np.radians(ELEVATIONS_DEG)
ELEVATION_INDEX = np.searchsorted(ELEVATIONS_DEG, np.arange(180) / 2.0, side="right") - 1
"""Row below an elevation, by half degrees."""
NODES = ELEVATIONS_DEG.size * AZIMUTHS
AZIMUTH_STEP_RAD = 2 * pi / AZIMUTHS


def node_directions() -> np.ndarray:
    """Unit vectors of the nodes in the room's coordinates, shape (NODES, 3)."""
    elevation = np.repeat(ELEVATIONS_RAD, AZIMUTHS)
    azimuth = np.tile(np.arange(AZIMUTHS) * AZIMUTH_STEP_RAD, ELEVATIONS_RAD.size)
    return np.stack(
        [np.sin(azimuth) * np.cos(elevation), np.cos(azimuth) * np.cos(elevation), np.sin(elevation)], axis=1
    )
