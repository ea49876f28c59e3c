"""Small originals for the tests."""

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image


def gradient(width: int = 240, height: int = 160) -> NDArray[np.uint8]:
    """A picture whose red grows to the right and green downwards."""
    v, u = np.mgrid[0:height, 0:width]
    return np.dstack([u * 255 // width, v * 255 // height, np.full_like(u, 60)]).astype(np.uint8)


def write_jpeg(path: Path, picture: NDArray[np.uint8] | None = None, taken: str = "", **exif: Any) -> Path:
    """A JPEG with EXIF tags by number: `tag_33434=(1, 3)`."""
    path.parent.mkdir(parents=True, exist_ok=True)
    tags = Image.Exif()
    inner = tags.get_ifd(0x8769)
    if taken:
        inner[36867] = taken
    for key, value in exif.items():
        number = int(key.removeprefix("tag_"))
        (tags if number in (271, 272, 274, 306) else inner)[number] = value
    Image.fromarray(gradient() if picture is None else picture).save(path, "jpeg", quality=92, exif=tags)
    return path
