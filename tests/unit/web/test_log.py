"""The terminal is not filled by whoever makes a noise: rate, length, nothing that moves the cursor."""

import io
import logging

from plateside.web.log import AT_ONCE, MOST_CHARACTERS, MOST_LINES, LimitedLog


def _record(text: str) -> logging.LogRecord:
    return logging.LogRecord("uvicorn.error", logging.WARNING, __file__, 1, text, (), None)


def test_a_storm_is_cut_and_told_once_it_is_over() -> None:
    now = [0.0]
    out = io.StringIO()
    handler = LimitedLog(out, lambda: now[0])
    for _ in range(10_000):
        handler.emit(_record("Invalid HTTP request received."))
    assert AT_ONCE <= len(out.getvalue().splitlines()) < AT_ONCE + MOST_LINES
    now[0] = 3600.0
    handler.emit(_record("after"))
    *_, said, last = out.getvalue().splitlines()
    assert str(10_000 - AT_ONCE) in said
    assert last == "after"


def test_a_day_of_storms_stays_small() -> None:
    now = [0.0]
    out = io.StringIO()
    handler = LimitedLog(out, lambda: now[0])
    for second in range(0, 86_400, 5):
        now[0] = float(second)
        for _ in range(3):
            handler.emit(_record("x" * 10_000))
    assert len(out.getvalue()) < 10_000_000


def test_no_line_is_long_and_none_steers_the_terminal() -> None:
    out = io.StringIO()
    LimitedLog(out, lambda: 0.0).emit(_record("\x1b[2J\x07" + "a" * 100_000 + "\ud800\n" + "b\n" * 500))
    lines = out.getvalue().splitlines()
    assert len(lines) <= MOST_LINES
    assert max(map(len, lines)) < MOST_CHARACTERS * 1.1 + 10
    assert "\x1b" not in out.getvalue()


def test_a_closed_terminal_is_no_fault() -> None:
    out = io.StringIO()
    out.close()
    LimitedLog(out, lambda: 0.0).emit(_record("anything"))
