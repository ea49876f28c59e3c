"""Where the camera stands and how it is set: all that a picture needs to know of a set-up.

`picture` sits below `plan`, so it does not know `plan`'s set-up; the task turns one into the other.
"""

from dataclasses import dataclass

Vector = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class CameraPose:
    """A camera in the room's coordinates, its lens and its exposure."""

    position_m: Vector
    """The lens's entrance pupil [m]."""
    target_m: Vector
    """The point in the middle of the frame [m]."""
    up: Vector = (0.0, 0.0, 1.0)
    """What is up in the frame; for a camera that looks straight down, the direction of the frame's top."""
    focal_length_mm: float = 35.0
    f_number: float = 5.6
    focus_distance_m: float = 0.7
    """From the lens's front principal plane to the plane of sharp focus, along the axis [m]."""
    sensor_width_mm: float = 23.5
    """Of the frame's horizontal side: the sensor's short side when the camera stands upright [mm]."""
    sensor_height_mm: float = 15.6
    exposure_s: float = 1 / 3
    iso: float = 100.0
    filter_stops: float = 0.0
    """Light that a filter before the lens takes."""

    @property
    def magnification(self) -> float:
        """Image size over object size in the plane of focus (thin lens)."""
        return self.focal_length_mm / (self.focus_distance_m * 1000.0 - self.focal_length_mm)
