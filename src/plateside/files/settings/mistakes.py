"""A mistake in a settings file, told so that it can be mended: where, what was found, what to paste."""

from dataclasses import dataclass

from plateside.model.errors import SettingsError


@dataclass(frozen=True)
class Mistake:
    """One thing to mend."""

    file: str
    """The file's name."""
    line: int | None
    """Line number, from 1; None when the whole file is meant."""
    where: str
    """The table, as it is headed, with the item's name: [[windows]] "kitchen window"."""
    said: str
    """What was found and what is allowed, in sentences."""
    paste: str = ""
    """The line, or lines, that would be right."""
    path: tuple[str | int, ...] = ()
    """The field itself, as keys and item numbers from 0: windows, 0, from_left_m; empty when no field is meant."""

    def text(self) -> str:
        """The mistake in words, the lines to paste indented below."""
        place = self.file if self.line is None else f"{self.file}, line {self.line}"
        if self.where:
            place += f", {self.where}"
        told = f"{place}: {self.said}"
        return told + "".join(f"\n    {line}".rstrip(" ") for line in self.paste.splitlines())


def in_order(mistakes: list[Mistake]) -> tuple[Mistake, ...]:
    """By file as first met, then by line; each told once."""
    files = list(dict.fromkeys(m.file for m in mistakes))
    unique = list(dict.fromkeys(mistakes))
    return tuple(sorted(unique, key=lambda m: (files.index(m.file), m.line or 0)))


def raise_if_any(mistakes: list[Mistake]) -> None:
    """Raise one SettingsError with every mistake, when there is one."""
    if not mistakes:
        return
    told = in_order(mistakes)
    raise SettingsError(told, mistakes_in_words(told))


def mistakes_in_words(mistakes: tuple[Mistake, ...]) -> str:
    """All of them, under one line that counts them."""
    names = " and ".join(dict.fromkeys(m.file for m in mistakes))
    count = "One thing" if len(mistakes) == 1 else f"{len(mistakes)} things"
    return "\n".join([f"{count} to mend in {names}:", *(m.text() for m in mistakes)])
