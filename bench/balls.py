"""Key against fill off a matt ball in the frame, on plain and patterned tables: found, and how far off.

    python -m bench balls           (TEST surfaces and photographs, seeds used in no tuning)
    python -m bench balls train     (those of the tuning)

A traced ball, 8 cm wide in a frame of 32 to 60 cm, in the place of the dish; a broad window, a white board across from
it, light from all round; half of the surfaces carry a photograph, the others are wood, stone, linen, paper or tile. How
often one is found where there is none: `python -m bench false_finds`.
"""

import sys

import numpy as np

from plateside.frames.ball import find_ball
from plateside.frames.exposure import small_linear
from plateside.frames.set_up_acts import BALL_SURE
from tests.synthetic.key_and_fill import ball_frame, lit_ball

TABLES, FIRST = 24, 200
"""Tables before these were looked at while the finder was being made."""
RATIOS = (1.0, 1.5, 2.0, 2.5, 3.0)
NEAR = 0.03
"""Shares of the frame: a ball found farther from the true one is another thing."""


def main() -> None:
    """Print how many are found, and how far the reading is from the truth."""
    for_test = "train" not in sys.argv
    number = found = wrong = left_out = 0
    off = []
    for seed in range(FIRST, FIRST + TABLES):
        ball = lit_ball(seed, for_test=for_test)
        rows, columns = np.nonzero(ball.mask)
        if not rows.size or not all(np.isfinite(p).all() for p in ball.by):
            left_out += 1
            continue
        height, width = ball.mask.shape
        at = (columns.mean() + 0.5) / width, (rows.mean() + 0.5) / height
        for k, ratio in enumerate(RATIOS):
            frame, truth = ball_frame(ball, ratio, np.random.default_rng([7, seed, k]))
            seen = find_ball(small_linear(frame))
            number += 1
            if seen is None or seen.confidence < BALL_SURE:
                continue
            if max(abs(seen.at[0] - at[0]), abs(seen.at[1] - at[1])) > NEAR:
                wrong += 1
                continue
            found += 1
            off.append(abs(seen.ratio_stops - truth))
    print(f"a ball in each of {number} frames of {TABLES - left_out} tables: {found} found ({found / number:.0%}), "
          f"{wrong} times another thing was taken for it")  # fmt: skip
    if off:
        print(f"  ratio off by {np.median(off):.2f} stop (median), {np.percentile(off, 90):.2f} (90 %), "
              f"within 0.3 stop {np.mean(np.array(off) <= 0.3):.0%}")  # fmt: skip


if __name__ == "__main__":
    main()
