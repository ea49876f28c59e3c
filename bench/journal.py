"""The journal late in a long day: 20,000 rows (5,000 frames landed, guessed, judged and kept)."""

import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from plateside.files.journal.journal import Journal
from plateside.files.journal.live import LiveState

FRAMES = 5000


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        journal = Journal.open(root)
        journal.append_many(_rows())
        size = (root / "journal.jsonl").stat().st_size
        print(f"{journal.last_number()} rows, {size / 1e6:.1f} MB; best of several [ms]")
        live = LiveState.open(root)
        _row("replayed whole", lambda: LiveState.open(root), 5)
        _row("a look that finds nothing new", live.refresh, 50)
        _row("the last row read", lambda: journal.rows(after=journal.last_number() - 1), 50)
        _row("a row written and read back", lambda: (journal.append("kept", frame="b"), live.refresh()), 20)
        _row("an undo written and replayed", lambda: (journal.append("undo", row=5), live.refresh()), 4)


def _rows() -> list[tuple[str, dict[str, object]]]:
    rows: list[tuple[str, dict[str, object]]] = []
    for number in range(FRAMES):
        frame = f"{number:032x}"
        act = "Two thirds of a stop brighter: 1/3 s to 1/2 s"
        rows += [
            ("frame landed", {"frame": frame, "name": f"P{number:05d}.jpg"}),
            ("frame belongs", {"frame": frame, "shot": "bowl", "guess": True}),
            ("verdict", {"frame": frame, "word": "adjust", "act": act, "confidence": 0.95}),
            ("kept", {"frame": frame}),
        ]
    return rows


def _row(what: str, act: Callable[[], object], times: int) -> None:
    taken = []
    for _ in range(times):
        started = time.perf_counter()
        act()
        taken.append(time.perf_counter() - started)
    print(f"{what:32s} {min(taken) * 1000:8.2f}")
