"""Fit the weights by which one frame is suspected of a second light, on made frames of TRAIN; TEST has no part in it.

    python -m bench.made.fit_lamps FOLDER     (FOLDER keeps the traced tables between runs)

Three families: flat scenes, traced tables (`lit_tables`), rich tables (`rich_mixes`: sun, boards, tone curves). The
limit is set on frames that the weights have not seen: tables left out of a fit, and flat scenes of the photographs
CHECK, which are neither TRAIN nor TEST. Figures on TEST: `python -m bench second_light`.
"""

import sys
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from bench.made.faults import frame_of
from bench.made.lit_tables import LitTable, lit_table, mixed
from bench.made.rich_mixes import rich_frame
from bench.made.rich_tables import kept_rich
from bench.made.scenes import TEST, TRAIN, flat, make_scene
from plateside.demo.camera.light import planckian_rgb
from plateside.frames.exposure import small_linear
from plateside.frames.lamp_features import lamp_features

Array = NDArray[np.float32]
Floats = NDArray[np.float64]
LEAST, MOST = 0.2, 0.5
CHECK = ("retina", "moon", "clock", "cell", "microaneurysms", "page")
FAMILIES = ("flat", "traced", "rich")


@dataclass(frozen=True)
class Case:
    """One frame."""

    picture: NDArray[np.uint8]
    lamp: bool
    scene: int
    sun: bool = False
    fifth_share: float = 0.0
    """Of the hero's box: where the lamp gives a fifth of the light or more; 0 where it was not kept."""
    share: float = 0.0
    """Of the light that the lamp gives where it is strongest on the hero; 0 without one or where it was not kept."""


def kept_table(folder: Path, seed: int, *, for_test: bool) -> LitTable:
    """A traced table, from the folder when it is there."""
    path = folder / f"{'test' if for_test else 'train'}{seed:03d}.npz"
    if not path.exists():
        table = lit_table(seed, for_test=for_test)
        np.savez(path, w=table.window, l=table.lamp, box=table.subject_box)
    with np.load(path) as z:
        x0, y0, x1, y1 = (float(v) for v in z["box"])
        return LitTable(z["w"].astype(np.float32), z["l"].astype(np.float32), (x0, y0, x1, y1))


def flat_pair(photos: tuple[str, ...], seed: int) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """A flat scene without and with a lamp: a spot as from a lamp near by, or the slow fall of one far off."""
    rng = np.random.default_rng([13, seed])
    scene = make_scene(photos, int(rng.integers(1 << 31)), 600, 400)
    off = flat(scene) * np.float32(0.4)
    v, u = np.mgrid[0:400, 0:600]
    x, y = rng.uniform(200, 400), rng.uniform(130, 270)
    if rng.random() < 0.5:
        wide = rng.uniform(0.7, 1.6)
        spot = np.exp(-(((u - x) / (180 * wide)) ** 2 + ((v - y) / (150 * wide)) ** 2))
    else:
        turn, far = rng.uniform(0, 2 * np.pi), rng.uniform(200, 500)
        x, y, h = x + far * np.cos(turn), y + far * np.sin(turn), rng.uniform(150, 500)
        spot = (1 + ((u - x) ** 2 + (v - y) ** 2) / h**2) ** -1.5
        spot /= spot[130:270, 200:400].max()
    share = float(rng.uniform(LEAST, MOST))
    colour = planckian_rgb(rng.uniform(2500, 3200)) / planckian_rgb(rng.uniform(5000, 8000))
    lamp = 1 + spot[..., None].astype(np.float32) * colour * np.float32(share / (1 - share))
    cast = np.exp(rng.normal(0, [0.12, 0.0, 0.12])).astype(np.float32)
    return frame_of(off * cast, rng), frame_of(off * lamp * cast, rng, stops=float(rng.uniform(-0.4, 0.2)))


def traced_frame(table: LitTable, seed: int, share: float) -> NDArray[np.uint8]:
    """One frame of a traced table."""
    rng = np.random.default_rng([17, seed])
    linear, _ = mixed(table, rng, share)
    large = np.maximum(cv2.resize(linear, None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC), 0)
    return frame_of(np.asarray(large, np.float32), rng)


