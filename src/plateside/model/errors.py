"""The one tree of exceptions.

    PlatesideError
    ├── InputError      what was given cannot be used: command exit status 2
    │   ├── RefusedError    what a core refuses, as a value: words/refused.py says it
    │   └── SettingsError   mistakes in studio.toml, shoot.toml or answers, as values (model/mistakes.py)
    ├── CouldNotError   the request was fine, but it could not be done: exit status 1
    │   └── MissingExtraError   an optional part of the package is not installed: said by words/refused.py
    └── Cancelled       the person stopped it; nothing half-done is left behind

Every message is one clear sentence that says what was got and how to mend it. What only a command or a line in a file
mends stands apart from it (`at_the_terminal`): a page says the rest, since nobody there has a terminal before them.
"""

from typing import Any

from plateside.model.mistakes import Mistake


class PlatesideError(Exception):
    """Base of all errors that Plateside raises on purpose."""

    exit_status = 1
    code = ""
    """What kind of fault it is, where somebody asks for that: of a file, those in files/originals/unreadable.py."""

    def __init__(self, words: str = "", at_the_terminal: str = "") -> None:
        """The words for everybody, and the command or line that mends it for who works by commands."""
        super().__init__(" ".join(part for part in (words, at_the_terminal) if part))
        self.words = words


class InputError(PlatesideError):
    """What was given cannot be used; the message says what is allowed."""

    exit_status = 2


class _ByCodeError(PlatesideError):
    """A code (a key of words/refused.py) and the figures that its sentence names.

    Its own text is code and figures, for a log; `words.refused.said` makes the sentence that people read.
    """

    def __init__(self, code: str, **facts: Any) -> None:
        """As they are said: names, numbers with their units in the name, lists of what is allowed."""
        figures = ", ".join(f"{name} {value!r}" for name, value in facts.items())
        super().__init__(f"{code}: {figures}" if facts else code)
        self.code = code
        self.facts = facts


class RefusedError(_ByCodeError, InputError):
    """What a core cannot use."""


class CouldNotError(PlatesideError):
    """The request was right, but it could not be carried out (disk full, folder read-only ...)."""


class MissingExtraError(_ByCodeError, CouldNotError):
    """An optional part of the package is needed and not installed; its sentence gives the line to run."""


class Cancelled(PlatesideError):  # noqa: N818 - not a fault: the person asked for it
    """The person stopped the work; what was finished is kept, nothing half-done is left."""

    exit_status = 130


class SettingsError(InputError):
    """One or more mistakes; `mistakes` holds them all as values."""

    def __init__(self, mistakes: tuple[Mistake, ...], message: str) -> None:
        super().__init__(message)
        self.mistakes = mistakes
