"""What waits for something that never comes is ended after a while, and the tests go on."""

import contextlib
import signal
from collections.abc import Iterator

HANGS_S = 100.0
"""By the clock, on a machine with much else to do."""


class Hung(BaseException):
    """It waits for something that never comes."""


@contextlib.contextmanager
def ended_when_it_hangs() -> Iterator[None]:
    """Hung is raised in it when it takes longer than HANGS_S."""
    if not hasattr(signal, "setitimer"):
        yield
        return

    def end(*_: object) -> None:
        raise Hung

    signal.signal(signal.SIGALRM, end)
    # again and again: what is waited for while it ends may hang as well
    signal.setitimer(signal.ITIMER_REAL, HANGS_S, HANGS_S / 10)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
