"""What the frame must hold when the shot says 'the dish with this much room' instead of a size."""

import math
from dataclasses import replace

from plateside.model.shoot import Shot


def framed(shot: Shot) -> Shot:
    """The shot with its frame's size [mm] worked out from `space_percent`; as it was when that is not given.

    The dish is seen foreshortened: depth x sin(elevation) + height x cos(elevation) high.
    """
    if shot.space_percent is None:
        return shot
    elevation = math.radians(shot.elevation)
    high = shot.dish_width_mm * math.sin(elevation) + shot.dish_height_mm * math.cos(elevation)
    with_room = 1 + shot.space_percent / 100
    return replace(shot, frame_width_mm=with_room * shot.dish_width_mm, frame_height_mm=with_room * high)
