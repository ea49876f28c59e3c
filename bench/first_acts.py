"""Which act is said first against the test frame, and whether it is a right one, for each kind of frame.

    python -m bench first_acts        (or python -m bench.first_acts [frames of each kind [seed]])
    python -m bench.first_acts traced [frames of each kind [seed [tables]]]     on traced tables, where the renderer is

Which acts are right for which kind: `tests/synthetic/first_acts.py`. Seeds from 5000 and tables from 95000 on are held
out: what was looked at while rules were made lies below.
"""

import sys
from collections import Counter

from tests.synthetic.first_acts import RIGHT, first_case, told_first
from tests.synthetic.scenes import TEST, Scene
from tests.synthetic.traced_scenes import traced_scene

NUMBER, HELD_OUT, TABLES = 12, 5000, 95000
DIFFERENT = 6
"""Traced tables that are gone through."""


def main() -> None:
    """Print a line for each kind, and how many of all are right."""
    words = sys.argv[1:]
    numbers = [int(word) for word in words if word.isdigit()]
    number, seed, tables = numbers + [NUMBER, HELD_OUT, TABLES][len(numbers) :]
    kinds = [word for word in words if word in RIGHT] or list(RIGHT)
    rights = wholly = 0
    for kind in kinds:
        said: Counter[str] = Counter()
        right = 0
        for i in range(number):
            scene: Scene | None = None
            if "traced" in words:
                scene = traced_scene(tables + i % DIFFERENT, for_test=True)
            case = first_case(TEST, seed + i, kind, scene)
            act = told_first(case).first
            fits = case.is_right(act)
            right += fits
            said[act.code if fits else f"{act.code} (wrong, {seed + i})"] += 1
        rights, wholly = rights + right, wholly + number
        told = ", ".join(f"{code} {count}" for code, count in said.most_common())
        print(f"{kind:28}{right:3d} of {number}: {told}", flush=True)
    print(f"first act right in {rights} of {wholly}: {rights / wholly:.1%}")


if __name__ == "__main__":
    main()
