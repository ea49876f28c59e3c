"""What space a picture file's numbers are in, and the way from there to sRGB: by its ICC profile, else by what it says.

In this order, the first that is there: PNG's cICP chunk; the embedded ICC profile (versions 2 and 4); PNG's sRGB chunk;
EXIF's colour space and interoperability index (Exif 2.32; R03 is the wide option of DCF 2.0); PNG's gAMA and cHRM (PNG,
third edition, 11.3.2); else sRGB. Conversion by LittleCMS, relative colorimetric: through Pillow where 8 bits stay 8,
through libvips where 16 bits stay 16.
"""

import contextlib
import functools
import io
import struct
import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np
import pyvips
from numpy.typing import NDArray
from PIL import Image, ImageCms

from plateside.finish.icc import profile_of_primaries, srgb_profile
from plateside.model.errors import InputError
from plateside.words.frame_files import said

DAMAGED = said("profile damaged")
OF_PRINT = said("from print")
UNTAGGED = said("untagged")

_D65 = (0.3127, 0.3290)
_BT_709 = (0.64, 0.33, 0.30, 0.60, 0.15, 0.06, *_D65)
_DCF_WIDE = (0.64, 0.33, 0.21, 0.71, 0.15, 0.06, *_D65)
"""DCF 2.0 optional colour space (IEC 61966-2-5): primaries; its gamma is 2 + 51/256."""
_DCF_GAMMA = 563 / 256
_CICP_PRIMARIES = {
    1: _BT_709,
    9: (0.708, 0.292, 0.170, 0.797, 0.131, 0.046, *_D65),
    11: (0.680, 0.320, 0.265, 0.690, 0.150, 0.060, 0.314, 0.351),
    12: (0.680, 0.320, 0.265, 0.690, 0.150, 0.060, *_D65),
}
"""ITU-T H.273, table 2."""
_CICP_GAMMA = {1: 2.4, 4: 2.2, 5: 2.8, 6: 2.4, 8: 1.0, 13: None, 14: 2.4, 15: 2.4}
"""ITU-T H.273, table 3, as displays show them (BT.1886 for the camera curves); None is sRGB's own."""
_CICP_HIGH_RANGE = (16, 18)
_SRGB_GAMMA = 45455
"""What PNG's gAMA says for sRGB, a hundred thousandth of 1/gamma."""


@dataclass(frozen=True)
class Space:
    """The space of a file's numbers."""

    profile: bytes | None = None
    """ICC profile; None: sRGB"""
    remark: str = ""
    """what a person should know about it"""


SRGB = Space()


def space_of(data: bytes, name: str, embedded: bytes | None, exif: Any, mode: str) -> Space:
    """The space that a file says its numbers are in.

    data      the file, or its beginning
    embedded  its ICC profile
    exif      Pillow's Exif, or None
    mode      RGB, L (grey) or CMYK
    Raises InputError when they cannot be shown in sRGB.
    """
    chunks = _png_chunks(data) if data[:8] == b"\x89PNG\r\n\x1a\n" else {}
    if b"cICP" in chunks and len(chunks[b"cICP"]) >= 4:
        return _by_cicp(chunks[b"cICP"], name)
    if embedded:
        return _by_profile(embedded, mode, name)
    if mode == "CMYK":
        raise InputError(said("print colours", name=name))
    if b"sRGB" in chunks:
        return SRGB
    if exif is not None and _says_wide(exif):
        return Space(profile_of_primaries(_DCF_WIDE, _DCF_GAMMA))
    return _by_gamma(chunks) if mode == "RGB" else SRGB


def says_its_space(data: bytes, exif: Any) -> bool:
    """Whether a file without a profile says all the same in which space its numbers are.

    data, exif  as for `space_of`
    """
    chunks = _png_chunks(data) if data[:8] == b"\x89PNG\r\n\x1a\n" else {}
    if chunks.keys() & {b"cICP", b"sRGB", b"gAMA"}:
        return True
    said: Any = None
    # a damaged directory says nothing
    with contextlib.suppress(Exception), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        said = exif.get_ifd(0x8769).get(40961)
    return said == 1 or (exif is not None and _says_wide(exif))


def to_srgb(pixels: NDArray[Any], space: Space) -> NDArray[Any]:
    """Pixels (h, w) or (h, w, 1, 3 or 4) of `space`, uint8 or uint16, as sRGB (h, w, 3) of the same depth."""
    planes = pixels.reshape(*pixels.shape[:2], -1)
    if space.profile is None or is_srgb(space.profile):
        grey = planes.shape[2] == 1
        return np.repeat(planes, 3, axis=2) if grey else planes[..., :3]
    if pixels.dtype == np.uint8:
        mode = {1: "L", 3: "RGB", 4: "CMYK"}[planes.shape[2]]
        image = Image.frombytes(mode, planes.shape[1::-1], np.ascontiguousarray(planes).tobytes())
        return np.asarray(image_to_srgb(image, space.profile))
    image = pyvips.Image.new_from_array(np.ascontiguousarray(planes))
    image = image.copy(interpretation={1: "grey16", 3: "rgb16", 4: "cmyk"}[planes.shape[2]])
    image.set_type(pyvips.GValue.blob_type, "icc-profile-data", space.profile)
    shown = image.icc_transform("srgb", embedded=True, intent="relative", depth=16)
    return np.asarray(shown.numpy(), np.uint16)[..., :3]


