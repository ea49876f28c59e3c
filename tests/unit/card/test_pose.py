"""The set card read back from made frames with a known pose (issue: tilt and roll within 0.2°, scale within 0.5 %)."""

import cv2
import numpy as np
import pytest
from skimage import data

from plateside.camera.card.layout import PAPERS, layout, marker_cells
from plateside.camera.card.pose import find_card
from tests.unit.card.errors import compare, measure
from tests.unit.card.synthetic_frames import Truth, make_frame

SAMPLE = range(0, 300, 38)
"""a fixed sample; bench/set_card.py runs all 300"""


def test_tilt_roll_and_scale_of_made_frames() -> None:
    errors = [measure(seed)[1] for seed in SAMPLE]
    found = [e for e in errors if e is not None]
    assert len(found) == len(errors)
    assert np.percentile([abs(e.tilt_deg) for e in found], 90) < 0.2
    assert np.percentile([abs(e.roll_deg) for e in found], 90) < 0.2
    assert np.percentile([abs(e.scale_percent) for e in found], 90) < 0.5
    # no false pose: nothing wildly off
    assert max(max(abs(e.tilt_deg), abs(e.roll_deg)) for e in found) < 1.0


@pytest.mark.parametrize("name", ["coffee", "brick", "chelsea", "gravel", "page", "text", "coins"])
def test_pictures_without_a_card_give_none(name: str) -> None:
    picture = np.asarray(getattr(data, name)())
    grey = picture if picture.ndim == 2 else cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY)
    assert find_card(np.asarray(grey, dtype=np.uint8), 1500.0) is None


def test_noise_gives_none() -> None:
    rng = np.random.default_rng(5)
    assert find_card(rng.integers(0, 256, (700, 1000)).astype(np.uint8), 1500.0) is None


def _plain(**changes: object) -> Truth:
    fields: dict[str, object] = {
        "paper": "A4", "back": False, "elevation_deg": 90.0, "heading_deg": 0.0, "roll_deg": 0.0,
        "tilt_right_deg": 0.0, "distance_mm": 700.0, "focal_px": 1800.0, "k1": 0.0, "off_axis": (0.0, 0.0),
        "blur_px": 0.6, "noise": 0.003, "covered": 0,
    }  # fmt: skip
    return Truth(**{**fields, **changes})  # type: ignore[arg-type]


def test_the_signs_say_which_way_the_camera_leans() -> None:
    right = find_card(make_frame(_plain(tilt_right_deg=3.0), 1), 1800.0)
    assert right is not None
    assert right.tilt_right_deg == pytest.approx(3.0, abs=0.15)
    leaning = find_card(make_frame(_plain(elevation_deg=45.0, roll_deg=4.0), 1), 1800.0)
    assert leaning is not None
    assert leaning.roll_deg == pytest.approx(4.0, abs=0.15)
    # the camera looks to the right of straight down: the card's near things drift left, so the same edge
    # on the right is farther away and drawn smaller
    assert leaning.elevation_deg == pytest.approx(45.0, abs=0.15)


def test_height_and_distance() -> None:
    pose = find_card(make_frame(_plain(elevation_deg=50.0), 2), 1800.0)
    assert pose is not None
    assert pose.distance_mm == pytest.approx(700, rel=0.01)
    assert pose.height_mm == pytest.approx(700 * np.sin(np.radians(50)), rel=0.01)


def test_a_slanted_frame_tells_the_focal_length_itself() -> None:
    truth = _plain(elevation_deg=40.0, distance_mm=500.0)
    pose = find_card(make_frame(truth, 3), truth.focal_px * 1.05)
    assert pose is not None
    assert pose.focal_length_certain
    assert pose.focal_length_px == pytest.approx(truth.focal_px, rel=0.015)


def test_a_shrunken_print_is_allowed_for() -> None:
    truth = _plain()
    shrunk = find_card(make_frame(truth, 4), truth.focal_px, print_scale=0.96)
    true = find_card(make_frame(truth, 4), truth.focal_px)
    assert shrunk is not None
    assert true is not None
    assert shrunk.mm_per_px / true.mm_per_px == pytest.approx(0.96, rel=1e-3)
    assert abs(compare(true, truth).scale_percent) < 0.2


def test_the_back_is_told_from_the_front() -> None:
    pose = find_card(make_frame(_plain(back=True), 5), 1800.0)
    assert pose is not None
    assert pose.back


def test_no_two_markers_share_a_number_or_overlap() -> None:
    seen: set[int] = set()
    for paper in PAPERS:
        for back in (False, True):
            side = layout(paper.name, back)
            ids = {m.id for m in side.markers}
            assert len(ids) == len(side.markers)
            assert not ids & seen
            seen |= ids
            for m in side.markers:
                assert m.x_mm >= 5
                assert m.x_mm + m.side_mm <= paper.width_mm - 5
                assert m.y_mm + m.side_mm <= paper.height_mm - 5
                g = side.grey
                apart = (
                    m.x_mm + m.side_mm < g.x_mm or m.x_mm > g.x_mm + g.width_mm
                    or m.y_mm + m.side_mm < g.y_mm or m.y_mm > g.y_mm + g.height_mm
                )  # fmt: skip
                assert apart
                assert m.y_mm > side.ruler.y_mm + side.ruler.height_mm + m.side_mm / 8


def test_codes_differ_in_eleven_bits_whichever_way_they_lie() -> None:
    """The family's published minimum Hamming distance is 11 (Olson 2011)."""
    ids = [m.id for p in PAPERS for back in (False, True) for m in layout(p.name, back).markers]
    cells = {i: marker_cells(i)[1:-1, 1:-1] for i in ids}
    for i in ids:
        for j in ids:
            for turn in range(4):
                if i != j or turn:
                    assert (cells[i] != np.rot90(cells[j], turn)).sum() >= 11
