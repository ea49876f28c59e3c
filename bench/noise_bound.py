"""How much noise could go at most from pictures with detail in every pixel, were the picture itself known.

    python -m bench noise_bound [SEED]

Wiener's rule (N. Wiener, "Extrapolation, Interpolation, and Smoothing of Stationary Time Series", 1949) on the blocks
that `finish.noise` works on: of all that weighs each coefficient for itself none leaves less error. First what the
clean picture has of each frequency is known, in the mean of 5 x 5 blocks: of a texture nothing that looks at the noisy
picture alone knows more. Then every coefficient of the clean picture is known, which nothing can. In dB gained, of all,
of luminance and of colour, as in `bench noise`.
"""

import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter

from bench.noise import light_of
from plateside.files.originals.pixels import linear_picture
from plateside.finish.develop import balanced, develop
from plateside.finish.noise import DCT, JOINED, SPLIT, evened_part, evening
from tests.synthetic.detailed import KINDS, detailed
from tests.synthetic.noisy import psnr_parts_db, written

Array = NDArray[Any]
ISOS = (1600, 3200)
SEED = 41
_AROUND = 5


def transformed(plane: Array) -> Array:
    """Cosine transform of the blocks, every fourth (rows, columns, 8, 8)."""
    blocks = np.lib.stride_tricks.sliding_window_view(plane, (8, 8))[::4, ::4]
    return np.asarray(np.einsum("ka,yxab,lb->yxkl", DCT, blocks, DCT, optimize=True))


def put_back(found: Array, share: Array, size: tuple[int, int]) -> Array:
    """The picture of blocks of coefficients, each weighed by its share (rows, columns)."""
    blocks = np.einsum("ka,yxkl,lb->yxab", DCT, found, DCT, optimize=True)
    total, weight = np.zeros(size), np.full(size, 1e-9)
    rows, columns = found.shape[:2]
    for y in range(8):
        for x in range(8):
            at = np.s_[y : y + 4 * rows - 3 : 4, x : x + 4 * columns - 3 : 4]
            total[at] += blocks[:, :, y, x] * share
            weight[at] += share
    return np.asarray(total / weight)


def wiener(noisy: Array, clean: Array, variance: Array, around: int) -> Array:
    """A plane by Wiener's rule, its clean coefficients known in the mean of so many blocks."""
    energy = uniform_filter(transformed(clean) ** 2, (around, around, 1, 1))
    keep = energy / (energy + variance)
    keep[..., 0, 0] = 1
    return put_back(transformed(noisy) * keep, 1 / (keep**2).sum(axis=(2, 3)), noisy.shape[:2])


def gains_db(path: Path, scene: Array, iso: int) -> list[tuple[float, ...]]:
    """dB gained as it is, with the spectrum known, with each coefficient known."""
    written(path, scene, None)
    clean = develop(replace(linear_picture(path, half=False), noise=None))
    written(path, scene, iso)
    picture = linear_picture(path, half=False)
    plain, by = develop(replace(picture, noise=None)), balanced(picture)
    how = evening(picture.noise, 1.0, by.gain, by.matrix, plain.shape, picture.noise_smeared)
    if how is None:
        raise SystemExit("the noise of this picture is not known")
    one, other = (np.moveaxis(how.scale.even(v) @ SPLIT.T, -1, 0).astype(float) for v in (plain, clean))
    made = [evened_part(plain, how)]
    for around in (_AROUND, 1):
        planes = [wiener(one[n], other[n], how.variance[n], around) for n in range(3)]
        made.append(how.scale.linear((np.stack(planes, axis=-1) @ JOINED.T).astype(np.float32)))
    before = psnr_parts_db(plain, clean)
    return [tuple(np.subtract(psnr_parts_db(each, clean), before)) for each in made]


def main(seed: int = SEED) -> None:
    scenes = [(kind, detailed(kind, seed, 400, 512)) for kind in KINDS]
    scenes += [(name, light_of(name)) for name in ("grass", "gravel", "coffee")]
    with tempfile.TemporaryDirectory() as folder:
        print("dB gained: all (luminance, colour); as it is | spectrum known | each coefficient known")
        for iso in ISOS:
            for name, scene in scenes:
                found = gains_db(Path(folder) / "a.dng", scene, iso)
                said = " | ".join(
                    f"{all_:+.2f} ({light:+.2f}, {colour:+.2f})" for all_, light, colour in found
                )
                print(f"ISO {iso}  {name:<10} {said}", flush=True)


if __name__ == "__main__":
    main()
