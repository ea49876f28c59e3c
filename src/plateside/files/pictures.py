"""Picture files written whole or not at all, and read back: TIFF, JPEG, WebP, AVIF, PNG.

Each carries its colour profile and, when given, an XMP packet (ISO 16684-1); no Exif block, so nothing of the camera's
own metadata (place, serial number, preview) can slip through. Pixels are (h, w, 3), uint8 or uint16, sRGB, upright.
"""

import contextlib
import errno
import os
import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pyvips
from numpy.typing import NDArray
from PIL import Image

from plateside.files.atomic import disk_faults_in_words, replacing, write_bytes
from plateside.files.colour_profiles import UNTAGGED, Space, says_its_space, space_of, to_srgb
from plateside.files.originals.in_hand import holding
from plateside.files.originals.kinds import LARGEST_PX
from plateside.finish.icc import srgb_profile
from plateside.model.errors import CouldNotError, InputError
from plateside.words.frame_files import said as sentence

Pixels = NDArray[np.uint8] | NDArray[np.uint16]

ENDINGS = {"jpeg": ".jpg", "webp": ".webp", "avif": ".avif", "png": ".png", "tiff": ".tif"}
QUALITY = {"jpeg": 86, "webp": 82, "avif": 62, "png": 100}
"""What is used when the channel has no limit on the file's size."""


@dataclass(frozen=True)
class Picture:
    """A picture file read."""

    pixels: Pixels
    """sRGB, whatever space the file is in"""
    xmp: bytes
    remark: str = ""
    """what a person should know of its colours"""


def encode(pixels: Pixels, kind: str, quality: int, xmp: bytes = b"") -> bytes:
    """The picture as bytes of a file of `kind` (jpeg, webp, avif, png, tiff).

    quality  1..100; png and tiff lose nothing and pass it over
    Raises InputError on an unknown kind, CouldNotError when the encoder refuses.
    """
    options: dict[str, Any] = {"keep": pyvips.ForeignKeep.ICC | pyvips.ForeignKeep.XMP}
    match kind:
        case "jpeg":
            # from 90 up colour is kept at full resolution: fine red on white shows it
            options |= {"Q": quality, "optimize_coding": True, "interlace": True, "trellis_quant": False}
            options["subsample_mode"] = "off" if quality >= 90 else "on"
        case "webp":
            options |= {"Q": quality, "effort": 4, "smart_subsample": True}
        case "avif":
            options |= {"Q": quality, "effort": 2, "compression": "av1"}
        case "png":
            options |= {"compression": 7}
        case "tiff":
            options |= {"compression": "deflate", "predictor": "horizontal", "tile": False}
        case _:
            raise InputError(sentence("no such format", kind=repr(kind), allowed=list(ENDINGS)))
    try:
        return bytes(_image(pixels, xmp).write_to_buffer(ENDINGS[kind], **options))
    except pyvips.Error as error:
        raise CouldNotError(sentence("encoder refused", kind=kind, why=_first_line(error))) from error


def encode_plain(pixels: NDArray[np.uint8], quality: int) -> bytes:
    """A JPEG for our own pages: sRGB without a profile, one pass from top to bottom, which a browser reads quickest.

    Raises CouldNotError when the encoder refuses.
    """
    try:
        image = pyvips.Image.new_from_array(np.ascontiguousarray(pixels)).copy(interpretation="srgb")
        return bytes(image.write_to_buffer(".jpg", Q=quality, optimize_coding=True, keep="none"))
    except pyvips.Error as error:
        raise CouldNotError(sentence("encoder refused", kind="jpeg", why=_first_line(error))) from error


def decode(data: bytes) -> NDArray[np.uint8]:
    """Bytes of a picture file as uint8 (h, w, 3)."""
    try:
        image = pyvips.Image.new_from_buffer(data, "", access="sequential")
        return np.asarray(_three_bands(image).cast("uchar").numpy(), np.uint8)
    except pyvips.Error as error:
        raise CouldNotError(sentence("not read back", why=_first_line(error))) from error


