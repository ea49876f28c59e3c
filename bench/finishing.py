"""How long finishing and delivering one 24-megapixel picture takes, step by step.

python -m bench finishing
"""

import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from plateside.deliver.crops import plan_crop
from plateside.deliver.sizes import resized
from plateside.deliver.subject import find_subject
from plateside.files.pictures import QUALITY, encode, read_picture, write_tiff_16
from plateside.finish.develop import reduced
from plateside.finish.matching import match
from plateside.finish.recognised import look
from plateside.finish.render import render, to_8_bits
from plateside.finish.sharpen import sharpen
from plateside.finish.tone import Curve
from plateside.finish.white_balance import Gains
from plateside.ground.srgb import to_linear
from plateside.model.shoot import Channel
from tests.photographs import photograph


def timed(name: str, work: Callable[[], Any], note: str = "") -> Any:
    """Run once, print how long it took [s]."""
    started = time.perf_counter()
    result = work()
    print(f"{name:<34} {time.perf_counter() - started:7.2f} s  {note}")
    return result


def main() -> None:
    codes = np.asarray(
        cv2.resize(photograph("coffee"), (6000, 4000), interpolation=cv2.INTER_CUBIC), np.uint8
    )
    linear = to_linear(np.arange(256) / 255).astype(np.float32)[codes]
    small = timed("reduce to 480 px", lambda: reduced(linear, 480))
    view = timed("look (features)", lambda: look(small))
    timed("match", lambda: match(view, view))
    finished = timed("render, 16 bits", lambda: render(linear, Gains(1.1, 1.0, 0.95), Curve(1.0, 1.3)))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.tif"
        timed("write TIFF", lambda: write_tiff_16(path, finished))
        print(f"{'':<34} {path.stat().st_size / 1e6:7.0f} MB")
        pixels = timed("read TIFF", lambda: read_picture(path)).pixels
    shown = to_8_bits(pixels)
    subject = timed("find the subject", lambda: find_subject(shown, (0.45, 0.6)))
    channel = Channel(name="story", width_px=1080, height_px=1920, text_space="top")
    timed("plan a crop with text", lambda: plan_crop(subject, channel))
    crop = plan_crop(subject, Channel(name="wide"))
    region = to_linear(np.arange(65536) / 65535).astype(np.float32)[
        pixels[crop.box.y : crop.box.bottom, crop.box.x : crop.box.right]
    ]
    small_8 = timed(
        "resize to 1600 px, sharpen", lambda: np.asarray(sharpen(resized(region, 1600, 900)), np.uint8)
    )
    for kind in ("jpeg", "webp", "avif", "png"):
        data = timed(f"encode {kind}", partial(encode, small_8, kind, QUALITY[kind]))
        print(f"{'':<34} {len(data) / 1000:7.0f} kB at quality {QUALITY[kind]}")


if __name__ == "__main__":
    main()
