"""Find the set-up of least cost: every lens, support and orientation, exactly over the camera's marks.

For each candidate (lens, support, orientation) the focal length of a zoom and the frame's looseness are searched on a
grid that also holds the distances where the cost steps (limits.py), then refined; f-number, shutter and ISO are
searched whole, over the marks the camera has. A grid point whose place alone costs more than the best found so far is
not looked into (branch and bound), so the answer is the grid's true best.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plateside.ground.exposure import F_NUMBERS, INCIDENT_C, SHUTTERS, within
from plateside.model.errors import RefusedError
from plateside.model.gear import Lens
from plateside.plan.camera_needs import FRAME_TOLERANCE, CameraNeeds
from plateside.plan.limits import focal_steps, loose_steps
from plateside.plan.merit import CandidateGeometry, Gear, geometry, place_cost, settings_cost

Array = NDArray[np.float64]

LOOSEST = 2.2
"""Looser than this is not looked into; a lens that focuses no nearer may yet make it so."""
BLOCK = 32
SEEDS = 3
NEAR = 0.3
"""Coarse points within this many stops of the best are refined too, up to SEEDS of them."""


@dataclass(frozen=True)
class GearCandidate:
    """One set of gear, with what the shot asks in that orientation."""

    needs: CameraNeeds
    gear: Gear


@dataclass(frozen=True)
class Best:
    """The cheapest point of a candidate."""

    candidate: GearCandidate
    cost: float
    focal_length_mm: float
    looseness: float
    f_number: float
    exposure_s: float
    iso: float


def marks_of(candidate: GearCandidate, illuminance_lx: float | None = None) -> tuple[Array, Array]:
    """Exact f-numbers and shutters that the lens and camera have.

    With the light, without the shutters that would under- or over-expose by a stop and more whatever the f-number and
    ISO: a nearer shutter is always cheaper.
    """
    lens, camera = candidate.gear.lens, candidate.gear.camera
    f_numbers = within(F_NUMBERS, lens.widest_aperture, lens.smallest_aperture)
    shutters = within(SHUTTERS, camera.fastest_s, camera.slowest_s)
    n, t = np.array([m.exact for m in f_numbers]), np.array([m.exact for m in shutters])
    if illuminance_lx is not None:
        # the effective f-number is at most twice (life size, P = 1) to six times (P = 0.2) the marked one
        widest = 1.0 + 1.0 / lens.pupil_magnification
        shortest = INCIDENT_C * n[0] ** 2 / (illuminance_lx * camera.highest_iso) / 2.0
        longest = INCIDENT_C * (n[-1] * widest) ** 2 / (illuminance_lx * camera.base_iso) * 2.0
        allowed = t[(t >= shortest) & (t <= longest)]
        t = allowed if allowed.size else t
    return n, t


def focal_lengths(lens: Lens, count: int) -> Array:
    """Focal lengths of a lens, evenly in ratio."""
    if lens.focal_length_to_mm is None or lens.focal_length_to_mm <= lens.focal_length_mm:
        return np.array([lens.focal_length_mm])
    return np.geomspace(lens.focal_length_mm, lens.focal_length_to_mm, count)


def search(
    candidates: list[GearCandidate],
    illuminance_lx: float,
    fall_m: float,
    zoom_steps: int = 11,
    count: int = 25,
) -> Best:
    """The cheapest set-up of all candidates."""
    best: Best | None = None
    grids = [(candidate, *_grid(candidate, zoom_steps, count)) for candidate in candidates]
    # the likeliest first: the sooner a cheap set-up is known, the less of the others is looked into
    grids.sort(key=lambda row: _least_place(*row))
    for candidate, f, k in grids:
        lens = candidate.gear.lens
        bound = best.cost + NEAR if best else np.inf
        for seed in explore(candidate, f, k, illuminance_lx, fall_m, bound, SEEDS):
            found = seed
            for shrink in (1.0, 0.25, 0.05):
                f, k = _around(lens, found, zoom_steps, count, shrink)
                finer = explore(candidate, f, k, illuminance_lx, fall_m, found.cost)
                found = finer[0] if finer else found
            if best is None or found.cost < best.cost - 1e-12:
                best = found
    if best is None:
        raise RefusedError("no gear to choose")
    return best


def _grid(candidate: GearCandidate, zoom_steps: int, count: int) -> tuple[Array, Array]:
    """An even grid of focal lengths and loosenesses, and on every row the steps of the cost as well."""
    needs, gear = candidate.needs, candidate.gear
    focal = np.unique(np.concatenate([focal_lengths(gear.lens, zoom_steps), focal_steps(needs, gear)]))
    # most answers lie within the tolerance, the rest only where no lens gives the frame
    even = np.concatenate([np.linspace(1.0, FRAME_TOLERANCE, 5), np.geomspace(1.0, LOOSEST, count)[1:]])
    rows = [np.concatenate([even, loose_steps(needs, gear, float(f), LOOSEST)]) for f in focal]
    return np.repeat(focal, [len(r) for r in rows]), np.concatenate(rows)


def _least_place(candidate: GearCandidate, f: Array, k: Array) -> float:
    g = geometry(candidate.needs, candidate.gear.lens, f, k)
    return float(np.min(place_cost(candidate.needs, candidate.gear, g)))


def _around(lens: Lens, found: Best, zoom_steps: int, count: int, shrink: float) -> tuple[Array, Array]:
    """A finer grid round a point, `shrink` of the coarse grid's steps to each side."""
    low, high = lens.focal_length_mm, lens.focal_length_to_mm or lens.focal_length_mm
    zoom = (high / low) ** (1.0 / max(zoom_steps - 1, 1)) if high > low else 1.0
    loose = LOOSEST ** (1.0 / (count - 1))
    steps = np.linspace(-1.0, 1.0, 9) * shrink
    f = np.clip(found.focal_length_mm * zoom**steps, low, high) if zoom > 1.0 else np.array([low])
    k = np.clip(found.looseness * loose**steps, 1.0, LOOSEST)
    ff, kk = np.meshgrid(np.unique(f), np.unique(k), indexing="ij")
    return ff.ravel(), kk.ravel()


