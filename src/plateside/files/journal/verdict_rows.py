"""The one thing to change, as a verdict's row of the journal keeps it: codes and numbers, said when it is read."""

import contextlib
from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from plateside.model.frame import Act, Dial
from plateside.words.set.acts import act_lead, act_sentence

_DEFAULTS = {f.name: f.default for f in fields(Act)}


def act_row(act: Act) -> dict[str, Any]:
    """What is other than usual of an act, as JSON keeps it."""
    row: dict[str, Any] = {}
    for name, usual in _DEFAULTS.items():
        value = getattr(act, name)
        if value == usual:
            continue
        if isinstance(value, Dial):
            value = {"name": value.name, "now": round(value.now, 6), "to": round(value.to, 6)}
        elif isinstance(value, tuple):
            value = [round(float(v), 4) for v in value]
        elif isinstance(value, float):
            value = round(value, 4)
        row[name] = value
    return row


def act_in(verdict: Mapping[str, Any]) -> Act | None:
    """The act of a verdict's row; None for a row that has none, or one that is damaged."""
    row = verdict.get("change")
    if not isinstance(row, Mapping):
        return None
    known = {name: value for name, value in row.items() if name in _DEFAULTS}
    with contextlib.suppress(TypeError, ValueError, KeyError):
        if "dial" in known:
            dial = known["dial"]
            known["dial"] = Dial(str(dial["name"]), float(dial["now"]), float(dial["to"]))
        if "at" in known:
            x, y = known["at"]
            known["at"] = float(x), float(y)
        act = Act(**known)
        act_lead(act), act_sentence(act)
        return act
    return None


def sentence_in(verdict: Mapping[str, Any]) -> str:
    """The one thing to change of a verdict's row, whole; as it was written where a shoot was begun earlier."""
    act = act_in(verdict)
    return str(verdict.get("act", "")) if act is None else act_sentence(act)


def lead_in(verdict: Mapping[str, Any]) -> str:
    """The same, short enough for large letters."""
    act = act_in(verdict)
    return str(verdict.get("act", "")) if act is None else act_lead(act)
