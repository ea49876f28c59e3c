"""Wishes: 300 random shots in random rooms; every wish is met within its tolerance or is in the set-up's `unmet`.

python -m bench wishes [shots [seed]]      (default 300, 2027)

The ruler stands beside the solver: thin-lens arithmetic over every lens, 200 focal lengths and both ways to hold the
camera says whether optics allow the frame asked for; blur, streak, exposure and crops are reckoned here again.
"""

import random

from plateside.model.errors import CouldNotError
from plateside.plan.setup import solve
from tests.synthetic.wished import (
    broken,
    optics_allow,
    random_case,
)

SHOTS, SEED = 300, 2027


def main(shots: int = SHOTS, seed: int = SEED) -> None:
    """Print what is broken, and how often each wish was not met."""
    rng = random.Random(seed)
    bad, dark, codes, allowed = 0, 0, dict[str, int](), 0
    for i in range(shots):
        case = random_case(rng, f"shot-{i}")
        try:
            s = solve(case.studio, case.shot, case.channels, case.light)
        except CouldNotError:
            dark += 1
            continue
        allowed += optics_allow(case)
        for code in {u.code for u in s.unmet}:
            codes[code] = codes.get(code, 0) + 1
        found = broken(case, s)
        bad += bool(found)
        if found:
            print(f"{case.shot.name}: {', '.join(found)}")
    print(
        f"{shots} shots of seed {seed}, {dark} without daylight, optics allow the frame of {allowed};"
        f" told as not met: {codes}"
    )
    print(f"shots with a wish neither met nor told: {bad} (0 wanted)")


if __name__ == "__main__":
    main()