def write_picture(path: Path, pixels: Pixels, kind: str, quality: int = 95, xmp: bytes = b"") -> None:
    """Write the picture, whole or not at all. Raises CouldNotError with the mend (disk full, read-only ...)."""
    write_bytes(path, encode(pixels, kind, quality, xmp))


def write_tiff_16(path: Path, pixels: NDArray[np.uint16], xmp: bytes = b"") -> None:
    """A 16-bit TIFF 6.0, deflated, with profile and XMP, whole or not at all."""
    with replacing(path) as neighbour:
        fill_tiff_16(neighbour, pixels, xmp, path)


def fill_tiff_16(
    neighbour: Path, pixels: NDArray[np.uint16], xmp: bytes = b"", path: Path | None = None
) -> None:
    """A 16-bit TIFF 6.0 written straight to disk, into a working file that is to be put in place as `path`.

    Raises CouldNotError with the mend (disk full ...).
    """
    try:
        _image(pixels, xmp).tiffsave(
            str(neighbour), compression="deflate", predictor="horizontal", level=2,
            keep=pyvips.ForeignKeep.ICC | pyvips.ForeignKeep.XMP,
        )  # fmt: skip
    except pyvips.Error as error:
        with disk_faults_in_words(path or neighbour):
            # libvips tells what the system refused in the system's own words, and by no number
            for number in (errno.ENOSPC, errno.EDQUOT):
                if os.strerror(number) in str(error):
                    raise OSError(number, os.strerror(number)) from error
        said = _first_line(error)
        raise CouldNotError(sentence("not written", name=path or neighbour, why=said)) from error


@holding
def read_picture(path: Path) -> Picture:
    """A picture that was written here, and perhaps changed by hand since: whatever space it is in, sRGB comes back.

    8 bits stay 8, anything finer becomes 16. Raises InputError when it is gone, damaged, or in no space for displays.
    """
    try:
        image = _opened(path)
        if image.width * image.height > LARGEST_PX:
            most = LARGEST_PX // 1_000_000
            raise InputError(
                sentence("too large", name=path.name, wide=image.width, high=image.height, most=most)
            )
        space = _space(path, image)
        pixels = to_srgb(_planes(image, space), space)
        xmp = bytes(image.get("xmp-data")) if image.get_typeof("xmp-data") else b""
    except pyvips.Error as error:
        raise InputError(sentence("picture unread", name=path.name, why=_first_line(error))) from error
    return Picture(pixels, xmp, space.remark)


@dataclass(frozen=True, eq=False)
class Looked:
    """A picture file, looked at in small."""

    width_px: int
    height_px: int
    grey: NDArray[np.float32]
    """its brightness (h, w), 0..1, in its own numbers"""
    xmp: bytes
    is_print: bool
    """its numbers are inks"""
    remark: str
    """what a person should know of its colours"""


@holding
def look_at(path: Path, longest_px: int) -> Looked:
    """A picture in small, upright, whatever its colours. Raises InputError when it is gone, damaged or cut short."""
    try:
        if not path.is_file():
            raise InputError(sentence("picture unread", name=path.name, why="not there"))
        image = pyvips.Image.new_from_file(str(path), revalidate=True, fail_on="truncated").autorot()
        if image.width * image.height > LARGEST_PX:
            most = LARGEST_PX // 1_000_000
            raise InputError(
                sentence("too large", name=path.name, wide=image.width, high=image.height, most=most)
            )
        xmp = bytes(image.get("xmp-data")) if image.get_typeof("xmp-data") else b""
        if _mode(image) == "CMYK":
            return Looked(image.width, image.height, np.zeros((1, 1), np.float32), xmp, True, "")
        space = _space(path, image)
        remark = space.remark or ("" if _says_its_space(path, image) else UNTAGGED)
        return Looked(image.width, image.height, _grey(image, longest_px), xmp, False, remark)
    except pyvips.Error as error:
        raise InputError(sentence("picture unread", name=path.name, why=_first_line(error))) from error


