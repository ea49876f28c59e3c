"""Best of a burst: how sharp the named frame truly is beside the sharpest of its burst.

    python -m bench bursts

Made frames with truth: scenes of the TEST photographs (none was used to choose a limit), six frames of each with its
own shake, movement or focus, and another exposure by up to a tenth of a stop. The truth is taken before grain and JPEG:
the width of the blur that was put in (a disc's or a streak's second moment, joined with the lens's own spread). The
named frame counts as right when its blur is at most a tenth wider than the least of its burst.
"""

import numpy as np
from numpy.typing import NDArray

from bench.made.faults import blurred, composed, disc, frame_of, streak
from bench.made.scenes import TEST, Scene, make_scene
from plateside.frames.bursts import best_of, detail_in
from plateside.frames.measure import facts_of

BURSTS, FRAMES = 40, 6
LENS_PX = 0.55
"""Spread of the made lens, standard deviation [px], as in bench.made.faults.frame_of."""
AIM = 0.95


def width_of(kernel: NDArray[np.float32] | None) -> float:
    """Standard deviation of the blur in its widest direction, lens included [px]."""
    if kernel is None:
        return LENS_PX
    v, u = np.mgrid[: kernel.shape[0], : kernel.shape[1]].astype(float)
    u, v = u - (kernel * u).sum(), v - (kernel * v).sum()
    spread = [
        [(kernel * u * u).sum(), (kernel * u * v).sum()],
        [(kernel * u * v).sum(), (kernel * v * v).sum()],
    ]
    return float(np.sqrt(np.linalg.eigvalsh(np.asarray(spread, float))[-1] + LENS_PX**2))


def burst(scene: Scene, rng: np.random.Generator) -> tuple[list[NDArray[np.uint8]], list[float]]:
    """The frames of one burst and the width of each one's blur on the hero [px]."""
    kind = str(rng.choice(["shake", "motion", "focus"]))
    frames, widths = [], []
    for _ in range(FRAMES):
        kernel = (
            disc(float(rng.uniform(0, 5)))
            if kind == "focus"
            else streak(float(rng.uniform(0.5, 14)), float(rng.uniform(0, 180)))
        )
        linear = composed(scene, None, kernel if kind == "motion" else None)
        if kind != "motion":
            linear = blurred(linear, kernel)
        frames.append(frame_of(linear, rng, stops=float(rng.uniform(-0.1, 0.1)), psf=LENS_PX))
        widths.append(width_of(kernel))
    return frames, widths


def main() -> None:
    """Print how often the named frame is the best, and as sharp as the best."""
    best = within = named = 0
    worst = []
    for number in range(BURSTS):
        rng = np.random.default_rng([31, number])
        scene = make_scene(TEST, int(rng.integers(1 << 31)), 1200, 800)
        frames, widths = burst(scene, rng)
        named_frames = [(str(k), facts_of(f)) for k, f in enumerate(frames)]
        box = named_frames[0][1].subject_box
        details = {str(k): detail_in(f, box) or 0.0 for k, f in enumerate(frames)}
        told = best_of(named_frames, details)
        if told is None:
            continue
        named += 1
        chosen, least = widths[int(told.frame)], min(widths)
        best += chosen == least
        within += chosen <= least * 1.1
        worst.append(chosen / least)
    print(f"{BURSTS} bursts of {FRAMES}: one named in {named}")
    print(f"  the sharpest itself              {best / named:6.1%}")
    print(f"  within 10 % of the sharpest      {within / named:6.1%} (aim {AIM:.0%})")
    print(
        f"  blur of the named over the least {np.percentile(worst, 95):.2f} (95 %), {max(worst):.2f} (most)"
    )


if __name__ == "__main__":
    main()
