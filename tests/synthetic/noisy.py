"""Raws of known noise, developed with and without having it evened; by bench and tests alike."""

from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.files.originals.pixels import linear_picture
from plateside.finish.develop import develop
from plateside.finish.noise import strength
from plateside.ground.srgb import LUMINANCE, to_display
from tests.synthetic import dng

WELL, READ = 40_000.0, 4.0
Linear = NDArray[np.floating]


def written(path: Path, scene: Linear, iso: int | None) -> None:
    """A DNG of the scene at that ISO; None: without noise."""
    mosaic = dng.mosaic_of(scene)
    if iso is not None:
        well = WELL * 100 / iso
        level = (mosaic.astype(np.float64) - dng.BLACK) / (dng.WHITE - dng.BLACK)
        rng = np.random.default_rng(iso)
        electrons = rng.poisson(level * well) + rng.normal(0, READ, level.shape)
        counts = dng.BLACK + electrons / well * (dng.WHITE - dng.BLACK)
        mosaic = np.clip(np.round(counts), 0, dng.WHITE).astype(np.uint16)
    dng.write_mosaic(path, mosaic, iso=iso or 100)


def developed(path: Path) -> tuple[Linear, Linear, float]:
    """With and without noise evened, and how much of it was to go."""
    picture = linear_picture(path, half=False)
    plain = develop(replace(picture, noise=None))
    return develop(picture), plain, strength(picture)


def psnr_db(one: Linear, two: Linear) -> float:
    inner = np.s_[16:-16, 16:-16]
    codes = [np.clip(to_display(v), 0, 1)[inner] for v in (one, two)]
    return float(-10 * np.log10(np.mean((codes[0] - codes[1]) ** 2)))


def psnr_parts_db(one: Linear, two: Linear) -> tuple[float, float, float]:
    """Of all, of luminance (ITU-R BT.709's weights of the codes), of what colour is beside it."""
    inner = np.s_[16:-16, 16:-16]
    codes = [np.clip(to_display(v), 0, 1)[inner] for v in (one, two)]
    apart = codes[0] - codes[1]
    light = apart @ LUMINANCE
    parts = apart, light, apart - light[..., None]
    whole, luminance, colour = (float(-10 * np.log10(np.mean(part**2))) for part in parts)
    return whole, luminance, colour


def textured(height: int = 256, width: int = 384, level: float = 0.128, degrees: float = 20) -> Linear:
    """Grey with a texture of 10 % contrast (Michelson) at a quarter of a cycle per pixel."""
    y, x = np.mgrid[:height, :width]
    turn = np.radians(degrees)
    wave = np.cos(2 * np.pi * 0.25 * (x * np.cos(turn) + y * np.sin(turn)))
    return np.asarray(np.repeat(level * (1 + 0.1 * wave)[..., None], 3, axis=2))


def banded(seed: int, height: int = 256, width: int = 384, level: float = 0.128) -> Linear:
    """The same contrast (root mean square) in all directions at once, about that frequency: crumbs."""
    rough = np.random.default_rng(seed).normal(size=(height, width))
    frequency = np.hypot(np.fft.fftfreq(height)[:, None], np.fft.rfftfreq(width)[None])
    spectrum = np.fft.rfft2(rough) * np.exp(-0.5 * ((frequency - 0.25) / 0.04) ** 2)
    wave = np.fft.irfft2(spectrum, (height, width))
    return np.asarray(np.repeat(level * (1 + 0.1 / np.sqrt(2) * wave / wave.std())[..., None], 3, axis=2))


def share_kept(mine: Linear, plain: Linear, scene: Linear) -> float:
    """Of a texture, by how much of the scene's own pattern is in either."""
    inner = np.s_[16:-16, 16:-16]
    pattern = scene[..., 1][inner] - scene[..., 1][inner].mean()
    one, two = ((v[..., 1][inner] * pattern).mean() / v[..., 1][inner].mean() for v in (mine, plain))
    return float(one / two)


def contrast(linear: Linear, degrees: float = 20) -> float:
    """Of that texture, by its one frequency."""
    y, x = np.mgrid[: linear.shape[0], : linear.shape[1]]
    turn = np.radians(degrees)
    phase = 2 * np.pi * 0.25 * (x * np.cos(turn) + y * np.sin(turn))
    grey = linear[..., 1]
    inner = np.s_[16:-16, 16:-16]
    return float(2 * abs((grey * np.exp(-1j * phase))[inner].mean()) / grey[inner].mean())
