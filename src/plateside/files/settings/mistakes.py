"""Mistakes of settings, gathered: in the order of the lines, and raised as one error."""

from collections.abc import Iterable

from plateside.model.errors import SettingsError
from plateside.model.mistakes import Mistake
from plateside.words.mistakes import all_said


def in_order(mistakes: Iterable[Mistake]) -> tuple[Mistake, ...]:
    """By file as first met, then by line; each once."""
    unique = list(dict.fromkeys(mistakes))
    files = list(dict.fromkeys(m.file for m in unique))
    return tuple(sorted(unique, key=lambda m: (files.index(m.file), m.line or 0)))


def raise_if_any(mistakes: Iterable[Mistake]) -> None:
    """Raise one SettingsError with every mistake, when there is one."""
    if found := in_order(mistakes):
        raise SettingsError(found, all_said(found))
