"""Make tests/authority/data/radiance_fit.json: light in the furnished rooms of fit_rooms.py, by Radiance.

nice -n 15 python -m scripts.fit_references
"""

import json
import time
from pathlib import Path
from typing import Any

from scripts.fit_rooms import PREDICT, READ, moment_case, objects, rooms, sun_on_dish
from tests.radiance.references import sensors, sun_place
from tests.radiance.scene import build
from tests.radiance.trace import PARAMS, trace

DATA = Path(__file__).parent.parent / "tests" / "authority" / "data" / "radiance_fit.json"
AIM = 0.01


def main() -> None:
    made_rooms = []
    for one in rooms():
        start = time.perf_counter()
        told: dict[str, list[Any]] = {"readings": [], "predictions": []}
        for kind, moments in (("readings", READ), ("predictions", PREDICT)):
            for at, sky in moments:
                case = moment_case(one, at, sky)
                made = objects(case)
                elevation, azimuth = sun_place(made)
                on_dish = sun_on_dish(made, elevation, azimuth - made.studio.front_bearing_deg)
                if elevation < 3 or on_dish:
                    continue  # no picture is taken by that light
                scene = build(made.studio, made.spot, made.sky, elevation, azimuth)
                got = trace(scene, sensors(made)[:1], aim=AIM, most=40)
                told[kind].append(
                    {
                        "at": at,
                        "sky": case["sky"],
                        "lux": float(f"{got.lux[0]:.5g}"),
                        "noise": float(f"{got.noise[0]:.2g}"),
                    }
                )
        file = {"place": one.place, "room": one.file_room, "windows": one.file_windows, "spot": one.where}
        truth = {"room": one.truth_room, "windows": one.truth_windows, "blocks": one.blocks}
        made_rooms.append({"name": one.name, "file": file, "truth": truth, **told})
        print(
            f"{one.name:26s} {time.perf_counter() - start:6.1f} s",
            {k: len(v) for k, v in told.items()},
            flush=True,
        )
    head = {
        "what": "light [lx] on the horizontal at the dish, by Radiance, in rooms whose file knows no furniture",
        "made by": "scripts/fit_references.py",
        "settings": " ".join(("-u+", *PARAMS)),
        "noise": "standard error of the mean, as a share of the value",
    }
    lines = ",\n".join(json.dumps(one, separators=(", ", ": ")) for one in made_rooms)
    temporary = DATA.with_suffix(".part")
    temporary.write_text(json.dumps(head, indent=1)[:-2] + ',\n "rooms": [\n' + lines + "\n ]\n}\n")
    temporary.replace(DATA)


if __name__ == "__main__":
    main()