def image_to_srgb(image: Image.Image, profile: bytes) -> Image.Image:
    """An 8-bit picture (RGB, L or CMYK) by its profile."""
    return _transform(profile, image.mode).apply(image)


@functools.lru_cache(maxsize=8)
def is_srgb(profile: bytes) -> bool:
    """Whether a profile's numbers are sRGB's, to half a code of 255: then they are left alone, bit for bit."""
    if profile == srgb_profile():
        return True
    if profile[16:20] != b"RGB ":
        return False
    steps = np.array([0, 32, 64, 128, 192, 255], np.uint8)
    cube = np.stack(np.meshgrid(steps, steps, steps), axis=-1).reshape(1, -1, 3)
    got = np.asarray(image_to_srgb(Image.fromarray(cube), profile))
    return int(np.abs(got.astype(int) - cube).max()) <= 1


@functools.lru_cache(maxsize=8)
def _transform(profile: bytes, mode: str) -> ImageCms.ImageCmsTransform:
    return ImageCms.buildTransform(
        ImageCms.ImageCmsProfile(io.BytesIO(profile)),
        ImageCms.ImageCmsProfile(io.BytesIO(srgb_profile())),
        mode,
        "RGB",
        ImageCms.Intent.RELATIVE_COLORIMETRIC,
        ImageCms.Flags.BLACKPOINTCOMPENSATION if mode == "CMYK" else ImageCms.Flags.NONE,
    )


def _by_profile(profile: bytes, mode: str, name: str) -> Space:
    try:
        _transform(profile, mode)
    except (ImageCms.PyCMSError, OSError, ValueError) as error:
        if mode == "CMYK":
            raise InputError(said("print profile damaged", name=name)) from error
        return Space(None, DAMAGED)
    return Space(profile, OF_PRINT if mode == "CMYK" else "")


def _by_cicp(chunk: bytes, name: str) -> Space:
    primaries, curve = chunk[0], chunk[1]
    if curve in _CICP_HIGH_RANGE:
        raise InputError(said("high range", name=name))
    if primaries not in _CICP_PRIMARIES or curve not in _CICP_GAMMA:
        return SRGB
    if primaries == 1 and _CICP_GAMMA[curve] is None:
        return SRGB
    return Space(profile_of_primaries(_CICP_PRIMARIES[primaries], _CICP_GAMMA[curve]))


def _says_wide(exif: Any) -> bool:
    # tag 40961: 1 is sRGB, 65535 another; tag 1 of the interoperability directory names the other
    said: Any = None
    index: Any = ""
    # a damaged directory says nothing, and is no reason to refuse a picture that decodes
    with contextlib.suppress(Exception), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        said, index = exif.get_ifd(0x8769).get(40961), exif.get_ifd(0xA005).get(1, "")
    text = index.decode("ascii", "replace") if isinstance(index, bytes) else str(index)
    return bool(said != 1 and text.strip("\0 ").upper() == "R03")


def _by_gamma(chunks: dict[bytes, bytes]) -> Space:
    said = chunks.get(b"gAMA", b"")
    gamma = struct.unpack(">I", said[:4])[0] if len(said) >= 4 else 0
    points = chunks.get(b"cHRM", b"")
    xy = _BT_709
    if len(points) >= 32:
        white, red, green, blue = (struct.unpack_from(">2I", points, at) for at in (0, 8, 16, 24))
        xy = tuple(round(v / 100_000, 5) for v in (*red, *green, *blue, *white))
    like_srgb = max(abs(a - b) for a, b in zip(xy, _BT_709, strict=True)) < 0.002
    if gamma == 0 or (like_srgb and abs(gamma - _SRGB_GAMMA) < 500):
        return SRGB
    try:
        return Space(profile_of_primaries(xy, 100_000 / gamma))
    except ValueError:
        return Space(None, DAMAGED)


def _png_chunks(data: bytes) -> dict[bytes, bytes]:
    found: dict[bytes, bytes] = {}
    at = 8
    while at + 8 <= len(data):
        size, kind = struct.unpack_from(">I4s", data, at)
        if kind in (b"IDAT", b"IEND"):
            break
        found.setdefault(kind, data[at + 8 : at + 8 + size])
        at += 12 + size
    return found
