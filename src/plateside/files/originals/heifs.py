"""HEIF pictures (HEVC inside: .heic, .heif, .hif) decoded by libheif: upright, in sRGB.

How a picture is turned and cut stands in the file's own boxes (irot, imir, clap) and is done by the decoder; EXIF's
orientation is not read again (ISO/IEC 23008-12, 6.5). Colour is an ICC profile or code points (ITU-T H.273); where
there is none, sRGB. A thumbnail, a depth map and further pictures in the file are passed over.
"""

import functools
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pi_heif
from numpy.typing import NDArray
from PIL import Image

from plateside.files.colour_profiles import image_to_srgb, is_srgb, space_of
from plateside.files.originals.jpegs import check_pixels, fitted
from plateside.files.originals.unreadable import faults_in_words

pi_heif.options.THUMBNAILS = False
pi_heif.options.DEPTH_IMAGES = False
pi_heif.options.AUX_IMAGES = False

# Chromaticities of red, green, blue; all with the white of D65 (H.273, table 2: 1 BT.709 and sRGB, 9 BT.2020, 12 P3).
_PRIMARIES = {
    1: ((0.640, 0.330), (0.300, 0.600), (0.150, 0.060)),
    9: ((0.708, 0.292), (0.170, 0.797), (0.131, 0.046)),
    12: ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060)),
}
_D65 = (0.3127, 0.3290)
_LINEAR, _PQ, _HLG = 8, 16, 18
_DIFFUSE_WHITE_CD_M2 = 203.0
"""ITU-R BT.2408, table 1: a white card in PQ; in HLG it stands at 75 % of the signal."""


def stated_size(path: Path) -> tuple[int, int]:
    """Width and height [px] as seen upright, without decoding; InputError when it cannot be read or is too large."""
    with faults_in_words(path.name):
        width, height = (int(n) for n in _opened(path).size)
        check_pixels(width, height, path.name)
        return width, height


def exif(path: Path) -> bytes:
    """The EXIF block, beginning with its TIFF header; empty when there is none."""
    with faults_in_words(path.name):
        block = bytes(_opened(path).info.get("exif") or b"")
        return block[6:] if block.startswith(b"Exif\0\0") else block


def decode(path: Path, longest_px: int | None, *, as_stored: bool = False) -> NDArray[np.uint8]:
    """Height x width x 3, uint8, sRGB, upright, at most `longest_px` long; InputError when it is damaged.

    as_stored  the file's own code values, whatever their colour space; of PQ, HLG and linear light, whose code values
               are no display's, sRGB all the same
    """
    with faults_in_words(path.name):
        file = _opened(path)
        check_pixels(int(file.size[0]), int(file.size[1]), path.name)
        pixels = np.asarray(file)
        pixels = np.dstack([pixels] * 3) if pixels.ndim == 2 else pixels[:, :, :3]
        codes = file.info.get("nclx_profile") or {}
        if as_stored and int(codes.get("transfer_characteristics", 13)) not in (_LINEAR, _PQ, _HLG):
            return np.ascontiguousarray(pixels if pixels.dtype == np.uint8 else _eight_bits(pixels))
        return _shown(pixels, file.info, longest_px)


def _shown(pixels: NDArray[Any], info: Mapping[str, Any], longest_px: int | None) -> NDArray[np.uint8]:
    icc, codes = info.get("icc_profile"), info.get("nclx_profile") or {}
    if pixels.dtype == np.uint8:
        image = fitted(Image.fromarray(np.ascontiguousarray(pixels)), longest_px)
        return _by_profile(image, icc) if icc else by_codes(np.asarray(image), codes)
    longest = max(pixels.shape[:2])
    if longest_px is not None and longest > longest_px:
        size = tuple(max(round(n * longest_px / longest), 1) for n in (pixels.shape[1], pixels.shape[0]))
        pixels = np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA))
    return _by_profile(Image.fromarray(_eight_bits(pixels)), icc) if icc else by_codes(pixels, codes)


