"""Progress and cancelling: a plain callback that passes through the pure cores."""

from typing import Protocol


class Progress(Protocol):
    """Called as `progress(done, total)`; it may raise `Cancelled` to stop the work cleanly."""

    def __call__(self, done: int, total: int) -> None: ...


def silent(done: int, total: int) -> None:
    """Progress that nobody watches."""
