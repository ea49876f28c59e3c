"""Of the first run: what stands outside the window, on which floor the room is, and a second lens."""

from collections.abc import Mapping
from dataclasses import dataclass

from plateside.files.settings.write import Add, Change
from plateside.model.gear import Lens
from plateside.model.room import Opposite
from plateside.words.first_run import OUTSIDE

FLOOR_M = 3.0
"""A storey of a dwelling, floor to floor (common practice, no source)."""
GROUND_FLOOR_M = 0.5
"""A ground floor stands this much above the ground (common practice, no source)."""
HALF_VIEW_DEG = 60.0
"""How far to each side of straight ahead a street's front is taken to reach."""


@dataclass(frozen=True)
class OutsideUsual:
    """What is taken where nobody measured."""

    distance_m: float
    height_m: float
    see_through: float = 0.0


USUAL_OUTSIDE: Mapping[str, OutsideUsual] = {
    "street": OutsideUsual(15.0, 9.0), "near": OutsideUsual(5.0, 12.0), "trees": OutsideUsual(12.0, 8.0, 0.3),
}  # fmt: skip
"""By what stands there; for the sky alone nothing is written. Rough figures of ours, shown and marked as such."""


def floor_above_ground_m(floor: float) -> float:
    """Height of a room's floor above the ground [m]: 0 is the ground floor, -1 a basement."""
    return round(GROUND_FLOOR_M + FLOOR_M * floor, 2)


def opposite_changes(outside: str, facing_deg: float, distance_m: float, height_m: float) -> list[Change]:
    """What stands outside, as an item of the first window; none for the open sky.

    outside  a key of USUAL_OUTSIDE, or anything else for the sky
    """
    usual = USUAL_OUTSIDE.get(outside)
    if usual is None:
        return []
    item = Opposite(
        name=OUTSIDE[outside][0].lower(),
        bearing_from_deg=round((facing_deg - HALF_VIEW_DEG) % 360, 1),
        bearing_to_deg=round((facing_deg + HALF_VIEW_DEG) % 360, 1),
        distance_m=distance_m,
        top_above_ground_m=height_m,
        see_through=usual.see_through,
    )
    return [Add(("windows", 0, "opposite"), item)]


def second_lens_changes(
    focal_mm: float, focal_to_mm: float | None, f_number: float, first: str
) -> list[Change]:
    """A second lens beside the first, whose name is `first`; a lens of the same name is told apart."""
    name = f"{focal_mm:g}" if focal_to_mm is None else f"{focal_mm:g}-{focal_to_mm:g}"
    item = Lens(
        name=name if name != first else f"{name} (2)",
        focal_length_mm=focal_mm,
        focal_length_to_mm=focal_to_mm,
        widest_aperture=f_number,
    )
    return [Add(("lenses",), item)]
