"""Pictures with fine detail in every pixel, from a seed: what noise is hardest told from.

Each is linear sRGB light (h, w, 3), its mean near 0.13 (metered middle grey is 10/78), drawn at twice its size and
brought down by area average, as a lens and a pixel do:

    crumbs   small lumps of all sizes in light from one side, on each other
    linen    over and under threads, each with its own thickness, place and colour, and fibres
    herbs    narrow leaves in all directions, lighter and darker, with a vein
    leaves   discs of all sizes hiding each other ("dead leaves": A. B. Lee, D. Mumford, J. Huang, IJCV 41 (2001), 35;
             the chart of ISO 19567-2 for texture lost to noise reduction is one)
    cloud    all frequencies, amplitude as one over the frequency (D. J. Field, J. Opt. Soc. Am. A 4 (1987), 2379)
"""

import cv2
import numpy as np
from numpy.typing import NDArray

Linear = NDArray[np.float64]
KINDS = ("crumbs", "linen", "herbs", "leaves", "cloud")
MEAN = 0.13
_OVER = 2


def detailed(kind: str, seed: int, height: int = 512, width: int = 640) -> Linear:
    """One of KINDS."""
    size = height * _OVER, width * _OVER
    rng = np.random.default_rng([seed, KINDS.index(kind)])
    large = {"crumbs": _crumbs, "linen": _linen, "herbs": _herbs, "leaves": _leaves, "cloud": _cloud}[kind](
        rng, *size
    )
    small = np.asarray(cv2.resize(large, (width, height), interpolation=cv2.INTER_AREA), np.float64)
    return np.asarray(np.clip(small * MEAN / small.mean(), 0.002, 0.7))


def _waves(
    rng: np.random.Generator, height: int, width: int, power: float, longest_px: float = 400
) -> Linear:
    """Gaussian, of mean 0 and variance 1, its amplitude falling as the frequency to the `power`."""
    y, x = np.fft.fftfreq(height)[:, None], np.fft.rfftfreq(width)[None]
    frequency = np.maximum(np.hypot(y, x), 1 / longest_px)
    spectrum = np.fft.rfft2(rng.normal(size=(height, width))) / frequency**power
    spectrum[0, 0] = 0
    waves = np.fft.irfft2(spectrum, (height, width))
    return np.asarray(waves / waves.std())


def _crumbs(rng: np.random.Generator, height: int, width: int) -> Linear:
    ground = np.zeros((height, width), np.float32)
    colour = np.zeros((height, width, 3), np.float32)
    count = height * width // 60
    radii = np.sort(np.minimum(2.5 * rng.pareto(2.2, count) + 2.0, 22))[::-1]
    for radius in radii:
        cx, cy = rng.uniform(0, width), rng.uniform(0, height)
        left, top = max(int(cx - radius), 0), max(int(cy - radius), 0)
        right, bottom = min(int(cx + radius) + 2, width), min(int(cy + radius) + 2, height)
        if right - left < 2 or bottom - top < 2:
            continue
        y, x = np.mgrid[top:bottom, left:right]
        turn = rng.uniform(0, np.pi)
        u = (x - cx) * np.cos(turn) + (y - cy) * np.sin(turn)
        v = (-(x - cx) * np.sin(turn) + (y - cy) * np.cos(turn)) / rng.uniform(0.6, 1)
        inside = 1 - (u * u + v * v) / radius**2
        cap = np.sqrt(np.maximum(inside, 0)) * radius * 0.7
        there = (inside > 0) & (cap + 1 > ground[top:bottom, left:right] * 0.6)
        ground[top:bottom, left:right][there] = cap[there]
        tone = np.array([0.55, 0.36, 0.17]) * rng.lognormal(0, 0.25) * rng.lognormal(0, 0.05, 3)
        colour[top:bottom, left:right][there] = tone
    ground += (0.35 * _waves(rng, height, width, 0.8)).astype(np.float32)
    down, across = np.gradient(ground)
    lit = np.clip((0.6 * across + 0.4 * down + 0.8) / np.sqrt(across**2 + down**2 + 1), 0.06, None)
    return np.asarray((colour + 0.02) * lit[..., None])


