"""One TOML value against one field of the model: right, or what is wrong with it and the line to paste."""

import datetime as dt
import math
import re
from typing import Any

from plateside.files.settings.grammar import Entry
from plateside.files.settings.guesses import compass_deg, fits, in_another_unit, nearest_word, number_in
from plateside.files.settings.lines import allowed_text, example_line, pair_line, value_text

MOST = 1e300
"""Beyond this a number is as good as infinite: no field of ours comes near, and a few of them still add up."""
_MOST_LISTED = 200
LONGEST_NAME, LONGEST_TEXT = 200, 20_000
"""Characters; a recipe's longest step has some hundred."""
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def converted(entry: Entry, raw: Any) -> tuple[Any, str, str]:
    """(value, "", "") when it is right, else (None, what is wrong, the line to paste)."""
    wrong = f"{entry.name} is {shown(raw)}; allowed: {allowed_text(entry)}."
    if entry.kind == "flag":
        if isinstance(raw, bool):
            return raw, "", ""
        meant = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}.get(
            str(raw).strip().lower(), {1: True, 0: False}.get(raw) if isinstance(raw, int) else None
        )
        return None, wrong, pair_line(entry.name, meant if meant is not None else bool(entry.default))
    if entry.kind == "text":
        return _text(entry, raw, wrong)
    if entry.kind == "texts":
        return _texts(entry, raw, wrong)
    if entry.kind == "shares" and isinstance(raw, list):
        return _three(entry, raw, wrong)
    return _number(entry, raw, wrong)


def _text(entry: Entry, raw: Any, wrong: str) -> tuple[Any, str, str]:
    if isinstance(raw, dt.datetime | dt.date | dt.time):
        raw = _time_text(raw)
    if not isinstance(raw, str):
        plain = (
            isinstance(raw, int | float) and not isinstance(raw, bool) and not entry.words and abs(raw) < MOST
        )
        return None, wrong, pair_line(entry.name, value_text(raw)) if plain else example(entry)
    if entry.words and raw not in entry.words:
        near = nearest_word(raw, entry.words)
        hint = f' Did you mean "{near}"?' if near else ""
        return None, wrong + hint, pair_line(entry.name, near) if near else example(entry)
    if why := _no_text(raw, LONGEST_NAME if entry.name == "name" else LONGEST_TEXT):
        return None, f"{entry.name} is {shown(raw)}; allowed: {why}.", example(entry)
    return raw, "", ""


def _no_text(text: str, longest: int) -> str:
    """What is allowed, where this is not; '' for any text that can stand in a file, on a page and in a file's name."""
    if len(text) > longest:
        return f"at most {longest} characters, and this has {len(text)}"
    if _CONTROL.search(text):
        return "letters, digits, signs and line ends, without a control character"
    return ""


def _time_text(raw: dt.datetime | dt.date | dt.time) -> str:
    if isinstance(raw, dt.datetime):
        return raw.isoformat(timespec="minutes" if not raw.second else "auto")
    if isinstance(raw, dt.time):
        return raw.isoformat(timespec="minutes" if not raw.second else "auto")
    return raw.isoformat()


def _texts(entry: Entry, raw: Any, wrong: str) -> tuple[Any, str, str]:
    if isinstance(raw, str):
        return None, wrong, _meant_texts(entry, [part.strip() for part in raw.split(",") if part.strip()])
    if not isinstance(raw, list) or not all(isinstance(v, str) for v in raw):
        plain = (
            isinstance(raw, list)
            and len(raw) <= _MOST_LISTED
            and not any(isinstance(v, list | dict) for v in raw)
        )
        texts = [v if isinstance(v, str) else shown(v) for v in raw] if plain else []
        return None, wrong, _meant_texts(entry, texts)
    if why := next((w for v in raw if (w := _no_text(v, LONGEST_TEXT))), ""):
        return None, f"{entry.name} holds a text that is none; allowed: {why}.", example(entry)
    if len(raw) > _MOST_LISTED:
        return None, f"{entry.name} is {shown(raw)}; allowed: at most {_MOST_LISTED} texts.", example(entry)
    if entry.words and any(v not in entry.words for v in raw):
        return None, wrong, _meant_texts(entry, raw)
    return tuple(raw), "", ""


