"""Fit the weights by which one frame is suspected of a second light, on made frames of TRAIN; figures on TEST.

python -m bench.made.fit_lamps FOLDER     (FOLDER keeps the traced tables between runs)
"""

import sys
import textwrap
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from bench.made.faults import frame_of
from bench.made.lit_tables import LitTable, lit_table, mixed
from bench.made.scenes import TEST, TRAIN, flat, make_scene
from plateside.frames.exposure import small_linear
from plateside.frames.lamp_features import lamp_features
from plateside.picture.made.light import planckian_rgb

Array = NDArray[np.float32]
Floats = NDArray[np.float64]
LEAST, MOST = 0.2, 0.5


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


def samples(
    folder: Path, tables: int, flats: int, mixes: int, *, for_test: bool
) -> tuple[Floats, Floats, Floats, Floats]:
    """Features, truth (1: a lamp), which scene, which family (0 flat, 1 traced)."""
    rows, truth, scene, family = [], [], [], []

    def add(picture: NDArray[np.uint8], lit: bool, who: int, kind: int) -> None:
        found = lamp_features(small_linear(picture))
        if found is not None:
            rows.append(found.features)
            truth.append(float(lit))
            scene.append(who)
            family.append(kind)

    for i in range(flats):
        off, on = flat_pair(TEST if for_test else TRAIN, i + (100_000 if for_test else 0))
        add(off, False, i, 0)
        add(on, True, i, 0)
    for i in range(tables):
        table = kept_table(folder, i, for_test=for_test)
        rng = np.random.default_rng([19, i])
        for k in range(mixes):
            add(traced_frame(table, 1000 * i + k, 0.0), False, 10_000 + i, 1)
            add(traced_frame(table, 1000 * i + 500 + k, float(rng.uniform(LEAST, MOST))), True, 10_000 + i, 1)
    return np.array(rows), np.array(truth), np.array(scene, float), np.array(family, float)


def expanded(x: Floats) -> Floats:
    """Features and their squares."""
    return np.concatenate([np.ones((len(x), 1)), x, x * x - 1], axis=1)


def fitted(x: Floats, y: Floats, weight: Floats, ridge: float) -> Floats:
    """Logistic regression with a ridge."""
    a = expanded(x)

    def loss(w: Floats) -> tuple[float, Floats]:
        z = a @ w
        p = 1 / (1 + np.exp(-z))
        value = float((weight * (np.logaddexp(0, z) - y * z)).sum() + ridge * (w[1:] ** 2).sum())
        slope = a.T @ (weight * (p - y))
        slope[1:] += 2 * ridge * w[1:]
        return value, slope

    return np.asarray(minimize(loss, np.zeros(a.shape[1]), jac=True, method="L-BFGS-B").x)


def found_at(scores: Floats, truth: Floats, false_share: float = 0.05) -> float:
    """Share of lamps found at this share of false alarms."""
    if not (truth == 0).any():
        return float("nan")
    limit = np.quantile(scores[truth == 0], 1 - false_share)
    return float((scores[truth == 1] > limit).mean())


def scores_by_fold(x: Floats, y: Floats, scene: Floats, weight: Floats, ridge: float) -> Floats:
    """Every scene judged by weights fitted without it (five parts)."""
    out = np.zeros(len(y))
    for part in range(5):
        away = scene % 5 == part
        out[away] = expanded(x[away]) @ fitted(x[~away], y[~away], weight[~away], ridge)
    return out


RIDGE = 10.0
TABLES, FLATS, MIXES = 34, 150, 8


def main() -> None:
    """Fit, write frames/lamp_weights.py, and print what the threshold does to the scenes it was chosen on."""
    folder = Path(sys.argv[1])
    x, y, scene, family = samples(folder, TABLES, FLATS, MIXES, for_test=False)
    mean, spread = x.mean(axis=0), x.std(axis=0) + 1e-6
    z = np.clip((x - mean) / spread, -3, 3)
    weight = np.where(family == 0, len(y) / (2 * (family == 0).sum()), len(y) / (2 * (family == 1).sum()))
    by_fold = scores_by_fold(z, y, scene, weight, RIDGE)
    # at most one frame in twenty without a lamp may be suspected, on either kind of made scene
    limit = max(float(np.quantile(by_fold[(y == 0) & (family == k)], 0.95)) for k in (0, 1))
    weights = fitted(z, y, weight, RIDGE)
    for k, name in ((0, "flat"), (1, "traced")):
        part = family == k
        found, false = (float(np.mean(by_fold[part & (y == lit)] > limit)) for lit in (1, 0))
        print(
            f"{name}: found {found:.0%}, false {false:.1%} ({part.sum()} frames, each by weights without its scene)"
        )

    def row(values: Floats) -> str:
        lines = textwrap.wrap(", ".join(f"{v:.4g}" for v in values), 110)
        return "(\n    " + "\n    ".join(lines) + ",\n)"

    text = f'''"""Weights of the suspicion of a second light, written by bench/made/fit_lamps.py; see there."""

# fmt: off
MEAN = {row(mean)}
SPREAD = {row(spread)}
WEIGHTS = {row(weights)}
LIMIT = {limit:.4g}
'''
    Path("src/plateside/frames/lamp_weights.py").write_text(text)


if __name__ == "__main__":
    main()
