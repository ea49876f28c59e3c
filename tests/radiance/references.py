"""Make tests/authority/data/radiance_rooms.json: what the Radiance ray tracer says of the rooms in radiance_rooms.py.

    nice -n 15 python -m tests.radiance.references           makes what is missing or has changed
    nice -n 15 python -m tests.radiance.references NAME      makes again the cases whose id begins so

Each case is kept with its parameters, the sun's place (pvlib), the six illuminances and their noise.
"""

import json
import sys
import time
from math import cos, radians, sin
from pathlib import Path
from typing import Any

import pandas as pd
import pyradiance
from pvlib.solarposition import get_solarposition

from tests.radiance.rooms import Case, Objects, cases, objects
from tests.radiance.scene import build
from tests.radiance.trace import PARAMS, SAMPLES, trace

DATA = Path(__file__).parents[1] / "authority" / "data" / "radiance_rooms.json"
FACES = ("horizontal", "front", "right", "back", "left", "camera")
HORIZONTAL_LIFT_M, FACE_LIFT_M = 0.001, 0.05
AIM = 0.006


def sensors(made: Objects) -> list[tuple[float, ...]]:
    """Position and normal of the six faces, in the order of FACES."""
    x, y, z = made.spot.from_left_m, made.studio.room.depth_m - made.spot.from_front_m, made.spot.height_m
    turn, up = radians(made.camera_faces_deg), radians(made.camera_elevation_deg)
    camera = (-sin(turn) * cos(up), -cos(turn) * cos(up), sin(up))
    upright = ((0.0, 1.0, 0.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (-1.0, 0.0, 0.0), camera)
    return [(x, y, z + HORIZONTAL_LIFT_M, 0.0, 0.0, 1.0), *((x, y, z + FACE_LIFT_M, *n) for n in upright)]


def sun_place(made: Objects) -> tuple[float, float]:
    """The sun's elevation with refraction and its azimuth [deg], by pvlib."""
    place = made.studio.place
    got = get_solarposition(
        pd.DatetimeIndex([made.when]),
        place.latitude_deg,
        place.longitude_deg,
        place.altitude_m,
        method="nrel_numpy",
    )
    return float(got["apparent_elevation"].iloc[0]), float(got["azimuth"].iloc[0])


def reference(case: Case, aim: float = AIM, most: int = 96) -> dict[str, Any]:
    """Illuminances [lx] and noise [share] of a case."""
    made = objects(case)
    elevation, azimuth = sun_place(made)
    scene = build(made.studio, made.spot, made.sky, elevation, azimuth, made.boards, made.hung)
    got = trace(scene, sensors(made), aim=aim, most=most)
    return {
        "sun": [round(elevation, 4), round(azimuth, 4)],
        "lux": {face: float(f"{value:.5g}") for face, value in zip(FACES, got.lux, strict=True)},
        "noise": {face: float(f"{value:.2g}") for face, value in zip(FACES, got.noise, strict=True)},
    }


def main() -> None:
    kept: dict[str, Any] = {}
    if DATA.exists():
        kept = {one["case"]["id"]: one for one in json.loads(DATA.read_text())["cases"]}
    again = sys.argv[1] if len(sys.argv) > 1 else None
    everything = []
    wanted = json.loads(json.dumps(cases()))
    for case in wanted:
        old = kept.get(case["id"])
        if old is not None and old["case"] == case and not (again and case["id"].startswith(again)):
            everything.append(old)
            continue
        start = time.perf_counter()
        made = {"case": case, "reference": reference(case)}
        everything.append(made)
        worst = max(made["reference"]["noise"].values())
        print(f"{case['id']:42s} {time.perf_counter() - start:6.1f} s, worst noise {worst:.2%}", flush=True)
        rest = [kept[one["id"]] for one in wanted[len(everything) :] if one["id"] in kept]
        _write([*everything, *rest])
    _write(everything)


def _write(everything: list[dict[str, Any]]) -> None:
    version = pyradiance.rtrace(b"", "", version=True).decode().strip()
    DATA.parent.mkdir(parents=True, exist_ok=True)
    head = {
        "what": "illuminance [lx] by Radiance in the rooms of tests/radiance/rooms.py",
        "made by": "tests/radiance/references.py",
        "radiance": version,
        "pyradiance": pyradiance.__version__ if hasattr(pyradiance, "__version__") else "1.3.1",
        "settings": " ".join(("-u+", *PARAMS)),
        "samples": f"{SAMPLES} rays a repeat, 8 to 96 repeats, until the standard error is under {AIM:.1%}",
        "noise": "standard error of the mean, as a share of the value",
        "faces": "horizontal: 1 mm above the table, up; the others 50 mm above it, towards walls and camera",
    }
    lines = ",\n".join(json.dumps(one, separators=(", ", ": ")) for one in everything)
    temporary = DATA.with_suffix(".part")
    temporary.write_text(json.dumps(head, indent=1)[:-2] + ',\n "cases": [\n' + lines + "\n ]\n}\n")
    temporary.replace(DATA)


if __name__ == "__main__":
    main()
