"""Mend a settings file that cannot be used, line by line: what stands there, what is wrong, what would be right."""

import re
from dataclasses import dataclass
from pathlib import Path

from plateside.files.atomic import write_bytes
from plateside.files.folder import find_shoot
from plateside.files.settings.load import judge_both, read_text
from plateside.files.settings.mistakes import in_order
from plateside.files.settings.one_writer import one_writer
from plateside.model.errors import InputError
from plateside.tasks.studio.edit import ChangedElsewhereError, settings_file, version_of

_EXAMPLE = "  # for example"
_LONGEST = 2000


@dataclass(frozen=True)
class LineToMend:
    """One mistake, with the line it is about."""

    line: int
    """From 1; 0 is above the first line."""
    now: str
    """What stands there."""
    where: str
    said: str
    meant: str
    """The line, or lines, that would be right; what stands there, when nobody can tell."""
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
        missing = _is_missing(now, mistake.paste)
        found.append(
            LineToMend(at, now, mistake.where, mistake.said, _meant(now, mistake.paste, missing), missing)
        )
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
        raise InputError(f"The studio is a file whose name ends in .toml; {path.name} does not.")
    return path


def _write_line(path: Path, line: int, text: str, version_seen: str, below: bool) -> None:
    if version_of(path) != version_seen:
        raise ChangedElsewhereError(path.name, version_of(path))
    data = path.read_bytes()
    whole = data.decode("utf-8-sig")
    lines = whole.replace("\r\n", "\n").split("\n")
    if not (0 if below else 1) <= line <= len(lines) or len(text) > _LONGEST:
        raise InputError(f"{path.name} has {len(lines)} lines of at most {_LONGEST} letters.")
    new = text.replace("\r\n", "\n").rstrip("\n").split("\n") if text.strip() else []
    lines[line if below else line - 1 : line] = new
    mended = "\n".join(lines)
    if "\r\n" in whole:
        mended = mended.replace("\n", "\r\n")
    try:
        write_bytes(path, mended.encode("utf-8-sig" if data.startswith(b"\xef\xbb\xbf") else "utf-8"))
    except UnicodeEncodeError:
        raise InputError("The line holds half of a letter, which no file can keep. Type it again.") from None


def _meant(now: str, paste: str, missing: bool) -> str:
    """The line that is offered: never an example in the place of what she wrote, and with her comment kept."""
    if missing:
        return paste
    if not paste or paste.endswith(_EXAMPLE):
        return now
    comment = re.search(r"\s*#[^\"']*$", now)
    return paste if comment is None or "#" in paste or "\n" in paste else paste + comment[0]


def _is_missing(now: str, meant: str) -> bool:
    """Whether the mend is a further line: a key that is missing below its table's head, or one above everything."""
    head = re.match(r"\s*\[", now) is not None
    return bool(meant) and (
        not now.strip() or now.lstrip().startswith("#") or (head and not meant.startswith("["))
    )
