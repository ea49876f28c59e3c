"""How much of the sensor's noise goes, and how much of a fine texture stays, at simulated ISO 100 to 6400.

    python -m bench noise [SEED]

Photographs of scikit-image, pictures with fine detail in every pixel (tests/synthetic/detailed.py) and traced scenes,
as DNGs of a sensor with 40 000 electrons at ISO 100 and 4 of read noise, developed with and without; PSNR of the
developed picture (sRGB codes, 0 to 1) against the same scene without noise: of all, of its luminance, and of what
colour is beside that. Then sheets with a texture of 10 % contrast at 0.25 cycle per pixel, in three directions and in
all. The noise is read from the frame itself.
"""

import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.files.originals.pixels import linear_picture
from plateside.finish.develop import develop
from plateside.ground.srgb import to_linear
from tests.photographs import photograph
from tests.synthetic.detailed import KINDS, detailed
from tests.synthetic.noisy import (
    banded,
    contrast,
    developed,
    psnr_parts_db,
    share_kept,
    textured,
    written,
)
from tests.synthetic.scenes import flat
from tests.synthetic.traced_scenes import traced_scene

ISOS = (100, 400, 1600, 3200, 6400)
SEED = 11
PHOTOGRAPHS = ("coffee", "chelsea", "immunohistochemistry", "grass", "gravel", "brick")


def light_of(name: str) -> NDArray[np.float64]:
    """A photograph as light, its mean that of a metered middle grey."""
    light = to_linear(np.asarray(photograph(name), np.float64) / 255)
    light = light if light.ndim == 3 else np.repeat(light[..., None], 3, axis=2)
    return np.asarray(light * 0.13 / light.mean())[: len(light) // 2 * 2, : light.shape[1] // 2 * 2]


def scenes(seed: int) -> Iterator[tuple[str, NDArray[np.float64]]]:
    large = cv2.resize(photograph("coffee"), (1200, 800), interpolation=cv2.INTER_CUBIC)
    yield "coffee, twice its size", np.asarray(to_linear(np.asarray(large, np.float64) / 255) * 0.5)
    for name in PHOTOGRAPHS:
        yield name, light_of(name)
    for kind in KINDS:
        for one in (seed, seed + 1):
            yield f"{kind} {one}", detailed(kind, one, 400, 512)
    for one in (seed, seed + 1):
        rgb = flat(traced_scene(one, for_test=True))
        yield f"traced {one}", np.asarray(rgb * 0.13 / rgb.mean(), np.float64)


def main(seed: int = SEED) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.dng"
        print("dB gained: all (luminance, colour)")
        print(f"{'':<24}" + "".join(f"{f'ISO {iso}':>22}" for iso in ISOS))
        for name, scene in scenes(seed):
            written(path, scene, None)
            clean = develop(replace(linear_picture(path, half=False), noise=None))
            row = []
            for iso in ISOS:
                written(path, scene, iso)
                mine, plain, _ = developed(path)
                gained = np.subtract(psnr_parts_db(mine, clean), psnr_parts_db(plain, clean))
                row.append(f"{gained[0]:+.2f} ({gained[1]:+.2f}, {gained[2]:+.2f})")
            print(f"{name:<24}" + "".join(f"{one:>22}" for one in row), flush=True)
        for iso in ISOS:
            kept = []
            for degrees in (0, 20, 45):
                written(path, textured(degrees=degrees), iso)
                one, two, _ = developed(path)
                kept.append(contrast(one, degrees) / contrast(two, degrees))
            crumbs = banded(iso)
            written(path, crumbs, iso)
            kept.append(share_kept(*developed(path)[:2], crumbs))
            said = ", ".join(f"{share:.0%}" for share in kept)
            print(f"texture kept at ISO {iso}: {said} (0, 20, 45 degrees, all directions)")


if __name__ == "__main__":
    main()
