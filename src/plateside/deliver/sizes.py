"""Which sizes are made of a delivered crop, and how a file is made to fit a limit."""

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.ground.srgb import to_display

LADDER_PX = (480, 800, 1200, 1600, 2400)
"""Widths offered to a page beside the full one: about the widths that phones, tablets and laptops ask for."""

SSIM_FLOOR = 0.93
"""Below it a file squeezed under a limit looks damaged (common practice, no source)."""
LOWEST_QUALITY = 20


def ladder(width_px: int) -> tuple[int, ...]:
    """Widths [px] for `srcset`, smallest first, the full width last; none nearer than a fifth to the next."""
    return (*(w for w in LADDER_PX if w <= 0.8 * width_px), width_px)


_light = (np.arange(4096) / 4095.0) ** 2
_DISPLAY = np.rint(255 * to_display(_light)).astype(np.uint8)
"""sRGB by the square root of linear light."""


@dataclass(frozen=True)
class Fitted:
    """An encoding decided."""

    data: bytes
    quality: int
    ssim: float | None
    """likeness to the picture, when a limit had to be met"""
    fits: bool


def fit(
    picture: NDArray[np.uint8],
    encode: Callable[[int], bytes],
    decode: Callable[[bytes], NDArray[np.uint8]],
    quality: int,
    largest_kb: float | None,
) -> Fitted:
    """The best encoding at or under `largest_kb` [kB of 1000 bytes], by bisection; at `quality` without a limit.

    encode  quality 1..100 -> bytes;  decode  bytes -> (h, w, 3)
    The likeness is measured whenever quality had to be lowered, and said when it falls under the floor.
    """
    data = encode(quality)
    if largest_kb is None or len(data) <= largest_kb * 1000:
        return Fitted(data, quality, None, True)
    low, high, best = LOWEST_QUALITY, quality, b""
    found = 0
    while low < high:
        middle = (low + high) // 2
        data = encode(middle)
        if len(data) <= largest_kb * 1000:
            best, found, low = data, middle, middle + 1
        else:
            high = middle
    if not best:
        data = encode(LOWEST_QUALITY)
        return Fitted(
            data, LOWEST_QUALITY, ssim(picture, decode(data)), False,
        )  # fmt: skip
    alike = ssim(picture, decode(best))
    return Fitted(best, found, alike, True)


def resized(linear: NDArray[np.float32], width_px: int, height_px: int) -> NDArray[np.uint8]:
    """A linear picture made smaller by area average in light, then display-encoded (IEC 61966-2-1), 8 bits."""
    small = linear
    if linear.shape[:2] != (height_px, width_px):
        reduced = cv2.resize(linear, (width_px, height_px), interpolation=cv2.INTER_AREA)
        small = np.asarray(reduced, np.float32)
    root = np.sqrt(np.clip(small, 0, 1)) * np.float32(4095) + np.float32(0.5)
    return np.asarray(_DISPLAY[root.astype(np.uint16)], np.uint8)


def ssim(one: NDArray[np.uint8], two: NDArray[np.uint8]) -> float:
    """Mean structural similarity of two display pictures, on luma; 1 for the same.

    Z. Wang et al., "Image Quality Assessment: From Error Visibility to Structural Similarity", IEEE Trans. Image
    Processing 13 (2004), 600: Gaussian window, sigma 1.5, K1 0.01, K2 0.03.
    """
    a, b = (_luma(p) for p in (one, two))
    c1, c2 = (0.01 * 255) ** 2, (0.03 * 255) ** 2
    mean_a, mean_b = _window(a), _window(b)
    var_a = _window(a * a) - mean_a * mean_a
    var_b = _window(b * b) - mean_b * mean_b
    cov = _window(a * b) - mean_a * mean_b
    top = (2 * mean_a * mean_b + c1) * (2 * cov + c2)
    bottom = (mean_a**2 + mean_b**2 + c1) * (var_a + var_b + c2)
    edge = 5  # half the window: where it would reach over the border is left out
    inner = (top / bottom)[edge:-edge, edge:-edge]
    return float(inner.mean()) if inner.size else float((top / bottom).mean())


def _luma(picture: NDArray[np.uint8]) -> NDArray[np.float64]:
    return np.asarray(picture.astype(np.float64) @ np.array([0.2125, 0.7154, 0.0721]))


def _window(values: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(cv2.GaussianBlur(values, (11, 11), 1.5, borderType=cv2.BORDER_REFLECT), np.float64)
