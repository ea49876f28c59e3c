"""One TOML value against one field of the model: right, or the mistake with the line to paste."""

import datetime as dt
import math
import re
from typing import Any

from plateside.files.settings.grammar import Entry
from plateside.files.settings.guesses import compass_deg, fits, in_another_unit, nearest_word, number_in
from plateside.files.settings.lines import example_line, pair_line, value_text
from plateside.model.mistakes import Mistake
from plateside.words.figures import number_text

MOST = 1e300
"""Beyond this a number is as good as infinite: no field of ours comes near, and a few of them still add up."""
_MOST_LISTED = 200
LONGEST_NAME, LONGEST_TEXT = 200, 20_000
"""Characters; a recipe's longest step has some hundred."""
_LONGEST_SHOWN = 60
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")

Judged = tuple[Any, Mistake | None]
"""(value, None) when it is right, else (None, the mistake; where it is, its reader knows)."""


def converted(entry: Entry, raw: Any) -> Judged:
    """A value of the model from one of TOML, or what is wrong with it."""
    if entry.kind == "flag":
        if isinstance(raw, bool):
            return raw, None
        meant = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}.get(
            str(raw).strip().lower(), {1: True, 0: False}.get(raw) if isinstance(raw, int) else None
        )
        line = pair_line(entry.name, meant if meant is not None else bool(entry.default))
        return None, wrong(entry, raw, "not a flag", fix=line)
    if entry.kind == "text":
        return _text(entry, raw)
    if entry.kind == "texts":
        return _texts(entry, raw)
    if entry.kind == "shares" and isinstance(raw, list):
        return _three(entry, raw)
    return _number(entry, raw)


def wrong(entry: Entry, raw: Any, code: str, *, fix: str = "", meant: str = "", **facts: Any) -> Mistake:
    """A mistake of one field; without a fix, an example is handed over."""
    return Mistake(
        code,
        path=(entry.name,),
        label=entry.label,
        got=shown(raw),
        lowest=entry.low,
        highest=entry.high,
        unit=entry.unit,
        allowed=entry.words,
        meant=meant,
        fix=fix or example_line(entry),
        example=not fix,
        facts={"kind": entry.kind, **facts},
    )


def _text(entry: Entry, raw: Any) -> Judged:
    if isinstance(raw, dt.datetime | dt.date | dt.time):
        raw = _time_text(raw)
    if not isinstance(raw, str):
        plain = (
            isinstance(raw, int | float) and not isinstance(raw, bool) and not entry.words and abs(raw) < MOST
        )
        code = "not one of" if entry.words else "not a text"
        return None, wrong(entry, raw, code, fix=pair_line(entry.name, value_text(raw)) if plain else "")
    if entry.words and raw not in entry.words:
        near = nearest_word(raw, entry.words)
        line = pair_line(entry.name, near) if near else ""
        return None, wrong(entry, raw, "not one of", fix=line, meant=f'"{near}"' if near else "")
    bad = _no_text(entry, raw, LONGEST_NAME if entry.name == "name" else LONGEST_TEXT)
    return (raw, None) if bad is None else (None, bad)


def _no_text(entry: Entry, text: str, longest: int) -> Mistake | None:
    """What is wrong with a text that cannot be in a file, on a page and in a file's name."""
    if len(text) > longest:
        return _too(entry, text, "too long", longest, len(text))
    return wrong(entry, text, "control character") if _CONTROL.search(text) else None


def _too(entry: Entry, raw: Any, code: str, most: int, count: int) -> Mistake:
    return Mistake(
        code, path=(entry.name,), label=entry.label, got=shown(raw), highest=most, fix=example_line(entry),
        example=True, facts={"count": count},
    )  # fmt: skip


def _time_text(raw: dt.datetime | dt.date | dt.time) -> str:
    if isinstance(raw, dt.datetime):
        return raw.isoformat(timespec="minutes" if not raw.second else "auto")
    if isinstance(raw, dt.time):
        return raw.isoformat(timespec="minutes" if not raw.second else "auto")
    return raw.isoformat()


