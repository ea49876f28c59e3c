"""Make tests/authority/data/radiance_reveals.json: deep reveals, narrow windows, eaves, sun on the reveal.

    nice -n 15 python -m tests.radiance.reveals          makes what is missing or has changed

Reveal and overhang are matt surfaces there, lit by sky, sun, ground and each other like everything else. The tracer is
that of tests/radiance/references.py.
"""

import json
import time
from pathlib import Path

from tests.radiance.references import reference
from tests.radiance.rooms import (
    LISBON,
    NOON,
    SPRING_AFTERNOON,
    SUMMER_NOON,
    Case,
    opposite,
    room,
    sky,
    spot,
    window,
)

DATA = Path(__file__).parents[1] / "authority" / "data" / "radiance_reveals.json"
AIM, MOST = 0.008, 64
OVERCAST, CLEAR = sky(16, 18000.0), sky(12, 15000.0, 80000.0)


def cases() -> list[Case]:
    """Every case as plain data."""
    houses = [opposite(130, 230, 12, 9, reflectance=0.35)]
    wide = {"overhang_depth_m": 1.2, "overhang_above_m": 0.3}
    named: list[tuple[str, Case, Case, str]] = [
        ("reveal 60 cm, overcast", window("w", 180, 1.2, 1.2, 0.8, reveal_depth_m=0.6), OVERCAST, NOON),
        ("reveal 60 cm, sun", window("w", 180, 1.2, 1.2, 0.8, reveal_depth_m=0.6), CLEAR, SPRING_AFTERNOON),
        ("reveal 30 cm, narrow, sun", window("w", 180, 0.4, 1.6, 0.6, reveal_depth_m=0.3), CLEAR, SPRING_AFTERNOON),
        ("reveal 10 cm, high sun", window("w", 180, 1.2, 1.2, 0.8, reveal_depth_m=0.1), CLEAR, SUMMER_NOON),
        ("balcony above, overcast", window("w", 180, 1.4, 1.3, 0.8, **wide), OVERCAST, NOON),
        ("balcony above, high sun", window("w", 180, 1.4, 1.3, 0.8, **wide), CLEAR, SUMMER_NOON),
        (
            "reveal and eave, houses, sun",
            window("w", 180, 1.0, 1.4, 0.7, reveal_depth_m=0.25, overhang_depth_m=0.6, overhang_above_m=0.15,
                   opposite=houses, floor_above_ground_m=3.0),
            CLEAR,
            NOON,
        ),
        ("pale ground, low slit", window("w", 180, 2.0, 0.5, 1.0, reveal_depth_m=0.45, ground_reflectance=0.5),
         CLEAR, NOON),
    ]  # fmt: skip
    return [
        {
            "id": name,
            "place": LISBON,
            "room": room(3.8, 3.2, 2.5, 0.25, 0.8, 0.6),
            "windows": [opening],
            "blocks": [],
            "boards": [],
            "hung": [],
            "camera": [90.0, 45.0],
            "when": when,
            "sky": under,
            "spot": spot(1.4, 0.8),
        }
        for name, opening, under, when in named
    ]


def main() -> None:
    kept = {one["case"]["id"]: one for one in json.loads(DATA.read_text())["cases"]} if DATA.exists() else {}
    done = []
    for case in json.loads(json.dumps(cases())):
        old = kept.get(case["id"])
        start = time.perf_counter()
        done.append(
            old if old and old["case"] == case else {"case": case, "reference": reference(case, AIM, MOST)}
        )
        noise = max(done[-1]["reference"]["noise"].values())
        print(f"{case['id']:44s} {time.perf_counter() - start:6.1f} s, worst noise {noise:.2%}", flush=True)
        head = {
            "what": "illuminance [lx] by Radiance with reveals and overhangs of tests/radiance/reveals.py",
            "noise": "standard error of the mean, as a share of the value",
        }
        lines = ",\n".join(json.dumps(one, separators=(", ", ": ")) for one in done)
        DATA.write_text(json.dumps(head, indent=1)[:-2] + ',\n "cases": [\n' + lines + "\n ]\n}\n")


if __name__ == "__main__":
    main()
