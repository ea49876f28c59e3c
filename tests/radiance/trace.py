"""Radiance run as a plain, unbiased Monte Carlo tracer, repeated until its own scatter is small enough.

-aa 0 (no ambient cache), -as 0 (adaptive extra samples are biased), up to 24 bounces with Russian roulette, -u+
(uncorrelated draws): the repeats of one sensor are independent, so their scatter is the noise of their mean.
"""

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pyradiance

from tests.radiance.scene import CAL_FILE, RadianceScene

SAMPLES = 4096
"""Rays from a sensor in one repeat."""
PARAMS = (
    "-ab", "24", "-as", "0", "-aa", "0", "-lr", "-26", "-lw", "5e-5",
    "-dj", "0.9", "-dt", "0", "-dc", "1", "-ds", "0", "-st", "0",
)  # fmt: skip


LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
"""Shares of the three channels, linear sRGB (IEC 61966-2-1)."""


@dataclass(frozen=True)
class Traced:
    """Illuminance on n sensors."""

    lux: np.ndarray
    """Luminance-weighted (n,)."""
    rgb_lx: np.ndarray
    """By channel (n, 3)."""
    noise: np.ndarray
    """Standard error of the mean as a share of it."""
    repeats: np.ndarray


def trace(
    scene: RadianceScene,
    sensors: Sequence[Sequence[float]],
    aim: float = 0.005,
    first: int = 8,
    most: int = 96,
    samples: int = SAMPLES,
) -> Traced:
    """Illuminance [lx] on sensors (x, y, z, nx, ny, nz), to a standard error of `aim` (share), or `most` repeats.

    samples: rays from a sensor in one repeat. Few rays in many repeats cost as much as many in few, and their scatter
    is known far better.
    """
    values: list[list[list[float]]] = [[] for _ in sensors]
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        cal, rad, octree = place / "case.cal", place / "case.rad", place / "case.oct"
        cal.write_text(scene.cal)
        rad.write_text(scene.scene.replace(CAL_FILE, str(cal)))
        octree.write_bytes(pyradiance.oconv(str(rad), warning=False))
        wanted = [first] * len(sensors)
        while any(wanted):
            order = [k for k, count in enumerate(wanted) for _ in range(count)]
            rays = "".join(" ".join(f"{c:.9g}" for c in sensors[k]) + "\n" for k in order).encode()
            params = ["-u+", "-ad", str(samples), *PARAMS]
            out = pyradiance.rtrace(rays, octree, header=False, irradiance=True, params=params)
            lines = out.decode().split("\n")[: len(order)]
            for k, line in zip(order, lines, strict=True):
                values[k].append([float(word) for word in line.split()])
            wanted = [_still_wanted(np.array(v) @ LUMINANCE, aim, most) for v in values]
    rgb = np.array([np.mean(v, axis=0) for v in values])
    lux = rgb @ LUMINANCE
    errors = np.array([np.std(np.array(v) @ LUMINANCE, ddof=1) / np.sqrt(len(v)) for v in values])
    return Traced(lux, rgb, errors / np.maximum(lux, 1e-12), np.array([len(v) for v in values]))


def _still_wanted(values: np.ndarray, aim: float, most: int) -> int:
    """How many more repeats: as many as the scatter so far asks for, at most three times as many at once."""
    mean, count = values.mean(), len(values)
    if mean <= 0 or count >= most:
        return 0
    share = values.std(ddof=1) / mean
    needed = int(np.ceil((share / aim) ** 2))
    return 0 if needed <= count else min(needed - count, 3 * count, most - count)
