"""Damage as it happens to files: bits, cuts, splices, other encodings, and values that nobody means.

    damaged(data, name, dice)   one damaged copy of a file's bytes, and what was done to it

The dice decide everything, so a seed gives the same damage again.
"""

import json
import random
from collections.abc import Callable, Sequence
from typing import Any

Done = tuple[bytes, str]

HOSTILE_JSON: Sequence[Any] = (
    None,
    True,
    False,
    0,
    -1,
    -0.0,
    1e308,
    -1e308,
    5e-324,
    10**30,
    2**63,
    "",
    "\ud800",
    "\u0000",
    "\u202e",
    "x" * 70_000,
    "../../../etc/hosts",
    "/etc/hosts",
    "nan",
    "1e999",
    [],
    {},
    [[]],
    [None],
    {"": None},
    [0] * 5_000,
    "9" * 5_000,
    float("inf"),
    float("-inf"),
    float("nan"),
    "\r\n",
    "é" * 300,
    "9999-12-31",
    "0001-01-01T00:00:00+00:00",
)
"""What a field may turn into."""
HOSTILE_TOML: Sequence[str] = (
    "nan",
    "inf",
    "-inf",
    "1e308",
    "-1e308",
    "-0.0",
    "5e-324",
    "9" * 5_000,
    "-" + "9" * 400,
    "0x" + "f" * 4_000,
    "1e999",
    "true",
    '""',
    '"\\ud800"',
    '"\\u0000"',
    "'''\n'''",
    "[]",
    "{}",
    "[[]]",
    "[" * 3_000,
    "{a=" * 2_000,
    '"' + "x" * 70_000 + '"',
    "0001-01-01",
    "9999-12-31",
    "9999-12-31T23:59:59Z",
    '"0001-01-01"',
    '"9999-12-31"',
    "07:32:00",
    "1979-05-27T07:32:00Z",
    "[" + "0," * 20_000 + "]",
    "[" + "[]," * 3_000 + "]",
    '["a", 1]',
    '"../../../etc/hosts"',
    '"/"',
    '"."',
    '"\\\\"',
    "1_0",
    "",
    "{a = 1, a = 2}",
    "[{}]",
    "[{a=1}]",
    '"\u202e\u2028"',
    "0o7",
    "+1",
    "1.",
    '"""',
    "'",
    "\\",
    '"Europe/"',
    '"//x/y"',
    '"P99999999999999999D"',
    '"PT9' + "9" * 400 + 'H"',
    '"24:00"',
    "[nan, inf, 1e308]",
    "[1, 2, 3, 4]",
    "999999999999",
)
HOSTILE_CELLS: Sequence[str] = (
    "",
    "nan",
    "inf",
    "-inf",
    "1e999",
    "9" * 5_000,
    "-9999",
    "9999",
    "x",
    "\x00",
    "é",
    '"',
    '""',
    "1e308",
    "0x1",
    "24:00",
    "25:00",
    "99/99/9999",
    "0001-01-01T00:00",
    "9999-12-31T23:59",
    "9999-12-31T23:59-23:59",
    "0001-01-01T00:00+23:59",
    "٣",
    "1_000",
    "2027-02-30",
    "\u2028",
    "1,5",
    "-0",
    "1e-400",
    "²",
    "9" * 20,
    "100%%",
    "%",
    "+",
    "01/31/1988",
    "1.0.0",
)

_DEEP = "nested deep"


def damaged(data: bytes, name: str, dice: random.Random) -> Done:
    """One damaged copy of a file's bytes; by its name, damage that only such a file can have is among it."""
    makers: list[Callable[[bytes, random.Random], Done]] = list(ANY)
    if name.endswith(".toml"):
        makers += [_toml] * len(ANY)
    elif name.endswith(".jsonl"):
        makers += [_jsonl] * len(ANY)
    elif name.endswith(".json"):
        makers += [_json] * len(ANY)
    elif name.endswith((".csv", ".epw", ".txt")):
        makers += [_cells] * len(ANY)
    maker = dice.choice(makers)
    made, what = maker(data, dice)
    return made, what


