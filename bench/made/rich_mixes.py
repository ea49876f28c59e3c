"""A rich table in the light of a day: which window, sun or none, a lamp or none, other colours of things, a camera.

Sky and sun are daylight of two colours: neither is a lamp. Half of the frames have the per-channel tone curve of a
camera's JPEG, all have some vignetting; white balance lies anywhere from the window's light to the mixture's.
"""

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from bench.made.faults import frame_of
from bench.made.lit_tables import _light
from bench.made.rich_tables import RichTable
from bench.made.scenes import sheet
from plateside.ground.srgb import LUMINANCE_32

Array = NDArray[np.float32]
SUN_OFTEN = 0.35


@dataclass(frozen=True, eq=False)
class RichFrame:
    """A frame and what is true of it."""

    picture: NDArray[np.uint8]
    sun: bool
    fifth_share: float
    """Of the hero's box: where the lamp gives a fifth of the light or more."""


def rich_frame(table: RichTable, seed: int, share: float, *, photos: tuple[str, ...]) -> RichFrame:
    """One frame; a `share` above 0: the lamp gives that share of the light somewhere on the hero."""
    rng = np.random.default_rng([29, seed])
    k = int(rng.integers(len(table.windows)))
    sun = bool(rng.random() < SUN_OFTEN)
    colours = _recoloured(table.things, rng, photos)
    x0, y0, x1, y1 = table.subject_box
    high, wide = table.things.shape
    part = np.s_[int(y0 * high) : int(y1 * high), int(x0 * wide) : int(x1 * wide)]
    if sun:
        day = _light(float(rng.uniform(6500, 11000)), rng)
        light, white = _with_sun(table, k, day, rng, part)
    else:
        day = _light(float(rng.uniform(5000, 9000)), rng)
        light, white = table.windows[k] * day, day
    both, fifth = light, 0.0
    if share > 0:
        j = int(rng.integers(len(table.lamps) + 1))
        lamp = table.lamps[j] if j < len(table.lamps) else np.mean(table.lamps, axis=0)
        lamp = lamp * _light(float(rng.uniform(2500, 3500)), rng)
        ratio = _level(lamp) / np.maximum(_level(light), 1e-6)
        gain = np.float32(share / (1 - share) / max(float(np.percentile(ratio[part], 95)), 1e-6))
        both = light + lamp * gain
        fifth = float((ratio[part] * gain >= 0.25).mean())
    else:
        # the same draws as with a lamp, so that what follows is alike
        rng.integers(3), rng.uniform(), rng.normal()
    if rng.random() < 0.5:
        mean = both.mean(axis=(0, 1)) / np.maximum((light / white).mean(axis=(0, 1)), 1e-9) / white
        white = white * (mean / mean[1]) ** np.float32(rng.uniform(0, 1))
    white = np.where(np.isfinite(white) & (white > 0), white, day)
    both = both / (white / white[1]) * colours
    both = both * np.exp(rng.normal(0, [0.05, 0, 0.05])).astype(np.float32)
    v, u = np.mgrid[0:high, 0:wide]
    away = (((u / wide - 0.5) ** 2 + (v / high - 0.5) ** 2) / 0.5)[..., None]
    both = both * (1 - rng.uniform(0, 0.45) * away).astype(np.float32)
    top = float(np.percentile(both @ LUMINANCE_32, 98))
    both = both * np.float32(rng.uniform(0.45, 0.95) / max(top, 1e-6))
    large = np.maximum(cv2.resize(both, None, fx=4, fy=4, interpolation=cv2.INTER_CUBIC), 0)
    if rng.random() < 0.5:
        large = _toned(large, rng)
    quality = int(rng.integers(85, 96))
    return RichFrame(frame_of(np.asarray(large, np.float32), rng, quality=quality), sun, fifth)


def _level(light: Array) -> Array:
    return np.asarray(cv2.medianBlur(np.ascontiguousarray((light @ LUMINANCE_32).astype(np.float32)), 5))


def _with_sun(
    table: RichTable, k: int, sky: Array, rng: np.random.Generator, part: Any
) -> tuple[Array, Array]:
    """Window and sun together, and what is taken as white."""
    colour = _light(float(rng.uniform(4300, 5600)), rng)
    window, beam = table.windows[k] * sky, table.suns[k] * colour
    ratio = float(np.percentile(_level(beam)[part] / np.maximum(_level(window)[part], 1e-6), 90))
    share = float(rng.uniform(0.2, 0.85))
    beam = beam * np.float32(share / (1 - share) / max(ratio, 1e-6))
    if not np.isfinite(beam).all():
        beam = 0 * window
    white = sky * (1 - share) + colour * share if rng.random() < 0.6 else sky
    return window + beam, white


def _recoloured(things: NDArray[np.int16], rng: np.random.Generator, photos: tuple[str, ...]) -> Array:
    """One factor a thing, and a pattern on some: the same whatever the light."""
    out = np.ones((*things.shape, 3), np.float32)
    for thing in np.unique(things):
        mask = things == thing
        if rng.random() < 0.7:
            factor = np.exp(rng.normal(0, 0.25, 3))
            out[mask] *= factor / factor.mean()
        if rng.random() < 0.25 and np.count_nonzero(mask) > 100:
            scale = float(rng.uniform(0.35, 1))
            pattern = sheet(str(rng.choice(photos)), things.shape[1], things.shape[0], rng, scale)
            pattern = pattern / max(float(pattern.mean()), 0.02)
            strong = rng.uniform(0.3, 1)
            out[mask] *= ((1 - strong) + strong * pattern.clip(0.1, 3))[mask]
    return np.asarray(out / max(float(out.mean()), 0.1), np.float32)


def _toned(linear: Array, rng: np.random.Generator) -> Array:
    """A camera's curve on each channel: more contrast, and a shoulder."""
    steep = (np.clip(linear, 0, None) / 0.2) ** rng.uniform(0.9, 1.25) * 0.2
    bent = rng.uniform(0, 0.5)
    shoulder = 0.4 + (1 - np.exp(-(steep - 0.4) / 0.6)) * 0.6 * bent + (steep - 0.4) * (1 - bent)
    return np.where(steep > 0.4, shoulder, steep).astype(np.float32)
