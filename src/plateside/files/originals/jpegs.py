"""JPEG pictures decoded: scaled during the inverse transform (fast), upright, in sRGB."""

import contextlib
import io
import warnings
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, JpegImagePlugin

from plateside.files.colour_profiles import image_to_srgb, is_srgb, space_of
from plateside.files.originals.jpeg_walk import MOST_PASSED_PX, MOST_SCANS, JpegWalk, walk
from plateside.files.originals.kinds import LARGEST_PX, jpeg_size
from plateside.files.originals.unreadable import fault, faults_in_words, shown, unread
from plateside.files.originals.upright import upright
from plateside.words.frame_files import said

_HEADER = 1 << 18


def read_bytes(path: Path) -> bytes:
    """The file's bytes; CouldNotError with the reason when they cannot be had."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise unread(path.name, error) from error


def checked_size(data: bytes, name: str) -> tuple[int, int]:
    """Stored width and height [px] from the header; InputError when it is no JPEG or too large to decode."""
    if not data:
        raise fault("empty", said("empty", name=name))
    size = jpeg_size(data)
    if size is None:
        raise fault(
            "other kind",
            said("not a JPEG", name=name),
        )
    check_pixels(*size, name)
    return size


def check_pixels(width_px: int, height_px: int, name: str) -> None:
    """InputError when there are more pixels than are taken, before a byte is decoded."""
    if width_px * height_px > LARGEST_PX:
        raise fault(
            "too large",
            said("too large", name=name, wide=width_px, high=height_px, most=LARGEST_PX // 1_000_000),
        )
    if width_px < 16 or height_px < 16:
        raise fault("too small", said("too small", name=name, wide=width_px, high=height_px))


def check_passes(found: JpegWalk, width_px: int, height_px: int, name: str) -> None:
    """InputError when the picture is built up in so many passes over so many pixels that it takes minutes to open."""
    if found.scans > MOST_SCANS or (found.scans > 1 and found.scans * width_px * height_px > MOST_PASSED_PX):
        raise fault("too slow", said("too slow", name=shown(name), most=MOST_SCANS))


def decode(
    data: bytes,
    name: str,
    longest_px: int | None,
    orientation: int | None = None,
    *,
    as_stored: bool = False,
) -> NDArray[np.uint8]:
    """Height x width x 3, uint8, sRGB, upright, no longer than `longest_px` on its longer side.

    The DCT scales to the nearest eighth, quarter or half that is large enough; the rest is an area average.
    `orientation` None: as the JPEG's own EXIF says. `as_stored`: the file's own code values in their colour space:
    what is full there is full in the file, and not only beyond sRGB.
    """
    size = checked_size(data, name)
    if not walk(data, whole=False).in_one_scan:
        # a raw's preview as well: nobody has walked through it
        check_passes(walk(data), *size, name)
    with faults_in_words(name):
        image: Image.Image = JpegImagePlugin.JpegImageFile(io.BytesIO(data))
        if longest_px is not None and max(image.size) > longest_px:
            image.draft(None, _at_least(image.size, longest_px))
        exif = _exif(image)
        if orientation is None:
            orientation = _orientation(image)
        profile = image.info.get("icc_profile")
        image.load()
    if image.mode not in ("RGB", "L", "CMYK"):
        image = image.convert("RGB")
    if as_stored and image.mode != "CMYK":
        stored = image if image.mode == "RGB" else image.convert("RGB")
        return upright(np.asarray(fitted(stored, longest_px)), orientation or 1)
    space = space_of(data, name, profile, exif, image.mode)
    if space.profile is not None and not is_srgb(space.profile):
        image = image_to_srgb(image, space.profile)
    elif image.mode != "RGB":
        image = image.convert("RGB")
    return upright(np.asarray(fitted(image, longest_px)), orientation or 1)


def fitted(image: Image.Image, longest_px: int | None) -> Image.Image:
    """No longer than `longest_px` on its longer side, by an area average."""
    if longest_px is None or max(image.size) <= longest_px:
        return image
    average = Image.Resampling.BOX if _halves(image.size, longest_px) else Image.Resampling.HAMMING
    return image.resize(_fitting(image.size, longest_px), average)


def _exif(image: Image.Image) -> Image.Exif | None:
    """What is damaged counts as not there."""
    with contextlib.suppress(Exception), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return image.getexif()
    return None


def _orientation(image: Image.Image) -> int:
    """EXIF tag 274; what is damaged or no orientation counts as upright."""
    with contextlib.suppress(Exception):
        orientation = int(image.getexif().get(274, 1))
        return orientation if 1 <= orientation <= 8 else 1
    return 1


def _fitting(size: tuple[int, int], longest_px: int) -> tuple[int, int]:
    scale = longest_px / max(size)
    return max(round(size[0] * scale), 1), max(round(size[1] * scale), 1)


def _at_least(size: tuple[int, int], longest_px: int) -> tuple[int, int]:
    return _fitting(size, longest_px)


def _halves(size: tuple[int, int], longest_px: int) -> bool:
    return max(size) % longest_px == 0
