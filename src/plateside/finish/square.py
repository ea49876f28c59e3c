"""A flat thing that is square to the picture: which one, as you gave it. Light to import: journal and lists read it."""

from collections.abc import Mapping
from dataclasses import dataclass

Corners = tuple[float, float, float, float, float, float, float, float]
MOST_SHAPE = 20.0


@dataclass(frozen=True)
class Square:
    """Four corners of a flat rectangle, in the frame."""

    corners: Corners
    """x and y of each, as shares of the frame as it was taken, upright: upper left, upper right, lower right,
    lower left"""
    shape: float = 0.0
    """its width over its height; 0: told by its perspective"""
    card: str = ""
    """name of the frame whose set card it is; empty: you gave the corners"""


def square_of(row: object) -> Square | None:
    """From a row or a list; None: none. Raises ValueError, TypeError, KeyError when it is none of ours."""
    if row is None:
        return None
    if not isinstance(row, Mapping):
        raise TypeError("square")
    corners, shape, card = row["corners"], row.get("shape", 0.0), row.get("card", "")
    if not isinstance(corners, list | tuple) or not isinstance(card, str):
        raise TypeError("square")
    if not corners:
        return None
    numbers = [*corners, shape]
    if any(isinstance(v, bool) or not isinstance(v, int | float) for v in numbers):
        raise TypeError("square")
    a, b, c, d, e, f, g, h = (float(v) for v in corners)
    believed = shape == 0 or 1 / MOST_SHAPE <= shape <= MOST_SHAPE
    if not believed or not all(-2 < v < 3 for v in (a, b, c, d, e, f, g, h)):
        raise ValueError("square")
    return Square((a, b, c, d, e, f, g, h), float(shape), card)
