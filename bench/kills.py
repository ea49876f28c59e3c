"""Work killed at random moments, a thousand times: nothing lost, nothing doubled, no half file, no lock stuck.

    python -m bench kills              MANY kills
    python -m bench kills 100 3        so many, with another seed

Four of five are of work (tests/abuse/victims.py), killed before a change on disk or by the clock, up to three times in
a row, then run to its end; the fifth is of a server, killed by the clock while it answers presses. Only on systems that
fork. Exit status 1 when anything was wrong.
"""

import os
import sys
import tempfile
from collections import Counter
from pathlib import Path

from tests.abuse import kills_of_serve
from tests.killed import run_alone

MANY = 1_000
AT_ONCE = 50
"""Kills of one program: then another one begins, so that none runs for hours."""


def main(many: int = MANY, seed: int = 1) -> None:
    if not hasattr(os, "fork"):
        sys.exit("Processes are not forked on this system: the kills cannot be run here.")
    of_serve = many // 5
    counted, faults, rounds = Counter[str](), list[str](), 0
    with tempfile.TemporaryDirectory(prefix="plateside-kills-") as folder:
        for part in range(0, many - of_serve, AT_ONCE):
            some = min(AT_ONCE, many - of_serve - part)
            place = Path(folder) / f"work-{part}"
            place.mkdir()
            got = run_alone("tests.abuse.kills", place, some, seed * 1_000 + part)
            counted.update(got["kills"])
            faults += got["faults"]
            rounds += got["rounds"]
        served = kills_of_serve.run(Path(folder) / "served", of_serve, seed)
    counted["serve"] = served.kills
    faults += served.faults
    for name, count in counted.most_common():
        print(f"{count:6d} kills of {name}")
    print(
        f"{counted.total()} kills in {rounds} rounds and {served.kills} servers, seed {seed}; {served.presses} "
        f"answered presses, all there unless said below; slowest next server {served.slowest_start_s:.1f} s"
    )
    print(f"{len(faults)} faults")
    for fault in faults[:40]:
        print(f"\n{fault[-2_000:]}")
    if faults:
        sys.exit(1)


if __name__ == "__main__":
    main(*(int(a) for a in sys.argv[1:]))