def _by_profile(image: Image.Image, icc: bytes) -> NDArray[np.uint8]:
    """By an ICC profile; a damaged one counts as sRGB's."""
    space = space_of(b"", "", icc, None, image.mode)
    sure = space.profile is None or is_srgb(space.profile)
    return np.asarray(image if sure or space.profile is None else image_to_srgb(image, space.profile))


def _eight_bits(pixels: NDArray[Any]) -> NDArray[np.uint8]:
    return np.asarray((pixels.astype(np.uint32) * 255 + 32767) // 65535, np.uint8)


def by_codes(pixels: NDArray[Any], codes: dict[str, Any]) -> NDArray[np.uint8]:
    """Pixels (uint8 or uint16, h x w x 3) of the primaries and curve that H.273's code points name, in sRGB.

    Unknown and unstated code points count as sRGB. What is brighter than a white card in PQ or HLG, and what lies
    outside sRGB, is clipped.
    """
    primaries, transfer = int(codes.get("color_primaries", 1)), int(codes.get("transfer_characteristics", 13))
    if primaries not in _PRIMARIES:
        primaries = 1
    if primaries == 1 and transfer not in (_LINEAR, _PQ, _HLG):
        if pixels.dtype == np.uint8:
            return np.ascontiguousarray(pixels, np.uint8)
        return _eight_bits(pixels)
    table = _to_light(transfer, 256 if pixels.dtype == np.uint8 else 65536)
    matrix = (np.linalg.inv(_to_xyz(1)) @ _to_xyz(primaries)).T.astype(np.float32)
    shown = _to_srgb_curve()
    result = np.empty(pixels.shape, np.uint8)
    for top in range(0, pixels.shape[0], 256):
        light = table[pixels[top : top + 256]] @ matrix
        result[top : top + 256] = shown[(np.clip(light, 0, 1) * 65535 + 0.5).astype(np.uint16)]
    return result


def _opened(path: Path) -> Any:
    with path.open("rb"):  # the system's own word when it cannot be read
        pass
    return pi_heif.open_heif(str(path), convert_hdr_to_8bit=False, hdr_to_16bit=True)


@functools.cache
def _to_light(transfer: int, steps: int) -> NDArray[np.float32]:
    """Light of each code value; 1 is a white card. H.273, table 3; ITU-R BT.2100 for PQ and HLG."""
    v = np.arange(steps) / (steps - 1)
    if transfer == _LINEAR:
        light = v
    elif transfer == _PQ:
        m1, m2, c1, c2, c3 = 2610 / 16384, 2523 / 32, 3424 / 4096, 2413 / 128, 2392 / 128
        root = v ** (1 / m2)
        light = 10000 * (np.maximum(root - c1, 0) / (c2 - c3 * root)) ** (1 / m1) / _DIFFUSE_WHITE_CD_M2
    elif transfer == _HLG:
        light = _hlg(v) / _hlg(np.array([0.75]))
    else:
        light = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
    return light.astype(np.float32)


def _hlg(v: NDArray[np.float64]) -> NDArray[np.float64]:
    a, b, c = 0.17883277, 0.28466892, 0.55991073
    return np.asarray(np.where(v <= 0.5, v * v / 3, (np.exp((v - c) / a) + b) / 12))


@functools.cache
def _to_srgb_curve() -> NDArray[np.uint8]:
    light = np.arange(65536) / 65535  # IEC 61966-2-1
    shown = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(np.rint(255 * shown), np.uint8)


@functools.cache
def _to_xyz(primaries: int) -> NDArray[np.float64]:
    """Linear RGB to XYZ, white at Y = 1 (SMPTE RP 177)."""
    columns = np.array([[x / y, 1, (1 - x - y) / y] for x, y in _PRIMARIES[primaries]]).T
    x, y = _D65
    white = np.array([x / y, 1, (1 - x - y) / y])
    return np.asarray(columns * np.linalg.solve(columns, white))
