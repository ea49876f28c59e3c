"""TOML text to plain values; where it cannot be read, the first line at fault and the form it should have.

The standard parser stops at its first error, and says where it noticed. What is told is the line to look at: the one
at fault, or, where that one is right by itself, the one above it that was left open.
"""

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from plateside.files.settings.grammar import Entry, entries, every_table, header
from plateside.files.settings.lines import example_line
from plateside.model.mistakes import Mistake

_PLACE = re.compile(r"\(at line (\d+), column \d+\)")
"""In the standard parser's own message."""
_DEEPEST = 40
"""Brackets and dots of one line that can be to blame for depth."""
_MOST_LOOKED_BACK = 300
"""Lines: no list or text of a settings file is longer."""
_LONGEST_SHOWN = 70


@dataclass(frozen=True)
class Parsed:
    """Plain values and the text they came from: with a mistake, what stands above it."""

    text: str
    data: dict[str, Any]
    mistake: Mistake | None


def parse_toml(text: str, file: str, root: type) -> Parsed:
    """Parse a whole file; `root` is Studio or Shoot, whose fields show the right form of a line."""
    text = text.replace("\r\n", "\n")
    try:
        return Parsed(text, tomllib.loads(text), None)
    except tomllib.TOMLDecodeError as error:
        lines = text.split("\n")
        noticed = int(match[1]) - 1 if (match := _PLACE.search(str(error))) else len(lines) - 1
        noticed = min(noticed, len(lines) - 1)
    except (RecursionError, ValueError):
        lines = text.split("\n")
        at = _monster(lines)
        code = "file too deep" if at is None else "line too deep"
        return Parsed("", {}, _mistake(code, file, lines, at or 0))
    above, data = _longest_right(lines, noticed)
    right_alone = _read(lines[noticed]) is not None and bool(lines[noticed].strip())
    at = above if right_alone or not lines[noticed].strip() else noticed
    code = "written twice" if right_alone and above == noticed else "syntax"
    if code == "syntax" and lines[at].lstrip().startswith("["):
        code = "syntax in a head"
    return Parsed("\n".join(lines[:above]), data, _mistake(code, file, lines, at, root))


def _read(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except (RecursionError, ValueError):
        return None


def _longest_right(lines: list[str], noticed: int) -> tuple[int, dict[str, Any]]:
    """How many lines above the fault are right together, and what they say."""
    for count in range(noticed, max(-1, noticed - _MOST_LOOKED_BACK), -1):
        data = _read("\n".join(lines[:count]))
        if data is not None:
            return count, data
    return noticed, {}


def _mistake(code: str, file: str, lines: list[str], at: int, root: type | None = None) -> Mistake:
    head = _head_above(lines, at)
    entry = None if root is None or code == "written twice" else _field(lines[at], head, root)
    fix = _right_head(lines[at], root) if code == "syntax in a head" and root else ""
    line = " ".join(lines[at].split())
    return Mistake(
        code,
        file,
        at + 1,
        "" if code in ("file too deep", "syntax in a head") else head,
        got=line if len(line) <= _LONGEST_SHOWN else line[: _LONGEST_SHOWN - 3] + "...",
        fix=fix or (example_line(entry) if entry else ""),
        example=not fix and entry is not None,
    )


def _field(line: str, head: str, root: type) -> Entry | None:
    """The field a line begins with, when the table it is in has one of that name."""
    key = re.match(r"\s*([A-Za-z0-9_-]+)", line)
    owner = next((cls for path, cls, array in every_table(root) if header(path, array) == head), None)
    if not head:
        owner = root
    entry = entries(owner).get(key[1]) if owner is not None and key else None
    return None if entry is None or entry.is_table else entry


def _right_head(line: str, root: type) -> str:
    """The head of the table whose name stands in a line, as it should be written."""
    names = {".".join(path): header(path, array) for path, _cls, array in every_table(root) if path}
    return names.get(line.split("#")[0].strip(" \t[]"), "")


def _head_above(lines: list[str], at: int) -> str:
    for above in range(at, -1, -1):
        if match := re.match(r"^\s*(\[\[?[A-Za-z0-9_.-]+\]\]?)\s*(#.*)?$", lines[above]):
            return match[1]
    return ""


def _monster(lines: list[str]) -> int | None:
    """The line that the parser cannot even refuse: thousands of digits, or of brackets. None: no line by itself."""
    for n, line in enumerate(lines):
        try:
            tomllib.loads(line)
        except tomllib.TOMLDecodeError:
            continue
        except (RecursionError, ValueError):
            return n
    deepest = max(range(len(lines)), key=lambda n: len(re.findall(r"[\[{.]", lines[n])))
    return deepest if len(re.findall(r"[\[{.]", lines[deepest])) >= _DEEPEST else None
