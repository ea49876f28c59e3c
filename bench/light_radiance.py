"""The light engine against the stored Radiance references: mean and worst deviation, by group and by kind of case.

    python -m bench.light_radiance [--cases]

`building` rooms were looked at while the engine was built; `held-out` rooms were not. The aim: mean under 1.5 %, worst
under 6 %. The references' own noise (standard error) is printed beside it. Deviations of both signs count by size.
"""

import json
import sys
from pathlib import Path
from typing import Any

import numpy as np

from tests.synthetic.against_radiance import FACES, deviations

DATA = Path(__file__).parent.parent / "tests" / "authority" / "data" / "radiance_rooms.json"


def _kinds(case: dict[str, Any]) -> list[str]:
    kinds = []
    if case["boards"]:
        kinds.append("board")
    if case["hung"]:
        kinds.append("sheet")
    if len(case["windows"]) > 1:
        kinds.append("several windows")
    if any(window.get("opposite") for window in case["windows"]):
        kinds.append("skyline")
    if any(window.get("overhang_depth_m") or window.get("reveal_depth_m") for window in case["windows"]):
        kinds.append("reveal or overhang")
    if case["sky"]["direct_normal_lx"] > 0:
        kinds.append("sun")
    return kinds or ["plain"]


def main() -> None:
    stored = json.loads(DATA.read_text())
    print(f"{stored['radiance']}; {stored['samples']}")
    found: dict[str, list[float]] = {}
    noise: dict[str, list[float]] = {}
    worst: dict[str, tuple[float, str]] = {}
    for one in stored["cases"]:
        off = deviations(one)
        if "--cases" in sys.argv:
            told = "  ".join(f"{face} {100 * d:+.1f}" for face, d in zip(FACES, off, strict=True))
            print(f"  {one['case']['group']:9s} {one['case']['id']:44s} {told}")
        for group in (one["case"]["group"], "all", *(f"  {kind}" for kind in _kinds(one["case"]))):
            found.setdefault(group, []).extend(np.abs(off))
            noise.setdefault(group, []).extend(one["reference"]["noise"].values())
            k = int(np.argmax(np.abs(off)))
            if abs(off[k]) > worst.get(group, (-1.0, ""))[0]:
                worst[group] = (abs(float(off[k])), f"{one['case']['id']}, {FACES[k]}")
    print(f"{'':22s} values   mean   median   95 %   worst   noise (mean, worst)")
    for group in sorted(found, key=lambda name: (name.startswith("  "), name)):
        d, n = 100 * np.array(found[group]), 100 * np.array(noise[group])
        print(
            f"{group:22s} {d.size:6d} {d.mean():6.2f} {np.median(d):8.2f} {np.percentile(d, 95):6.2f} {d.max():7.2f}"
            f"   {n.mean():.2f} {n.max():.2f}   {worst[group][1]}"
        )


if __name__ == "__main__":
    main()
