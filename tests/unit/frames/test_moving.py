"""What moves in a burst and eyes, on pictures whose truth is known."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from skimage import data

from plateside.frames.bursts import best_of, detail_in, sharpnesses
from plateside.frames.moving import eyes_box, laid_by, moving_box
from plateside.frames.moving_object import moving_object_in
from plateside.frames.object_blur import object_blur_widths
from tests.unit.frames.facts import facts


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
    assert best.why is not None and (best.why.code, best.why.on) == ("sharpest", "the hand")


def test_the_hand_is_followed_and_measured_by_its_own_edges() -> None:
    blurs = (2.5, 0.0, 4.0, 1.0)
    frames = burst_of_a_hand(blurs)
    held = moving_object_in(frames)
    assert held is not None
    # the hand goes six pixels down from frame to frame, and stands at 52 to 202 in the third, the middle one
    ways = np.array([(m @ np.array([560, 127, 1.0])) - (560, 127) for m in held.matrices])
    # its place in the middle frame is told to a pixel or two only: all ways may be off together
    assert ways[:, 1] - ways[2, 1] == pytest.approx([-12, -6, 0, 6], abs=1.01)
    assert ways[:, 0] - ways[2, 0] == pytest.approx([0, 0, 0, 0], abs=1.01)
    rows, columns = np.nonzero(held.where)
    inside = (rows > 40) & (rows < 214) & (columns > 448) & (columns < 672)
    assert inside.mean() > 0.95
    widths = object_blur_widths(frames, held)
    assert widths is not None
    # a Gaussian of s has a second moment of 2 s^2, s^2 in each direction; what all frames share falls out
    more = np.square(widths) - np.min(np.square(widths))
    # undone as streaks, a wide Gaussian is told too narrow
    assert more == pytest.approx([2 * b * b for b in blurs], rel=0.35, abs=0.3)
    # twice the size, twice the width: what is measured is the hand's blur and not the picture's
    large = [np.asarray(cv2.resize(f, (1500, 1000), interpolation=cv2.INTER_CUBIC), np.uint8) for f in frames]
    twice = object_blur_widths(large, held)
    assert twice is not None
    assert np.argsort(twice).tolist() == np.argsort(widths).tolist() == [1, 3, 0, 2]
    assert moving_object_in([frames[0]] * 3) is None, "nothing moves"
    assert moving_object_in(frames[:2]) is None, "too few"


def test_a_hand_that_differs_from_its_ground_in_colour_only() -> None:
    rng = np.random.default_rng(5)
    light = cv2.GaussianBlur(rng.uniform(0, 1, (500, 750)).astype(np.float32), (0, 0), 3)
    light = 0.4 + 1.2 * (light - 0.5)
    frames = []
    for k, blur in enumerate((3.0, 0.0, 2.0, 1.5, 2.5)):
        cover = np.zeros((500, 750), np.float32)
        cv2.ellipse(cover, (300 + 7 * k, 120 + (5 * k) % 9), (120, 70), 20, 0, 360, 1.0, -1, cv2.LINE_AA)
        cover = np.asarray(cv2.GaussianBlur(cover, (0, 0), blur), np.float32) if blur else cover
        # red and blue change places, and weigh as much together in what brightness is
        turn = np.float32(0.25) * cover
        picture = np.dstack([light - 0.1 + turn * 0.114 / 0.299, light, light - turn])
        picture = picture + np.random.default_rng(k).normal(0, 0.004, picture.shape)
        frames.append(np.clip(picture * 255, 0, 255).astype(np.uint8))
    held = moving_object_in(frames)
    assert held is not None
    widths = object_blur_widths(frames, held)
    assert widths is not None
    assert int(np.argmin(widths)) == 1
    assert moving_object_in([cv2.cvtColor(f, cv2.COLOR_RGB2GRAY) for f in frames]) is None, (
        "nothing to see in grey"
    )


def test_a_camera_on_a_tripod_stays_where_it_is() -> None:
    greys = [np.float32(1 / 255) * f for f in burst_of_a_hand((0.0, 0.0, 0.0))]
    laid = laid_by(greys)
    assert laid is not None
    assert all(np.array_equal(m, np.eye(2, 3)) for m in laid[2])
    way = np.array([[1, 0, 3.0], [0, 1, -2.0]])
    turned = np.asarray(cv2.warpAffine(greys[0], way, (750, 500)), np.float32)
    laid = laid_by([turned, *greys[1:]])
    assert laid is not None
    assert laid[2][0][:, 2] == pytest.approx([3, -2], abs=1.5), "and one in the hand does not"


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


def drawn_face(x: int, y: int, size_px: int, eyes: bool = True) -> NDArray[np.uint8]:
    """A face of nobody, 512 x 512, drawn of ellipses; its eyes lie 0.14 sizes beside (x, y) and 0.02 above."""
    picture = np.random.default_rng(3).normal(90, 6, (512, 512)).clip(0, 255).astype(np.uint8)

    def patch(dx: float, dy: float, across: float, up: float, grey: int) -> None:
        at = int(x + dx * size_px / 300), int(y + dy * size_px / 300)
        axes = max(1, int(across * size_px / 300)), max(1, int(up * size_px / 300))
        cv2.ellipse(picture, at, axes, 0, 0, 360, (grey,), -1, cv2.LINE_AA)

    patch(0, -20, 125, 165, 40)  # hair, then face, neck
    patch(0, 20, 100, 135, 190)
    patch(0, 150, 45, 60, 150)
    for side in (-1, 1):
        if eyes:  # socket, brow, white, iris, glint
            patch(side * 42, -10, 34, 20, 120)
            patch(side * 42, -32, 32, 8, 60)
            patch(side * 42, -6, 22, 11, 235)
            patch(side * 42, -6, 10, 10, 30)
            patch(side * 47, -10, 3, 3, 250)
        patch(side * 12, 52, 8, 5, 90)
        patch(side * 70, 45, 22, 25, 205)
    patch(0, 25, 12, 35, 215)  # nose, mouth, forehead
    patch(0, 90, 36, 11, 95)
    patch(0, -70, 80, 30, 205)
    return np.asarray(cv2.GaussianBlur(picture, (0, 0), 3 * size_px / 300), np.uint8)


@pytest.mark.parametrize(("x", "y", "size_px"), [(250, 230, 300), (180, 300, 200), (330, 250, 260)])
def test_eyes_of_a_face(x: int, y: int, size_px: int) -> None:
    box = eyes_box(drawn_face(x, y, size_px))
    assert box is not None
    x0, y0, x1, y1 = (v * 512 for v in box)
    apart, high = 0.14 * size_px, 0.02 * size_px
    # both eyes' middles in the box, and the box no larger than the band of the eyes
    assert x0 < x - apart and x + apart < x1
    assert y0 < y - high < y1
    assert x1 - x0 < 0.6 * size_px
    assert y1 - y0 < 0.35 * size_px


def test_a_face_without_eyes_gives_no_box() -> None:
    assert eyes_box(drawn_face(250, 230, 300, eyes=False)) is None


@pytest.mark.parametrize("name", ["coffee", "brick", "grass", "gravel"])
def test_food_and_tables_have_no_eyes(name: str) -> None:
    picture = getattr(data, name)()
    grey = cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY) if picture.ndim == 3 else picture
    assert eyes_box(np.asarray(grey, np.uint8)) is None
