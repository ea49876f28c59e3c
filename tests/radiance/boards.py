"""Make tests/authority/data/radiance_boards.json: boards that stand across the table, turned, crossing, lying, leaning.

    nice -n 15 python -m tests.radiance.boards          makes what is missing or has changed

The cases are those where an edge of a board (or of the table) falls between the cuts of a net of patches: light must
not pass under a foot. One room, one sky each; the tracer is that of tests/radiance/references.py.
"""

import json
import time
from pathlib import Path

from tests.radiance.references import reference
from tests.radiance.rooms import LISBON, NOON, SUMMER_NOON, Case, board, room, sky, spot, window

DATA = Path(__file__).parents[1] / "authority" / "data" / "radiance_boards.json"
FRONT = 20.0
AIM, MOST = 0.008, 64
OVERCAST, CLEAR = sky(16, 18000.0), sky(12, 15000.0, 90000.0)


def cases() -> list[Case]:
    """Every case as plain data. The dish is at (2.1, 2.5), 0.6 m from the window wall; the table 1.0 x 0.8 m."""
    across = [board(2.1, 2.5 + gap, 1.05, FRONT + 180, 0.05, 1.0, 0.6) for gap in (0.17, 0.35)]
    turned = [board(2.05, 2.72, 1.0, FRONT + 180 + turn, 0.05, 1.2, 0.5) for turn in (25, 45)]
    named: list[tuple[str, list[Case], Case, Case]] = [
        ("black across, 17 cm", [across[0]], OVERCAST, spot(2.1, 0.6)),
        ("black across, 35 cm", [across[1]], OVERCAST, spot(2.1, 0.6)),
        ("black, turned 25", [turned[0]], OVERCAST, spot(2.1, 0.6)),
        ("black, turned 45, beyond the edge", [turned[1]], OVERCAST, spot(2.1, 0.6)),
        ("white behind, turned 20", [board(2.16, 2.27, 1.0, FRONT + 20, 0.88)], OVERCAST, spot(2.1, 0.6)),
        (
            "two crossing",
            [board(2.1, 2.73, 1.0, FRONT + 150, 0.05, 0.9, 0.5), board(2.2, 2.7, 0.95, FRONT + 215, 0.88, 0.9, 0.4)],
            OVERCAST,
            spot(2.1, 0.6),
        ),
        ("white lying", [board(2.33, 2.47, 0.76, FRONT + 10, 0.88, 0.33, 0.47, 90.0)], OVERCAST, spot(2.1, 0.6)),
        ("leaning back 20", [board(2.07, 2.71, 0.985, FRONT + 180, 0.05, 1.0, 0.5, 20.0)], OVERCAST, spot(2.1, 0.6)),
        (
            "on the floor, turned",
            [board(2.0, 2.43, 0.4, FRONT + 190, 0.05, 1.6, 0.8)],
            OVERCAST,
            spot(2.1, 0.9, 0.0, table_width_m=0.6, table_depth_m=0.5),
        ),
        (
            "from the floor, leaning on the table's edge",
            [board(2.1, 2.96, 0.75, FRONT + 180, 0.05, 1.4, 1.5)],
            OVERCAST,
            spot(2.1, 0.6),
        ),
        ("black side, sun", [board(1.78, 2.52, 1.0, FRONT + 100, 0.05, 0.8, 0.5)], CLEAR, spot(2.1, 0.6)),
    ]  # fmt: skip
    return [
        {
            "id": name,
            "place": LISBON,
            "room": room(4.2, 3.1, 2.5, 0.25, 0.8, 0.75),
            "windows": [window("main", FRONT, 1.2, 1.2, 0.78)],
            "blocks": [],
            "boards": boards,
            "hung": [],
            "camera": [90.0, 45.0],
            "when": SUMMER_NOON if under is OVERCAST else NOON,
            "sky": under,
            "spot": where,
        }
        for name, boards, under, where in named
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
            "what": "illuminance [lx] by Radiance with boards of tests/radiance/boards.py",
            "noise": "standard error of the mean, as a share of the value",
        }
        lines = ",\n".join(json.dumps(one, separators=(", ", ": ")) for one in done)
        DATA.write_text(json.dumps(head, indent=1)[:-2] + ',\n "cases": [\n' + lines + "\n ]\n}\n")


if __name__ == "__main__":
    main()