def _grey(image: Any, longest_px: int) -> NDArray[np.float32]:
    whole = 255.0 if image.format == "uchar" else 65535.0 if image.format == "ushort" else 1.0
    bands = image.extract_band(0, n=3 if image.bands >= 3 else 1)
    small = bands.resize(min(longest_px / max(image.width, image.height), 1.0), kernel="linear")
    pixels = np.asarray(small.cast("float").numpy(), np.float32)
    return np.asarray(pixels.reshape(*pixels.shape[:2], -1).mean(axis=2) / np.float32(whole), np.float32)


def _says_its_space(path: Path, image: Any) -> bool:
    """Whether a picture says in which space its numbers are; else they are taken as sRGB."""
    if image.get_typeof("icc-profile-data"):
        return True
    with path.open("rb") as file:
        return says_its_space(file.read(1 << 20), _exif(path))


def colour_remark(path: Path) -> str:
    """What a person should know of a picture's colours, from its header; empty when there is nothing."""
    try:
        return _space(path, _opened(path)).remark
    except pyvips.Error:
        return ""


def picture_size(path: Path) -> tuple[int, int] | None:
    """Width and height [px] by the header; None when it is no picture that can be read."""
    try:
        image = _opened(path)
    except pyvips.Error:
        return None
    return int(image.width), int(image.height)


def _opened(path: Path) -> Any:
    # libvips remembers by name what it has opened; a file made anew under the same name must be read anew
    return pyvips.Image.new_from_file(str(path), revalidate=True).autorot()


def _space(path: Path, image: Any) -> Space:
    profile = bytes(image.get("icc-profile-data")) if image.get_typeof("icc-profile-data") else None
    exif = _exif(path) if profile is None else None
    with path.open("rb") as file:
        head = file.read(1 << 20)
    return space_of(head, path.name, profile, exif, _mode(image))


def _exif(path: Path) -> Any:
    """EXIF by Pillow, which finds it in every kind of file; libvips keeps 16 bits."""
    with (
        contextlib.suppress(OSError, SyntaxError, ValueError, Image.DecompressionBombError),
        warnings.catch_warnings(action="ignore", category=Image.DecompressionBombWarning),
        Image.open(path) as image,
    ):
        return image.getexif()


def _mode(image: Any) -> str:
    if image.interpretation == "cmyk":
        return "CMYK"
    return "L" if image.bands < 3 else "RGB"


def _planes(image: Any, space: Space) -> Pixels:
    """The bands that say colour, without transparency, 8 or 16 bits."""
    if image.interpretation not in ("srgb", "rgb", "rgb16", "b-w", "grey16", "cmyk", "multiband"):
        image = image.colourspace("rgb16" if image.format != "uchar" else "srgb")
    if image.format not in ("uchar", "ushort"):
        image = image.colourspace("rgb16")
    wanted = {"CMYK": 4, "L": 1, "RGB": 3}[_mode(image)]
    pixels = image.extract_band(0, n=wanted).numpy()
    return np.asarray(pixels if pixels.dtype == np.uint8 else pixels.astype(np.uint16))


def _image(pixels: Pixels, xmp: bytes) -> Any:
    image = pyvips.Image.new_from_array(np.ascontiguousarray(pixels))
    image = image.copy(
        interpretation="rgb16" if pixels.dtype == np.uint16 else "srgb", xres=11.811, yres=11.811
    )
    image.set_type(pyvips.GValue.blob_type, "icc-profile-data", srgb_profile())
    if xmp:
        image.set_type(pyvips.GValue.blob_type, "xmp-data", xmp)
    return image


def _three_bands(image: Any) -> Any:
    return image if image.bands == 3 else image.colourspace("srgb").extract_band(0, n=3)


def _first_line(error: Exception) -> str:
    lines = [line.strip() for line in str(error).splitlines() if line.strip()]
    return (lines[-1] if lines else "no reason given").rstrip(".")
