"""The walls of a room as a filled band, in plan and in section."""

from plateside.drawing.kit import element, path
from plateside.drawing.labels import Box, Keeper
from plateside.drawing.palette import HAIRLINE, INK
from plateside.drawing.views import View

WALL_PX = 9.0


def walls(view: View, keeper: Keeper | None = None) -> str:
    """Four walls (or floor, ceiling and two walls) as one filled band, drawn even-odd."""
    for box in (
        (view.left - WALL_PX, view.top - WALL_PX, view.right + WALL_PX, view.top),
        (view.left - WALL_PX, view.bottom, view.right + WALL_PX, view.bottom + WALL_PX),
        (view.left - WALL_PX, view.top, view.left, view.bottom),
        (view.right, view.top, view.right + WALL_PX, view.bottom),
    ):
        if keeper is not None:
            keeper.block(Box(*box))
    outer = [(view.left - WALL_PX, view.top - WALL_PX), (view.right + WALL_PX, view.top - WALL_PX),
             (view.right + WALL_PX, view.bottom + WALL_PX), (view.left - WALL_PX, view.bottom + WALL_PX)]  # fmt: skip
    inner = [
        (view.left, view.top),
        (view.left, view.bottom),
        (view.right, view.bottom),
        (view.right, view.top),
    ]
    d = path(outer, closed=True) + path(inner, closed=True)
    return element("path", d=d, fill=HAIRLINE, fill_rule="evenodd", stroke=INK)
