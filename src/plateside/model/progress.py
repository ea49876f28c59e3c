"""Progress and cancelling: a plain callback that passes through the pure cores."""

from typing import Protocol


class Progress(Protocol):
    """Called as `progress(done, total)`; it may raise `Cancelled` to stop the work cleanly."""

    def __call__(self, done: int, total: int) -> None: ...


WAITING = (0, 0)
"""Said as progress while the same work, begun before, is not over: nothing of this one is done yet. Work
without parts says nothing, so that this means one thing."""


def silent(done: int, total: int) -> None:
    """Progress that nobody watches."""
