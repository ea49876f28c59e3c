"""Where the words of a drawing go, so that no two of them touch: turned boxes, and the nearest free place."""

import math
from dataclasses import dataclass, field

XY = tuple[float, float]
LETTER = 0.58
"""Mean width of a letter as share of the font's size: on the wide side, as the reader's font is not known."""
_ABOVE, _BELOW = 0.8, 0.25
"""Height above and below the base line, as shares of the font's size."""
_SIDES = {"start": 0.0, "middle": -0.5, "end": -1.0}


@dataclass
class Labels:
    """The words placed so far, as boxes."""

    boxes: list[tuple[XY, ...]] = field(default_factory=list)

    def place(self, at: XY, text: str, anchor: str, size: float, turn: float, within: XY) -> XY:
        """The nearest place to `at` [px] where these words touch no others; it is taken from then on.

        turn    [deg] clockwise, about the place itself
        within  width and height of the drawing [px], not to be left
        Where nothing is free nearby, `at` itself.
        """
        along = math.radians(turn)
        u, v = (math.cos(along), math.sin(along)), (-math.sin(along), math.cos(along))
        steps = [(4.0 * i, 3.0 * j) for i in range(-24, 25) for j in range(-16, 17)]
        for a, b in sorted(steps, key=lambda s: (math.hypot(*s), s)):
            moved = at[0] + a * u[0] + b * v[0], at[1] + a * u[1] + b * v[1]
            box = text_box(moved, text, anchor, size, turn)
            # words that begin outside the drawing may stay there; none is moved out
            inside = all(0 <= x <= within[0] and 0 <= y <= within[1] for x, y in box)
            if (inside or (a, b) == (0, 0)) and not any(touch(box, other) for other in self.boxes):
                self.boxes.append(box)
                return moved
        self.boxes.append(text_box(at, text, anchor, size, turn))
        return at


def text_box(at: XY, text: str, anchor: str, size: float, turn: float) -> tuple[XY, ...]:
    """The four corners [px] of words at a place, turned clockwise [deg] about it."""
    wide = LETTER * size * len(text)
    left = _SIDES[anchor] * wide
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    corners = ((left, -_ABOVE), (left + wide, -_ABOVE), (left + wide, _BELOW), (left, _BELOW))
    return tuple((at[0] + p * c - q * size * s, at[1] + p * s + q * size * c) for p, q in corners)


def touch(one: tuple[XY, ...], other: tuple[XY, ...]) -> bool:
    """Whether two convex shapes overlap (separating axis theorem)."""
    for shape in (one, other):
        for (x1, y1), (x2, y2) in zip(shape, (*shape[1:], shape[0]), strict=True):
            nx, ny = y1 - y2, x2 - x1
            mine, its = [x * nx + y * ny for x, y in one], [x * nx + y * ny for x, y in other]
            if max(mine) <= min(its) or max(its) <= min(mine):
                return False
    return True
