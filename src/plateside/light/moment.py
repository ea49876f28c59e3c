"""The light at one spot at one moment."""

from collections.abc import Sequence
from datetime import datetime

from plateside.light.answers import Hung, SpotLight, Standing
from plateside.light.sky import Sky
from plateside.model.errors import CouldNotError
from plateside.model.studio import Spot, Studio


def light_at(
    studio: Studio,
    spot: Spot,
    when: datetime,
    sky: str | Sky,
    *,
    camera_faces_deg: float | None = None,
    elevation_deg: float = 45.0,
    boards: Sequence[Standing] = (),
    hung: Sequence[Hung] | None = None,
    plate_mm: float = 260.0,
    frame_mm: tuple[float, float] = (450.0, 300.0),
    shadow_of_mm: float = 60.0,
) -> SpotLight:
    """The light on the dish.

    when              aware moment
    sky               a word (clear, hazy, broken, overcast) or a Sky
    camera_faces_deg  where the camera looks, clockwise from straight at the front wall; None: 90 (front window on
                      the camera's left)
    hung              sheets over windows; None: those that the studio file hangs (diffusers with a window)
    """
    raise CouldNotError("The light engine is being built.")
