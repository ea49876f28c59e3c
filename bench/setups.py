"""Set-ups: the solver against brute force over a fine grid by its own merit, on 50 random shots in 50 random
rooms, and its time.

python -m bench.setups
"""

import random
import statistics
import time

from plateside.plan.setup import candidates_of, metered_lx, solve
from tests.synthetic.brute_force import brute_force
from tests.unit.plan.rooms import CHANNELS, random_shot, random_studio

SHOTS = 50


def main() -> None:
    """Print the table."""
    rng = random.Random(2027)
    ratios, times = [], []
    print("shot          solver   brute force   ratio   s")
    for i in range(SHOTS):
        studio = random_studio(rng)
        shot, light = random_shot(rng, f"shot-{i}")
        start = time.process_time()
        s = solve(studio, shot, CHANNELS, light)
        took = time.process_time() - start
        best = brute_force(
            candidates_of(studio, shot, CHANNELS), metered_lx(light, shot.elevation), shot, 200, 21
        )
        ratios.append(s.merit / best)
        times.append(took)
        print(f"{shot.name:10} {s.merit:9.4f}   {best:11.4f}   {ratios[-1]:.4f}  {took:.2f}", flush=True)
    print(f"worst ratio {max(ratios):.4f} (at most 1.01 wanted), mean {statistics.mean(ratios):.4f}")
    print(
        f"time a shot: median {statistics.median(times):.2f} s, longest {max(times):.2f} s (under 0.5 wanted)"
    )


if __name__ == "__main__":
    main()
