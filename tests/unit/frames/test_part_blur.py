"""A part of the hero that moved, found without singling out its edges; what was laid on, lit or nudged is no blur."""

import cv2
import numpy as np
import pytest

from plateside.frames.part_blur import PartBlur, part_blur
from plateside.frames.register import register
from tests.synthetic.faults import blurred, disc, streak

BOX = (0.25, 0.2, 0.75, 0.8)
Picture = np.ndarray


def table(seed: int) -> Picture:
    """Soft and fine lumps, as of food: linear, 600 x 400."""
    rng = np.random.default_rng(seed)
    out = np.full((400, 600), 0.25, np.float32)
    for sigma, weight in ((1.5, 0.25), (4.0, 0.4), (11.0, 0.5)):
        noise = cv2.GaussianBlur(rng.normal(0, 1, out.shape).astype(np.float32), (0, 0), sigma)
        out *= np.exp(np.float32(weight) * noise / noise.std())
    return np.asarray(np.clip(out, 0.005, 1), np.float32)


def shown(linear: Picture, seed: int) -> Picture:
    """Encoded (by the 2.2 of a plain screen, no source), with grain."""
    grain = np.random.default_rng(seed).normal(0, 0.004, linear.shape).astype(np.float32)
    return np.asarray(np.clip(np.clip(linear, 0, 1) ** np.float32(1 / 2.2) + grain, 0, 1), np.float32)


def found(before: Picture, after: Picture) -> PartBlur:
    a, b = shown(before, 1), shown(after, 2)
    return part_blur(a, b, register(a, b), BOX)


def within(radius: float, x: float = 310, y: float = 190) -> Picture:
    v, u = np.mgrid[0:400, 0:600].astype(np.float32)
    return np.asarray(np.clip(radius - np.hypot(u - x, v - y) + 0.5, 0, 1), np.float32)


@pytest.mark.parametrize("share", [0.05, 0.1, 0.25])
def test_a_part_that_moved_is_found_where_it_is(share: float) -> None:
    """14 px of 1500 are 5.6 of 600; the hero is an ellipse of 300 x 240 px."""
    still = table(3)
    radius = float(np.sqrt(share * 0.25 * 300 * 240))
    cover = within(radius)
    moved = still * (1 - cover) + blurred(still, streak(5.6, 40)) * cover
    part = found(still, moved)
    assert 0.2 * share < part.share < 2 * share
    assert np.hypot((part.at[0] - 310 / 600) * 600, (part.at[1] - 190 / 400) * 400) < radius
    assert part.along > 0.5


def test_a_part_out_of_focus_has_no_direction() -> None:
    still, cover = table(4), within(70)
    soft = still * (1 - cover) + blurred(still, disc(3.0)) * cover
    part = found(still, soft)
    assert part.share > 0.05 and part.along < 0.5


@pytest.mark.parametrize("seed", [5, 6, 7])
def test_light_a_nudge_and_a_garnish_are_no_blur(seed: int) -> None:
    still = table(seed)
    v, u = np.mgrid[0:400, 0:600].astype(np.float32)
    lamp = 1 + 0.9 * np.exp(-(((u - 380) / 120) ** 2 + ((v - 150) / 100) ** 2)).astype(np.float32)
    assert found(still, still * lamp * 0.6).share == 0
    shift = np.array([[1, 0, 1], [0, 1, 2]], np.float32)
    assert found(still, cv2.warpAffine(still, shift, (600, 400), borderMode=cv2.BORDER_REFLECT)).share == 0
    cover, leaf = within(28, 330, 220), table(seed + 50) * np.float32(0.6)
    assert found(still, still * (1 - cover) + leaf * cover).share == 0
    assert found(still * (1 - cover) + leaf * cover, still).share == 0
