"""Progress of long work, on the terminal's error channel, so that results stay clean."""

import contextlib
import sys
from collections.abc import Iterator, Sequence

from plateside.model.progress import WAITING
from plateside.words.commands import IN_TURN
from plateside.words.every_shoot import in_turn

_shown = ""


def show_progress(done: int, total: int) -> None:
    """Rewrite one line, `12 of 40`; nothing when nobody watches a terminal."""
    _show(IN_TURN if (done, total) == WAITING else f"{done} of {total}", is_last=done >= total > 0)


def show_waiting(names: Sequence[str]) -> None:
    """The same line says which shoots are waited for."""
    _show(in_turn(names), is_last=False)


def _show(text: str, *, is_last: bool) -> None:
    global _shown
    if sys.stderr.isatty() and (text != _shown or is_last):
        # what stood there is written over to its end
        print(f"\r{text:{len(_shown)}}", end="\n" if is_last else "", file=sys.stderr, flush=True)
        _shown = "" if is_last else text


@contextlib.contextmanager
def whole_lines() -> Iterator[None]:
    """What is printed after the block begins a line of its own, wherever the block's progress was cut short."""
    global _shown
    try:
        yield
    finally:
        if _shown:
            print(file=sys.stderr, flush=True)
        _shown = ""
