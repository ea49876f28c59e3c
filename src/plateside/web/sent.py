"""What a page sent, read in one place: JSON that is what JSON may be, and fields that are of their kind.

    read_json      the bytes of a request's body -> Sent; nothing that a field, a file or an answer could not hold
    Sent           an object with readers of its fields: text, number, whole, flag, texts, things
    plain_words    whether a text of an address (a query's value, a part of the path) can be one

Every fault is an InputError with one sentence.
"""

import json
import math
import re
from collections.abc import Iterable, Iterator
from typing import Any, NoReturn

from plateside.model.errors import InputError
from plateside.words import sent as words

DEEPEST = 16
"""A box inside a change inside a list is four deep."""
MOST_VALUES = 20_000
LONGEST_NUMBER = 20
"""Characters of a whole number. No field holds more than 15 digits."""
LARGEST_NUMBER = 1e300
LONGEST_IN_ADDRESS = 1000
# a text that is never closed ends with all of it: every place is looked at once
_IN_QUOTES = re.compile(r'"[^"\\]*(?:\\.[^"\\]*)*(?:"|\\?\Z)', re.DOTALL)
_BRACKET = re.compile(r"[\[\]{}]")
_NOT_KEPT = re.compile("[\0\ud800-\udfff]")


class Sent(dict[str, Any]):
    """An object that a page sent."""

    def text(self, name: str, usual: str = "") -> str:
        """A text; `usual` where there is none."""
        got = self.get(name)
        if got is None:
            return usual
        if not isinstance(got, str):
            _refuse(name, words.TEXT)
        return got

    def whole(self, name: str, usual: int | None = None) -> int:
        """A whole number; `usual` where there is none."""
        got = self.get(name)
        if got is None and usual is not None:
            return usual
        if isinstance(got, bool) or not isinstance(got, int):
            _refuse(name, words.WHOLE)
        return got

    def number(self, name: str) -> float:
        """A number."""
        got = self.get(name)
        if got is None or not is_number(got):
            _refuse(name, words.NUMBER)
        return float(got)

    def flag(self, name: str) -> bool:
        """true or false; false where there is none."""
        got = self.get(name)
        if not (got is None or isinstance(got, bool)):
            _refuse(name, words.FLAG)
        return bool(got)

    def numbers(self, name: str, count: int) -> list[float]:
        """A list of so many numbers."""
        got = self.get(name)
        plain = isinstance(got, list) and len(got) == count and all(is_number(each) for each in got)
        if not isinstance(got, list) or not plain:
            _refuse(name, words.numbers(count))
        return [float(each) for each in got]

    def texts(self, name: str) -> list[str]:
        """A list of texts; empty where there is none."""
        got = self.get(name)
        if got is None:
            return []
        if not isinstance(got, list) or not all(isinstance(each, str) for each in got):
            _refuse(name, words.TEXTS)
        return got

    def things(self, name: str) -> "Sent":
        """An object of its own."""
        got = self.get(name)
        if not isinstance(got, dict):
            _refuse(name, words.THINGS)
        return Sent(got)

    def every(self, name: str) -> "list[Sent]":
        """A list of objects; empty where there is none."""
        got = self.get(name)
        if got is None:
            return []
        if not isinstance(got, list) or not all(isinstance(each, dict) for each in got):
            _refuse(name, words.EVERY)
        return [Sent(each) for each in got]


def is_number(value: Any) -> bool:
    """Whether it is a number, and true or false none."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def read_json(data: bytes) -> Sent:
    """The object in a body. Raises InputError for what is none, or holds what nothing of ours can hold."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(words.NOT_TEXT) from None
    # JSON's own reader goes one step down for each bracket: told by what it may be, not by what it survives
    if _depth(text) > DEEPEST:
        raise InputError(words.too_deep(DEEPEST))
    try:
        got = json.loads(
            text, parse_int=_whole, parse_float=_broken, parse_constant=_constant, object_pairs_hook=_object
        )
    except ValueError:
        raise InputError(words.NOT_JSON) from None
    if not isinstance(got, dict):
        raise InputError(words.NOT_AN_OBJECT)
    _judge(got)
    return Sent(got)


def plain_words(text: str) -> bool:
    """Whether a text can be part of an address: not too long, no NUL, no half of a letter."""
    return len(text) <= LONGEST_IN_ADDRESS and _can_be_kept(text)


def _depth(text: str) -> int:
    """How deep brackets stand in each other, those in texts left out; no deeper than is allowed is counted."""
    depth = deepest = 0
    for found in _BRACKET.finditer(_IN_QUOTES.sub("", text)):
        depth += 1 if found[0] in "[{" else -1
        deepest = max(deepest, depth)
        if deepest > DEEPEST:
            break
    return deepest


def _whole(digits: str) -> int:
    if len(digits) > LONGEST_NUMBER:
        raise InputError(words.too_many_digits(len(digits)))
    return int(digits)


def _broken(digits: str) -> float:
    value = float(digits)
    if not math.isfinite(value) or abs(value) > LARGEST_NUMBER:
        raise InputError(words.NUMBER_TOO_LARGE)
    return value


def _constant(name: str) -> NoReturn:
    raise InputError(words.no_such_number(name))


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    pairs_once = dict(pairs)
    if len(pairs_once) != len(pairs):
        raise InputError(words.FIELD_TWICE)
    return pairs_once


def _judge(got: dict[str, Any]) -> None:
    """No more values than anything here has, and only texts that a file and an answer can hold."""
    count = 0
    left: list[Iterator[Any]] = [iter((got,))]
    while left:
        for value in left.pop():
            count += 1
            if count > MOST_VALUES:
                raise InputError(words.too_many(MOST_VALUES))
            inside: Iterable[Any] = ()
            if isinstance(value, dict):
                inside = (*value.keys(), *value.values())
            elif isinstance(value, list):
                inside = value
            elif isinstance(value, str) and not _can_be_kept(value):
                raise InputError(words.NOT_KEPT)
            if inside:
                left.append(iter(inside))


def _can_be_kept(text: str) -> bool:
    return _NOT_KEPT.search(text) is None


def _refuse(name: str, wanted: str) -> NoReturn:
    raise InputError(words.must_be(name, wanted))
