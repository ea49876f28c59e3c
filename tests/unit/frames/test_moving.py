"""What moves in a burst and eyes, on pictures whose truth is known."""

import cv2
import numpy as np
import pytest
from skimage import data

from plateside.frames.bursts import best_of, detail_in, sharpnesses
from plateside.frames.held import detail_held, held_in
from plateside.frames.moving import eyes_box, moving_box
from tests.unit.frames.test_layers import facts


def burst_of_a_hand(blurs: tuple[float, ...]) -> list[np.ndarray]:
    """A textured board with a lighter textured hand that moves a little from frame to frame, each with its blur."""
    rng = np.random.default_rng(2)
    board = cv2.GaussianBlur(rng.uniform(0.2, 0.6, (500, 750)).astype(np.float32), (0, 0), 2) * 1.4 - 0.16
    hand = cv2.GaussianBlur(rng.uniform(0.5, 1.0, (150, 200)).astype(np.float32), (0, 0), 1.2)
    out = []
    for k, blur in enumerate(blurs):
        shape, drawn = np.zeros_like(board), np.zeros_like(board)
        shape[40 + 6 * k : 190 + 6 * k, 460:660] = 1.0
        drawn[40 + 6 * k : 190 + 6 * k, 460:660] = hand
        if blur:
            shape, drawn = (cv2.GaussianBlur(p, (0, 0), blur) for p in (shape, drawn))
        frame = board * (1 - shape) + drawn
        frame += np.random.default_rng(k).normal(0, 0.004, frame.shape).astype(np.float32)
        out.append(np.clip(frame * 255, 0, 255).astype(np.uint8))
    return out


def test_the_moving_hand_is_found_and_its_sharpest_frame_named() -> None:
    frames = burst_of_a_hand((2.5, 0.0, 4.0))
    box = moving_box([np.float32(1 / 255) * f for f in frames])
    assert box is not None
    truth = (460 / 750, 40 / 500, 660 / 750, 202 / 500)
    inside = (min(box[2], truth[2]) - max(box[0], truth[0])) * (min(box[3], truth[3]) - max(box[1], truth[1]))
    whole = (box[2] - box[0]) * (box[3] - box[1]) + (truth[2] - truth[0]) * (truth[3] - truth[1]) - inside
    assert inside / whole > 0.7
    details = {n: detail_in(np.dstack([f, f, f]), box) for n, f in zip("abc", frames, strict=True)}
    known = {k: v for k, v in details.items() if v is not None}
    b, a, c = sharpnesses([known["b"], known["a"], known["c"]])
    assert len(known) == 3
    # on the dish all three are alike: only the hand tells them apart
    best = best_of([(n, facts(0.8)) for n in "abc"], known, "the hand")
    assert best is not None
    assert best.frame == "b"
    assert b == 1.0 > a > c
    assert best.reason.startswith("sharpest on the hand")


def test_the_hand_is_followed_and_measured_by_its_own_edges() -> None:
    frames = burst_of_a_hand((2.5, 0.0, 4.0, 1.0))
    held = held_in([np.float32(1 / 255) * f for f in frames])
    assert held is not None
    # the hand goes six pixels down from frame to frame, and stands at 52 to 202 in the third, the middle one
    ways = [float((m @ np.array([560, 127, 1.0]))[1]) - 127 for m in held.matrices]
    assert ways == pytest.approx([-12, -6, 0, 6], abs=0.7)
    rows, columns = np.nonzero(held.weight > 0.2)
    # its edges are grown by six pixels
    inside = (rows > 40) & (rows < 214) & (columns > 448) & (columns < 672)
    assert inside.mean() > 0.97
    details = [detail_held(f, held, k) for k, f in enumerate(frames)]
    known = [d for d in details if d is not None]
    assert len(known) == 4
    # twice the size, the same order: what is measured is the hand's blur and not the picture's
    large = [np.asarray(cv2.resize(f, (1500, 1000), interpolation=cv2.INTER_CUBIC), np.uint8) for f in frames]
    twice = [d for k, f in enumerate(large) if (d := detail_held(f, held, k)) is not None]
    for sharp in (sharpnesses(known), sharpnesses(twice)):
        assert np.argsort(sharp).tolist() == [2, 0, 3, 1]
    assert held_in([np.float32(1 / 255) * frames[0]] * 3) is None, "nothing moves"
    assert held_in([np.float32(1 / 255) * f for f in frames[:2]]) is None, "too few"


def test_nothing_moves_and_everything_moves() -> None:
    still = burst_of_a_hand((0.0,))[0]
    rng = np.random.default_rng(9)
    grainy = [
        np.clip(still / 255 + rng.normal(0, 0.01, still.shape), 0, 1).astype(np.float32) for _ in range(3)
    ]
    assert moving_box(grainy) is None
    assert moving_box([g * np.float32(s) for g, s in zip(grainy, (1.0, 0.8, 0.9), strict=True)]) is None, (
        "light only"
    )
    other = rng.uniform(0, 1, still.shape).astype(np.float32)
    assert moving_box([grainy[0], other]) is None
    assert moving_box(grainy[:1]) is None


def test_eyes_of_a_face() -> None:
    # the portrait that comes with scikit-image (NASA, public domain); eyes at about (210, 105) and (255, 105) by eye
    portrait = cv2.cvtColor(data.astronaut(), cv2.COLOR_RGB2GRAY)  # type: ignore[no-untyped-call]
    box = eyes_box(np.asarray(portrait, np.uint8))
    assert box is not None
    x0, y0, x1, y1 = (v * 512 for v in box)
    assert 170 < x0 < 225 and 235 < x1 < 290
    assert 80 < y0 < 112 and 100 < y1 < 150


@pytest.mark.parametrize("name", ["coffee", "brick", "grass", "gravel"])
def test_food_and_tables_have_no_eyes(name: str) -> None:
    picture = getattr(data, name)()
    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY) if picture.ndim == 3 else picture
    assert eyes_box(np.asarray(grey, np.uint8)) is None
