"""Small originals for the tests."""

import struct
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import tifffile
from numpy.typing import NDArray
from PIL import Image

from tests.synthetic.dng import COLOR_MATRIX, NEUTRAL

BAYER = ((0, 1), (1, 2))
# the 6 x 6 pattern in DNG's colour numbers, as in US patent 8,531,563, figure 8
X_TRANS = (
    (1, 1, 0, 1, 1, 2), (1, 1, 2, 1, 1, 0), (2, 0, 1, 0, 2, 1),
    (1, 1, 2, 1, 1, 0), (1, 1, 0, 1, 1, 2), (0, 2, 1, 2, 0, 1),
)  # fmt: skip


def gradient(width: int = 240, height: int = 160) -> NDArray[np.uint8]:
    """A picture whose red grows to the right and green downwards."""
    v, u = np.mgrid[0:height, 0:width]
    return np.dstack([u * 255 // width, v * 255 // height, np.full_like(u, 60)]).astype(np.uint8)


def write_jpeg(path: Path, picture: NDArray[np.uint8] | None = None, taken: str = "", **exif: Any) -> Path:
    """A JPEG with EXIF tags by number: `tag_33434=(1, 3)`."""
    path.parent.mkdir(parents=True, exist_ok=True)
    tags = Image.Exif()
    inner = tags.get_ifd(0x8769)
    if taken:
        inner[36867] = taken
    for key, value in exif.items():
        number = int(key.removeprefix("tag_"))
        (tags if number in (271, 272, 274, 306) else inner)[number] = value
    Image.fromarray(gradient() if picture is None else picture).save(path, "jpeg", quality=92, exif=tags)
    return path


def write_counts(
    path: Path,
    counts: NDArray[np.uint16],
    *,
    pattern: Sequence[Sequence[int]] = BAYER,
    black: Sequence[int] = (512,),
    white: Sequence[int] = (15800,),
    neutral: Sequence[float] | None = NEUTRAL,
    plane_colours: Sequence[int] = (0, 1, 2),
    active: Sequence[int] = (),
    noise_profile: tuple[float, float] | None = None,
) -> Path:
    """A DNG (Adobe DNG 1.4 tags) of these counts, whatever the sensor; `black` row by row of the pattern.

    counts   (h, w), or (h, w, 3) of a linear DNG
    pattern  colour of each cell; one cell only: a sensor without colours
    active   top, left, bottom, right of what is picture
    """
    rows, columns = len(pattern), len(pattern[0])
    linear = counts.ndim == 3
    mono = rows * columns == 1

    def rational(values: Any) -> list[int]:
        return [n for v in np.ravel(values) for n in (round(float(v) * 1_000_000), 1_000_000)]

    repeat = (rows, columns) if len(black) > 1 else (1, 1)
    extra: list[tuple[Any, ...]] = [
        (271, 2, 0, "Made", True), (272, 2, 0, "Made camera", True), (50706, 1, 4, bytes((1, 4, 0, 0)), True),
        (50708, 2, 0, "Made camera", True), (50713, 3, 2, repeat, True), (50714, 3, len(black), tuple(black), True),
        (50717, 3, len(white), tuple(white), True), (50778, 3, 1, 21, True),
    ]  # fmt: skip
    if active:
        extra.append((50829, 4, 4, tuple(active), True))
    if noise_profile is not None:
        extra.append((51041, 12, 2, noise_profile, True))
    if not mono:
        matrix = (
            COLOR_MATRIX if len(plane_colours) == 3 else np.vstack([COLOR_MATRIX, COLOR_MATRIX.mean(axis=0)])
        )
        cells = bytes(c for row in pattern for c in row)
        extra.append((50721, 10, matrix.size, rational(matrix), True))
        if not linear:
            extra += [
                (33421, 3, 2, (rows, columns), True), (33422, 1, len(cells), cells, True),
                (50710, 1, len(plane_colours), bytes(plane_colours), True),
            ]  # fmt: skip
        if neutral is not None:
            extra.append((50728, 5, len(neutral), rational(neutral), True))
    with tifffile.TiffWriter(path) as file:
        file.write(
            counts, photometric=1 if mono else 34892 if linear else 32803, planarconfig=1, metadata=None,
            extratags=extra, software="", rowsperstrip=64,
        )  # fmt: skip
    if mono:  # tifffile writes LinearRaw for three colours only
        data, entry = path.read_bytes(), struct.Struct("<HHII")
        path.write_bytes(data.replace(entry.pack(262, 3, 1, 1), entry.pack(262, 3, 1, 34892)))
    return path


def counts_of(
    camera: NDArray[np.float64],
    pattern: Sequence[Sequence[int]],
    black: NDArray[np.float64] | float = 512.0,
    white: float = 15800.0,
) -> NDArray[np.uint16]:
    """What a sensor counts of camera colours (h, w, n), 1 at white; `black` a number or one for each pixel."""
    height, width = camera.shape[:2]
    cells = np.tile(pattern, (height // len(pattern) + 1, width // len(pattern[0]) + 1))[:height, :width]
    level = np.take_along_axis(camera, cells[..., None], axis=2)[..., 0]
    return np.clip(np.round(black + level * (white - black)), 0, white).astype(np.uint16)
