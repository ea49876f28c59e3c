"""What was found damaged: noted where it is found, said once by whoever faces the person (a command, a page).

Damage that can be passed over, or made good again, stops nothing, and yet nobody may miss it. Notes are kept for this
process, one for each thing that is damaged; when it is found whole again its note goes.
"""

import threading
from pathlib import Path

from plateside.words import files as words

_lock = threading.Lock()
_noted: dict[str, str] = {}


def note(about: Path | str, words: str) -> None:
    """One sentence about one damaged thing; a later one about the same thing takes its place."""
    with _lock:
        _noted[str(about)] = words


def clear(about: Path | str) -> None:
    """It is whole; what another process said of it in the same words goes too."""
    with _lock:
        words = _noted.pop(str(about), None)
        for other in [a for a, said in _noted.items() if said == words]:
            del _noted[other]


def noted() -> list[str]:
    """Every sentence that still holds, the oldest first."""
    with _lock:
        return list(dict.fromkeys(_noted.values()))


def taken() -> list[str]:
    """The same, and they count as said."""
    with _lock:
        said = list(dict.fromkeys(_noted.values()))
        _noted.clear()
        return said


def taken_in(folder: Path) -> list[str]:
    """The same of what is in one folder: a process that works on several can say in which."""
    with _lock:
        there = [about for about in _noted if Path(about).is_relative_to(folder)]
        return list(dict.fromkeys(_noted.pop(about) for about in there))


def note_rebuilt(path: Path, what: str) -> None:
    """Note that a file which only saves time was damaged."""
    note(path, words.made_again(what, path.name))
