"""A camera raw made by code: a linear picture as a Bayer DNG (Adobe DNG 1.4 tags, written through tifffile).

The mosaic is what a sensor would count: colours through the inverse of the camera matrix and white balance,
photon and read noise, black level, clipped at the white level. An embedded JPEG preview and EXIF go with it.
"""

import io
import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import tifffile
from numpy.typing import NDArray
from PIL import Image

from tests.synthetic.lossless_jpeg import lossless_jpeg

BLACK = 512
WHITE = 15800
TILE = (256, 256)
NEUTRAL = (0.5, 1.0, 0.625)  # what the sensor gives for a grey thing: multipliers 2.0, 1, 1.6
# XYZ to camera, an invented but plausible sensor.
COLOR_MATRIX = np.array([[0.70, -0.20, -0.06], [-0.42, 1.24, 0.20], [-0.08, 0.20, 0.56]])
_XYZ_OF_SRGB = np.array(
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)


def camera_of_srgb() -> NDArray[np.float64]:
    """3 x 3: linear sRGB to white-balanced camera colours, rows summing to 1."""
    matrix = COLOR_MATRIX @ _XYZ_OF_SRGB
    return np.asarray(matrix / matrix.sum(axis=1, keepdims=True))


def mosaic_of(
    linear_srgb: NDArray[Any], *, gain: float = 1.0, electrons: float = 40000.0, seed: int | None = None
) -> NDArray[np.uint16]:
    """Counts of an RGGB mosaic for a linear sRGB picture; 1 x gain in green is saturation. Noise when seeded."""
    camera = np.clip(linear_srgb.astype(np.float64) @ camera_of_srgb().T, 0, None) * np.array(NEUTRAL) * gain
    level = np.empty(camera.shape[:2])
    level[0::2, 0::2] = camera[0::2, 0::2, 0]
    level[0::2, 1::2] = camera[0::2, 1::2, 1]
    level[1::2, 0::2] = camera[1::2, 0::2, 1]
    level[1::2, 1::2] = camera[1::2, 1::2, 2]
    if seed is not None:
        rng = np.random.default_rng(seed)
        level += rng.normal(size=level.shape) * np.sqrt(level / electrons + (4.0 / electrons) ** 2)
    return np.clip(np.round(BLACK + level * (WHITE - BLACK)), 0, WHITE).astype(np.uint16)


def write_dng(
    path: Path,
    linear_srgb: NDArray[Any],
    *,
    gain: float = 1.0,
    orientation: int = 1,
    seed: int | None = None,
    preview: bool = True,
    preview_gain: float | None = None,
    exposure_s: float = 1 / 3,
    f_number: float = 8.0,
    iso: int = 100,
    focal_length_mm: float = 35.0,
    taken: str = "2027:07-15 13:00:00",
    baseline_exposure_stops: float | None = None,
    noise_profile: tuple[float, float] | None = None,
    counts: NDArray[np.uint16] | None = None,
    lossless: bool = False,
) -> None:
    """Write the picture (even height and width) as a 16-bit Bayer DNG with a JPEG preview.

    lossless  the mosaic in tiles of lossless JPEG (DNG 1.4: compression 7), else uncompressed
    """
    mosaic = mosaic_of(linear_srgb, gain=gain, seed=seed) if counts is None else counts
    thumb = b""
    if preview:
        shown = np.clip(linear_srgb * (gain if preview_gain is None else preview_gain), 0, 1)
        shown = np.where(shown <= 0.0031308, shown * 12.92, 1.055 * shown ** (1 / 2.4) - 0.055)
        buffer = io.BytesIO()
        Image.fromarray((shown * 255 + 0.5).astype(np.uint8)).save(buffer, "jpeg", quality=90)
        thumb = buffer.getvalue()

    def rational(values: Any) -> list[int]:
        return [n for v in np.ravel(values) for n in (round(float(v) * 1_000_000), 1_000_000)]

    taken = taken.replace("-", ":") if taken[7] == "-" else taken
    extra = [
        (271, 2, 0, "Made", True), (272, 2, 0, "Made camera", True), (274, 3, 1, orientation, True),
        (306, 2, 0, taken, True),
        (33421, 3, 2, (2, 2), True), (33422, 1, 4, bytes((0, 1, 1, 2)), True),
        (33434, 5, 1, (round(exposure_s * 1_000_000), 1_000_000), True),
        (33437, 5, 1, (round(f_number * 1000), 1000), True), (34855, 3, 1, iso, True),
        (36867, 2, 0, taken, True), (37386, 5, 1, (round(focal_length_mm * 100), 100), True),
        (50706, 1, 4, bytes((1, 4, 0, 0)), True), (50708, 2, 0, "Made camera", True),
        (50714, 3, 1, BLACK, True), (50717, 3, 1, WHITE, True),
        (50721, 10, 9, rational(COLOR_MATRIX), True), (50728, 5, 3, rational(NEUTRAL), True), (50778, 3, 1, 21, True),
    ]  # fmt: skip
    if baseline_exposure_stops is not None:
        extra.append((50730, 10, 1, tuple(rational([baseline_exposure_stops])), True))
    if noise_profile is not None:  # DNG 1.3: variance = S x + O, x the linear value from black 0 to white 1
        extra.append((51041, 12, 2, noise_profile, True))
    how: dict[str, Any] = {
        "photometric": 32803, "planarconfig": 1, "metadata": None, "extratags": extra, "software": "",
    }  # fmt: skip
    with tifffile.TiffWriter(path) as file:
        if lossless:
            tiles = (lossless_jpeg(part) for part in _tiled(mosaic))
            # tifffile writes the tag of this compression only where it could compress itself: said afterwards
            file.write(tiles, shape=mosaic.shape, dtype=mosaic.dtype, compression=8, tile=TILE, **how)
        else:
            file.write(mosaic, rowsperstrip=64, **how)
    if lossless:
        _say_lossless(path)
    if thumb:
        append_preview(path, thumb)


