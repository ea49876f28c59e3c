"""How well a set is matched: real photographs re-lit in linear light, the whole table, ratios side by side.

    python -m bench matching

For each photograph (scikit-image's) and each change of light: the same view, a nearer view from the side, and two
halves of the picture that share nothing but their surroundings. Left: error in exposure [stop] and colour [mired].
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.finish.matching import match
from plateside.finish.recognised import MatchView, look
from plateside.finish.white_balance import of_array
from plateside.ground.srgb import to_display, to_linear
from tests.photographs import photograph

PHOTOGRAPHS = ("coffee", "chelsea", "immunohistochemistry", "rocket")
LIGHTS = (
    (-1.0, 1.0, 1.0),
    (-0.6, 1.15, 0.85),
    (-0.3, 0.9, 1.1),
    (0.0, 1.05, 0.95),
    (0.3, 0.92, 1.12),
    (0.0, 1.0, 1.0),
)
Linear = NDArray[np.float32]


def taken(scene: Linear, light: NDArray[np.float64], seed: int) -> MatchView:
    """The scene in that light as a camera's JPEG gives it back: noise, clipping, 8 bits."""
    rng = np.random.default_rng(seed)
    seen = np.clip(scene * light + rng.normal(0, 0.003, scene.shape), 0, 1)
    return look(to_linear(np.rint(255 * to_display(seen)) / 255.0).astype(np.float32))


def views(name: str) -> dict[str, tuple[Linear, Linear]]:
    """Pairs of pictures of one scene."""
    picture = photograph(name)
    height = round(480 * picture.shape[0] / picture.shape[1])
    small = np.asarray(cv2.resize(picture, (480, height), interpolation=cv2.INTER_AREA), np.float64)
    light = (to_linear(small / 255) * 0.8).astype(np.float32)
    nearer = np.asarray(cv2.resize(light[height // 8 :, 80:-40], None, fx=1.25, fy=1.25), np.float32)
    return {
        "same view": (light, light),
        "nearer": (light, nearer),
        "halves": (light[:, :240], light[:, 240:]),
    }


def main() -> None:
    print(
        f"{'photograph':<11} {'view':<10} {'by':<13} {'before':>7} {'after':>6} {'stops left':>11} {'mired left':>11}"
    )
    left: dict[str, list[tuple[float, float, float]]] = {}
    for name in PHOTOGRAPHS:
        for view, (one, two) in views(name).items():
            reference = taken(one, np.ones(3), 1)
            for stops, red, blue in LIGHTS:
                change = 2.0**stops * np.array([red, 1.0, blue])
                truth = of_array(1 / change)
                found = match(reference, taken(two, change, 2))
                error = found.stops - truth.exposure_stops, found.mired - truth.mired
                left.setdefault(found.by, []).append(
                    (abs(error[0]), abs(error[1]), found.delta_e_after or np.nan)
                )
                before = "" if found.delta_e_before is None else f"{found.delta_e_before:.2f}"
                after = "" if found.delta_e_after is None else f"{found.delta_e_after:.2f}"
                print(
                    f"{name:<11} {view:<10} {found.by:<13} {before:>7} {after:>6} {error[0]:>11.3f} {error[1]:>11.1f}"
                )
    for by, rows in left.items():
        values = np.array(rows)
        print(
            f"{by}: {len(rows)} pairs; left in the mean {values[:, 0].mean():.3f} stop, {values[:, 1].mean():.1f} mired"
            f"; worst {values[:, 0].max():.3f} stop, {values[:, 1].max():.1f} mired"
            + ("" if np.isnan(values[:, 2]).all() else f"; CIEDE2000 after {np.nanmean(values[:, 2]):.2f}")
        )


if __name__ == "__main__":
    main()
