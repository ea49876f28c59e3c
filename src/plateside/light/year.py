"""The light at one spot over one year."""

from collections.abc import Sequence

from plateside.light.answers import Hung, Standing, YearLight
from plateside.light.sky import Sky
from plateside.model.errors import CouldNotError
from plateside.model.studio import Spot, Studio


def year_light(
    studio: Studio,
    spot: Spot,
    year: int,
    sky: str | Sky,
    *,
    step_min: float = 5.0,
    camera_faces_deg: float | None = None,
    elevation_deg: float = 45.0,
    boards: Sequence[Standing] = (),
    hung: Sequence[Hung] | None = None,
) -> YearLight:
    """The year on a grid of civil days by minutes of the day."""
    raise CouldNotError("The light engine is being built.")
