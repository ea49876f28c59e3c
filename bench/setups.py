"""Set-ups: the solver against brute force over a fine grid by its own merit, on 50 random shots in 50 random
rooms, and its time.

python -m bench.setups
"""

import random
import statistics
import time

import numpy as np

from plateside.model.shoot import Shot
from plateside.plan.merit import CandidateGeometry, geometry, place_cost, settings_cost
from plateside.plan.search import LOOSEST, GearCandidate, focal_lengths, marks_of
from plateside.plan.setup import candidates_of, metered_lx, solve
from tests.unit.plan.rooms import CHANNELS, random_shot, random_studio

SHOTS = 50


def brute_force(
    candidates: list[GearCandidate], illuminance_lx: float, shot: Shot, loose: int = 400, zoom: int = 41
) -> float:
    """Least cost over every grid point of every candidate: nothing is left out, nothing refined."""
    best = np.inf
    for candidate in candidates:
        needs, gear = candidate.needs, candidate.gear
        f_numbers, shutters = marks_of(candidate)
        for focal in focal_lengths(gear.lens, zoom):
            k = np.geomspace(1.0, LOOSEST, loose)
            g = geometry(needs, gear.lens, np.full_like(k, focal), k)
            place = place_cost(needs, gear, g)
            for i in range(0, len(k), 50):
                part = CandidateGeometry(*(np.asarray(v)[i : i + 50, None, None] for v in vars(g).values()))
                cost, _ = settings_cost(
                    needs,
                    gear,
                    part,
                    f_numbers[None, :, None],
                    shutters[None, None, :],
                    illuminance_lx,
                    shot.fall_height_mm / 1000.0,
                )
                best = min(best, float(np.min(cost + place[i : i + 50, None, None])))
    return best


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
