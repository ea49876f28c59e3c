"""Damaged files of a shoot, by the thousand: each command and each page answers in words, in time, or does its work.

    python -m bench mutations            as many as MANY
    python -m bench.mutations 700 3      so many, with another seed

A small whole shoot is made once. Then one of its files is damaged (tests/synthetic/damaged.py), the commands and pages
that read it are run in this process, and the shoot is put back. Held of each: exit status 0, 1 or 2, or an HTTP answer
that is no 500; no traceback; at most MOST_S; and never an original changed.
"""

import sys
import tempfile
from pathlib import Path

from tests.synthetic.damaged_shoot import Shoot
from tests.synthetic.mutated import run

MANY = 2_000


def peak_mb() -> float:
    """The most memory this process has held [MB]; 0 where the system does not tell."""
    if sys.platform == "win32":
        return 0.0
    import resource

    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / 1e6 if sys.platform == "darwin" else most / 1e3


def main(many: int = 0, seed: int = 1, only: str = "") -> None:
    given = [a for a in sys.argv[1:] if a.isdigit()]
    many = many or (int(given[0]) if given else MANY)
    seed = int(given[1]) if len(given) > 1 else seed
    with tempfile.TemporaryDirectory() as folder:
        tally = run(Shoot(Path(folder)), many, seed, only=only)
    print(f"{tally.tried} damaged files, seed {seed}; answers: {dict(tally.answers.most_common())}")
    print(f"slowest {tally.slowest_s:.1f} s ({tally.slowest}); peak {peak_mb():.0f} MB")
    print(f"{len(tally.faults)} faults")
    for fault in tally.faults[:40]:
        print(f"\n#{fault.number} {fault.file}: {fault.what}; {fault.act}\n{fault.said}")


if __name__ == "__main__":
    main()
