"""Progress of long work, on the terminal's error channel, so that results stay clean."""

import sys


def show_progress(done: int, total: int) -> None:
    """Rewrite one line, `12 of 40`; nothing when nobody watches a terminal."""
    if sys.stderr.isatty():
        end = "\n" if done >= total else ""
        print(f"\r{done} of {total}", end=end, file=sys.stderr, flush=True)
