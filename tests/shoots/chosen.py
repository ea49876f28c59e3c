"""What is chosen of a made series."""

from pathlib import Path

from plateside.tasks.choose.selects import choose_frames
from plateside.tasks.set.shot import name_shot
from tests.shoots.folder import STUDIO, shoot_folder
from tests.synthetic.series import Series, write_series

SHOOT = """format = 1
date = "2027-05-01"
[recipe]
title = "Soup"
[creator]
name = "A. Cook"
[[shots]]
name = "dish"
angle = "overhead"
"""


def chosen(folder: Path, seed: int, studio: str = STUDIO) -> tuple[str, Series]:
    """The name of the frame that is chosen, and the truth."""
    shoot_folder(folder, SHOOT, studio)
    series = write_series(folder / "frames", seed)
    name_shot(folder, "dish", list(series.faults))
    references = [("dish", series.accepted)] if series.accepted else []
    (choice,) = choose_frames(folder, test_frames=references).shots
    return choice.select.name if choice.select else "", series
