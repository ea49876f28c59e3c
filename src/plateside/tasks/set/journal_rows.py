"""The journal's rows by their numbers, as what happens: what a command writes arrives here like what a page does."""

from pathlib import Path

from plateside.files.journal.journal import Journal


def last_row(root: Path) -> int:
    """Number of the newest row; 0 when there is none."""
    return Journal.open(root).last_number()


class JournalRows:
    """The rows of one shoot's journal, looked at again and again; nothing is read while its size stays."""

    def __init__(self, root: Path) -> None:
        self._journal = Journal.open(root)
        self._size = -1

    def after(self, number: int) -> list[tuple[int, bytes]]:
        """Every row later than `number`: its own number, and its line as it stands in the file (JSON, UTF-8)."""
        return self._journal.lines(number)

    def last(self) -> int:
        """Number of the newest row; 0 when there is none."""
        return self._journal.last_number()

    def changed(self) -> bool:
        """Whether the file has another size than when this was asked last; True the first time."""
        size = self._journal.path.stat().st_size if self._journal.path.exists() else 0
        before, self._size = self._size, size
        return size != before

    def look_again(self) -> None:
        """What changed could not be read: it counts as not looked at."""
        self._size = -1
