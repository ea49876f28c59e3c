"""A picture squared by four corners or by the set card: dots of known places through whole runs of finish."""

import io
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from plateside.camera.card.layout import layout, marker_cells
from plateside.cli.main import main
from plateside.files.journal.state import read_state
from plateside.finish.lens import Lens, lens_of_opcodes
from plateside.finish.lens_facts import OFF
from plateside.finish.opcodes import opcodes_of
from plateside.ground.srgb import to_linear
from plateside.model.errors import InputError
from plateside.tasks.finish.hand_preview import hand_preview
from plateside.tasks.finish.series import finish
from plateside.tasks.finish.set_square import (
    square_by_card,
    square_by_corners,
    square_taken_back,
)
from plateside.tasks.finish.shown import finishing
from plateside.tasks.set.press import take_back
from tests.shoots.dotted import Make, dotted_shoot, last, written
from tests.synthetic import opcodes
from tests.synthetic.dotted import DOTS, SIZE, dotted, found_dots, measured


@pytest.fixture
def shoot(tmp_path: Path) -> Make:
    def make(*what: object, **texts: str) -> Path:
        return dotted_shoot(tmp_path / f"shoot {len(list(tmp_path.iterdir()))}", *what, **texts)  # type: ignore[arg-type]

    return make


WARP = opcodes.rectilinear([[0.97, -0.05, 0.02, 0.0, 2e-4, -3e-4]], (0.49, 0.51))


def lens_of(*picture: tuple[int, bytes]) -> Lens:
    return lens_of_opcodes((), opcodes_of(opcodes.listed(*picture)), SIZE, ())


# ---- squaring -------------------------------------------------------------------------------------------------------


def slanted() -> NDArray[np.float64]:
    """3 x 3 from a flat table [px of a picture straight above] to a frame seen at a slant."""
    return np.array([[0.86, 0.10, 60.0], [-0.07, 0.74, 70.0], [-9e-5, 2.4e-4, 1.0]])


def moved(points: NDArray[np.float64], m: NDArray[np.floating]) -> NDArray[np.float64]:
    at = np.column_stack([points, np.ones(len(points))]) @ m.T
    return np.asarray(at[:, :2] / at[:, 2:])


QUAD = np.array([(200.0, 120.0), (520.0, 120.0), (520.0, 360.0), (200.0, 360.0)])


def shares(at: NDArray[np.float64]) -> tuple[float, ...]:
    return tuple(float(v) for v in ((at + 0.5) / SIZE).ravel())


def squared_dots(root: Path, lens: Lens | None = None) -> NDArray[np.float64]:
    """The four dots of QUAD as they lie in the finished picture: looked for as its darkest places."""
    picture = cv2.GaussianBlur(written(root), (0, 0), 3)
    places = []
    for _ in range(4):
        y, x = np.unravel_index(np.argmin(picture), picture.shape)
        places.append((float(x), float(y)))
        picture[max(y - 15, 0) : y + 16, max(x - 15, 0) : x + 16] = picture.max()
    middle = np.mean(places, axis=0)
    places.sort(key=lambda p: np.arctan2(p[1] - middle[1], p[0] - middle[0]))
    return found_dots(written(root), np.array(places))


def test_four_corners_make_it_square_and_taking_them_back_gives_the_same_bytes(shoot: Make) -> None:
    """0.2 degree, 0.2 % of its shape, which is given: the camera of this homography is no pinhole in its middle."""
    seen = moved(QUAD, slanted())
    root = shoot(dotted(seen))
    finish(root)
    before, size = (root / "finished" / "cup.tif").read_bytes(), written(root).shape
    square_by_corners(root, "cup", shares(seen), 320 / 240)
    assert [s["hand_changed"] for s in finishing(root)["shots"] if s["name"] == "cup"] == [True]
    report = finish(root)
    assert report.written == 1 and report.finished[0].square is not None
    off, shape = measured(squared_dots(root))
    assert off < 0.2
    assert shape == pytest.approx(320 / 240, rel=0.002)
    assert written(root).shape[1] < size[1]
    assert b"Squared" in (root / "finished" / "cup.tif").read_bytes()
    shown = np.asarray(Image.open(io.BytesIO(hand_preview(root, "cup", read_state(root).hand("cup")).jpeg)))
    high, wide = shown.shape[:2]
    assert wide / high == pytest.approx(written(root).shape[1] / written(root).shape[0], abs=0.01)
    light = cv2.resize(written(root), (wide, high), interpolation=cv2.INTER_AREA)
    assert np.corrcoef(to_linear(shown[..., 1] / 255.0).ravel(), light.ravel())[0, 1] > 0.97
    assert finish(root).written == 0
    take_back(root, last(root))
    finish(root)
    assert (root / "finished" / "cup.tif").read_bytes() == before


