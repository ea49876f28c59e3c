"""White cakes, boxes and bowls whose side turns away from the window, in a tilted frame: no grey card is in them."""

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.synthetic.faults import frame_of
from tests.synthetic.scenes import Array, sheet


def _laid(base: Array, cover: Array, colour: Array) -> Array:
    return np.asarray(base * (1 - cover[..., None]) + colour * cover[..., None], np.float32)


def _figure(size: tuple[int, int], corners: list[tuple[float, float]]) -> Array:
    cover = np.zeros((size[1], size[0]), np.float32)
    cv2.fillPoly(cover, [np.round(np.array(corners) * 16).astype(np.int32)], (1.0,), cv2.LINE_AA, 4)
    return cover


def white_cake(photos: tuple[str, ...], seed: int, width: int = 750, height: int = 500) -> NDArray[np.uint8]:
    """A frame: plain or patterned table, a wall behind, a round or square white thing, tilted up to 25 degrees."""
    rng = np.random.default_rng([77, seed])
    size = width, height
    tone = np.float32(rng.uniform(0.05, 0.5))
    if rng.random() < 0.5:
        picture = sheet(str(rng.choice(photos)), width, height, rng, 1.0)
        picture = (picture * tone / max(float(picture.mean()), 0.02)).clip(0, 0.9)
    else:
        picture = (
            np.ones((height, width, 3), np.float32) * tone * np.exp(rng.normal(0, 0.15, 3)).astype(np.float32)
        )
    picture[: int(height * rng.uniform(0.2, 0.45))] = rng.uniform(0.05, 0.6)
    white = np.asarray(rng.uniform(0.6, 0.85) * np.exp(rng.normal(0, 0.03, 3)), np.float32)
    x, y = width * rng.uniform(0.4, 0.6), height * rng.uniform(0.5, 0.65)
    w, h = width * rng.uniform(0.12, 0.35), height * rng.uniform(0.12, 0.35)
    deep, dark = h * rng.uniform(0.25, 0.7), np.float32(rng.uniform(0.15, 0.45))
    front = [(x - w / 2, y), (x + w / 2, y), (x + w / 2, y + h), (x - w / 2, y + h)]
    picture = _laid(np.asarray(picture, np.float32), _figure(size, front), white * dark)
    if rng.random() < 0.5:
        top = np.zeros((height, width), np.float32)
        cv2.ellipse(top, (int(x), int(y)), (int(w / 2), int(deep / 2)), 0, 0, 360, (1.0,), -1, cv2.LINE_AA)
        picture = _laid(picture, top, white)
    else:
        s = rng.uniform(-0.3, 0.3) * w
        back = [(x - w / 2, y), (x + w / 2, y), (x + w / 2 + s, y - deep), (x - w / 2 + s, y - deep)]
        picture = _laid(picture, _figure(size, back), white)
    icing = cv2.GaussianBlur(rng.normal(0, 1, (height, width)).astype(np.float32), (0, 0), rng.uniform(1, 6))
    picture = picture * (1 + np.float32(rng.uniform(0, 0.05)) * icing / icing.std())[..., None]
    turn = cv2.getRotationMatrix2D((width / 2, height / 2), rng.uniform(-25, 25), 1.15)
    picture = np.asarray(cv2.warpAffine(picture, turn, size, borderMode=cv2.BORDER_REFLECT), np.float32)
    v, u = np.mgrid[0:height, 0:width].astype(np.float32)
    angle = rng.uniform(0, 2 * np.pi)
    slope = (u / width - 0.5) * np.cos(angle) + (v / height - 0.5) * np.sin(angle)
    lit = picture * (2.0 ** (slope * rng.uniform(0.2, 1.2)))[..., None]
    return frame_of(np.asarray(np.maximum(lit, 0), np.float32), rng, stops=float(rng.uniform(-0.5, 0.2)))
