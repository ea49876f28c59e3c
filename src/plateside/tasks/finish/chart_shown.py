"""A colour chart in a frame, looked for or read at four corners, for a page: nothing is written down."""

from dataclasses import dataclass
from pathlib import Path

from plateside.files.originals.one_decode import one_decode
from plateside.files.settings.load import open_shoot
from plateside.tasks.finish.charts import Corners, find_chart


@dataclass(frozen=True)
class ChartRead:
    """What a chart tells."""

    frame: str
    corners: Corners
    mean_delta_e: float
    """CIEDE2000 of patches by a profile that has not seen them, in the mean"""
    worst_delta_e: float
    kelvin: float
    """of the light"""


def read_chart(root: Path, frame: str, corners: Corners | None) -> ChartRead:
    """The chart in that frame (name or id); `corners` None: it is looked for. Raises InputError with what is wrong."""
    opened = open_shoot(root)
    with one_decode() as raws:
        found = find_chart(opened, frame, corners, raws)
    profile = found.profile
    return ChartRead(
        found.frame, found.corners, profile.mean_delta_e, profile.worst_delta_e, 1e6 / profile.mired
    )
