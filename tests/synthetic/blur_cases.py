"""Cases for the blur figures: a reference frame and a later frame of the same set-up, with the truth."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.synthetic.faults import (
    KINDS,
    Truth,
    blurred,
    changed,
    composed,
    disc,
    draw_truth,
    frame_of,
    kernels,
)
from tests.synthetic.scenes import Scene, make_scene


@dataclass(frozen=True, eq=False)
class BlurCase:
    """One frame to be judged."""

    truth: Truth
    wants_shallow: bool
    """Known from the shot: a melted background is wanted."""
    reference: NDArray[np.uint8]
    frame: NDArray[np.uint8]
    subject_box: tuple[float, float, float, float]
    seed: int


def blur_cases(
    photos: tuple[str, ...],
    number: int,
    seed: int,
    width: int = 1200,
    scene_of: Callable[[int], Scene] | None = None,
) -> Iterator[BlurCase]:
    """`number` cases, the six kinds in turn. Scene, light, props, camera and fault all by the seed.

    scene_of  the scene of each six cases (every kind of one scene), `width` px wide; without it each case has its own
    """
    height = width * 2 // 3
    scale = width / 1200
    for i in range(number):
        rng = np.random.default_rng([seed, i])
        kind = KINDS[i % len(KINDS)]
        shallow = kind == "shallow" or (kind in ("shake", "motion", "defocus") and rng.random() < 0.4)
        scene_seed = int(rng.integers(1 << 31))
        scene = scene_of(i // len(KINDS)) if scene_of else make_scene(photos, scene_seed, width, height)
        truth = draw_truth(kind, rng, shallow)
        base = Truth(
            "shallow" if shallow else "good",
            0.0,
            truth.around_radius if kind in ("shallow", "motion") else (5.0 if shallow else 0.0),
        )
        psf, noise = float(rng.uniform(0.5, 0.8)), float(rng.uniform(0.002, 0.01))
        reference = frame_of(composed(scene, *kernels(base, scale, 0)), rng, psf=psf, noise=noise)
        later = changed(scene, rng, photos, 2.0 * scale)
        around, hero = kernels(truth, scale, float(rng.uniform(-0.3, 0.3)))
        if kind == "shake" and shallow:
            # the background of a shallow set-up is out of focus as well as shaken
            still = composed(later, disc(5.0 * scale), None)
            linear = blurred(still, hero)
        else:
            linear = composed(later, around, hero)
        frame = frame_of(
            linear, rng, stops=float(rng.uniform(-0.5, 0.3)),
            colour=(float(np.exp(rng.normal(0, 0.05))), 1.0, float(np.exp(rng.normal(0, 0.05)))), psf=psf, noise=noise,
        )  # fmt: skip
        yield BlurCase(truth, shallow, reference, frame, scene.subject_box, i)
