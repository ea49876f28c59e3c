"""How often a ball or a grey card is found where there is none.

    python -m bench false_finds

Made scenes of the TEST photographs, traced tables (no ball, no card on them; four crops of each of twelve), eight
crops each of the photographs that come with scikit-image, and white cakes with a shaded side in tilted frames (seeds
from 1000 are held out). Counted as the verdict uses them.
"""

from collections.abc import Iterable, Iterator

import cv2
import numpy as np
from numpy.typing import NDArray
from skimage import data

from plateside.frames.ball import find_ball
from plateside.frames.exposure import small_linear
from plateside.frames.grey_card import SURE, find_grey_card
from plateside.frames.set_up_acts import BALL_SURE
from tests.synthetic.faults import composed, frame_of
from tests.synthetic.scenes import TEST, TRAIN, make_scene
from tests.synthetic.traced_scenes import traced_scene
from tests.synthetic.white_cakes import white_cake

Picture = NDArray[np.uint8]
PHOTOS = (
    "chelsea", "coffee", "rocket", "brick", "grass", "gravel", "coins", "moon", "cell", "page",
    "immunohistochemistry", "hubble_deep_field", "retina",
)  # fmt: skip


def made(number: int = 200) -> Iterator[Picture]:
    """Flat scenes."""
    for i in range(number):
        rng = np.random.default_rng([61, i])
        linear = composed(make_scene(TEST, int(rng.integers(1 << 31)), 750, 500), None, None)
        yield frame_of(linear * np.float32(0.6 / np.percentile(linear.mean(axis=2), 98)), rng)


def traced(number: int = 12) -> Iterator[Picture]:
    """Four crops of each table."""
    for i in range(number):
        whole = composed(traced_scene(i, for_test=True), None, None)
        for k in range(4):
            rng = np.random.default_rng([62, i, k])
            linear = whole[:, ::-1] if k % 2 else whole
            cut = rng.uniform(0, 0.12)
            linear = linear[int(cut * linear.shape[0]) :, int(cut * linear.shape[1]) :]
            yield frame_of(np.ascontiguousarray(linear), rng, stops=float(rng.uniform(-0.7, 0.2)))


def photographs() -> Iterator[Picture]:
    """Eight crops of each."""
    for name in PHOTOS:
        picture = np.asarray(getattr(data, name)())
        picture = (picture if picture.ndim == 3 else np.dstack([picture] * 3))[..., :3].astype(np.uint8)
        height, width = picture.shape[:2]
        for k in range(8):
            rng = np.random.default_rng([63, k, len(name)])
            share = rng.uniform(0.5, 1)
            h, w = int(height * share), int(width * share)
            y, x = int(rng.integers(height - h + 1)), int(rng.integers(width - w + 1))
            yield np.asarray(cv2.resize(picture[y : y + h, x : x + w], (750, 750 * h // w)), np.uint8)


def cakes(number: int = 200) -> Iterator[Picture]:
    """White things with a shaded side."""
    for i in range(number):
        yield white_cake(TEST + TRAIN, 1000 + i)


def count(what: str, frames: Iterable[Picture]) -> None:
    """Print the false finds."""
    number = balls = cards = 0
    for frame in frames:
        small = small_linear(frame)
        ball, card = find_ball(small), find_grey_card(small)
        number += 1
        balls += ball is not None and ball.confidence >= BALL_SURE
        cards += card is not None and card.confidence >= SURE
    print(f"  {what:12}{number:4} frames without any: {balls} balls, {cards} grey cards found")


def main() -> None:
    """Print the counts."""
    count("made", made())
    count("traced", traced())
    count("photographs", photographs())
    count("white cakes", cakes())


if __name__ == "__main__":
    main()
