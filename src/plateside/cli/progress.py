"""Progress of long work, on the terminal's error channel, so that results stay clean."""

import contextlib
import sys
from collections.abc import Iterator

from plateside.model.progress import WAITING
from plateside.words.commands import IN_TURN

_shown = ""


def show_progress(done: int, total: int) -> None:
    """Rewrite one line, `12 of 40`; nothing when nobody watches a terminal."""
    global _shown
    if not sys.stderr.isatty():
        return
    text = IN_TURN if (done, total) == WAITING else f"{done} of {total}"
    if text != _shown or done >= total > 0:
        # what stood there is written over to its end
        end = "\n" if done >= total > 0 else ""
        print(f"\r{text:{len(_shown)}}", end=end, file=sys.stderr, flush=True)
        _shown = "" if end else text


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
