"""Whoever must not get in asks ten thousand times: refused, nothing told, the desk answered meanwhile.

    python -m bench strangers              MANY requests, MANY / 10 event streams, a flood of MANY
    python -m bench strangers 2000 3       so many, with another seed

Kinds: tests/abuse/strange_requests.py. One server, only at addresses of this machine. Exit status 1 when anything was
wrong, or when the desk's median answer took MOST_MS or more.
"""

import sys
import tempfile
import threading
import time
from pathlib import Path

from tests.abuse import strangers
from tests.abuse.strange_requests import Door
from tests.web.floods import flood
from tests.web.requests import get

MANY = 10_000
MOST_MS = 50.0


def main(many: int = MANY, seed: int = 1) -> None:
    with (
        tempfile.TemporaryDirectory(prefix="plateside-strangers-") as folder,
        strangers.door(Path(folder)) as here,
    ):
        tally = strangers.run(here, many, seed)
        faults = tally.faults + strangers.streams(here, many // 10)
        during: list[float] = []
        seen = _flooded(here, many, during)
    answers = dict(tally.answers.most_common())
    print(f"{tally.asked.total()} requests of {len(tally.asked)} kinds, seed {seed}; answers {answers}")
    print(f"{many // 10} event streams of one tablet; a flood of {sum(seen.values())}: {seen}")
    between, under = tally.median_ms, sorted(during)[len(during) // 2]
    print(f"the desk's median answer: {between:.1f} ms between them, {under:.1f} ms during the flood")
    if seen.get(200):
        faults.append(f"the flood was answered {seen[200]} times")
    if max(between, under) >= MOST_MS:
        faults.append(f"the desk waited {max(between, under):.1f} ms")
    print(f"{len(faults)} faults")
    for fault in faults[:40]:
        print(f"\n{fault}")
    if faults:
        sys.exit(1)


def _flooded(here: Door, many: int, during: list[float]) -> dict[int, int]:
    """What a flood of `many` was answered; the desk's times meanwhile [ms]."""
    ended = threading.Event()

    def desk() -> None:
        while not ended.is_set() or not during:
            began = time.perf_counter()
            get(here.served, "/standing")
            during.append(1000 * (time.perf_counter() - began))

    asking = threading.Thread(target=desk)
    asking.start()
    seen = flood(here.port, many)
    ended.set()
    asking.join()
    return dict(seen)


if __name__ == "__main__":
    main(*(int(a) for a in sys.argv[1:]))
