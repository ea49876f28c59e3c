"""What-ifs side by side: bare, sheer, half window blocked, white and black board, nearer, each with its gain."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from plateside.light.answers import SpotLight, Standing
from plateside.light.sky import Sky
from plateside.model.errors import CouldNotError
from plateside.model.studio import Spot, Studio


@dataclass(frozen=True)
class WhatIf:
    """One way to change the set, and what it gains."""

    name: str
    """As 'sheer over the window'."""
    light: SpotLight
    gain_stops: float
    """Light on the horizontal against the set as it is [stops]."""
    key_fill_change_stops: float
    """Change of the key-to-fill ratio [stops]; negative is softer."""


def what_ifs(
    studio: Studio,
    spot: Spot,
    when: datetime,
    sky: str | Sky,
    *,
    camera_faces_deg: float | None = None,
    elevation_deg: float = 45.0,
    boards: Sequence[Standing] = (),
) -> tuple[WhatIf, ...]:
    """The usual changes side by side; the first is the set as it is (gain 0)."""
    raise CouldNotError("The light engine is being built.")
