"""A shoot's state kept up to date: only rows that are new are read and added up.

An undo reaches back, so it replays the whole journal; so does a journal that became shorter (put back from a copy).
For one thread; each thread keeps its own.
"""

from pathlib import Path

from plateside.files.journal.journal import Journal
from plateside.files.journal.rows import Row
from plateside.files.journal.state import ShootState, add, replay


class LiveState:
    """The state of a shoot, and its journal."""

    def __init__(self, journal: Journal) -> None:
        self.journal = journal
        self.state: ShootState = replay(journal.rows())

    @classmethod
    def open(cls, folder: Path) -> "LiveState":
        """The state of the shoot in `folder`, as of now."""
        return cls(Journal.open(folder))

    def refresh(self) -> list[Row]:
        """Read what was written since, by anyone; returns the new rows, oldest first."""
        known = self.state.last_row
        if self.journal.last_number() < known:
            self.state = replay(self.journal.rows())
            return []
        new = self.journal.rows(after=known) if self.journal.last_number() > known else []
        if any(row.kind == "undo" for row in new):
            self.state = replay([r for r in self.journal.rows() if r.number <= new[-1].number])
        else:
            add(self.state, new)
        return new