def _flip(data: bytes, dice: random.Random) -> Done:
    out = bytearray(data)
    for _ in range(dice.randint(1, 3)):
        if out:
            bit = dice.randrange(8 * len(out))
            out[bit // 8] ^= 1 << bit % 8
    return bytes(out), "bits flipped"


def _cut(data: bytes, dice: random.Random) -> Done:
    return data[: dice.randrange(len(data) + 1)], "cut short"


def _splice(data: bytes, dice: random.Random) -> Done:
    a, b = sorted(dice.randrange(len(data) + 1) for _ in range(2))
    c = dice.randrange(len(data) + 1)
    return data[:c] + data[a:b] + data[c:], "a part of it put in elsewhere"


def _drop(data: bytes, dice: random.Random) -> Done:
    a = dice.randrange(len(data) + 1)
    return data[:a] + data[a + dice.randint(1, 200) :], "a part of it gone"


def _put_in(data: bytes, dice: random.Random) -> Done:
    what = dice.choice(
        (
            b"\x00",
            b"\xff",
            b"\xc3\x28",
            b"\xed\xa0\x80",
            b"\r",
            b"\r\r",
            b"\xef\xbb\xbf",
            b"\x1a",
            b"\x00" * 600,
        )
    )
    at = dice.randrange(len(data) + 1)
    return data[:at] + what + data[at:], f"{what[:4]!r} put in"


def _whole(data: bytes, dice: random.Random) -> Done:
    """Something else in its place."""
    kind = dice.randrange(12)
    made: bytes = (
        b"",
        b"\x00" * len(data),
        b"\xef\xbb\xbf" + data,
        data + data,
        data.replace(b"\n", b"\r"),
        data.replace(b"\n", b"\r\n"),
        data.decode("latin-1").encode("utf-16"),
        dice.randbytes(dice.randint(1, 5_000)),
        b"[" * 200_000,
        b'{"a":' * 100_000,
        b"\n" * 50_000,
        data[::-1],
    )[kind]
    return made, f"something else in its place ({kind})"


def _line(data: bytes, dice: random.Random) -> Done:
    lines = data.split(b"\n")
    at = dice.randrange(len(lines))
    what = dice.randrange(4)
    if what == 0:
        del lines[at]
    elif what == 1:
        lines.insert(at, lines[dice.randrange(len(lines))] if lines else b"")
    elif what == 2:
        other = dice.randrange(len(lines))
        lines[at], lines[other] = lines[other], lines[at]
    else:
        lines[at] = lines[at] * 2
    return b"\n".join(lines), "lines out of place"


ANY = (_flip, _cut, _splice, _drop, _put_in, _whole, _line)


def _toml(data: bytes, dice: random.Random) -> Done:
    lines = data.decode("utf-8", "replace").split("\n")
    pairs = [n for n, line in enumerate(lines) if "=" in line and not line.startswith("#")]
    heads = [n for n, line in enumerate(lines) if line.startswith("[")]
    value = dice.choice(HOSTILE_TOML)
    what = dice.randrange(8)
    if what < 5 and pairs:
        at = dice.choice(pairs)
        lines[at] = f"{lines[at].split('=')[0]}= {value}"
    elif what == 5 and heads:
        at = dice.choice(heads)
        key = lines[at].strip("[] ")
        lines[at] = dice.choice(
            (f"{key} = {value}", f"[{key}]", f"[[{key}]]", f"[{key}.{key}]", f"[[[{key}", f"[{value}]")
        )
    elif what == 6:
        lines.insert(
            dice.randrange(len(lines) + 1),
            f"{dice.choice(('name', 'format', 'shots', 'x', 'frames', 'studio'))} = {value}",
        )
    else:
        lines.insert(
            dice.randrange(len(lines) + 1),
            dice.choice(("[shots]", "[[shots]]", "[[windows]]", "[[x]]", "[a.b.c]", "[[room]]")),
        )
    return "\n".join(lines).encode("utf-8", "surrogatepass"), f"TOML: {value[:30]!r}"


def _jsonl(data: bytes, dice: random.Random) -> Done:
    lines = data.split(b"\n")
    at = dice.randrange(max(len(lines) - 1, 1))
    lines[at], what = _json(lines[at], dice)
    return b"\n".join(lines), f"line {at + 1}: {what}"


def _json(data: bytes, dice: random.Random) -> Done:
    body, mark, seal = data.partition(b"\n#sealed ")
    try:
        value = json.loads(body)
    except ValueError:
        return _flip(data, dice)
    places = list(_places(value))
    if not places:
        return _flip(data, dice)
    owner, key = dice.choice(places)
    hostile = dice.choice(HOSTILE_JSON)
    what = dice.randrange(6)
    if what == 0:
        del owner[key]
    elif what == 1 and isinstance(owner, dict):
        owner[f"{key}x"] = owner.pop(key)
    elif what == 2:
        owner[key] = _DEEP
    else:
        owner[key] = hostile
    levels = dice.choice((1, 300, 990, 20_000))
    text = json.dumps(value, ensure_ascii=True).replace(f'"{_DEEP}"', "[" * levels + "]" * levels)
    if dice.random() < 0.1:
        text = text.replace("{", '{"n": 1, "kind": "kept", ', 1)  # the same key twice
    return text.encode() + mark + seal, f"JSON: {key!r} is {str(hostile)[:30]!r}"


def _places(value: Any) -> Any:
    if isinstance(value, dict | list):
        for key in list(value) if isinstance(value, dict) else range(len(value)):
            yield value, key
            yield from _places(value[key])


def _cells(data: bytes, dice: random.Random) -> Done:
    lines = data.decode("utf-8", "replace").split("\n")
    # the head is where most can go wrong
    at = dice.randrange(min(len(lines), 12)) if dice.random() < 0.5 else dice.randrange(len(lines))
    cells = lines[at].split(",")
    hostile = dice.choice(HOSTILE_CELLS)
    cells[dice.randrange(len(cells))] = hostile
    lines[at] = ",".join(cells)
    return "\n".join(lines).encode("utf-8", "surrogatepass"), f"line {at + 1}: a cell is {hostile[:20]!r}"
