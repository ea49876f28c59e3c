"""Damaged files of a shoot, by the thousand: each command and each page answers in words, in time, or does its work.

    python -m bench mutations              as many as MANY
    python -m bench mutations 700 3        so many, with another seed

A small whole shoot is made once. Then one of its files is damaged (tests/synthetic/damaged.py), the commands and pages
that read it are run in this process, and the shoot is put back. Held of each: exit status 0, 1 or 2, or an HTTP answer
that is no 500; no traceback; at most MOST_S; at most MOST_MB held; and never an original changed. Exit status 1 when
anything was wrong.
"""

import sys
import tempfile
from pathlib import Path

from tests.synthetic.damaged_shoot import Shoot
from tests.synthetic.mutated import run

MANY = 10_000
MOST_MB = 1_000.0


def peak_mb() -> float:
    """The most memory this process has held [MB]; 0 where the system does not tell."""
    if sys.platform == "win32":
        return 0.0
    import resource

    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / 1e6 if sys.platform == "darwin" else most / 1e3


def main(many: int = MANY, seed: int = 1) -> None:
    with tempfile.TemporaryDirectory() as folder:
        tally = run(Shoot(Path(folder)), many, seed)
    print(f"{tally.tried} damaged files, seed {seed}; answers: {dict(tally.answers.most_common())}")
    print(f"slowest {tally.slowest_s:.1f} s ({tally.slowest}); peak {peak_mb():.0f} MB")
    print(f"{len(tally.faults)} faults")
    for fault in tally.faults[:40]:
        print(f"\n#{fault.number} {fault.file}: {fault.what}; {fault.act}\n{fault.said}")
    if peak_mb() > MOST_MB:
        print(f"more than {MOST_MB:.0f} MB were held")
    if tally.faults or peak_mb() > MOST_MB:
        sys.exit(1)


if __name__ == "__main__":
    main(*(int(a) for a in sys.argv[1:]))
