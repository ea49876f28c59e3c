"""Small JPEGs as a camera writes them: pixels of noise, a model, a time."""

import io

import numpy as np
from PIL import Image


def jpeg(seed: int = 0, model: str = "Made", taken: str = "2027:05:01 10:00:00") -> bytes:
    pixels = np.random.default_rng(seed).integers(0, 255, (80, 120, 3), dtype=np.uint8)
    exif = Image.Exif()
    exif[0x0110] = model
    exif.get_ifd(0x8769)[0x9003] = taken
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", exif=exif, quality=95)
    return out.getvalue()
