"""Bodies, addresses and values that no page of ours sends. Each is made by hand or by a seeded generator.

Kinds from memory of JSON parsing hazards: RFC 8259, sections 4 (names not unique), 6 (range of numbers), 8.1 (byte
order mark), 8.2 (lone surrogates), 9 (depth); Python's limit of 4,300 digits (documentation of int).
"""

import json
import random
from typing import Any

RAW_BODIES: dict[str, bytes] = {
    "nothing": b"",
    "no JSON": b"{",
    "two objects": b"{}{}",
    "a list": b"[]",
    "a text": b'"x"',
    "null": b"null",
    "5,000 digits": b'{"version": ' + b"9" * 5000 + b"}",
    "5,000 digits alone": b"9" * 5000,
    "NaN": b'{"version": NaN}',
    "Infinity": b'{"lux": Infinity, "number": -Infinity}',
    "1e999": b'{"lux": 1e999}',
    "deep lists": b"[" * 400_000,
    "deep objects": b'{"a":' * 1_500 + b"1" + b"}" * 1_500,
    "deep in a field": b'{"data": ' + b"[" * 900 + b"]" * 900 + b"}",
    "deep, in a text that never ends": b'{"a": "' + b'\\"' * 2_000 + b"[" * 2_000,
    "a lone surrogate": b'{"name": "\\ud800", "kind": "\\udfff"}',
    "a lone surrogate for a field": b'{"\\ud800": 1}',
    "NUL": b'{"shot": "\\u0000"}',
    "no UTF-8": b'{"shot": "\xff\xfe"}',
    "a surrogate in UTF-8": b'{"shot": "\xed\xa0\x80"}',
    "UTF-16": '{"shot": "x"}'.encode("utf-16"),
    "a byte order mark": b'\xef\xbb\xbf{"shot": 1}',
    "one name twice": b'{"shot": "a", "shot": "b"}',
    "many values": b'{"frames": [' + b"1," * 50_000 + b"1]}",
    "a control sign": b'{"a": "\x01"}',
}
MUST_REFUSE = frozenset(RAW_BODIES) - {"a byte order mark"}

VALUES: list[Any] = [
    None,
    True,
    False,
    0,
    -1,
    1,
    3,
    10**15,
    10**18,
    -(10**18),
    0.5,
    -0.0,
    1e-300,
    1e299,
    -1e299,
    1e308,
    "",
    " ",
    "0",
    "-1",
    "nan",
    "inf",
    "1e308",
    "9" * 400,
    "x" * 20_000,
    "\n",
    "\r",
    "\u2028",
    "\x7f\x1b[2J",
    "\U0001f35c" * 40,
    "e\u0301",
    "..",
    "../..",
    "/",
    "C:\\",
    "con",
    "shoot.toml",
    "three-bowls",
    "page-wide",
    "studio",
    "shoot",
    "kept",
    "select",
    "2027-07-15",
    "0000-00-00",
    "0001-01-01",
    "9999-12-31",
    "2027-02-30",
    "9999-12-31T23:59",
    "0001-01-01T00:00+23:59",
    "2027-07-15T12:00",
    "12:00",
    "24:00",
    "rough",
    "spot:",
    "shot:x",
    "\u00b2",
    "\u0663",
    [],
    [[]],
    [None],
    [True, False, True, False],
    [0, 0, 1, 1],
    [0, 0, 0, 0],
    [1e299] * 4,
    ["x"],
    ["x"] * 2000,
    [{}],
    {},
    {"x": {}},
    {"": ""},
    {"timezone": "Europe/London"},
    {"shot": 1},
    {"timezone": [], "latitude_deg": {}},
]

IN_ADDRESS = [
    "",
    "%00",
    "%ff",
    "%ed%a0%80",
    "%",
    "%zz",
    "%2e%2e%2f",
    "..%5c",
    "+",
    "%0d%0a",
    "nan",
    "inf",
    "-inf",
    "1e308",
    "-1",
    "0",
    "0.5",
    "9" * 400,
    "9" * 5000,
    "%C2%B2",
    "%D9%A3",
    "x" * 900,
    "x" * 3000,
    "0000-00-00",
    "0001-01-01",
    "9999-12-31",
    "2027-02-30",
    "2027-07-15",
    "9999-12-31T23:59:00%2B14:00",
    "0001-01-01T00:00-23:59",
    "2027-07-15T13:30",
    "2027-03-28T01:30",
    "12:00",
    "spot:",
    "shot:three-bowls",
    "three-bowls",
    "cie:1",
    "cie:99",
    "cie:%C2%B2",
    "forecast",
    "typical%20year",
    "yes",
    "view",
    "A4",
    "studio",
    "a" * 32,
    "%F0%9F%8D%9C",
]

HEADERS = [
    (name, value)
    for name in (
        b"range",
        b"cookie",
        b"accept",
        b"accept-encoding",
        b"if-none-match",
        b"if-modified-since",
        b"last-event-id",
    )
    for value in (
        b"",
        b"\xff\xfe",
        b"bytes=0-",
        b"bytes=-1",
        b"bytes=5-2,9-1",
        b"bytes=" + b"0-1," * 2000,
        b"9" * 5000,
        b'a="\\',
        b"=;=;",
        b"plateside_sheets=small.\xb2",
        b"plateside_sheets=large.99999999",
        b"text/html",
        b"Fri, 31 Dec 9999 23:59:60 GMT",
    )
]


def like(value: Any, rng: random.Random) -> Any:
    """The value with one thing in it exchanged, taken out, or said twice over."""
    if isinstance(value, dict) and value and rng.random() < 0.85:
        name = rng.choice(sorted(value))
        rest = {k: v for k, v in value.items() if k != name}
        return rest if rng.random() < 0.1 else {**value, name: like(value[name], rng)}
    if isinstance(value, list) and value and rng.random() < 0.7:
        at = rng.randrange(len(value))
        return [*value[:at], like(value[at], rng), *value[at + 1 :]]
    return rng.choice(VALUES)


def as_body(value: Any) -> bytes:
    return json.dumps(value).encode()
