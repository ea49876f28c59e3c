"""Raw files through LibRaw: the embedded preview at once, the sensor's own numbers after one unpack."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

import numpy as np
import rawpy
from numpy.typing import NDArray

from plateside.files.originals.jpegs import check_pixels
from plateside.files.originals.unreadable import fault, unread
from plateside.files.originals.upright import orientation_of_flip, upright
from plateside.frames.levels import levels_of_counts, levels_of_picture
from plateside.frames.mosaic import bin_cells, count_levels
from plateside.ground.srgb import TO_XYZ
from plateside.model.pixels import LinearPicture, RawLevels

_reader = ThreadPoolExecutor(1, "raw")


@contextmanager
def opened(path: Path) -> Iterator[Any]:
    """A raw file opened by LibRaw, closed at the end; InputError with the reason when it is damaged."""
    try:
        with path.open("rb") as file:
            empty = not file.read(1)
    except OSError as error:
        raise unread(path.name, error) from error
    if empty:
        raise fault("empty", f"{path.name} is empty (0 bytes); copy it again from the card.")
    raw = rawpy.RawPy()
    try:
        try:
            raw.open_file(str(path))
            check_pixels(raw.sizes.raw_width, raw.sizes.raw_height, path.name)
            yield raw
        except rawpy.LibRawError as error:
            said = error.args[0] if error.args else error
            said = said.decode(errors="replace") if isinstance(said, bytes) else said
            of_a_kind = isinstance(error, rawpy.LibRawFileUnsupportedError)
            raise fault(
                "other kind" if of_a_kind else "damaged",
                f"{path.name} is not a raw that can be read, or is damaged ({said}); copy it again from the card.",
            ) from error
    finally:
        raw.close()


def raw_size(path: Path) -> tuple[int, int]:
    """Width and height [px], upright, from the headers."""
    with opened(path) as raw:
        size = raw.sizes
        return (size.height, size.width) if size.flip in (5, 6) else (size.width, size.height)


def preview(path: Path) -> tuple[bytes | NDArray[np.uint8], int] | None:
    """The embedded JPEG (bytes) or bitmap (array) and the EXIF orientation to give it; None when there is none."""
    with opened(path) as raw:
        try:
            thumb = raw.extract_thumb()
        except (rawpy.LibRawNoThumbnailError, rawpy.LibRawUnsupportedThumbnailError):
            return None
        return thumb.data, orientation_of_flip(raw.sizes.flip)


def developed(path: Path) -> NDArray[np.uint8]:
    """Half-size sRGB by LibRaw, as-shot white balance: for raws without a usable preview."""
    with opened(path) as raw:
        picture: NDArray[np.uint8] = raw.postprocess(
            half_size=True, use_camera_wb=True, output_bps=8, no_auto_bright=False
        )
        return picture


def linear(path: Path, half: bool) -> LinearPicture:
    """The sensor's numbers as a linear picture; half size by binning 2 x 2, else LibRaw's AHD interpolation."""
    with opened(path) as raw:
        raw.unpack()
        return _linear(raw, half)


def measures(path: Path) -> tuple[LinearPicture, RawLevels]:
    """Half-size linear picture and levels after one unpack."""
    with opened(path) as raw:
        raw.unpack()
        return _measured(raw)


def _measured(raw: Any) -> tuple[LinearPicture, RawLevels]:
    picture = _linear(raw, True)
    return picture, _levels(raw, picture)


def read_ahead(path: Path) -> Callable[[], tuple[LinearPicture, RawLevels]]:
    """`measures(path)` when called; its unpack begins at once, beside what else is done."""
    stack = ExitStack()

    def unpack() -> Any:
        raw = stack.enter_context(opened(path))
        raw.unpack()
        return raw

    begun = _reader.submit(unpack)

    def finish() -> tuple[LinearPicture, RawLevels]:
        # what went wrong in the other thread is told here, and in words
        with stack:
            return _measured(begun.result())
        raise AssertionError("a with statement of a stack may swallow errors; these are not")

    return finish


def levels(path: Path) -> RawLevels:
    """Levels of every photosite after one unpack."""
    with opened(path) as raw:
        raw.unpack()
        return _levels(raw, None)


def _is_bayer(raw: Any) -> bool:
    pattern = raw.raw_pattern
    return (
        raw.raw_type == rawpy.RawType.Flat
        and pattern is not None
        and pattern.shape == (2, 2)
        and raw.num_colors == 3
        and raw.raw_image_visible.dtype == np.uint16
    )


def _pattern(raw: Any) -> NDArray[np.int64]:
    top, left = raw.sizes.top_margin, raw.sizes.left_margin
    return np.array([[raw.raw_color(top + y, left + x) for x in (0, 1)] for y in (0, 1)], np.int64)


def _black_white(raw: Any) -> tuple[tuple[float, ...], tuple[float, ...]]:
    black = tuple(float(v) for v in raw.black_level_per_channel)
    stated = raw.camera_white_level_per_channel
    whole = float(raw.white_level)
    # Some files state 0, or a linearity limit above what the data can reach: the smaller one is met first.
    white = tuple(min(float(v), whole) if v else whole for v in (stated or (0, 0, 0, 0)))
    return black, white


def _multipliers(raw: Any) -> tuple[float, float, float]:
    shot = [float(v) for v in raw.camera_whitebalance[:3]]
    if not all(np.isfinite(shot)) or min(shot) <= 0:
        shot = [float(v) for v in raw.daylight_whitebalance[:3]]
    if not all(np.isfinite(shot)) or min(shot) <= 0:
        return 1.0, 1.0, 1.0
    return shot[0] / shot[1], 1.0, shot[2] / shot[1]


Matrix = tuple[tuple[float, float, float], ...]


def _matrices(raw: Any) -> tuple[Matrix, Matrix | None]:
    """Balanced camera to linear sRGB, and XYZ to camera. Without a known camera: identity and None.

    LibRaw gives the first; the second is its inverse, with each channel's size under daylight (D65) put
    back, which is the only thing that the first has lost.
    """
    to_srgb = np.asarray(raw.color_matrix, float)[:3, :3]
    if not np.all(np.isfinite(to_srgb)) or abs(np.linalg.det(to_srgb)) < 1e-6:
        return _tuples(np.eye(3)), None
    to_srgb = to_srgb / to_srgb.sum(axis=1, keepdims=True)  # white stays white after balancing
    daylight = np.asarray(raw.daylight_whitebalance[:3], float)
    if not np.all(np.isfinite(daylight)) or daylight.min() <= 0:
        return _tuples(to_srgb), None
    xyz_to_camera = np.diag(1 / daylight) @ np.linalg.inv(to_srgb) @ np.linalg.inv(TO_XYZ)
    return _tuples(to_srgb), _tuples(xyz_to_camera)


def _tuples(matrix: NDArray[Any]) -> Matrix:
    return tuple((float(a), float(b), float(c)) for a, b, c in matrix)


def _linear(raw: Any, half: bool) -> LinearPicture:
    to_srgb, xyz_to_camera = _matrices(raw)
    if half and _is_bayer(raw):
        black, white = _black_white(raw)
        rgb = bin_cells(raw.raw_image_visible, _pattern(raw), black, white)
        rgb = upright(rgb, orientation_of_flip(raw.sizes.flip))
    else:
        counts = raw.postprocess(
            half_size=half, gamma=(1, 1), no_auto_bright=True, output_bps=16, use_camera_wb=False,
            user_wb=[1.0, 1.0, 1.0, 1.0], output_color=rawpy.ColorSpace.raw, no_auto_scale=False,
            adjust_maximum_thr=0.0,
        )  # fmt: skip
        rgb = counts.astype(np.float32) / np.float32(65535)
    return LinearPicture(
        rgb=rgb,
        white_balance=_multipliers(raw),
        to_srgb=to_srgb,
        xyz_to_camera=xyz_to_camera,
        is_raw=True,
        scale=0.5 if half else 1.0,
    )


def _levels(raw: Any, picture: LinearPicture | None) -> RawLevels:
    if _is_bayer(raw):
        black, white = _black_white(raw)
        return levels_of_counts(count_levels(raw.raw_image_visible, _pattern(raw)), black, white)
    return levels_of_picture((picture or _linear(raw, True)).rgb, is_raw=True)
