"""PNG bytes, read back by Pillow: an independent decoder of the PNG specification."""

import io

import numpy as np
import pytest
from PIL import Image

from plateside.drawing.png import indexed_png, ramp
from plateside.model.errors import InputError


def test_pillow_reads_back_every_pixel() -> None:
    rng = np.random.default_rng(5)
    palette = rng.integers(0, 256, (37, 3), dtype=np.uint8)
    indices = rng.integers(0, 37, (19, 53), dtype=np.uint8)
    with Image.open(io.BytesIO(indexed_png(indices, palette))) as picture:
        picture.load()
        assert picture.size == (53, 19)
        assert np.array_equal(np.asarray(picture.convert("RGB")), palette[indices])


def test_same_input_same_bytes() -> None:
    field = np.tile(np.arange(50, dtype=np.uint8), (60, 1))
    assert indexed_png(field, ramp(("#000000", "#ffffff"), 50)) == indexed_png(
        field, ramp(("#000000", "#ffffff"), 50)
    )


def test_ramp_passes_through_its_stops() -> None:
    palette = ramp(("#102030", "#405060", "#ffffff"), 5)
    assert palette[[0, 2, 4]].tolist() == [[16, 32, 48], [64, 80, 96], [255, 255, 255]]


@pytest.mark.parametrize(
    ("indices", "palette"),
    [
        (np.zeros((3, 3), np.int64), np.zeros((2, 3), np.uint8)),
        (np.zeros((0, 3), np.uint8), np.zeros((2, 3), np.uint8)),
        (np.zeros((3, 3), np.uint8), np.zeros((0, 3), np.uint8)),
        (np.full((3, 3), 7, np.uint8), np.zeros((5, 3), np.uint8)),
    ],
)
def test_what_cannot_be_a_picture_is_refused(indices: np.ndarray, palette: np.ndarray) -> None:
    with pytest.raises(InputError):
        indexed_png(indices, palette)
