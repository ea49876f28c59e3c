"""Where the words of a drawing go, so that no two of them touch.

Keeper  takes the first free one of the places it is offered: figures that know where their name may stand
Labels  finds the nearest free place, turned words too: crowded sheets of measures
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

XY = tuple[float, float]
LETTER_EM = 0.58
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
            box = turned_box(moved, text, anchor, size, turn)
            # words that begin outside the drawing may stay there; none is moved out
            inside = all(0 <= x <= within[0] and 0 <= y <= within[1] for x, y in box)
            if (inside or (a, b) == (0, 0)) and not any(touch(box, other) for other in self.boxes):
                self.boxes.append(box)
                return moved
        self.boxes.append(turned_box(at, text, anchor, size, turn))
        return at


def turned_box(at: XY, text: str, anchor: str, size: float, turn: float) -> tuple[XY, ...]:
    """The four corners [px] of words at a place, turned clockwise [deg] about it."""
    wide = LETTER_EM * size * len(text)
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


def text_width(words: str, size: float = 12) -> float:
    """A safe guess of how wide a line of text is [px]."""
    return len(words) * size * LETTER_EM


@dataclass(frozen=True)
class Box:
    """An upright rectangle on the paper."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Box") -> bool:
        """True when the two overlap."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def inside(self, other: "Box") -> bool:
        """True when this one lies wholly within the other."""
        return (
            self.left >= other.left
            and self.right <= other.right
            and self.top >= other.top
            and self.bottom <= other.bottom
        )


def text_box(words: str, x: float, y: float, *, size: float = 12, anchor: str = "start") -> Box:
    """The room a line of text takes, with a little air."""
    wide = text_width(words, size)
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
    return Box(left - 2, y - size, left + wide + 2, y + size * 0.3)


@dataclass
class Keeper:
    """Keeps labels apart: remembers what is taken and takes the first place that is free."""

    bounds: Box
    taken: list[Box] = field(default_factory=list)
    placed: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)

    def block(self, box: Box) -> None:
        """Nothing else may stand here."""
        self.taken.append(box)

    def free(self, box: Box) -> bool:
        """True when the box is on the paper and meets nothing."""
        return box.inside(self.bounds) and not any(box.meets(other) for other in self.taken)

    def place(
        self, words: str, places: Iterable[tuple[float, float, str]], *, size: float = 12
    ) -> tuple[float, float, str] | None:
        """The first of the places (x, y, anchor) where the words fit; None when none does."""
        for x, y, anchor in places:
            box = text_box(words, x, y, size=size, anchor=anchor)
            if self.free(box):
                self.block(box)
                self.placed.append(words)
                return x, y, anchor
        self.refused.append(words)
        return None

    def left_out(self) -> list[str]:
        """What found no place anywhere, each once, in the order it was asked for."""
        return [w for w in dict.fromkeys(self.refused) if w not in self.placed]
