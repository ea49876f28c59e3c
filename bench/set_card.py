"""The set card on 300 made frames with known pose, and on pictures that show none."""

import time

import numpy as np
from skimage import data

from plateside.camera.card.pose import find_card
from tests.unit.card.errors import PoseError, measure

CASES = 300
NONE_OF_THEM = (
    "coffee",
    "brick",
    "chelsea",
    "gravel",
    "page",
    "text",
    "coins",
    "moon",
    "grass",
    "cell",
)


def main() -> None:
    started = time.perf_counter()
    results = [measure(seed) for seed in range(CASES)]
    seconds = time.perf_counter() - started
    found = [error for _truth, error in results if error is not None]
    print(f"{CASES} made frames, {len(found)} read, {seconds / CASES:.2f} s a frame with making it")
    _row("tilt [deg]", [e.tilt_deg for e in found])
    _row("roll [deg]", [e.roll_deg for e in found])
    _row("scale [%]", [e.scale_percent for e in found])
    wild = [e for e in found if _wild(e)]
    print(f"false poses (over 2 deg or 3 %): {len(wild)}")
    pictures = [np.asarray(getattr(data, name)()) for name in NONE_OF_THEM]
    greys = [p if p.ndim == 2 else np.round(p[..., :3].mean(axis=2)) for p in pictures]
    taken = sum(find_card(np.ascontiguousarray(g, dtype=np.uint8), 1500.0) is not None for g in greys)
    print(f"pictures without a card: {len(greys)}, taken for one: {taken}")


def _wild(e: PoseError) -> bool:
    return max(abs(e.tilt_deg), abs(e.roll_deg)) > 2 or abs(e.scale_percent) > 3


def _row(name: str, values: list[float]) -> None:
    p50, p90, worst = np.percentile(np.abs(values), [50, 90, 100])
    print(f"  {name:12s} median {p50:.3f}   90th percentile {p90:.3f}   worst {worst:.3f}")


if __name__ == "__main__":
    main()
