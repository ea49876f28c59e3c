"""The light at one spot over one civil day."""

from collections.abc import Sequence
from datetime import date

from plateside.light.answers import DayLight, Hung, Needs, Standing
from plateside.light.sky import Sky
from plateside.model.errors import CouldNotError
from plateside.model.studio import Spot, Studio

EVERY_MIN = 5.0
ANY = Needs()


def day_light(
    studio: Studio,
    spot: Spot,
    day: date,
    sky: str | Sky,
    *,
    needs: Needs = ANY,
    step_min: float = EVERY_MIN,
    camera_faces_deg: float | None = None,
    elevation_deg: float = 45.0,
    boards: Sequence[Standing] = (),
    hung: Sequence[Hung] | None = None,
) -> DayLight:
    """The day at equal steps (5 minutes)."""
    raise CouldNotError("The light engine is being built.")