def _tiled(mosaic: NDArray[np.uint16]) -> Iterator[NDArray[np.uint16]]:
    """Tiles from left to right and top to bottom; those at the edge filled up with its last counts."""
    for y in range(0, mosaic.shape[0], TILE[0]):
        for x in range(0, mosaic.shape[1], TILE[1]):
            part = mosaic[y : y + TILE[0], x : x + TILE[1]]
            missing = [(0, side - there) for side, there in zip(TILE, part.shape, strict=True)]
            yield np.pad(part, missing, mode="edge")


def _say_lossless(path: Path) -> None:
    """Compression (tag 259) of the first directory: 7."""
    data = bytearray(path.read_bytes())
    first = struct.unpack_from("<I", data, 4)[0]
    for at in range(first + 2, first + 2 + 12 * struct.unpack_from("<H", data, first)[0], 12):
        if struct.unpack_from("<H", data, at)[0] == 259:
            struct.pack_into("<H", data, at + 8, 7)
    path.write_bytes(bytes(data))


def append_preview(path: Path, thumb: bytes) -> None:
    """A second directory at the end of the file: a reduced picture (NewSubfileType 1) in one JPEG strip."""
    data = bytearray(path.read_bytes())
    with Image.open(io.BytesIO(thumb)) as image:
        width, height = image.size
    if len(data) % 2:
        data += b"\0"
    start = len(data)
    data += thumb + b"\0" * (len(thumb) % 2)
    at = len(data)
    entries = [
        (254, 4, 1, 1), (256, 4, 1, width), (257, 4, 1, height), (259, 3, 1, 7), (262, 3, 1, 6),
        (273, 4, 1, start), (277, 3, 1, 3), (278, 4, 1, height), (279, 4, 1, len(thumb)),
    ]  # fmt: skip
    data += struct.pack("<H", len(entries))
    for tag, kind, number, value in entries:
        data += struct.pack("<HHI", tag, kind, number) + struct.pack("<I", value)
    data += struct.pack("<I", 0)
    first = struct.unpack_from("<I", data, 4)[0]
    count = struct.unpack_from("<H", data, first)[0]
    struct.pack_into("<I", data, first + 2 + 12 * count, at)
    path.write_bytes(bytes(data))


def write_mosaic(path: Path, mosaic: NDArray[np.uint16], iso: int = 100) -> None:
    """Counts as they are, as a DNG without a preview."""
    write_dng(path, np.zeros((*mosaic.shape, 3)), preview=False, counts=mosaic, iso=iso)
