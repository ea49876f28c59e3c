"""Numbers that count, lists, figures, stops, times of the day and dates, in words. Lengths are in units.

plural       '1 frame', '3 frames'
listed       'boards, steam and hands'
once_with_names  'Lens left as it is. (cup and bowl)'
ordinal      '3rd'
in_letters   'six'
figures      '480', two figures and no more
about        'about 480 lx (300-750)'
megabytes    '6.1 MB', '340 kB'
stops        '0.6 stop', '1.2 stops'
change       '+1.2 stops', 'the same'
duration     '5 h 20 min'
clock, span, spans      '13:30', '06:40-09:15', '06:40-09:15, 19:50-20:40'
day, day_of_year, near_day, short_day     'Thursday 15 July 2027', '15 July', 'today', 'Thu 15'
"""

import math
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from typing import Protocol

from plateside.ground.figures import rounded

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


class _Range(Protocol):
    """A value and the range in which it may really be."""

    @property
    def value(self) -> float: ...
    @property
    def low(self) -> float: ...
    @property
    def high(self) -> float: ...


class _Stretch(Protocol):
    """From one moment to another."""

    @property
    def start(self) -> datetime: ...
    @property
    def end(self) -> datetime: ...


def plural(number: int, one: str, many: str = "") -> str:
    """'1 frame', '3 frames', 'no frames'; `many` where it is not `one` and an s."""
    return f"{number or 'no'} {one if number == 1 else many or one + 's'}"


def listed(items: Iterable[str], last: str = "and") -> str:
    """'boards', 'boards and steam', 'boards, steam and hands'; `last` may be 'or'."""
    *rest, end = list(items) or [""]
    return f"{', '.join(rest)} {last} {end}" if rest else end


def once_with_names(said: Iterable[tuple[str, Iterable[str]]]) -> list[str]:
    """Each sentence once, with the names it is said of: 'Lens left as it is. (cup and bowl)'."""
    names: dict[str, list[str]] = {}
    for name, sentences in said:
        for sentence in sentences:
            names.setdefault(sentence, []).append(name)
    return [f"{sentence} ({listed(of)})" for sentence, of in names.items()]


def ordinal(number: int) -> str:
    """A whole number from 0 as a place in a row: '1st', '2nd', '3rd', '11th'."""
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def in_letters(count: int) -> str:
    """'six'; figures above twelve."""
    words = (
        "no",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
    )
    return words[count] if count < len(words) else str(count)


def capital(text: str) -> str:
    """A phrase as the beginning of a sentence; a name in it stays as it is written."""
    return text[:1].upper() + text[1:]


def figures(value: float) -> str:
    """As many figures as a prediction is good for: '480', '0.013'."""
    return rounded(value)


def about(spread: _Range, unit: str = "") -> str:
    """A figure with the range it may really be in: 'about 480 lx (300-750)'."""
    tail = f" {unit}" if unit else ""
    if spread.value == 0 and spread.high == 0:
        return f"0{tail}"
    low, high = figures(spread.low), figures(spread.high)
    return f"about {figures(spread.value)}{tail}" + ("" if low == high else f" ({low}-{high})")


def megabytes(size: int) -> str:
    """Bytes for people, 1 kB being 1000 bytes: '6.1 MB', '340 kB'."""
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{max(1, round(size / 1000))} kB"


def stops(value: float, digits: int = 1) -> str:
    """'0.6 stop', '1 stop', '1.2 stops': the size alone; which way is the sentence's to say."""
    shown = round(abs(value), digits)
    return f"{shown:g} {'stop' if shown <= 1 else 'stops'}"


def change(value: float) -> str:
    """'+1.2 stops', '-0.4 stop', 'the same'; light that goes for good or comes from nothing is said, not counted."""
    if not math.isfinite(value):
        return "no light left" if value < 0 else "all of the light"
    return "the same" if abs(value) < 0.05 else f"{'+' if value > 0 else '-'}{stops(value)}"


def duration(minutes: float) -> str:
    """'5 h 20 min', '40 min'."""
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def clock(moment: datetime) -> str:
    """'13:30'."""
    return f"{moment:%H:%M}"


def span(stretch: _Stretch) -> str:
    """'06:40-09:15'."""
    return f"{clock(stretch.start)}-{clock(stretch.end)}"


def spans(stretches: Sequence[_Stretch], none: str = "at no time") -> str:
    """'06:40-09:15, 19:50-20:40'."""
    return ", ".join(span(s) for s in stretches) or none


def from_to(stretches: Sequence[_Stretch]) -> str:
    """'from 06:40 to 09:15 and from 19:50 to 20:40', inside a sentence."""
    return listed(f"from {clock(s.start)} to {clock(s.end)}" for s in stretches)


def day(of: date) -> str:
    """'Thursday 15 July 2027'."""
    return f"{WEEKDAYS[of.weekday()]} {day_of_year(of)} {of.year}"


def day_of_year(of: date) -> str:
    """'15 July'."""
    return f"{of.day} {MONTHS[of.month - 1]}"


def weekday(of: date) -> str:
    """'Thursday 15 July'."""
    return f"{WEEKDAYS[of.weekday()]} {day_of_year(of)}"


def short_day(of: date) -> str:
    """'Thu 15', where the month is plain."""
    return f"{WEEKDAYS[of.weekday()][:3]} {of.day}"


def near_day(of: date, today: date) -> str:
    """'today', 'tomorrow', 'yesterday', 'Thursday 15 July', and with the year where it is not this one."""
    near = {0: "today", 1: "tomorrow", -1: "yesterday"}.get((of - today).days)
    return near or (
        f"{WEEKDAYS[of.weekday()]} {day_of_year(of)}{'' if of.year == today.year else f' {of.year}'}"
    )