def explore(
    candidate: GearCandidate,
    f: Array,
    k: Array,
    illuminance_lx: float,
    fall_m: float,
    bound: float,
    seeds: int = 1,
) -> list[Best]:
    """The cheapest points (f, k), each with its best settings, cheapest first; none when none is under the bound.

    With `seeds` over one, further points that lie a few grid steps apart are given too, each within `NEAR` of the
    best: refining may bring any of them to the front.
    """
    needs, gear = candidate.needs, candidate.gear
    f_numbers, shutters = marks_of(candidate, illuminance_lx)
    g = geometry(needs, gear.lens, f, k)
    place = place_cost(needs, gear, g)
    order = np.argsort(place, kind="stable")
    slack = NEAR if seeds > 1 else 0.0
    looked: list[Best] = []
    for start in range(0, len(order), BLOCK):
        block = order[start : start + BLOCK]
        if place[block[0]] >= bound:
            break
        here = CandidateGeometry(*(np.asarray(v)[block][:, None, None] for v in vars(g).values()))
        cost, iso = settings_cost(
            needs, gear, here, f_numbers[None, :, None], shutters[None, None, :], illuminance_lx, fall_m
        )
        flat = cost.reshape(len(block), -1)
        cheapest = np.argmin(flat, axis=1)
        for row, (i, at) in enumerate(zip(block, cheapest, strict=True)):
            total = float(flat[row, at] + place[i])
            if total >= bound:
                continue
            n, t = divmod(int(at), len(shutters))
            looked.append(
                Best(
                    candidate,
                    total,
                    float(f[i]),
                    float(k[i]),
                    float(f_numbers[n]),
                    float(shutters[t]),
                    float(iso[row, n, t]),
                )
            )
            bound = min(bound, total + slack)
    looked.sort(key=lambda b: b.cost)
    out: list[Best] = []
    for b in looked:
        apart = all(
            abs(np.log(b.looseness / o.looseness)) > 0.05
            or abs(np.log(b.focal_length_mm / o.focal_length_mm)) > 0.12
            for o in out
        )
        if apart and b.cost <= looked[0].cost + slack:
            out.append(b)
        if len(out) == seeds:
            break
    return out
