"""Plates of sauce, still or moving during the exposure: little that is sharp in the sharpest picture, and the rim and
all around it as it should be. A streak of 35 to 55 px of a picture 3000 px wide."""

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.synthetic.faults import blurred, composed, frame_of, streak
from tests.synthetic.scenes import _colour, _ellipse, _over, make_scene, sheet


def sauce(
    photos: tuple[str, ...], seed: int, *, moved: bool, width: int = 1500
) -> tuple[NDArray[np.uint8], tuple[float, float, float, float]]:
    """(frame, the hero's box): a photograph's shapes, softened and pale, in the middle of a plate; a few leaves."""
    rng = np.random.default_rng([seed, 77])
    scene = make_scene(photos, int(rng.integers(1 << 31)), width, width * 2 // 3)
    hero = scene.hero
    size = hero.cover.shape[0]
    rows = np.flatnonzero(hero.cover.max(axis=1) > 0.5)
    flat = (rows[-1] - rows[0] + 1) / (size * 0.96)
    inner = _ellipse(size, size * 0.76, size * 0.76 * flat, 0)[..., None]
    shapes = sheet(str(rng.choice(photos)), size, size, rng, float(rng.uniform(0.8, 1.4))).mean(axis=2)
    tone = _colour(rng, 0.1, 0.5)
    shapes = np.asarray(cv2.GaussianBlur(shapes, (0, 0), float(rng.uniform(1.0, 4.0))), np.float32)
    pale = (shapes / max(float(shapes.mean()), 0.02) - 1) * float(rng.uniform(0.15, 0.5))
    body = np.asarray(tone * (1 + pale.clip(-0.8, 2))[..., None], np.float32)
    line = streak(float(rng.uniform(35, 55)) / 3000 * width, float(rng.uniform(0, 180)))
    body = blurred(body, line) if moved else body
    colour = np.asarray(hero.colour * (1 - inner) + body * inner, np.float32)
    for _ in range(int(rng.integers(0, 5))):
        leaf = _ellipse(
            int(size * 0.2),
            size * rng.uniform(0.02, 0.1),
            size * rng.uniform(0.01, 0.05),
            rng.uniform(0, 180),
        )
        x, y = (float(v) for v in rng.normal(size / 2, size * 0.1, 2))
        _over(colour, np.ones((*leaf.shape, 3), np.float32) * _colour(rng, 0.03, 0.5), leaf, x, y)
    still = composed(replace(scene, hero=replace(hero, colour=colour.clip(0, 0.95))), None, None)
    psf, noise = float(rng.uniform(0.5, 0.8)), float(rng.uniform(0.002, 0.006))
    return frame_of(still, rng, psf=psf, noise=noise), scene.subject_box
