"""Textures drawn from noise: what makes a board look like wood and a cloth like linen.

`clouds` is noise with a 1/f^k spectrum, made in the frequency domain, so it repeats without a seam.
"""

from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.picture.shapes.material import Colour, Material

Picture = NDArray[np.float32]
SIZE = 640
FINE = 1024
"""Of what fills the frame: boards, cloths, stone."""


@lru_cache(maxsize=128)
def clouds(
    seed: int, power: float = 1.6, size: int = SIZE, stretch: tuple[float, float] = (1.0, 1.0)
) -> Picture:
    """Smooth noise in 0..1 (size x size); `stretch` lengthens it along rows (y) and columns (x)."""
    rng = np.random.default_rng(seed)
    fy = np.fft.fftfreq(size)[:, None] * size * stretch[0]
    fx = np.fft.rfftfreq(size)[None, :] * size * stretch[1]
    f = np.sqrt(fx * fx + fy * fy)
    f[0, 0] = 1.0
    spectrum = (rng.normal(size=f.shape) + 1j * rng.normal(size=f.shape)) * np.maximum(f, 1.0) ** -power
    spectrum[0, 0] = 0.0
    field = np.fft.irfft2(spectrum, s=(size, size))
    low, high = np.quantile(field, [0.01, 0.99])
    out = np.asarray(np.clip((field - low) / (high - low), 0, 1), dtype=np.float32)
    out.flags.writeable = False  # kept and handed out again
    return out


def ramp(field: NDArray[Any], stops: list[tuple[float, Colour]]) -> Picture:
    """A field in 0..1 to colours, drawn straight between the stops."""
    places = [s for s, _ in stops]
    bands = [np.interp(field, places, [c[k] for _, c in stops]) for k in range(3)]
    return np.stack(bands, axis=-1).astype(np.float32)


def tinted(colour: Colour, factor: Picture) -> Picture:
    """A colour times a field, kept a possible reflectance."""
    out = np.asarray(colour, dtype=np.float32) * np.asarray(factor, dtype=np.float32)[..., None]
    return np.asarray(np.clip(out, 0.004, 0.92), dtype=np.float32)


@lru_cache(maxsize=4)
def wood(colour: Colour, seed: int = 3, planks: int = 5) -> Material:
    """Boards side by side with grain along the columns, gaps between them, worn paint or oil."""
    y = np.linspace(0, 1, FINE, dtype=np.float32)[:, None] * np.ones((1, FINE), dtype=np.float32)
    rng = np.random.default_rng(seed)
    row = np.minimum((y * planks).astype(int), planks - 1)
    wander = clouds(seed, 2.2, FINE, stretch=(1.0, 6.0))
    # growth rings cut along: a slow field read in bands
    begins = rng.uniform(0, 9, planks)[row]
    rings = 0.5 + 0.5 * np.sin(2 * np.pi * (y * planks * 2.2 + 3.2 * wander + begins))
    fibre = clouds(seed + 1, 0.75, FINE, stretch=(1.0, 30.0))
    wear = clouds(seed + 2, 1.7, FINE, stretch=(1.0, 2.0))
    tone = rng.uniform(0.88, 1.10, planks)[row]
    factor = tone * (0.86 + 0.16 * rings + 0.34 * (fibre - 0.5) + 0.16 * (wear - 0.5))
    within = (y * planks) % 1.0
    gap = np.clip(np.minimum(within, 1 - within) * FINE / planks / 2.2, 0, 1)
    factor = factor * (0.30 + 0.70 * gap)
    relief = (0.80 * gap + 0.10 * fibre + 0.10 * rings).astype(np.float32)
    return Material(
        colour=colour,
        picture=tinted(colour, factor.astype(np.float32)),
        relief=relief,
        relief_depth=0.0012,
        gloss=0.35,
    )


