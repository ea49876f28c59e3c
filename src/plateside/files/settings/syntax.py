"""TOML text to plain values; a slip of the pen is told, mended in memory, and the reading goes on.

The parser stops at its first error. A person wants all of them at once, so the line at fault is mended as it
was probably meant (a decimal comma, a missing quote) or, failing that, passed over, and the text is parsed
again. The file itself is never changed here.
"""

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from plateside.files.settings.guesses import commas_read
from plateside.files.settings.mistakes import Mistake, raise_if_any

_MOST = 60
"""Errors told of one file before giving up."""
_DEEPEST = 40
"""Brackets and dots of one line that can be to blame for depth."""

_KEY = r"^\s*([A-Za-z0-9_-]+)\s*"
_PLACE = re.compile(r"\(at line (\d+), column (\d+)\)")


@dataclass(frozen=True)
class Parsed:
    """Plain values, the text they came from after mending, and what was wrong with it."""

    text: str
    data: dict[str, Any]
    mistakes: tuple[Mistake, ...]
    spoiled: frozenset[str]
    """Keys on lines that had to be passed over: they are there, though unread."""


def parse_toml(text: str, file: str) -> Parsed:
    """Parse a whole file; raises SettingsError only when the text cannot be mended enough to go on."""
    text = text.replace("\r\n", "\n")
    mistakes: list[Mistake] = []
    spoiled: set[str] = set()
    for _ in range(_MOST):
        try:
            return Parsed(text, tomllib.loads(text), tuple(mistakes), frozenset(spoiled))
        except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
            if not isinstance(error, tomllib.TOMLDecodeError):
                text = _without_the_monster(text, file, mistakes, spoiled)
                continue
            lines = text.split("\n")
            at = _line_at_fault(lines, error)
            told = _table_above(lines, at)
            said, mended = _mend(lines, at, str(error))
            mistakes.append(Mistake(file, at + 1, told, said, mended or ""))
            if mended is None:
                if match := re.match(_KEY + "=?", lines[at]):
                    spoiled.add(match[1])
                lines[at] = "#" + lines[at]
            else:
                lines[at] = mended
            text = "\n".join(lines)
    raise_if_any(mistakes)
    raise AssertionError("unreachable: there are mistakes")


def _without_the_monster(text: str, file: str, mistakes: list[Mistake], spoiled: set[str]) -> str:
    """The text without a line that the parser cannot even refuse: thousands of digits, or of brackets.

    Raises SettingsError when no line by itself is to blame.
    """
    lines = text.split("\n")
    at = next((n for n, line in enumerate(lines) if _is_monster(line)), None)
    if at is None:
        at = max(range(len(lines)), key=lambda n: len(re.findall(r"[\[{.]", lines[n])))
        spoils_all = len(re.findall(r"[\[{.]", lines[at])) < _DEEPEST
        if spoils_all:
            said = "lists or tables go too deep to be read: no field here holds more than one list."
            raise_if_any([*mistakes, Mistake(file, 1, "", said, "")])
    said = f"this line holds a number too long, or brackets too deep, to be read: {lines[at].strip()[:40]}..."
    mistakes.append(Mistake(file, at + 1, _table_above(lines, at), said, ""))
    if match := re.match(_KEY + "=?", lines[at]):
        spoiled.add(match[1])
    lines[at] = "#" + lines[at]
    return "\n".join(lines)


def _is_monster(line: str) -> bool:
    try:
        tomllib.loads(line)
    except tomllib.TOMLDecodeError:
        return False
    except (RecursionError, ValueError):
        return True
    return False


def _line_at_fault(lines: list[str], error: tomllib.TOMLDecodeError) -> int:
    """Index of the line to blame; an unclosed text or list is blamed on the line that opened it."""
    match = _PLACE.search(str(error))
    at = int(match[1]) - 1 if match else len(lines) - 1
    at = min(at, len(lines) - 1)
    if match is None or not lines[at].strip() or _opened_above(lines, at):
        for above in range(min(at, len(lines) - 1), -1, -1):
            line = lines[above].split("#")[0].rstrip()
            opens = line.count("[") > line.count("]") or line.count('"""') % 2 or line.count("'''") % 2
            if "=" in line and (opens or line.count('"') % 2 or line.count("'") % 2):
                return above
    while at > 0 and not lines[at].strip():
        at -= 1
    return at


def _opened_above(lines: list[str], at: int) -> bool:
    """Whether the line at fault looks right in itself: then a list above it was left open."""
    return bool(re.match(r"^\s*(\[+[A-Za-z0-9_.-]+\]+|[A-Za-z0-9_-]+\s*=\s*\S+.*)\s*$", lines[at])) and any(
        _left_open(line) for line in lines[:at]
    )


