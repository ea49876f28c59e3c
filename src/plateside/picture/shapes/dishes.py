"""The stand-in dishes by name. Each takes its width and height [m] and stands on z = 0."""

from collections.abc import Callable

from plateside.picture.shapes import ware
from plateside.picture.shapes.bread import buns, loaf
from plateside.picture.shapes.cakes import stack, tart
from plateside.picture.shapes.fresh import drink, leaves
from plateside.picture.shapes.in_bowls import noodles, soup
from plateside.picture.shapes.material import Colour
from plateside.picture.shapes.mesh import Thing

Dish = list[Thing]

STAND_INS: dict[str, Callable[[float, float, Colour], Dish]] = {
    "soup": soup,
    "tart": tart,
    "stack": stack,
    "loaf": loaf,
    "drink": drink,
    "noodles": noodles,
    "leaves": leaves,
    "buns": buns,
}


def stand_in(kind: str, width_m: float, height_m: float, china: Colour = ware.CHINA) -> Dish:
    """The stand-in of this name (model.shoot.Shot.stand_in), in ware of this colour."""
    return STAND_INS[kind](width_m, height_m, china)
