"""The printed page itself: true to size, and read back from its own PDF."""

import shutil
import subprocess
from pathlib import Path

import cv2
import numpy as np
import pytest

from plateside.camera.card.advice import Move, Wanted, what_to_move
from plateside.camera.card.layout import PAPERS, layout
from plateside.camera.card.pose import CardPose, find_card
from plateside.model.errors import InputError
from plateside.tasks.plan.set_card import print_card

DPI = 150


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm (poppler-utils) draws the PDF")
@pytest.mark.parametrize("paper", [p.name for p in PAPERS])
def test_the_pdf_is_the_layout_to_a_tenth_of_a_millimetre(paper: str, tmp_path: Path) -> None:
    print_card(paper, tmp_path / "card.pdf")
    subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "card.pdf", "page"], cwd=tmp_path, check=True)
    for number, back in ((1, False), (2, True)):
        (page,) = tmp_path.glob(f"page-*{number}.pgm")
        picture = cv2.imread(str(page), cv2.IMREAD_GRAYSCALE)
        assert picture is not None
        # seen from very far away a page is its own picture: one millimetre is DPI / 25.4 pixels
        pose = find_card(np.asarray(picture, dtype=np.uint8), 50_000.0)
        assert pose is not None
        assert (pose.paper, pose.back) == (paper, back)
        assert pose.markers_found == len(layout(paper, back).markers)
        assert pose.mm_per_px == pytest.approx(25.4 / DPI, rel=5e-4)


def test_unknown_paper_is_told_the_choice(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="A4, Letter, A5"):
        print_card("A3", tmp_path / "card.pdf")


def _pose(**changes: float) -> CardPose:
    fields: dict[str, object] = {
        "paper": "A4", "back": False, "markers_found": 12, "markers_printed": 12, "mm_per_px": 0.1,
        "elevation_deg": 90.0, "roll_deg": 0.0, "tilt_right_deg": 0.0, "tilt_up_deg": 0.0, "distance_mm": 1000.0,
        "height_mm": 1000.0, "focal_length_px": 9000.0, "focal_length_certain": False, "distortion_k1": 0.0,
        "misfit_px": 0.1, "centre_px": (0.0, 0.0), "grey_px": np.zeros((4, 2)),
    }  # fmt: skip
    return CardPose(**{**fields, **changes})  # type: ignore[arg-type]


def test_words_name_the_move_with_most_to_gain_first() -> None:
    acts = what_to_move(_pose(distance_mm=1040.0, tilt_right_deg=1.2), Wanted(90.0, 1000.0))
    assert acts == (Move("level", 1.2, "left"), Move("distance", 40.0, "lower"))
    assert what_to_move(_pose(), Wanted(90.0, 1000.0)) == ()
    assert what_to_move(_pose(elevation_deg=40.0, roll_deg=-2.0), Wanted(45.0, 1000.0)) == (
        Move("height", 5.0, "higher", 40.0, 45.0),
        Move("roll", 2.0, "clockwise"),
    )
