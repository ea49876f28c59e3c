"""Originals decoded, whatever their kind: a picture to look at, numbers to measure. Nothing is ever written.

`stated_size`      width and height, upright, from the headers, with all refusals
`display_picture`  uint8 sRGB, upright, quick (embedded preview of a raw, DCT scaling of a JPEG)
`embedded_preview` the camera's own picture inside a raw
`linear_picture`   float32, proportional to light
`linear_and_levels`  both after one unpack
"""

import contextlib
from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.files.originals import heifs, jpegs, raws
from plateside.files.originals.ahead import begin
from plateside.files.originals.in_hand import holding, in_hand
from plateside.files.originals.kinds import content_kind, is_display, is_raw
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.unreadable import fault, faults_in_words, unread
from plateside.files.originals.upright import upright
from plateside.files.originals.whole import check_whole
from plateside.frames.levels import levels_of_picture
from plateside.ground.srgb import byte_table
from plateside.model.errors import InputError
from plateside.model.frame import Settings
from plateside.model.pixels import LinearPicture, RawLevels
from plateside.words.frame_files import said

_HEADER_BYTES = 1 << 20


_LINEAR = byte_table()


def stated_size(path: Path) -> tuple[int, int]:
    """Width and height [px] as seen upright, from headers alone.

    Raises InputError (empty, not what its name says, torn, too large) or CouldNotError (cannot be read).
    """
    check_whole(path)
    return size_and_settings(path)[:2]


def size_and_settings(path: Path) -> tuple[int, int, Settings]:
    """As `stated_size`, of a file that is known to be whole, and what its metadata says."""
    settings = read_settings(path)
    if _is_heif(path):
        with in_hand(path):
            return *heifs.stated_size(path), settings
    if is_display(path):
        try:
            with path.open("rb") as file:
                width, height = jpegs.checked_size(file.read(_HEADER_BYTES), path.name)
        except OSError as error:
            raise unread(path.name, error) from error
        return (height, width, settings) if settings.orientation >= 5 else (width, height, settings)
    _need_raw(path)
    with faults_in_words(path.name), in_hand(path):
        return *raws.raw_size(path), settings
    raise AssertionError("unreachable")


@holding
def display_picture(path: Path, longest_px: int = 3000, *, metered: bool = False) -> NDArray[np.uint8]:
    """Height x width x 3, uint8, sRGB, upright, its longer side at most `longest_px`; quick.

    A raw gives its embedded preview when that is large enough (half the wanted length or more), else
    LibRaw's half-size picture; `metered`: that as bright as it was exposed, to be held against a JPEG.
    Raises InputError when the file cannot be decoded.
    """
    if is_display(path):
        return _decoded(path, longest_px)
    _need_raw(path)
    with faults_in_words(path.name):
        found = raws.preview(path)
        # a damaged preview says nothing of the raw around it
        with contextlib.suppress(InputError):
            if found is not None and isinstance(found[0], bytes):
                data, orientation = found[0], found[1]
                wide, high = jpegs.checked_size(data, path.name)
                if max(wide, high) >= min(longest_px, max(raws.raw_size(path))) / 2:
                    return jpegs.decode(data, path.name, longest_px, orientation)
        if found is not None and not isinstance(found[0], bytes) and max(found[0].shape) >= longest_px / 2:
            return _fitted(upright(found[0], found[1]), longest_px)
        return _fitted(raws.developed(path, metered=metered), longest_px)


def begin_display_picture(path: Path, longest_px: int) -> Callable[[], NDArray[np.uint8]]:
    """`display_picture(path, longest_px)` when called; it is decoded meanwhile."""
    return begin(lambda: display_picture(path, longest_px))


@holding
def embedded_preview(path: Path, longest_px: int) -> NDArray[np.uint8] | None:
    """The camera's own picture inside a raw, upright, sRGB, its longer side at most `longest_px`; None: it has none.

    Raises InputError when the file cannot be opened.
    """
    with faults_in_words(path.name):
        found = raws.preview(path)
    if found is None:
        return None
    if not isinstance(found[0], bytes):
        return _fitted(upright(found[0], found[1]), longest_px)
    # a damaged preview says nothing of the raw around it
    with contextlib.suppress(InputError):
        return _fitted(jpegs.decode(found[0], path.name, longest_px, found[1]), longest_px)
    return None


@holding
def linear_picture(path: Path, half: bool = True) -> LinearPicture:
    """The picture as numbers proportional to light; see LinearPicture for their meaning.

    Raw: camera colours, black taken off, 1 is saturation; half size by binning 2 x 2 photosites (no
    interpolation), else AHD. JPEG: linear sRGB by the inverse of the sRGB curve (the camera's own tone
    curve is still in it). Raises InputError when the file cannot be decoded.
    """
    if is_display(path):
        picture = _decoded(path, max(size_and_settings(path)[:2]) // 2 if half else None)
        return LinearPicture(rgb=_LINEAR[picture], scale=0.5 if half else 1.0)
    _need_raw(path)
    with faults_in_words(path.name):
        settings = read_settings(path)
        return raws.linear(path, half, settings.noise_profile, settings.iso)


@holding
def linear_and_levels(path: Path) -> tuple[LinearPicture, RawLevels]:
    """`linear_picture(path, half=True)`, and headroom by channel (a JPEG's less surely), in one decoding."""
    if is_display(path):
        picture = linear_picture(path)
        return picture, levels_of_picture(picture.rgb)
    _need_raw(path)
    with faults_in_words(path.name):
        return raws.measures(path)


def begin_linear_and_levels(path: Path) -> Callable[[], tuple[LinearPicture, RawLevels]]:
    """`linear_and_levels(path)` of a raw when called; the file is unpacked meanwhile."""
    _need_raw(path)
    finish = raws.read_ahead(path)

    def finished() -> tuple[LinearPicture, RawLevels]:
        with faults_in_words(path.name), in_hand(path):
            return finish()
        raise AssertionError("unreachable")

    return finished


def _is_heif(path: Path) -> bool:
    """By content: a phone's HEIC may have been given a JPEG's name, and a JPEG a HEIC's."""
    if not is_display(path):
        return False
    try:
        with path.open("rb") as file:
            return content_kind(file.read(64)) == "HEIC"
    except OSError as error:
        raise unread(path.name, error) from error


def _decoded(path: Path, longest_px: int | None) -> NDArray[np.uint8]:
    if _is_heif(path):
        return heifs.decode(path, longest_px)
    return jpegs.decode(jpegs.read_bytes(path), path.name, longest_px)


def _need_raw(path: Path) -> None:
    if not is_raw(path):
        raise fault(
            "other kind",
            said("neither by name", name=path.name),
        )


def _fitted(picture: NDArray[np.uint8], longest_px: int) -> NDArray[np.uint8]:
    height, width = picture.shape[:2]
    if max(height, width) <= longest_px:
        return picture
    scale = longest_px / max(height, width)
    size = (max(round(width * scale), 1), max(round(height * scale), 1))
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)
