"""Rectangles in a picture, and the largest one of a given shape."""

from collections.abc import Sequence
from dataclasses import dataclass

from plateside.model.shoot import Channel


@dataclass(frozen=True)
class PixelRectangle:
    """A rectangle [px]: left and top edge, width, height."""

    x: int
    y: int
    width: int
    height: int

    @property
    def right(self) -> int:
        return self.x + self.width

    @property
    def bottom(self) -> int:
        return self.y + self.height

    @property
    def pixels(self) -> int:
        """Width by height."""
        return self.width * self.height

    def holds(self, other: "PixelRectangle") -> bool:
        """True when `other` lies inside, edges included."""
        return (
            self.x <= other.x
            and self.y <= other.y
            and other.right <= self.right
            and other.bottom <= self.bottom
        )

    def overlap(self, other: "PixelRectangle") -> int:
        """Pixels in both."""
        wide = min(self.right, other.right) - max(self.x, other.x)
        high = min(self.bottom, other.bottom) - max(self.y, other.y)
        return max(wide, 0) * max(high, 0)

    def scaled(self, factor: float) -> "PixelRectangle":
        """The same rectangle in a picture `factor` times as large."""
        x, y = round(self.x * factor), round(self.y * factor)
        return PixelRectangle(x, y, round(self.right * factor) - x, round(self.bottom * factor) - y)


def largest_size(width_px: int, height_px: int, shape_w: int, shape_h: int) -> tuple[int, int]:
    """Largest width and height [px] of shape `shape_w : shape_h` within a picture.

    If the picture is narrower than the shape, its whole width is used, else its whole height.
    """
    if width_px * shape_h <= height_px * shape_w:
        return width_px, max(round(width_px * shape_h / shape_w), 1)
    return max(round(height_px * shape_w / shape_h), 1), height_px


def too_small_for(width_px: int, height_px: int, channels: Sequence[Channel]) -> tuple[str, ...]:
    """Names of the channels whose size even the largest crop of their shape does not reach."""
    return tuple(
        c.name
        for c in channels
        if largest_size(width_px, height_px, c.width_px, c.height_px) < (c.width_px, c.height_px)
    )


def pixels_of(shares: tuple[float, float, float, float], width_px: int, height_px: int) -> PixelRectangle:
    """A rectangle given as shares of a picture (x, y, width, height), held inside it."""
    x = min(max(round(shares[0] * width_px), 0), width_px - 1)
    y = min(max(round(shares[1] * height_px), 0), height_px - 1)
    wide = min(max(round(shares[2] * width_px), 1), width_px - x)
    high = min(max(round(shares[3] * height_px), 1), height_px - y)
    return PixelRectangle(x, y, wide, high)
