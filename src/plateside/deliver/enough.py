"""Whether a frame has pixels enough for the channels it must serve, before it is chosen."""

from collections.abc import Sequence

from plateside.deliver.rectangles import largest_size
from plateside.model.shoot import Channel


def too_small_for(width_px: int, height_px: int, channels: Sequence[Channel]) -> tuple[str, ...]:
    """Names of the channels whose size even the largest crop of their shape does not reach."""
    return tuple(
        c.name
        for c in channels
        if largest_size(width_px, height_px, c.width_px, c.height_px) < (c.width_px, c.height_px)
    )