def _linen(rng: np.random.Generator, height: int, width: int) -> Linear:
    pitch = rng.uniform(7, 11)
    turn = rng.uniform(-0.3, 0.3)
    y, x = np.mgrid[:height, :width].astype(np.float64)
    wander = 1.2 * _waves(rng, height, width, 1.6), 1.2 * _waves(rng, height, width, 1.6)
    u = (x * np.cos(turn) + y * np.sin(turn) + wander[0]) / pitch
    v = (-x * np.sin(turn) + y * np.cos(turn) + wander[1]) / pitch
    reach = int(max(height, width) / pitch * 1.5) + 4
    thick, shade = rng.uniform(0.75, 1.05, (2, 2 * reach)), rng.lognormal(0, 0.1, (2, 2 * reach))
    i, j = np.floor(u).astype(int), np.floor(v).astype(int)
    across, along = (u - i - 0.5), (v - j - 0.5)
    over = (i + j) % 2 == 0
    warp = np.sqrt(np.clip(1 - (2 * across / thick[0][i % (2 * reach)]) ** 2, 0, 1)) * np.cos(
        np.pi * along * 0.8
    )
    weft = np.sqrt(np.clip(1 - (2 * along / thick[1][j % (2 * reach)]) ** 2, 0, 1)) * np.cos(
        np.pi * across * 0.8
    )
    tone = np.where(over, shade[0][i % (2 * reach)], shade[1][j % (2 * reach)])
    light = np.where(over, 0.35 + 0.65 * warp, 0.30 + 0.6 * weft) * tone
    light = np.clip(light * (1 + 0.08 * _waves(rng, height, width, 0.5)), 0.05, None)
    return np.asarray(light[..., None] * np.array([1.0, 0.94, 0.83]))


def _herbs(rng: np.random.Generator, height: int, width: int) -> Linear:
    out = np.full((height, width, 3), 0.02, np.float32) * np.array([0.8, 1.0, 0.5], np.float32)
    for _ in range(height * width // 250):
        length, wide = rng.uniform(12, 46), rng.uniform(2.5, 7)
        at = np.array([rng.uniform(0, width), rng.uniform(0, height)])
        turn = rng.uniform(0, 2 * np.pi)
        along = np.array([np.cos(turn), np.sin(turn)])
        side = np.array([-along[1], along[0]])
        t = np.linspace(-1, 1, 9)
        edge = at + np.outer(t * length / 2, along)
        bulge = np.outer((1 - t**2) * wide / 2, side)
        outline = np.concatenate([edge + bulge, (edge - bulge)[::-1]])
        tone = np.array([0.16, 0.34, 0.08]) * rng.lognormal(0, 0.4) * rng.lognormal(0, 0.12, 3)
        half = np.concatenate([edge + bulge, edge[::-1]])
        for shape, share in ((outline, 1.0), (half, rng.uniform(0.6, 1.4))):
            points = np.rint(shape * 16).astype(np.int32)
            cv2.fillPoly(out, [points], tuple(float(v) for v in tone * share), cv2.LINE_AA, 4)
        ends = np.rint((at + np.outer([-0.5 * length, 0.5 * length], along)) * 16).astype(np.int32)
        cv2.line(
            out, ends[0].tolist(), ends[1].tolist(), tuple(float(v) for v in tone * 1.5), 1, cv2.LINE_AA, 4
        )
    return np.asarray(out * np.exp(0.12 * _waves(rng, height, width, 0.7))[..., None], np.float64)


def _leaves(rng: np.random.Generator, height: int, width: int) -> Linear:
    """Radii by the cube's law between 2 and 60 px, the last laid on top: no place is left bare."""
    out = np.full((height, width, 3), 0.13, np.float32)
    # the inverse of the distribution function of r ** -3 between the two
    share = rng.uniform(0, 1, height * width // 6)
    radii = 1 / np.sqrt((1 - share) / 2.0**2 + share / 60.0**2)
    for radius in radii:
        middle = int(rng.uniform(0, width) * 16), int(rng.uniform(0, height) * 16)
        tone = rng.uniform(0.02, 0.30) * rng.lognormal(0, 0.2, 3)
        cv2.circle(out, middle, int(radius * 16), tuple(float(v) for v in tone), -1, cv2.LINE_AA, 4)
    return np.asarray(out, np.float64)


def _cloud(rng: np.random.Generator, height: int, width: int) -> Linear:
    light = np.exp(0.35 * _waves(rng, height, width, 1.0))
    tints = np.stack([np.exp(0.06 * _waves(rng, height, width, 1.3)) for _ in range(3)], axis=-1)
    return np.asarray(light[..., None] * tints)
