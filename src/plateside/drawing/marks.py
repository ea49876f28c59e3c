"""What can be drawn into a plan and a section besides the room itself: camera, boards, patches of sun, people.

Every mark is given in the room's own coordinates (x right along the front wall, y forward to the front wall, z up,
metres), so that one mark is drawn right in plan and in section.
"""

from dataclasses import dataclass

Point = tuple[float, float, float]


@dataclass(frozen=True)
class DishMark:
    """The dish: its middle on the table and its width."""

    at_m: Point
    width_m: float = 0.26
    label: str = ""


@dataclass(frozen=True)
class CameraMark:
    """A camera and what it looks at; the field of view is drawn when its width is given."""

    at_m: Point
    looks_at_m: Point
    view_width_deg: float = 0.0
    label: str = "camera"


@dataclass(frozen=True)
class BoardMark:
    """A standing board by its four corners."""

    corners_m: tuple[Point, ...]
    label: str = "board"
    dark: bool = False


@dataclass(frozen=True)
class SunPatch:
    """Where the sun falls: a flat polygon on the table, the floor or a wall."""

    corners_m: tuple[Point, ...]


@dataclass(frozen=True)
class LineMark:
    """A thin line, dashed: a cable's way, a line of sight."""

    points_m: tuple[Point, ...]
    label: str = ""


@dataclass(frozen=True)
class FeetMark:
    """A tripod's column and feet, or a person's place: a small circle and what stands around it."""

    at_m: Point
    feet_m: tuple[Point, ...] = ()
    label: str = ""


@dataclass(frozen=True)
class Measure:
    """A distance worth measuring with a tape, drawn between two points with its length on it."""

    from_m: Point
    to_m: Point
    label: str = ""
    """Left out, the length itself: '0.60 m'."""


Mark = DishMark | CameraMark | BoardMark | SunPatch | LineMark | FeetMark | Measure