def test_squared_through_the_lens_in_one_resampling(shoot: Make) -> None:
    lens = lens_of(WARP)
    flat = moved(QUAD, slanted())
    seen = np.array([lens.sources(np.array(x), np.array(y))[0] for x, y in flat])
    root = shoot(dotted(seen), {opcodes.PICTURE: opcodes.listed(WARP)})
    finish(root)
    square_by_corners(root, "cup", shares(seen), 320 / 240)
    finish(root)
    off, shape = measured(squared_dots(root))
    assert off < 0.2
    assert shape == pytest.approx(320 / 240, rel=0.002)


def carded(m: NDArray[np.float64]) -> NDArray[np.float64]:
    """The set card's face (A5) through a homography from its millimetres x 2, drawn four times as fine."""
    side = layout("A5")
    fine = 8
    face = np.full((int(side.paper.height_mm * fine), int(side.paper.width_mm * fine)), 0.8)
    for marker in side.markers:
        cells = np.where(marker_cells(marker.id), 0.03, 0.8)
        px = int(marker.side_mm * fine)
        y, x = round((side.paper.height_mm - marker.y_mm - marker.side_mm) * fine), round(marker.x_mm * fine)
        face[y : y + px, x : x + px] = cv2.resize(cells, (px, px), interpolation=cv2.INTER_NEAREST)
    # middles of pixels, on the face and in the picture three times as fine
    whole = m @ np.array([[2 / fine, 0, 1 / fine], [0, 2 / fine, 1 / fine], [0, 0, 1]])
    large = np.array([[3.0, 0, 1], [0, 3.0, 1], [0, 0, 1]]) @ whole
    drawn = cv2.warpPerspective(
        face, large, (3 * SIZE[0], 3 * SIZE[1]), flags=cv2.INTER_AREA, borderValue=0.1
    )
    return np.repeat(cv2.resize(drawn, SIZE, interpolation=cv2.INTER_AREA)[..., None] * 0.4, 3, axis=2)


def test_the_set_card_in_the_frame_makes_it_square(shoot: Make) -> None:
    """Its paper is A5, 210 x 148 mm (ISO 216)."""
    tilt = np.array([[1.30, 0.12, 80.0], [-0.06, 1.16, 60.0], [-6e-5, 3.2e-4, 1.0]])
    root = shoot(carded(tilt))
    finish(root)
    assert square_by_card(root, "cup") == last(root)
    square = read_state(root).squares["cup"]
    assert square.card == "IMG_1.dng"
    paper = moved(np.array([(0, 0), (420, 0), (420, 296), (0, 296)], float), tilt)
    assert np.array(square.corners).reshape(4, 2) * SIZE - 0.5 == pytest.approx(paper, abs=0.25)
    finish(root)
    # the true paper through what the list says was done
    from plateside.finish.placing import Flat, placing_of

    placing = placing_of(SIZE, 0.0, None, square)
    assert isinstance(placing, Flat)
    off, shape = measured(moved(paper, np.linalg.inv(placing.to_source)))
    assert off < 0.2
    assert shape == pytest.approx(210 / 148, rel=0.002)
    assert placing.size == written(root).shape[::-1]


def test_no_card_no_shot_and_no_rectangle_are_refused_and_nothing_is_written(shoot: Make) -> None:
    root = shoot(dotted(DOTS))
    rows = last(root)
    with pytest.raises(InputError):
        square_by_card(root, "cup")
    with pytest.raises(InputError):
        square_by_corners(root, "near", shares(QUAD))
    with pytest.raises(InputError):
        square_by_corners(root, "cup", (0.1, 0.1, 0.9, 0.1, 0.3, 0.3, 0.1, 0.9))
    with pytest.raises(InputError):
        square_taken_back(root, "")
    for odd in ("1,2,3", "a,b,c,d,e,f,g,h", "nan,0,1,0,1,1,0,1"):
        assert main(["finish", str(root), "--square", odd, "--for", "cup"]) == 2
    assert main(["finish", str(root), "--square", "card"]) == 2
    assert main(["finish", str(root), "--shape", "3:2"]) == 2
    assert (
        main(
            [
                "finish",
                str(root),
                "--square",
                "0.1,0.1,0.9,0.1,0.9,0.9,0.1,0.9",
                "--shape",
                "9",
                "--for",
                "cup",
            ]
        )
        == 2
    )
    assert last(root) == rows


def test_the_command_squares_and_takes_back(shoot: Make) -> None:
    seen = moved(QUAD, slanted())
    root = shoot(dotted(seen))
    text = ",".join(f"{v:.6f}" for v in shares(seen))
    assert (
        main(["finish", str(root), "--square", text, "--shape", "4:3", "--for", "cup", "--lens", "off"]) == 0
    )
    assert read_state(root).squares["cup"].shape == pytest.approx(4 / 3)
    assert read_state(root).lens == OFF
    assert main(["finish", str(root), "--square", "none", "--for", "cup", "--lens", "on"]) == 0
    assert read_state(root).squares == {}