def flat_cases(photos: tuple[str, ...], number: int, first: int = 0) -> Iterator[Case]:
    """Flat scenes, each without and with a lamp."""
    for i in range(number):
        off, on = flat_pair(photos, i + first)
        yield Case(off, False, i)
        yield Case(on, True, i)


def traced_cases(folder: Path, tables: int, mixes: int, *, for_test: bool, first: int = 0) -> Iterator[Case]:
    """Traced tables, each lit anew some times without and with a lamp."""
    for i in range(first, first + tables):
        table = kept_table(folder, i, for_test=for_test)
        rng = np.random.default_rng([19, i])
        for k in range(mixes):
            yield Case(traced_frame(table, 1000 * i + k, 0.0), False, i)
            share = float(rng.uniform(LEAST, MOST))
            yield Case(traced_frame(table, 1000 * i + 500 + k, share), True, i, share=share)


def rich_cases(folder: Path, tables: int, mixes: int, *, for_test: bool, first: int = 0) -> Iterator[Case]:
    """Rich tables, each lit anew some times without and with a lamp."""
    photos = TEST if for_test else TRAIN
    for i in range(first, first + tables):
        table = kept_rich(folder, i, for_test=for_test)
        rng = np.random.default_rng([31, i])
        for k in range(mixes):
            off = rich_frame(table, 10_000 * i + k, 0.0, photos=photos)
            share = float(rng.uniform(LEAST, MOST))
            on = rich_frame(table, 10_000 * i + 5000 + k, share, photos=photos)
            yield Case(off.picture, False, i, off.sun)
            yield Case(on.picture, True, i, on.sun, on.fifth_share, share)


def measured(cases: Iterator[Case], keep: Path) -> tuple[Floats, Floats, Floats]:
    """Features, truth and scene of the cases that can be measured; kept in a file for the next run."""
    if not keep.exists():
        rows, truth, scene = [], [], []
        for case in cases:
            found = lamp_features(small_linear(case.picture))
            if found is not None:
                rows.append(found.features)
                truth.append(float(case.lamp))
                scene.append(float(case.scene))
        np.savez(keep, x=rows, y=truth, scene=scene)
    with np.load(keep) as z:
        return z["x"], z["y"], z["scene"]


@dataclass(frozen=True, eq=False)
class Net:
    """A logistic regression with a few bent directions beside the straight one."""

    into: Floats
    """features x bends"""
    bias: Floats
    out: Floats
    straight: Floats
    level: float

    def scores(self, z: Floats) -> Floats:
        return np.asarray(np.tanh(z @ self.into + self.bias) @ self.out + z @ self.straight + self.level)


BENDS, RIDGE, NETS = 6, 0.002, 3


def fitted(z: Floats, y: Floats, weight: Floats, seed: int) -> Net:
    """Weights by L-BFGS from a chance beginning."""
    rng = np.random.default_rng(seed)
    d, h = z.shape[1], BENDS
    weight = weight / weight.sum()
    start = np.concatenate(
        [rng.normal(0, 1 / np.sqrt(d), d * h), np.zeros(h), rng.normal(0, 0.3, h), [0.0], np.zeros(d)]
    )

    def parts(p: Floats) -> Net:
        e = d * h
        return Net(
            p[:e].reshape(d, h), p[e : e + h], p[e + h : e + 2 * h], p[e + 2 * h + 1 :], float(p[e + 2 * h])
        )

    def loss(p: Floats) -> tuple[float, Floats]:
        net = parts(p)
        bent = np.tanh(z @ net.into + net.bias)
        o = bent @ net.out + z @ net.straight + net.level
        value = float((weight * (np.logaddexp(0, o) - y * o)).sum())
        value += RIDGE * float((net.into**2).sum() + (net.out**2).sum() + 3 * (net.straight**2).sum())
        g = weight * (1 / (1 + np.exp(-np.clip(o, -40, 40))) - y)
        inner = g[:, None] * net.out * (1 - bent * bent)
        return value, np.concatenate(
            [(z.T @ inner + 2 * RIDGE * net.into).ravel(), inner.sum(0), bent.T @ g + 2 * RIDGE * net.out,
             [g.sum()], z.T @ g + 6 * RIDGE * net.straight]
        )  # fmt: skip

    return parts(np.asarray(minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 250}).x))


