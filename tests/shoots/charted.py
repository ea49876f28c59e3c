"""A small shoot to be finished by a colour chart: its frames are compressed raws, and one of them shows the chart."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from plateside.finish.chart import wanted_colours
from tests.shoots.folder import shoot_folder
from tests.shoots.once import copied
from tests.synthetic.dng import write_dng

HIGH, WIDE = 240, 360
DAYLIGHT_MIRED = 200.0
RAW, CHART = "IMG 9.dng", "chart.dng"


def chart_picture() -> NDArray[np.float64]:
    """Linear sRGB of a chart as the product wants its patches: to see that the work is done, not that it is right."""
    picture, colours = np.full((HIGH, WIDE, 3), 0.02), 0.6 * wanted_colours(DAYLIGHT_MIRED)
    side = 34
    for number, colour in enumerate(colours):
        row, column = divmod(number, 6)
        y, x = 60 + row * side, 78 + column * side
        picture[y : y + side - 4, x : x + side - 4] = np.clip(colour, 0, 1)
    return picture


def plate_picture() -> NDArray[np.float64]:
    """Linear sRGB of a round dish on a table."""
    y, x = np.mgrid[0:HIGH, 0:WIDE]
    dish = np.clip((70 - np.hypot(x - 180, y - 120)) / 5, 0, 1)[..., None]
    return np.asarray((1 - dish) * np.array([0.12, 0.08, 0.05]) + dish * np.array([0.5, 0.45, 0.35]))


def charted_shoot(root: Path, text: str) -> Path:
    """A folder with a compressed raw as the select of the shot "cup", and one that shows the chart. text: the shoot."""
    return copied(root, _make, text)


def _make(root: Path, text: str) -> None:
    shoot_folder(root, text)
    put_raws(root, "cup")


def put_raws(root: Path, shot: str) -> None:
    """Put both into the frames folder, landed, the first of them the select of this shot."""
    write_dng(root / "frames" / RAW, plate_picture(), seed=1, lossless=True)
    write_dng(root / "frames" / CHART, chart_picture(), seed=9, lossless=True)
    frame = content_hash(root / "frames" / RAW)
    Journal.open(root).append_many(
        [
            ("frame landed", {"frame": frame, "name": RAW}),
            ("select", {"shot": shot, "frame": frame}),
            ("frame landed", {"frame": content_hash(root / "frames" / CHART), "name": CHART}),
        ]
    )
