"""Raws of known noise, developed with and without having it evened; by bench and tests alike."""

from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.files.originals.pixels import linear_picture
from plateside.finish.develop import develop
from plateside.finish.noise import strength
from plateside.ground.srgb import to_display
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
    dng.write_mosaic(path, mosaic)


def developed(path: Path) -> tuple[Linear, Linear, float]:
    """With and without noise evened, and how much of it was to go."""
    picture = linear_picture(path, half=False)
    plain = develop(replace(picture, noise=None))
    return develop(picture), plain, strength(picture)


def psnr_db(one: Linear, two: Linear) -> float:
    inner = np.s_[16:-16, 16:-16]
    codes = [np.clip(to_display(v), 0, 1)[inner] for v in (one, two)]
    return float(-10 * np.log10(np.mean((codes[0] - codes[1]) ** 2)))


def textured(height: int = 256, width: int = 384, level: float = 0.128, degrees: float = 20) -> Linear:
    """Grey with a texture of 10 % contrast (Michelson) at a quarter of a cycle per pixel."""
    y, x = np.mgrid[:height, :width]
    turn = np.radians(degrees)
    wave = np.cos(2 * np.pi * 0.25 * (x * np.cos(turn) + y * np.sin(turn)))
    return np.asarray(np.repeat(level * (1 + 0.1 * wave)[..., None], 3, axis=2))


def contrast(linear: Linear, degrees: float = 20) -> float:
    """Of that texture, by its one frequency."""
    y, x = np.mgrid[: linear.shape[0], : linear.shape[1]]
    turn = np.radians(degrees)
    phase = 2 * np.pi * 0.25 * (x * np.cos(turn) + y * np.sin(turn))
    grey = linear[..., 1]
    inner = np.s_[16:-16, 16:-16]
    return float(2 * abs((grey * np.exp(-1j * phase))[inner].mean()) / grey[inner].mean())
