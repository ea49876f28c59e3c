"""Fit the weights of `plateside.frames.kinds_weights` on made cases of TRAIN scenes. Run by hand; needs the renderer.

    python -m tests.synthetic.fit_kinds 300 > src/plateside/frames/kinds_weights.py

Two families: flat scenes of the TRAIN photographs, and (three for every five of those) twelve traced tables of TRAIN
dishes. Softmax regression with a small ridge; the keep threshold is set on five-fold cross-validated probabilities,
no table in two folds, so that at most the wanted share of good frames of the training scenes is refused.
"""

import sys

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from tests.synthetic.blur_cases import blur_cases
from tests.synthetic.faults import KINDS
from tests.synthetic.measured import KEEP_AND_FAULTS, Measured, measured
from tests.synthetic.scenes import TRAIN, Scene
from tests.synthetic.traced_scenes import DIFFERENT, traced_scene

Floats = NDArray[np.float64]
WIDTH = 900
RIDGE = {"ALONE": 5e-4, "AGAINST": 1e-4}
REFUSE_AT_MOST = {"ALONE": 0.06, "AGAINST": 0.01}


def softmax(weights: Floats, x: Floats) -> Floats:
    """Probabilities, rows x 5; the last row of `weights` is the offset."""
    z = x @ weights[:-1] + weights[-1]
    p = np.exp(z - z.max(axis=1, keepdims=True))
    return np.asarray(p / p.sum(axis=1, keepdims=True))


def fitted(x: Floats, y: NDArray[np.int64], ridge: float) -> Floats:
    """Weights, (features + 1) x 5."""
    n, d = x.shape
    k = len(KEEP_AND_FAULTS)
    wanted = np.eye(k)[y]

    def loss(v: Floats) -> tuple[float, Floats]:
        w = v.reshape(d + 1, k)
        p = softmax(w, x)
        g = (p - wanted) / n
        value = -float(np.log(p[np.arange(n), y] + 1e-12).mean()) + ridge * float((w[:-1] ** 2).sum())
        return value, np.vstack([x.T @ g + 2 * ridge * w[:-1], g.sum(axis=0)]).ravel()

    found = minimize(loss, np.zeros((d + 1) * k), jac=True, method="L-BFGS-B", options={"maxiter": 3000})
    return np.asarray(found.x.reshape(d + 1, k))


def fit(rows: list[Measured], name: str) -> str:
    """The model as Python source."""
    x = np.array([r.alone if name == "ALONE" else r.against for r in rows])
    y = np.array([r.label for r in rows])
    mean, spread = x.mean(axis=0), x.std(axis=0) + 1e-6
    z = (x - mean) / spread
    # six kinds of one scene in turn: every frame of a scene is in the same fold
    folds = np.array([r.seed // len(KINDS) % DIFFERENT % 5 for r in rows])
    keep = np.zeros(len(y))
    for f in range(5):
        keep[folds == f] = softmax(fitted(z[folds != f], y[folds != f], RIDGE[name]), z[folds == f])[:, 0]
    threshold = float(np.quantile(keep[y == 0], REFUSE_AT_MOST[name]))
    threshold = min(max(threshold, 0.35), 0.9)
    w = fitted(z, y, RIDGE[name])

    def row(values: Floats) -> str:
        return "(" + ", ".join(f"{v:.4g}" for v in values) + ")"

    matrix = ",\n        ".join(row(r) for r in w[:-1])
    return (
        f"{name} = Model(\n    mean={row(mean)},\n    spread={row(spread)},\n    matrix=(\n        {matrix},\n    ),\n"
        f"    offset={row(w[-1])},\n    threshold={threshold:.3f},\n)\n"
    )


HEAD = '''"""Weights for the kinds of blur; written by `python -m tests.synthetic.fit_kinds`, not by hand.

Columns: keep, out of focus, camera shake, subject motion, focus elsewhere. Rows: the features in the order of
`blur_features.ALONE_NAMES` and `AGAINST_NAMES`, brought to mean 0 and spread 1.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Model:
    """A linear softmax and the probability from which a frame is kept."""

    mean: tuple[float, ...]
    spread: tuple[float, ...]
    matrix: tuple[tuple[float, ...], ...]
    offset: tuple[float, ...]
    threshold: float


# fmt: off
# ruff: noqa: E501
'''


def _traced(k: int) -> Scene:
    return traced_scene(k, for_test=False, width=WIDTH)


def main() -> None:
    """Print the module."""
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    rows = [measured(case) for case in blur_cases(TRAIN, number, 11, WIDTH)]
    rows += [measured(case) for case in blur_cases(TRAIN, number * 3 // 5, 24, WIDTH, _traced)]
    print(HEAD + fit(rows, "ALONE") + "\n" + fit(rows, "AGAINST") + "# fmt: on")


if __name__ == "__main__":
    main()
