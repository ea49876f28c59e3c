"""A picture of soft dots at known places: where they lie after it was moved, and what that makes of a rectangle."""

import math

import numpy as np
from numpy.typing import NDArray

SIZE = (720, 480)
DOTS = np.array([(x, y) for y in range(40, 480, 80) for x in range(40, 720, 80)], float)


def dotted(at: NDArray[np.float64], ground: float | NDArray[np.floating] = 0.12) -> NDArray[np.float64]:
    """A grey picture with soft dark dots at these places [px]."""
    light = np.ones(SIZE[::-1])
    for place in at:
        across, down = (
            np.exp(-((np.arange(n) - p) ** 2) / (2 * 3.0**2)) for n, p in zip(SIZE, place, strict=True)
        )
        light *= 1 - 0.8 * np.outer(down, across)
    return np.repeat((ground * light)[..., None], 3, axis=2)


def found_dots(picture: NDArray[np.float64], about: NDArray[np.float64]) -> NDArray[np.float64]:
    """Centres of gravity of what is darker than its surroundings, 9 px about each place."""
    found = []
    for x, y in np.rint(about).astype(int):
        part = picture[max(y - 9, 0) : y + 10, max(x - 9, 0) : x + 10]
        weight = np.clip(np.percentile(part, 80) * 0.93 - part, 0, None)
        rows, columns = np.mgrid[0 : part.shape[0], 0 : part.shape[1]]
        found.append(
            (
                max(x - 9, 0) + (weight * columns).sum() / weight.sum(),
                max(y - 9, 0) + (weight * rows).sum() / weight.sum(),
            )
        )
    return np.array(found)


def measured(at: NDArray[np.float64]) -> tuple[float, float]:
    """How far the worst side is off level or upright [degrees], and width over height."""
    sides = np.roll(at, -1, axis=0) - at
    off = [math.degrees(math.atan2(s[1 - n % 2], s[n % 2])) for n, s in enumerate(sides)]
    worst = max(abs((o + 90) % 180 - 90) for o in off)
    length = np.hypot(*sides.T)
    return worst, float((length[0] + length[2]) / (length[1] + length[3]))