def _texts(entry: Entry, raw: Any) -> Judged:
    if isinstance(raw, str):
        parts = [part.strip() for part in raw.split(",") if part.strip()]
        return None, wrong(entry, raw, "not texts", fix=_meant_texts(entry, parts))
    if not isinstance(raw, list) or not all(isinstance(v, str) for v in raw):
        plain = (
            isinstance(raw, list)
            and len(raw) <= _MOST_LISTED
            and not any(isinstance(v, list | dict) for v in raw)
        )
        texts = [v if isinstance(v, str) else shown(v) for v in raw] if plain else []
        return None, wrong(entry, raw, "not texts", fix=_meant_texts(entry, texts))
    if bad := next((w for v in raw if (w := _no_text(entry, v, LONGEST_TEXT))), None):
        return None, bad
    if len(raw) > _MOST_LISTED:
        return None, _too(entry, raw, "too many", _MOST_LISTED, len(raw))
    # where something stands unless you say otherwise, none of it would leave nothing to do: no file of any kind
    if entry.words and (any(v not in entry.words for v in raw) or (entry.default and not raw)):
        return None, wrong(entry, raw, "not texts", fix=_meant_texts(entry, raw or [*entry.default]))
    return tuple(raw), None


def _meant_texts(entry: Entry, texts: list[str]) -> str:
    """The line to paste: each text once, as near as can be to what is allowed; empty when nothing is near."""
    if not entry.words:
        return pair_line(entry.name, texts) if texts else ""
    near = [text if text in entry.words else nearest_word(text, entry.words) for text in texts]
    meant = list(dict.fromkeys(text for text in near if text))
    return pair_line(entry.name, meant) if meant else ""


def _three(entry: Entry, raw: list[Any]) -> Judged:
    numbers = [v for v in raw if isinstance(v, int | float) and not isinstance(v, bool)]
    if len(raw) == 3 and len(numbers) == 3 and all(fits(v, entry) for v in numbers):
        return tuple(float(v) for v in numbers), None
    if len(raw) == 3 and len(numbers) == 3 and all(0 <= v <= 100 for v in numbers) and max(numbers) > 1:
        line = pair_line(entry.name, [v / 100 for v in numbers])
        return None, wrong(entry, raw, "percent", fix=line)
    return None, wrong(entry, raw, "not shares")


def _number(entry: Entry, raw: Any) -> Judged:
    if isinstance(raw, str):
        meant = number_in(raw, entry.unit)
        if meant is None or not fits(meant, entry):
            return None, wrong(entry, raw, "not a number")
        meant = float(f"{meant:.6g}")
        compass = entry.unit == "deg" and compass_deg(raw) is not None
        code = "not a number" if compass else "number with words"
        return None, wrong(entry, raw, code, fix=pair_line(entry.name, meant))
    if isinstance(raw, list) and len(raw) == 1 and entry.kind == "shares":
        raw = raw[0]
    if isinstance(raw, bool) or not isinstance(raw, int | float) or not abs(raw) < MOST:
        return None, wrong(entry, raw, "not a number")
    if not fits(raw, entry):
        other = in_another_unit(float(raw), entry)
        if other is None:
            return None, wrong(entry, raw, "out of range")
        value, read_as = other
        meant_words = f"{number_text(value)} ({read_as})"
        return None, wrong(entry, raw, "out of range", fix=pair_line(entry.name, value), meant=meant_words)
    if entry.kind == "integer":
        if float(raw) != int(raw):
            return None, wrong(entry, raw, "not whole", fix=pair_line(entry.name, round(raw)))
        return int(raw), None
    return float(raw) + 0.0, None  # no zero with a minus


def shown(raw: Any) -> str:
    """A value as it stands in a file, shortened: dots stand for what is left out."""
    if isinstance(raw, dict):
        return "{...}"
    if isinstance(raw, int) and not isinstance(raw, bool) and not abs(raw) < MOST:
        return f"{'-' if raw < 0 else ''}999999999999..."
    if isinstance(raw, list) and any(type(v) is int and not abs(v) < MOST for v in raw):
        return "[...]"
    if isinstance(raw, list) and any(isinstance(v, list | dict) for v in raw):
        return "[[...]]" if any(isinstance(v, list) for v in raw) else "[{...}]"
    if isinstance(raw, list) and len(raw) > _MOST_LISTED:
        return "[...]"
    if isinstance(raw, str) and not raw.isprintable():
        return repr(raw[:50])
    if isinstance(raw, float) and not math.isfinite(raw):
        return str(raw)
    if isinstance(raw, dt.datetime | dt.date | dt.time):
        return _time_text(raw)
    text = value_text(raw)
    return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 3] + "..."
