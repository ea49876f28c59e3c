"""Originals decoded, whatever their kind: a picture to look at, numbers to measure. Nothing is ever written.

`stated_size`      width and height, upright, from the headers, with all refusals
`display_picture`  uint8 sRGB, upright, quick (embedded preview of a raw, DCT scaling of a JPEG)
`linear_picture`   float32, proportional to light
`raw_levels`       clipping and headroom per channel
`linear_and_levels`  both after one unpack
"""

from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.files.originals import jpegs, raws
from plateside.files.originals.kinds import is_jpeg, is_raw
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.upright import upright
from plateside.files.originals.whole import why_torn
from plateside.frames.levels import levels_of_picture
from plateside.ground.srgb import byte_table
from plateside.model.errors import CouldNotError, InputError
from plateside.model.pixels import LinearPicture, RawLevels

_HEADER_BYTES = 1 << 20


_LINEAR = byte_table()


def stated_size(path: Path) -> tuple[int, int]:
    """Width and height [px] as seen upright, from headers alone.

    Raises InputError (empty, not what its name says, torn, too large) or CouldNotError (cannot be read).
    """
    try:
        torn = why_torn(path)
        if torn:
            raise InputError(torn)
        if is_jpeg(path):
            with path.open("rb") as file:
                width, height = jpegs.checked_size(file.read(_HEADER_BYTES), path.name)
            return (height, width) if read_settings(path).orientation >= 5 else (width, height)
    except OSError as error:
        raise CouldNotError(
            f"{path.name} cannot be read ({error.strerror or error}); check the file's permissions and the card."
        ) from error
    _need_raw(path)
    return raws.raw_size(path)


def display_picture(path: Path, longest_px: int = 3000) -> NDArray[np.uint8]:
    """Height x width x 3, uint8, sRGB, upright, its longer side at most `longest_px`; quick.

    A raw gives its embedded preview when that is large enough (half the wanted length or more), else
    LibRaw's half-size picture. Raises InputError when the file cannot be decoded.
    """
    if is_jpeg(path):
        return jpegs.decode(jpegs.read_bytes(path), path.name, longest_px)
    _need_raw(path)
    found = raws.preview(path)
    if found is not None:
        data, orientation = found
        if isinstance(data, bytes):
            wide, high = jpegs.checked_size(data, path.name)
            if max(wide, high) >= min(longest_px, max(raws.raw_size(path))) / 2:
                return jpegs.decode(data, path.name, longest_px, orientation)
        elif max(data.shape) >= longest_px / 2:
            return _fitted(upright(data, orientation), longest_px)
    return _fitted(raws.developed(path), longest_px)


def linear_picture(path: Path, half: bool = True) -> LinearPicture:
    """The picture as numbers proportional to light; see LinearPicture for their meaning.

    Raw: camera colours, black taken off, 1 is saturation; half size by binning 2 x 2 photosites (no
    interpolation), else AHD. JPEG: linear sRGB by the inverse of the sRGB curve (the camera's own tone
    curve is still in it). Raises InputError when the file cannot be decoded.
    """
    if is_jpeg(path):
        data = jpegs.read_bytes(path)
        wide, high = jpegs.checked_size(data, path.name)
        picture = jpegs.decode(data, path.name, max(wide, high) // 2 if half else None)
        return LinearPicture(rgb=_LINEAR[picture], scale=0.5 if half else 1.0)
    _need_raw(path)
    return raws.linear(path, half)


def raw_levels(path: Path) -> RawLevels:
    """Clipping and headroom per channel: every photosite of a raw; of a JPEG its pixels, less surely."""
    if is_jpeg(path):
        return levels_of_picture(linear_picture(path).rgb)
    _need_raw(path)
    return raws.levels(path)


def linear_and_levels(path: Path) -> tuple[LinearPicture, RawLevels]:
    """`linear_picture(path, half=True)` and `raw_levels(path)` after one decoding."""
    if is_jpeg(path):
        picture = linear_picture(path)
        return picture, levels_of_picture(picture.rgb)
    _need_raw(path)
    return raws.measures(path)


def begin_linear_and_levels(path: Path) -> Callable[[], tuple[LinearPicture, RawLevels]]:
    """`linear_and_levels(path)` of a raw when called; the file is unpacked meanwhile."""
    _need_raw(path)
    return raws.read_ahead(path)


def _need_raw(path: Path) -> None:
    if not is_raw(path):
        raise InputError(f"{path.name} is neither a JPEG nor a raw by its name; frames are JPEG or raw.")


def _fitted(picture: NDArray[np.uint8], longest_px: int) -> NDArray[np.uint8]:
    height, width = picture.shape[:2]
    if max(height, width) <= longest_px:
        return picture
    scale = longest_px / max(height, width)
    size = (max(round(width * scale), 1), max(round(height * scale), 1))
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)
