"""Fix a settings file that cannot be used, line by line: what is there, what is wrong, what would be right."""

import re
from dataclasses import dataclass
from pathlib import Path

from plateside.files.atomic import write_bytes
from plateside.files.folder import find_shoot
from plateside.files.settings.load import judge_both, read_text
from plateside.files.settings.mistakes import in_order
from plateside.files.settings.one_writer import one_writer
from plateside.model.errors import InputError
from plateside.model.mistakes import Mistake
from plateside.tasks.studio.edit import ChangedElsewhereError, settings_file, version_of
from plateside.words import studio as words
from plateside.words.mistakes import fix_lines

_BELOW = frozenset({"missing", "no table", "no format", "no windows", "no spots"})
"""Codes of mistakes that a further line fixes."""
_LONGEST = 2000


@dataclass(frozen=True)
class LineToMend:
    """One mistake, with the line it is about."""

    line: int
    """From 1; 0 is above the first line."""
    now: str
    """What is there."""
    mistake: Mistake
    meant: str
    """The line, or lines, that would be right; what is there, when nobody can tell."""
    below: bool
    """It is written below the line (something is missing), not in its place."""


def to_mend(root: Path, which: str) -> tuple[str, str, tuple[LineToMend, ...]]:
    """(the file's version, its name, what is wrong in it) for 'studio' or 'shoot'."""
    root = find_shoot(root)
    path = _text_file(root, which)
    lines = read_text(path).replace("\r\n", "\n").split("\n")
    _folder, studio, shoot = judge_both(root)
    found = []
    for mistake in in_order((studio if which == "studio" else shoot).mistakes):
        at = min(mistake.line or 0, len(lines))
        now = lines[at - 1] if at else ""
        missing = mistake.code in _BELOW
        found.append(LineToMend(at, now, mistake, _meant(now, mistake, missing), missing))
    return version_of(path), path.name, tuple(found)


def mend_line(root: Path, which: str, line: int, text: str, version_seen: str, *, below: bool = False) -> int:
    """Put `text` in the place of a line (or below it); gives back how many mistakes are left.

    No text takes the line out. Raises ChangedElsewhereError when the file is not what was shown, InputError.
    """
    root = find_shoot(root)
    path = _text_file(root, which)
    with one_writer(path):
        _write_line(path, line, text, version_seen, below)
    return len(to_mend(root, which)[2])


def _text_file(root: Path, which: str) -> Path:
    """The file that is shown and written line by line: a settings file by its name, whatever shoot.toml calls one."""
    path = settings_file(root, which)
    if path.suffix.lower() != ".toml":
        raise InputError(words.not_a_toml_name(path.name))
    return path


def _write_line(path: Path, line: int, text: str, version_seen: str, below: bool) -> None:
    if version_of(path) != version_seen:
        raise ChangedElsewhereError(path.name, version_of(path))
    data = path.read_bytes()
    whole = data.decode("utf-8-sig")
    lines = whole.replace("\r\n", "\n").split("\n")
    if not (0 if below else 1) <= line <= len(lines) or len(text) > _LONGEST:
        raise InputError(words.no_such_line(path.name, len(lines), _LONGEST))
    new = text.replace("\r\n", "\n").rstrip("\n").split("\n") if text.strip() else []
    lines[line if below else line - 1 : line] = new
    mended = "\n".join(lines)
    if "\r\n" in whole:
        mended = mended.replace("\n", "\r\n")
    try:
        write_bytes(path, mended.encode("utf-8-sig" if data.startswith(b"\xef\xbb\xbf") else "utf-8"))
    except UnicodeEncodeError:
        raise InputError(words.HALF_A_CHARACTER) from None


def _meant(now: str, mistake: Mistake, missing: bool) -> str:
    """The line that is offered: never an example in the place of what you wrote, and with your comment kept."""
    fix = mistake.fix
    if missing:
        return "\n".join(fix_lines(mistake))
    if not fix or mistake.example:
        return now
    comment = re.search(r"\s*#[^\"']*$", now)
    return fix if comment is None or "#" in fix or "\n" in fix else fix + comment[0]
