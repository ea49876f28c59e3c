"""Find the set-up of least cost: every lens, support and orientation, exactly over the camera's marks.

For each candidate (lens, support, orientation) the focal length of a zoom and the frame's looseness are searched on a
grid, then refined; f-number, shutter and ISO are searched whole, over the marks the camera has. A grid point whose
place alone costs more than the best found so far is not looked into (branch and bound), so the answer is the grid's
true best.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.camera.exposure import F_NUMBERS, SHUTTERS, within
from plateside.model.errors import InputError
from plateside.model.studio import Lens
from plateside.plan.merit import Gear, Geometry, geometry, place_cost, settings_cost
from plateside.plan.needs import Needs

Array = NDArray[np.float64]

LOOSEST = 2.2
"""The frame is never taken more than this many times as wide as asked."""
BLOCK = 32


@dataclass(frozen=True)
class Candidate:
    """One set of gear, with what the shot asks in that orientation."""

    needs: Needs
    gear: Gear


@dataclass(frozen=True)
class Best:
    """The cheapest point of a candidate."""

    candidate: Candidate
    cost: float
    focal_length_mm: float
    looseness: float
    f_number: float
    exposure_s: float
    iso: float


def marks_of(candidate: Candidate) -> tuple[Array, Array]:
    """Exact f-numbers and shutters that the lens and camera have."""
    lens, camera = candidate.gear.lens, candidate.gear.camera
    f_numbers = within(F_NUMBERS, lens.widest_f_number, lens.smallest_f_number)
    shutters = within(SHUTTERS, camera.fastest_s, camera.slowest_s)
    return np.array([m.exact for m in f_numbers]), np.array([m.exact for m in shutters])


def focal_lengths(lens: Lens, count: int) -> Array:
    """Focal lengths of a lens, evenly in ratio."""
    if lens.focal_length_to_mm is None or lens.focal_length_to_mm <= lens.focal_length_mm:
        return np.array([lens.focal_length_mm])
    return np.geomspace(lens.focal_length_mm, lens.focal_length_to_mm, count)


def search(
    candidates: list[Candidate],
    illuminance_lx: float,
    fall_m: float,
    zoom_steps: int = 9,
    loose_steps: int = 25,
) -> Best:
    """The cheapest set-up of all candidates."""
    best: Best | None = None
    for candidate in candidates:
        lens = candidate.gear.lens
        f, k = _grid(focal_lengths(lens, zoom_steps), np.geomspace(1.0, LOOSEST, loose_steps))
        # a coarse point may be one stop from what refining makes of it
        bound = best.cost + 1.0 if best else np.inf
        found = explore(candidate, f, k, illuminance_lx, fall_m, bound)
        if found is None:
            continue
        for shrink in (1.0, 0.25, 0.06, 0.015):
            f, k = _around(lens, found, zoom_steps, loose_steps, shrink)
            found = explore(candidate, f, k, illuminance_lx, fall_m, found.cost) or found
        if best is None or found.cost < best.cost - 1e-12:
            best = found
    if best is None:
        raise InputError(
            "No lens and support to choose from: write [[lenses]] and [[supports]] in the studio file."
        )
    return best


def _grid(f: Array, k: Array) -> tuple[Array, Array]:
    ff, kk = np.meshgrid(f, k, indexing="ij")
    return ff.ravel(), kk.ravel()


def _around(lens: Lens, found: Best, zoom_steps: int, loose_steps: int, shrink: float) -> tuple[Array, Array]:
    """A finer grid round a point, `shrink` of the coarse grid's steps to each side."""
    low, high = lens.focal_length_mm, lens.focal_length_to_mm or lens.focal_length_mm
    zoom = (high / low) ** (1.0 / max(zoom_steps - 1, 1)) if high > low else 1.0
    loose = LOOSEST ** (1.0 / (loose_steps - 1))
    steps = np.linspace(-1.0, 1.0, 9) * shrink
    f = np.clip(found.focal_length_mm * zoom**steps, low, high) if zoom > 1.0 else np.array([low])
    k = np.clip(found.looseness * loose**steps, 1.0, LOOSEST)
    return _grid(np.unique(f), np.unique(k))


def explore(
    candidate: Candidate, f: Array, k: Array, illuminance_lx: float, fall_m: float, bound: float
) -> Best | None:
    """The cheapest of the points (f, k) with the best settings for each; None when none is under the bound."""
    needs, gear = candidate.needs, candidate.gear
    f_numbers, shutters = marks_of(candidate)
    g = geometry(needs, gear.lens, f, k)
    place = place_cost(needs, gear, g)
    order = np.argsort(place, kind="stable")
    best: Best | None = None
    for start in range(0, len(order), BLOCK):
        block = order[start : start + BLOCK]
        if place[block[0]] >= bound:
            break
        here = Geometry(*(np.asarray(v)[block][:, None, None] for v in vars(g).values()))
        cost, iso = settings_cost(
            needs, gear, here, f_numbers[None, :, None], shutters[None, None, :], illuminance_lx, fall_m
        )
        cost = cost + place[block][:, None, None]
        at = np.unravel_index(int(np.argmin(cost)), cost.shape)
        if cost[at] < bound:
            bound = float(cost[at])
            i = block[at[0]]
            best = Best(
                candidate,
                bound,
                float(f[i]),
                float(k[i]),
                float(f_numbers[at[1]]),
                float(shutters[at[2]]),
                float(iso[at]),
            )
    return best
