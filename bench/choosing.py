"""Whether a flawless frame is chosen where there is one.

    python -m bench.choosing [series [first seed]]      (default 200 from 0)

Made series (tests/synthetic/series.py) of dishes from the TEST photographs, judged and chosen as `plateside choose`
does: blur of three kinds, the dish pushed, exposure, clipped highlights, a cast, crumbs, a hand, a thing left lying,
a tilted and a cropped frame, of various strengths, some in one burst, some over drifting light, some with raws, half
of them with an accepted test frame.
"""

import sys
import tempfile
from collections import Counter
from pathlib import Path

from scipy.stats import beta

from tests.shoots.chosen import chosen

SERIES = 200
AIM = 0.98


def main() -> None:
    """Print every miss and the share."""
    given = [int(a) for a in sys.argv[1:] if a.isdigit()]
    number, first = given[0] if given else SERIES, given[1] if len(given) > 1 else 0
    right, wrong = 0, Counter[str]()
    for seed in range(first, first + number):
        with tempfile.TemporaryDirectory() as folder:
            name, series = chosen(Path(folder) / "shoot", seed)
        fault = series.faults.get(name, "nothing chosen")
        right += not fault
        if fault:
            wrong[f"{fault}{' (accepted frame there)' if series.accepted else ''}"] += 1
            print(
                f"  series {seed}: {name} with {fault}; flawless: {[n for n, f in series.faults.items() if not f]}"
            )
    low = float(beta.ppf(0.025, right, number - right + 1)) if right else 0.0
    print(
        f"flawless frame chosen: {right} of {number}, {right / number:.1%} (at least {low:.1%}); aim {AIM:.0%}"
    )
    for fault, count in wrong.most_common():
        print(f"  {fault}: {count}")


if __name__ == "__main__":
    main()
