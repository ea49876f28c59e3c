"""The set-up found by trying all: slow and plain."""

import numpy as np

from plateside.model.shoot import Shot
from plateside.plan.merit import CandidateGeometry, geometry, place_cost, settings_cost
from plateside.plan.search import LOOSEST, GearCandidate, focal_lengths, marks_of


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
