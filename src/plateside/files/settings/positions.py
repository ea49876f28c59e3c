"""On which line, and between which letters, each key of a TOML text stands.

The standard parser hands over values without their places; a mistake needs its line, and writing back
needs the exact letters to replace so that every comment stays where it was. The text must already have
passed the parser: nothing is checked here again.
"""

import re
from dataclasses import dataclass, field

Where = tuple[str | int, ...]
"""A path such as ("windows", 0, "width_m")."""

_BARE = re.compile(r"[A-Za-z0-9_-]+")


@dataclass(frozen=True)
class TextSpan:
    """One key's place."""

    line: int
    """Line number, from 1."""
    start: int
    """Offset of the value's first letter."""
    end: int
    """Offset just behind the value's last letter."""


@dataclass
class Positions:
    """The places of all keys and table heads of one text."""

    keys: dict[Where, TextSpan] = field(default_factory=dict)
    heads: dict[Where, int] = field(default_factory=dict)
    """Line of each [table] or [[table]] head."""
    ends: dict[Where, int] = field(default_factory=dict)
    """Offset behind the last written line of each table that has a head (comments after it are not its)."""
    root_end: int = 0
    """Offset behind the last written line above the first head."""

    def also_known(self, written: Where, meant: Where) -> None:
        """Let everything at a misspelt key or table be found under the path that was meant, too."""
        n = len(written)
        self.keys |= {(*meant, *p[n:]): at for p, at in self.keys.items() if p[:n] == written}
        self.heads |= {(*meant, *p[n:]): at for p, at in self.heads.items() if p[:n] == written}

    def line(self, where: Where) -> int | None:
        """The line of a key, else of the nearest thing around it that has one."""
        for n in range(len(where), 0, -1):
            if where[:n] in self.keys:
                return self.keys[where[:n]].line
            if where[:n] in self.heads:
                return self.heads[where[:n]]
        return None


def find_positions(text: str) -> Positions:
    """Walk a TOML text that is known to be well formed."""
    return _Walker(text).walk()


class _Walker:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.found = Positions()
        self.counts: dict[Where, int] = {}
        self.line_no = 1
        self.line_seen = 0

    def walk(self) -> Positions:
        head: Where = ()
        while True:
            self._skip(" \t\r\n", comments=True)
            if self.at >= len(self.text):
                return self.found
            if self.text[self.at] == "[":
                head = self._head()
            else:
                self._pair(head)
                self._mark_end(head, self.at)

    def _line(self, offset: int) -> int:
        if offset >= self.line_seen:
            self.line_no += self.text.count("\n", self.line_seen, offset)
        else:
            self.line_no -= self.text.count("\n", offset, self.line_seen)
        self.line_seen = offset
        return self.line_no

    def _mark_end(self, head: Where, offset: int) -> None:
        newline = self.text.find("\n", offset)
        end = len(self.text) if newline < 0 else newline + 1
        if head:
            self.found.ends[head] = end
        else:
            self.found.root_end = end

    def _skip(self, letters: str, *, comments: bool = False) -> None:
        while self.at < len(self.text):
            letter = self.text[self.at]
            if letter in letters:
                self.at += 1
            elif comments and letter == "#":
                newline = self.text.find("\n", self.at)
                self.at = len(self.text) if newline < 0 else newline
            else:
                return

    def _head(self) -> Where:
        start = self.at
        array = self.text.startswith("[[", self.at)
        self.at += 2 if array else 1
        names = self._key()
        self._skip(" \t")
        self.at += 2 if array else 1
        where = self._resolve(names[:-1])
        last: Where = (*where, names[-1])
        if array:
            number = self.counts.get(last, 0)
            self.counts[last] = number + 1
            self.found.heads.setdefault(last, self._line(start))
            last = (*last, number)
        self.found.heads[last] = self._line(start)
        self._mark_end(last, self.at)
        return last

    def _resolve(self, names: tuple[str, ...]) -> Where:
        """A head's path: an array's name stands for its newest item."""
        where: Where = ()
        for name in names:
            where = (*where, name)
            if where in self.counts:
                where = (*where, self.counts[where] - 1)
        return where

    def _key(self) -> tuple[str, ...]:
        names: list[str] = []
        while True:
            self._skip(" \t")
            letter = self.text[self.at]
            if letter in "\"'":
                begin = self.at
                self._string()
                names.append(self.text[begin + 1 : self.at - 1])
            else:
                match = _BARE.match(self.text, self.at)
                if match is None:  # cannot be in a well-formed text
                    raise ValueError(f"no key at {self.at}")
                names.append(match.group())
                self.at = match.end()
            self._skip(" \t")
            if self.at < len(self.text) and self.text[self.at] == ".":
                self.at += 1
                continue
            return tuple(names)

    def _pair(self, head: Where) -> None:
        start = self.at
        names = self._key()
        self._skip(" \t")
        self.at += 1  # the equals sign
        self._skip(" \t")
        where: Where = (*head, *names)
        begin = self.at
        self._value(where)
        self.found.keys[where] = TextSpan(self._line(start), begin, self.at)

    def _value(self, where: Where) -> None:
        letter = self.text[self.at]
        if letter in "\"'":
            self._string()
        elif letter == "[":
            self.at += 1
            number = 0
            while True:
                self._skip(" \t\r\n,", comments=True)
                if self.text[self.at] == "]":
                    self.at += 1
                    return
                begin = self.at
                self._value((*where, number))
                self.found.keys[(*where, number)] = TextSpan(self._line(begin), begin, self.at)
                number += 1
        elif letter == "{":
            self.at += 1
            while True:
                self._skip(" \t\r\n,", comments=True)
                if self.text[self.at] == "}":
                    self.at += 1
                    return
                self._pair(where)
        else:
            while self.at < len(self.text) and self.text[self.at] not in ",]}#\r\n":
                self.at += 1
            while self.text[self.at - 1] in " \t":
                self.at -= 1

    def _string(self) -> None:
        quote = self.text[self.at]
        triple = quote * 3
        if self.text.startswith(triple, self.at):
            self.at += 3
            while not self.text.startswith(triple, self.at):
                self.at += 2 if quote == '"' and self.text[self.at] == "\\" else 1
            self.at += 3
            while self.at < len(self.text) and self.text[self.at] == quote:  # """a"" ends in more quotes
                self.at += 1
            return
        self.at += 1
        while self.text[self.at] != quote:
            self.at += 2 if quote == '"' and self.text[self.at] == "\\" else 1
        self.at += 1