def _meant_texts(entry: Entry, texts: list[str]) -> str:
    """The line to paste: each text once, as near as can be to what is allowed; an example when nothing is near."""
    if not entry.words:
        return pair_line(entry.name, texts)
    near = [text if text in entry.words else nearest_word(text, entry.words) for text in texts]
    meant = list(dict.fromkeys(text for text in near if text))
    return pair_line(entry.name, meant) if meant else example(entry)


def _three(entry: Entry, raw: list[Any], wrong: str) -> tuple[Any, str, str]:
    numbers = [v for v in raw if isinstance(v, int | float) and not isinstance(v, bool)]
    if len(raw) == 3 and len(numbers) == 3 and all(fits(v, entry) for v in numbers):
        return tuple(float(v) for v in numbers), "", ""
    if len(raw) == 3 and len(numbers) == 3 and all(0 <= v <= 100 for v in numbers) and max(numbers) > 1:
        shares = [v / 100 for v in numbers]
        return None, f"{wrong} Shares go from 0 to 1, not per cent.", pair_line(entry.name, shares)
    return None, wrong, example(entry)


def _number(entry: Entry, raw: Any, wrong: str) -> tuple[Any, str, str]:
    if isinstance(raw, str):
        meant = number_in(raw, entry.unit)
        if meant is None or not fits(meant, entry):
            return None, wrong, example(entry)
        meant = float(f"{meant:.6g}")
        reason = "" if entry.unit == "deg" and compass_deg(raw) is not None else " Write the number alone"
        reason += f", in {entry.unit}" if reason and entry.unit else ""
        return None, f"{wrong}{reason + '.' if reason else ''}", pair_line(entry.name, meant)
    if isinstance(raw, list) and len(raw) == 1 and entry.kind == "shares":
        raw = raw[0]
    if isinstance(raw, bool) or not isinstance(raw, int | float) or not abs(raw) < MOST:
        return None, wrong, example(entry)
    if not fits(raw, entry):
        other = in_another_unit(float(raw), entry)
        if other is not None:
            value, words = other
            said = f"{wrong} Did you mean {pair_line(entry.name, value).split(' = ')[1]} ({words})?"
            return None, said, pair_line(entry.name, value)
        return None, wrong, example(entry)
    if entry.kind == "integer":
        if float(raw) != int(raw):
            return None, wrong, pair_line(entry.name, round(raw))
        return int(raw), "", ""
    return float(raw) + 0.0, "", ""  # no zero with a minus


def example(entry: Entry) -> str:
    """An example to paste where nobody can tell what was meant."""
    return f"{example_line(entry)}  # for example"


def shown(raw: Any) -> str:
    """A value as it was written, shortened."""
    if isinstance(raw, dict):
        return "a table"
    if isinstance(raw, int) and not isinstance(raw, bool) and not abs(raw) < MOST:
        return "a number of hundreds of digits"
    if isinstance(raw, list) and any(type(v) is int and not abs(v) < MOST for v in raw):
        return "a list with a number of hundreds of digits"
    if isinstance(raw, list) and any(isinstance(v, dict) for v in raw):
        return "a list of tables"
    if isinstance(raw, list) and any(isinstance(v, list) for v in raw):
        return "a list of lists"
    if isinstance(raw, list) and len(raw) > _MOST_LISTED:
        return f"a list of {len(raw)}"
    if isinstance(raw, str) and not raw.isprintable():
        return repr(raw[:50])
    if isinstance(raw, float) and not math.isfinite(raw):
        return str(raw)
    if isinstance(raw, dt.datetime | dt.date | dt.time):
        return _time_text(raw)
    text = value_text(raw)
    return text if len(text) <= 60 else text[:57] + "..."