def all_fitted(z: Floats, y: Floats, weight: Floats) -> list[Net]:
    """Some nets from different beginnings: their mean is steadier than any."""
    return [fitted(z, y, weight, seed) for seed in range(NETS)]


def mean_scores(nets: list[Net], z: Floats) -> Floats:
    """Mean of the nets' scores."""
    return np.asarray(np.mean([net.scores(z) for net in nets], axis=0))


def found_at(scores: Floats, truth: Floats, false_share: float = 0.05) -> float:
    """Share of lamps found at this share of false alarms."""
    if not (truth == 0).any():
        return float("nan")
    limit = np.quantile(scores[truth == 0], 1 - false_share)
    return float((scores[truth == 1] > limit).mean())


FLATS, TABLES, MIXES, RICH, RICH_MIXES, CHECKS = 300, 40, 12, 60, 20, 200
FALSE_SHARE = 0.02
"""Of lamp-free frames that the fit has not seen, in the worst family. 5 % are allowed; with 3 % here, tables of other
dishes came to 7 %, so other dishes and photographs need this margin."""


def main() -> None:
    """Fit, write frames/lamp_weights.py, and print what the limit does to scenes that the weights have not seen."""
    folder = Path(sys.argv[1])
    parts = [
        measured(flat_cases(TRAIN, FLATS), folder / "features-flat.npz"),
        measured(traced_cases(folder, TABLES, MIXES, for_test=False), folder / "features-traced.npz"),
        measured(rich_cases(folder, RICH, RICH_MIXES, for_test=False), folder / "features-rich.npz"),
    ]
    x, y, scene = (np.concatenate([p[k] for p in parts]) for k in range(3))
    family = np.concatenate([np.full(len(p[1]), k) for k, p in enumerate(parts)])
    mean, spread = x.mean(axis=0), x.std(axis=0) + 1e-6
    z = np.clip((x - mean) / spread, -3, 3)
    # each family counts alike
    weight = np.concatenate([np.full(len(p[1]), 1 / len(p[1])) for p in parts])
    by_fold = np.zeros(len(y))
    for part in range(5):
        away = scene % 5 == part
        by_fold[away] = mean_scores(all_fitted(z[~away], y[~away], weight[~away]), z[away])
    nets = all_fitted(z, y, weight)
    cx, cy, _ = measured(flat_cases(CHECK, CHECKS), folder / "features-check.npz")
    unseen = [("flat, other photographs", mean_scores(nets, np.clip((cx - mean) / spread, -3, 3)), cy)]
    unseen += [(FAMILIES[k], by_fold[family == k], y[family == k]) for k in (1, 2)]
    limit = max(float(np.quantile(s[t == 0], 1 - FALSE_SHARE)) for _, s, t in unseen)
    for name, s, t in unseen:
        print(f"{name}: found {np.mean(s[t == 1] > limit):.0%}, false {np.mean(s[t == 0] > limit):.1%}; "
              f"at 5 % false {found_at(s, t):.0%} ({len(t)} frames)")  # fmt: skip

    def row(values: Floats) -> str:
        lines = textwrap.wrap(", ".join(f"{v:.3g}" for v in np.ravel(values)), 110)
        return "(\n    " + "\n    ".join(lines) + ",\n)"

    text = f'''"""Weights of the suspicion of a second light, written by bench/made/fit_lamps.py; see there.

Each net: straight weights (one a feature), then for each bend its weights, its bias and what it counts.
"""

# fmt: off
MEAN = {row(mean)}
SPREAD = {row(spread)}
STRAIGHT = {row(np.mean([n.straight for n in nets], axis=0))}
BENT = {row(np.concatenate([n.into.T for n in nets]))}
BIAS = {row(np.concatenate([n.bias for n in nets]))}
COUNTS = {row(np.concatenate([n.out for n in nets]) / NETS)}
LIMIT = {limit - float(np.mean([n.level for n in nets])):.4g}
'''
    Path("src/plateside/frames/lamp_weights.py").write_text(text)


if __name__ == "__main__":
    main()