def _left_open(line: str) -> bool:
    body = re.sub(r"\"(?:[^\"\\]|\\.)*\"|'[^']*'", "", line).split("#")[0]
    return "=" in body and body.count("[") > body.count("]")


def _table_above(lines: list[str], at: int) -> str:
    for above in range(at, -1, -1):
        if match := re.match(r"^\s*(\[\[?[A-Za-z0-9_.\s-]+\]\]?)\s*(#.*)?$", lines[above]):
            return match[1]
    return ""


def _mend(lines: list[str], at: int, reason: str) -> tuple[str, str | None]:
    """(what is wrong, the line as it was probably meant); None when nobody can tell."""
    line = lines[at]
    body = line.strip()
    for rule in () if _is_right_alone(line) else _RULES:
        if result := rule(line):
            return result
    if "overwrite a value" in reason or "twice" in reason or "declare" in reason:
        match = re.match(_KEY, line)
        key = match[1] if match else body
        return f"{key} is written twice; the first one is used here. Keep one of the two lines.", None
    plain = _PLACE.sub("", reason).strip().rstrip(".")
    return f"this line cannot be read ({plain}): {body[:70]}. A line is `key = value`, or a [table].", None


def _is_right_alone(line: str) -> bool:
    """Whether the line is well formed by itself: then it is wrong only where it stands."""
    try:
        tomllib.loads(line)
    except (ValueError, RecursionError):
        return False
    return True


Mend = tuple[str, str] | None


def _curly_quotes(line: str) -> Mend:
    straight = line.translate(str.maketrans("“”„‟«»‘’", '""""""\'\''))
    value = line.split("=", 1)[-1].strip()
    if straight == line or not value or value[0] not in "“”„‟«»‘’":
        return None
    if "'" in straight.split("=", 1)[-1]:
        straight = straight.replace("'", '"')
    return "the quotes are curly; a settings file takes straight ones.", straight.rstrip()


def _decimal_comma(line: str) -> Mend:
    match = re.match(_KEY + r"=\s*(-?\d+),(\d+)\s*(#.*)?$", line)
    if match is None:
        return None
    note = f"  {match[4]}" if match[4] else ""
    number = commas_read(f"{match[2]},{match[3]}", match[1].rpartition("_")[2])
    what = "has a decimal comma; write a point" if "." in number else "has a comma; a number has none"
    return f"{match[1]} {what}.", f"{match[1]} = {number}{note}"


def _comma_missing(line: str) -> Mend:
    match = re.match(_KEY + r"=\s*\[(.*)\]\s*(#.*)?$", line)
    text = r"(\"(?:[^\"\\]|\\.)*\"|'[^']*')"
    if match is None or not (gap := re.search(text + r"\s*(?=[\"'])", match[2])):
        return None
    mended = re.sub(text + r"\s*(?=[\"'])", r"\1, ", match[2])
    note = f"  {match[3]}" if match[3] else ""
    return f"{match[1]}: a comma is missing after {gap[1]}.", f"{match[1]} = [{mended}]{note}"


def _unit_behind(line: str) -> Mend:
    match = re.match(
        _KEY + r"=\s*((?:[fF]/)?-?\d+(?:[.,]\d+)?(?:\s*/\s*\d+)?\s*(?:[A-Za-z%°]+|\"|')?)\s*(#.*)?$", line
    )
    if match is None or re.fullmatch(r"-?\d+(\.\d+)?", match[2].strip()):
        return None
    if re.fullmatch(r"0[xob][0-9A-Fa-f]+|-?\d+[eE]\d+", match[2].strip()):
        return None
    # the value is kept as a text, so that the reader converts it and names the unit
    found = match[2].strip().replace('"', "in").replace("'", "ft")
    said = f"{match[1]} is {match[2].strip()}; a number stands alone, without its unit, and a text stands in quotes."
    return said, f'{match[1]} = "{found}"'


def _leading_zero(line: str) -> Mend:
    match = re.match(_KEY + r"=\s*(-?)(\.\d+|\d+\.|0+\d+(?:\.\d+)?)\s*(#.*)?$", line)
    if match is None:
        return None
    number = match[3]
    if number.startswith("."):
        number = "0" + number
    elif number.endswith("."):
        number += "0"
    else:
        number = number.lstrip("0") or "0"
        number = "0" + number if number.startswith(".") else number
    return f"{match[1]}: a number is written as {number}.", f"{match[1]} = {match[2]}{number}"


