"""Light of a uniform sky through a window, in closed form."""

from math import atan, pi, sqrt


def horizontal_uniform(b: float, h: float, d: float) -> float:
    """Factor of a rectangle from a corner in the plane of the point, b wide, h high, on the horizontal."""
    root = sqrt(d * d + h * h)
    return (atan(b / d) - d / root * atan(b / root)) / (2 * pi)
