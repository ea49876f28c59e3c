"""`plateside finish --lens`, `--square` and `--shape`: read, and written down."""

from pathlib import Path

from plateside.model.errors import InputError
from plateside.tasks.finish.set_square import (
    lens_switch,
    square_by_card,
    square_by_corners,
    square_taken_back,
)
from plateside.words import lens as words

_MOST_SHAPE = 20.0


def lens_options(shoot: Path, shot: str, lens: str | None, square: str | None, shape: str | None) -> bool:
    """Write down what is given; whether a shot's picture is squared by it. Raises InputError."""
    if shape is not None and square in (None, "card", "none"):
        raise InputError(words.SHAPE_WITHOUT_SQUARE)
    corners = None if square in (None, "card", "none") else _corners(str(square))
    wide = 0.0 if shape is None else _shape(shape)
    if lens is not None:
        lens_switch(shoot, lens)
    if square == "card":
        square_by_card(shoot, shot)
    elif square == "none":
        square_taken_back(shoot, shot)
    elif corners is not None:
        square_by_corners(shoot, shot, corners, wide)
    return square is not None


def _corners(text: str) -> tuple[float, ...]:
    try:
        found = tuple(float(part) for part in text.split(","))
    except ValueError as error:
        raise InputError(words.no_square(text)) from error
    if len(found) != 8 or not all(-2 < v < 3 for v in found):
        raise InputError(words.no_square(text))
    return found


def _shape(text: str) -> float:
    try:
        wide, high = (float(part) for part in text.lower().replace("x", ":").split(":"))
        found = wide / high
    except (ValueError, ZeroDivisionError) as error:
        raise InputError(words.no_shape(text)) from error
    if not 1 / _MOST_SHAPE <= found <= _MOST_SHAPE:
        raise InputError(words.no_shape(text))
    return found