def _clock_time(line: str) -> Mend:
    match = re.match(_KEY + r"=\s*(\d{1,2}):(\d{2})\s*(#.*)?$", line)
    if match is None:
        return None
    return (
        f"{match[1]}: a time of day stands in quotes, with two digits for the hour.",
        f'{match[1]} = "{int(match[2]):02d}:{match[3]}"',
    )


def _yes_no(line: str) -> Mend:
    match = re.match(_KEY + r"=\s*(yes|no|True|False|on|off|TRUE|FALSE|Yes|No)\s*(#.*)?$", line)
    if match is None:
        return None
    meant = "true" if match[2].lower() in ("yes", "true", "on") else "false"
    return f"{match[1]} is {match[2]}; allowed: true or false.", f"{match[1]} = {meant}"


def _head(line: str) -> Mend:
    match = re.match(r"^\s*\[+\s*([A-Za-z0-9_.\s-]+?)\s*\]*\s*(#.*)?$", line)
    if match is None or "=" in line:
        return None
    opened, closed = line.count("["), line.count("]")
    if opened == closed:
        return None
    name = re.sub(r"\s+", "_", match[1])
    both = max(opened, closed, 1) if max(opened, closed) <= 2 else 2
    return "the brackets of the table's head do not match.", "[" * both + name + "]" * both


def _colon(line: str) -> Mend:
    match = re.match(_KEY + r":\s*(\S.*)$", line)
    if match is None:
        return None
    return f"{match[1]} is followed by a colon; write an equals sign.", f"{match[1]} = {match[2].strip()}"


def _half_quoted(line: str) -> Mend:
    match = re.match(_KEY + r"=\s*(.*?)\s*$", line)
    if match is None or match[2].count('"') != 1:
        return None
    text = match[2].replace('"', "").strip()
    return f"{match[1]}: a text needs a quote at both ends.", f'{match[1]} = "{text}"'


def _inner_quotes(line: str) -> Mend:
    match = re.match(_KEY + r'=\s*"(.*)"\s*$', line)
    if match is None or '"' not in match[2] or "'" in match[2]:
        return None
    return (
        f"{match[1]}: a quote inside a text ends it; put the whole in single quotes.",
        f"{match[1]} = '{match[2]}'",
    )


def _backslash(line: str) -> Mend:
    match = re.match(_KEY + r'=\s*"([^"]*\\[^"]*)"\s*$', line)
    if match is None:
        return None
    return (
        f"{match[1]}: write folders with forward slashes.",
        f'{match[1]} = "{match[2].replace(chr(92), "/")}"',
    )


def _unquoted(line: str) -> Mend:
    match = re.match(_KEY + r"=\s*([^\s\"'\[{#][^\"'#]*?)\s*(#.*)?$", line)
    if match is None or match[2] in ("true", "false"):
        return None
    return f"{match[1]}: a text stands in quotes.", f'{match[1]} = "{match[2]}"'


def _hash_colour(line: str) -> Mend:
    match = re.match(_KEY + r"=\s*(#[0-9A-Fa-f]{3,8})\s*$", line)
    if match is None:
        return None
    return f"{match[1]}: a colour stands in quotes.", f'{match[1]} = "{match[2]}"'


def _no_value(line: str) -> Mend:
    match = re.match(_KEY + r"=\s*(#.*)?$", line)
    if match is None:
        return None
    return f"{match[1]} has no value; write one, or take the line out.", f"# {match[1]} ="


def _open_list(line: str) -> Mend:
    if not _left_open(line):
        return None
    match = re.match(_KEY + r"=\s*(\[.*?),?\s*(#.*)?$", line)
    if match is None:
        return None
    return f"{match[1]}: the list is not closed.", f"{match[1]} = {match[2]}]"


def _words_only(line: str) -> Mend:
    match = re.match(
        r"^\s*([A-Za-z][A-Za-z0-9_-]*)\s+(\"[^\"]*\"|-?\d+(?:\.\d+)?|true|false)\s*(#.*)?$", line
    )
    if match is None:
        return None
    return f"{match[1]} lacks its equals sign.", f"{match[1]} = {match[2]}"


_RULES = (
    _curly_quotes,
    _comma_missing,
    _decimal_comma,
    _clock_time,
    _leading_zero,
    _unit_behind,
    _yes_no,
    _hash_colour,
    _no_value,
    _head,
    _words_only,
    _colon,
    _half_quoted,
    _backslash,
    _inner_quotes,
    _open_list,
    _unquoted,
)
"""From the surest to the vaguest; the first that fits is taken."""
