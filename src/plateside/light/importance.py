"""How much each patch matters to each sensor, all reflections counted (the adjoint of the radiosity equation).

Radiosity: B = r (E + F B); a sensor gets f B. So sensor = g (r E) with g = f + g r F, solved for g directly: one row
for each sensor, whatever the sky. C. Goral et al., Modeling the interaction of light between diffuse surfaces
(SIGGRAPH 1984); adjoint: P. Christensen, Adjoints and importance in rendering, IEEE Transactions on Visualization and
Computer Graphics 9 (2003).
"""

import numpy as np
from numpy.typing import NDArray

from plateside.model.light_answers import Array


def importance(factors: NDArray[np.float32], reflectance: Array, by_sensors: Array) -> Array:
    """Light on sensors for each unit of a patch's own radiosity, all further reflections counted (s, n).

    factors      F_ij (n, n)
    reflectance  of the patches, one band (n,)
    by_sensors   the sensors' factors to the patches (s, n)

    Single precision is enough: the matrix's rows add up to at most 0.95, so errors grow at most twentyfold.
    """
    system = factors * -reflectance.astype(np.float32)[:, None]
    np.fill_diagonal(system, 1 + system.diagonal())
    return np.linalg.solve(system.T, by_sensors.T.astype(np.float32)).T.astype(np.float64)
