"""How much each patch matters to each sensor, all reflections counted (the adjoint of the radiosity equation).

Radiosity: B = r (E + F B); a sensor gets f B. So sensor = g (r E) with g = f + g r F, solved for g by repeated
reflection: one row for each sensor, whatever the sky. What is left of the series is closed by its own ratio, which
after some reflections no longer changes (the room's slowest mode). C. Goral et al. (SIGGRAPH 1984); adjoint:
P. Christensen, ACM Computing Surveys 35 (2003).
"""

import numpy as np
from numpy.typing import NDArray

from plateside.light.answers import Array

CLOSE_ENOUGH = 2e-5
MOST_REFLECTIONS = 60


def importance(factors: NDArray[np.float32], reflectance: Array, seen: Array) -> Array:
    """Light on sensors for each unit of a patch's own radiosity, all further reflections counted (s, n).

    factors      F_ij (n, n)
    reflectance  of the patches, one band (n,)
    seen         the sensors' factors to the patches (s, n)
    """
    total: NDArray[np.float32] = seen.astype(np.float32)
    now: NDArray[np.float32] = total
    rho = reflectance.astype(np.float32)[None, :]
    size = float(np.abs(total).max(initial=0.0)) or 1.0
    before = now.sum(axis=1, keepdims=True)
    ratio_before = np.zeros_like(before)
    for _ in range(MOST_REFLECTIONS):
        now = np.asarray((now * rho) @ factors, dtype=np.float32)
        total = np.asarray(total + now, dtype=np.float32)
        sums = now.sum(axis=1, keepdims=True)
        ratio = np.clip(sums / np.maximum(before, 1e-30), 0.0, 0.99)
        tail = ratio / (1 - ratio)
        settled = np.max(np.abs(ratio - ratio_before) * sums / (1 - ratio) ** 2, initial=0.0) < CLOSE_ENOUGH
        if settled or float(now.max(initial=0.0)) < 1e-7 * size:
            total = np.asarray(total + now * tail, dtype=np.float32)
            break
        before, ratio_before = sums, ratio
    return total.astype(np.float64)