@lru_cache(maxsize=4)
def linen(colour: Colour, seed: int = 5, threads: int = 150) -> Material:
    """A plain weave with slubs."""
    t = np.arange(FINE, dtype=np.float32) / FINE * threads * 2 * np.pi
    warp, weft = np.sin(t)[None, :] * np.ones((FINE, 1)), np.sin(t)[:, None] * np.ones((1, FINE))
    over = np.sign(np.sin(t / 2)[None, :] * np.sin(t / 2)[:, None])
    weave = 0.5 + 0.25 * (warp + weft) + 0.12 * over
    slub = 0.5 * clouds(seed, 0.4, FINE, stretch=(18.0, 1.0)) + 0.5 * clouds(
        seed + 1, 0.4, FINE, stretch=(1.0, 18.0)
    )
    factor = 0.80 + 0.22 * weave + 0.30 * (slub - 0.5)
    return Material(
        colour=colour,
        picture=tinted(colour, factor.astype(np.float32)),
        relief=np.clip(0.7 * weave + 0.3 * slub, 0, 1).astype(np.float32),
        relief_depth=0.0012,
    )


@lru_cache(maxsize=4)
def stone(colour: Colour, seed: int = 7) -> Material:
    """Honed stone: clouds, veins and specks."""
    broad, fine = clouds(seed, 1.8, FINE), clouds(seed + 1, 0.9, FINE)
    vein = np.clip(1.0 - 14.0 * np.abs(clouds(seed + 2, 1.9, FINE) - 0.5), 0, 1) * clouds(seed + 3, 1.2, FINE)
    specks = (clouds(seed + 4, 0.15, FINE) > 0.93).astype(np.float32)
    factor = 0.84 + 0.22 * broad + 0.14 * (fine - 0.5) - 0.16 * specks + 0.22 * vein
    return Material(
        colour=colour, picture=tinted(colour, factor), relief=fine, relief_depth=0.0004, gloss=0.28
    )


@lru_cache(maxsize=4)
def paper(colour: Colour, seed: int = 9) -> Material:
    """Painted paper or plaster: nearly even, with a slow mottle."""
    factor = 0.93 + 0.10 * clouds(seed, 1.7) + 0.04 * (clouds(seed + 1, 0.5) - 0.5)
    return Material(
        colour=colour, picture=tinted(colour, factor), relief=clouds(seed + 1, 0.9), relief_depth=0.0003
    )


@lru_cache(maxsize=4)
def metal(colour: Colour, seed: int = 11) -> Material:
    """Brushed and worn sheet metal."""
    return Material(
        colour=colour, gloss=0.22, kind="metal", relief=clouds(seed, 0.6, stretch=(1, 30)), relief_depth=2e-4
    )


@lru_cache(maxsize=4)
def tile(colour: Colour, seed: int = 13, across: int = 5) -> Material:
    """Glazed tiles with pale joints."""
    g = (np.arange(SIZE) / SIZE * across) % 1.0
    edge = np.minimum(np.minimum(g, 1 - g)[None, :], np.minimum(g, 1 - g)[:, None]) * SIZE / across
    joint = np.clip(edge / 4.0 - 0.5, 0, 1).astype(np.float32)
    cell = np.random.default_rng(seed).uniform(0.9, 1.08, (across, across))
    k = np.minimum((np.arange(SIZE) / SIZE * across).astype(int), across - 1)
    glaze = tinted(colour, (cell[k][:, k] * (0.92 + 0.12 * clouds(seed, 1.5))).astype(np.float32))
    grout = np.float32(0.45)
    picture = (glaze * joint[..., None] + grout * (1 - joint[..., None])).astype(np.float32)
    return Material(colour=colour, picture=picture, relief=joint, relief_depth=0.002, gloss=0.1)


SURFACES = {"wood": wood, "stone": stone, "linen": linen, "paper": paper, "metal": metal, "tile": tile}


def crust(seed: int, pale: Colour, golden: Colour, dark: Colour, browning: float = 0.5) -> Material:
    """Baked crust: pale in the cracks, golden over most, dark where it caught."""
    field = np.clip(0.65 * clouds(seed, 1.5) + 0.35 * clouds(seed + 1, 0.8) + (browning - 0.5) * 0.6, 0, 1)
    picture = ramp(field, [(0.0, pale), (0.35, golden), (0.75, shade_of(golden, 0.7)), (1.0, dark)])
    return Material(picture=picture, relief=clouds(seed + 1, 0.9), relief_depth=0.0025, gloss=0.0)


def shade_of(colour: Colour, factor: float) -> Colour:
    """A colour times a factor."""
    return colour[0] * factor, colour[1] * factor, colour[2] * factor
