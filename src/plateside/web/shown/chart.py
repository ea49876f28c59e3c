"""What the Finish page is sent of a colour chart in a frame."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from plateside.words.chart import chart_read_sentences

if TYPE_CHECKING:
    from plateside.tasks.finish.chart_shown import ChartRead


@dataclass(frozen=True)
class ChartShown:
    """Where a chart is, and what it is worth."""

    frame: str
    corners: tuple[float, ...]
    """left and top of four, as shares of the picture: brown, the end of its row, black, white"""
    said: tuple[str, ...]
    mean: float
    """CIEDE2000"""
    worst: float


def chart_shown(read: "ChartRead") -> ChartShown:
    """A chart that was read, with its sentences."""
    mean, worst = round(read.mean_delta_e, 1), round(read.worst_delta_e, 1)
    return ChartShown(read.frame, read.corners, chart_read_sentences(mean, worst, read.kelvin), mean, worst)
