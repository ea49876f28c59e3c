"""A record read back is the record that was written, or refused with the field's name."""

import json
from dataclasses import asdict, dataclass

import pytest

from plateside.files.typed import typed


@dataclass(frozen=True)
class Inner:
    x: float


@dataclass(frozen=True)
class Outer:
    name: str
    px: int
    whole: bool
    share: float | None
    inner: Inner
    words: tuple[str, ...] = ()
    pair: tuple[float, float] = (0.0, 1.0)


WHOLE = Outer("cup", 320, True, None, Inner(2), ("a", "b"), (0.5, 2.0))


def test_what_was_written_is_read() -> None:
    assert typed(Outer, json.loads(json.dumps(asdict(WHOLE)))) == WHOLE
    assert typed(Outer, {"name": "", "px": 0, "whole": False, "share": 1, "inner": {"x": 1}}).share == 1.0


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", 7),
        ("name", None),
        ("px", "320"),
        ("px", 3.0),
        ("px", True),
        ("px", 10**300),
        ("whole", 1),
        ("share", "1"),
        ("share", float("nan")),
        ("share", float("inf")),
        ("share", 10**400),
        ("share", True),
        ("inner", None),
        ("inner", {}),
        ("inner", {"x": 1, "y": 2}),
        ("words", "ab"),
        ("words", [1]),
        ("words", None),
        ("pair", [1]),
        ("pair", [1, 2, 3]),
        ("other", 1),
    ],
)
def test_a_field_of_another_type_is_refused(field: str, value: object) -> None:
    told = {**json.loads(json.dumps(asdict(WHOLE))), field: value}
    with pytest.raises(ValueError, match=r"\w"):
        typed(Outer, told)


@pytest.mark.parametrize("value", [None, [], "x", 7, {}])
def test_what_is_no_object_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        typed(Outer, value)
