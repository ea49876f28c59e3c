"""How much of the sensor's noise goes, and how much of a fine texture stays, at simulated ISO 100 to 6400.

    python -m bench noise

A photograph of scikit-image (coffee, 1 200 px) and a sheet with a texture of 10 % contrast at 0.25 cycle per pixel, as
DNGs of a sensor with 40 000 electrons at ISO 100 and 4 of read noise, developed with and without; PSNR of the developed
picture (sRGB codes, 0 to 1) against the same scene without noise. The noise is read from the frame itself.
"""

import tempfile
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np

from plateside.files.originals.pixels import linear_picture
from plateside.finish.develop import develop
from plateside.ground.srgb import to_linear
from tests.photographs import photograph
from tests.synthetic.noisy import contrast, developed, psnr_db, textured, written

ISOS = (100, 400, 1600, 3200, 6400)


def main() -> None:
    small = cv2.resize(photograph("coffee"), (1200, 800), interpolation=cv2.INTER_CUBIC)
    scene = np.asarray(to_linear(np.asarray(small, np.float64) / 255) * 0.5)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.dng"
        written(path, scene, None)
        clean = develop(replace(linear_picture(path, half=False), noise=None))
        print(f"{'ISO':>5} {'strength':>8} {'without':>9} {'with':>9} {'gain':>8}   texture kept")
        for iso in ISOS:
            written(path, scene, iso)
            mine, plain, amount = developed(path)
            before, after = psnr_db(plain, clean), psnr_db(mine, clean)
            kept = []
            for degrees in (0, 20, 45):
                written(path, textured(degrees=degrees), iso)
                one, two, _ = developed(path)
                kept.append(contrast(one, degrees) / contrast(two, degrees))
            said = ", ".join(f"{share:.0%}" for share in kept)
            print(
                f"{iso:>5} {amount:8.2f} {before:6.2f} dB {after:6.2f} dB {after - before:+5.2f} dB   {said}"
            )


if __name__ == "__main__":
    main()
