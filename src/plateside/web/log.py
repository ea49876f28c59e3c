"""What the server writes to its terminal: short lines, and never more than a few in a while, whoever makes them.

Every logger that can be made to speak from outside ends here (uvicorn's, asyncio's, our own).
"""

import logging
import sys
import time
from collections.abc import Callable
from typing import TextIO

from plateside.words.serving import left_out

AT_ONCE = 80
"""Lines."""
PER_S = 0.2
"""Lines a second after that: 17,000 a day."""
MOST_LINES = 30
"""Of one message: the end of a traceback tells most."""
MOST_CHARACTERS = 300
SPEAKERS = ("plateside", "uvicorn", "uvicorn.error", "uvicorn.access", "asyncio")


class LimitedLog(logging.Handler):
    """Writes lines as long as there are not too many; afterwards it says how many were left out."""

    def __init__(self, out: TextIO | None = None, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(logging.WARNING)
        self._out, self._clock = out, clock
        self._left, self._last_at, self._unsaid = float(AT_ONCE), clock(), 0

    def emit(self, record: logging.LogRecord) -> None:
        now = self._clock()
        self._left = min(AT_ONCE, self._left + (now - self._last_at) * PER_S)
        self._last_at = now
        if self._left < 1:
            # not even put together: a storm costs next to nothing
            self._unsaid += 1
            return
        lines = self._lines(record)
        if self._unsaid:
            lines.insert(0, left_out(self._unsaid))
            self._unsaid = 0
        self._left -= len(lines)
        self._write("".join(_plain(line) + "\n" for line in lines))

    def _lines(self, record: logging.LogRecord) -> list[str]:
        try:
            lines = self.format(record).splitlines()
        except Exception:  # a message that cannot be put together must not end what it was about
            lines = [record.levelname]
        if len(lines) > MOST_LINES:
            lines = [lines[0], "  ...", *lines[-MOST_LINES + 2 :]]
        return lines

    def _write(self, text: str) -> None:
        out = self._out or sys.stderr
        try:
            out.write(text)
            out.flush()
        except (OSError, ValueError, AttributeError):
            # the terminal was closed; there is nobody to tell
            return


def _plain(line: str) -> str:
    """One line that a terminal shows as it stands: nothing in it moves the cursor or changes a colour."""
    short = line[:MOST_CHARACTERS] + ("..." if len(line) > MOST_CHARACTERS else "")
    return "".join(c if c.isprintable() else "?" for c in short).encode("ascii", "backslashreplace").decode()


def measure_logs() -> None:
    """From now on every line of SPEAKERS passes one Measured handler."""
    handler = LimitedLog()
    for name in SPEAKERS:
        logger = logging.getLogger(name)
        logger.handlers[:] = [handler]
        logger.setLevel(logging.WARNING)
        logger.propagate = False
