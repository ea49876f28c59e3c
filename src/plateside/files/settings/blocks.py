"""Pieces of a settings file that are changed as a whole: one item's lines moved, a list written one text a line."""

from collections.abc import Sequence
from typing import Any

from plateside.files.settings.lines import value_text
from plateside.files.settings.positions import Positions, Where
from plateside.model.errors import InputError
from plateside.words import studio as words

LONGEST_LIST = 100
"""Letters of a list that still stands on one line."""


def moved(text: str, found: Positions, where: Where, to: int) -> str:
    """The text with one item of an array of tables at another place among its like.

    Raises InputError when the items are not tables of their own, or there is no such place.
    """
    array, number = where[:-1], where[-1]
    items = sorted(h[-1] for h in found.heads if h[:-1] == array and isinstance(h[-1], int))
    if not isinstance(number, int) or number not in items:
        named = ".".join(str(part) for part in where if isinstance(part, str))
        raise InputError(words.not_a_table(named, move=True))
    if to not in items:
        raise InputError(words.no_such_place(to + 1, len(items)))
    lines = text.split("\n")
    blocks = [_block(lines, found, (*array, n)) for n in items]
    order = [n for n in items if n != number]
    order.insert(to, number)
    out: list[str] = []
    at = 0
    for (begin, end), n in zip(blocks, order, strict=True):
        out += lines[at:begin] + lines[slice(*blocks[n])]
        at = end
    return "\n".join(out + lines[at:])


def _block(lines: Sequence[str], found: Positions, item: Where) -> tuple[int, int]:
    """First line of an item, with the comments right above it, and the line behind its last (both from 0)."""
    own = [line for head, line in found.heads.items() if head[: len(item)] == item]
    begin = min(own) - 1
    while begin > 0 and lines[begin - 1].lstrip().startswith("#"):
        begin -= 1
    following = min((line - 1 for line in found.heads.values() if line > max(own)), default=len(lines))
    end = following
    # comments right above the next table are that table's, and blank lines before them are nobody's
    while end > max(own) and lines[end - 1].lstrip().startswith("#"):
        end -= 1
    last = max(own)
    for n in range(max(own), end):
        if lines[n].strip() and not lines[n].lstrip().startswith("#"):
            last = n + 1
    while last < end and lines[last].lstrip().startswith("#"):
        last += 1
    return begin, last


def array_or_value(old: str, value: Any) -> str:
    """A value as TOML in place of an old one: a list of texts stays one a line, with the comments behind its texts."""
    if not isinstance(value, list | tuple) or not all(isinstance(v, str) for v in value) or not value:
        return value_text(value)
    plain = value_text(value)
    if "\n" not in old and len(plain) <= LONGEST_LIST:
        return plain
    comments = _texts_with_comments(old)
    lines = []
    for text in value:
        written = value_text(text)
        above, behind = comments.pop(written, ([], ""))
        lines += [*above, f"    {written},{behind}"]
    return "\n".join(["[", *lines, "]"])


def _texts_with_comments(old: str) -> dict[str, tuple[list[str], str]]:
    """Each text of a list written one a line, as written, with the comment lines above it and the comment behind it."""
    found: dict[str, tuple[list[str], str]] = {}
    above: list[str] = []
    for line in old.split("\n")[1:]:
        bare = line.strip()
        if bare.startswith("#"):
            above.append(line)
            continue
        written, comma, behind = _text_and_rest(bare)
        if written:
            found.setdefault(written, (above, behind if comma or behind else ""))
        above = []
    return found


def _text_and_rest(bare: str) -> tuple[str, bool, str]:
    """A quoted text at the beginning of a line, whether a comma follows, and the comment behind it with its gap."""
    if not bare or bare[0] not in "\"'" or bare.startswith(('"""', "'''")):
        return "", False, ""
    at = 1
    while at < len(bare) and bare[at] != bare[0]:
        at += 2 if bare[at] == "\\" and bare[0] == '"' else 1
    written, rest = bare[: at + 1], bare[at + 1 :]
    comma = rest.lstrip().startswith(",")
    rest = rest.lstrip()[1:] if comma else rest
    return written, comma, rest.rstrip() if rest.strip().startswith("#") else ""
