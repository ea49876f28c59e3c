"""Mistakes in sentences: what you typed, what is allowed, the fix.

    said          one mistake, in one or two sentences
    place         where it is: 'studio.toml, line 12, [[windows]] "kitchen window"', on a page 'Window "kitchen window"'
    text          place and sentence, the lines to paste below
    all_said      several, under one line that counts them
    on_page       a mistake as a page gets it: its facts, and the words for its place and for itself

At a terminal a field goes by its name in the file, on a page by its label. Which codes there are, and what is said of
each, are the tables here, in words/room_mistakes.py and in words/first_run.py.
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from plateside.model.mistakes import Mistake
from plateside.words.allowed import FORMS, allowed_words
from plateside.words.counting import capital, listed
from plateside.words.figures import filled, number_text
from plateside.words.first_run import FIRST_RUN
from plateside.words.room_mistakes import ROOM
from plateside.words.things import FILES, THINGS, thing

VALUES: Mapping[str, str] = {
    "not a number": "{field} is {got}; allowed: {what}.",
    "out of range": "{field} is {got}; allowed: {what}.",
    "not whole": "{field} is {got}; allowed: {what}.",
    "number with words": "{field} is {got}; allowed: {what}. Write the number alone{in_unit}.",
    "not a flag": "{field} is {got}; allowed: {what}.",
    "not a text": "{field} is {got}; allowed: {what}.",
    "not one of": "{field} is {got}; allowed: {what}.",
    "not texts": "{field} is {got}; allowed: {what}.",
    "not shares": "{field} is {got}; allowed: {what}.",
    "percent": "{field} is {got}; allowed: {what}. Write 0.4 for 40 percent.",
    "form": "{field} is {got}; allowed: {what}.",
    "too long": "{field} has {count} characters; at most {highest}.",
    "too many": "{field} has {count} entries; at most {highest}.",
    "control character": "{field} is {got}: it has a character that cannot be shown. Take it out.",
    "missing": "{field} is missing: {doc}.",
}
"""Of one field."""

AT_ANSWER = "{got} is not possible here; allowed: {what}."
"""Of an answer of the first run: it is shown at its question, which says what is asked."""

FILE: Mapping[str, str] = {
    "syntax": "This line cannot be read: {got}. Write name = value: text in straight quotes, numbers with a point and "
    "no unit, lists closed with ].",
    "syntax in a head": "This line cannot be read: {got}. A table is headed [name], one of several [[name]].",
    "written twice": "This is already in the file, further up: {got}. Keep one of the two.",
    "line too deep": "This line has a number too long, or brackets too deep, to be read: {got}.",
    "file too deep": "Lists or tables go too deep to be read: no field holds more than one list.",
    "no studio file": "There is no {got} here.",
    "no format": "The format number is missing. It is the first line of the file, above the first table.",
    "wrong format": "format is {got}; allowed: {highest}, a whole number without quotes.",
    "newer format": "format is {got}, and this version of Plateside reads format {highest}: the file is from a newer "
    "one. Update Plateside: pip install --upgrade plateside",
    "unknown key": 'There is no field "{got}" {here}.',
    "unknown table": 'There is no table "{got}" {here}.',
    "wrong table": '"{got}" does not go {here}; it goes in {homes:or}.',
    "one only": "There is only one of these: write single brackets.",
    "several": "There may be several of these: write double brackets.",
    "not a table": "This must be a table of its own, headed as below.",
    "not tables": "These must be tables of their own, each headed as below, under the lines of the table they are in.",
    "no table": "{table} is missing: {doc}.",
    "no name": "The name is empty; give it one.",
    "name taken": 'The name "{name}" is already used in line {line_of_first}; names must differ.',
    "not there": 'There is no {thing} called "{got}" in {home}; {known}.',
    "ends before start": "The end, {end}, must come after the start, {start}.",
}
"""Of a file, and of names that must agree."""

CHANGES: Mapping[str, str] = {
    "readings here": 'You read the light at the table spot "{name}". Take those readings out first.',
    "last window": 'The last window, "{name}", must stay: there is no light to plan by without one. Change it where it '
    "is, or add the other one first.",
    "last spot": 'The last table spot, "{name}", must stay: the dish needs a place. Move it, or add the other one '
    "first.",
    "used by shots": 'The {thing} "{name}" is used by the {shots}. Give {them} another on the Plan page first.',
    "first spot": 'The {shots} {use} the table spot "{name}" because {they_name} none. Give {them} a table spot on the '
    "Plan page first.",
    "no windows": "Your studio has no window yet, so there is no light: add one.",
    "no spots": "Your studio has no table spot yet, so there is no place for the dish: add one.",
}
"""Of a change that cannot be made, and of a studio in which nothing can be planned yet."""

SAID: Mapping[str, str] = {**VALUES, **FILE, **CHANGES, **ROOM, **FIRST_RUN}


def said(m: Mistake, *, page: bool = False) -> str:
    """A mistake in one or two sentences."""
    sentence = AT_ANSWER if m.code in VALUES and not m.file and "kind" in m.facts else SAID[m.code]
    words = filled(sentence, {**m.facts, **_words_of(m, page)})
    if page or not m.file or not sentence.startswith("{field}"):
        words = capital(words)  # a field's name stays as it is written in the file
    if m.allowed and m.code in ("unknown key", "unknown table") and not m.meant:
        words += f" Allowed here: {', '.join(m.allowed)}."
    if m.meant:
        words += f" Did you mean {m.meant}?"
    return words


def place(m: Mistake, *, page: bool = False) -> str:
    """Where a mistake is; on a page '' for the top of a file."""
    if page:
        what = thing(m.head)
        return capital(f'{what} "{m.name}"' if m.name else what)
    number = next((part for part in reversed(m.path) if isinstance(part, int)), None)
    where = m.file if m.line is None else f"{m.file}, line {m.line}"
    if not m.head:
        return where
    which = (
        f' "{m.name}"' if m.name else f" number {number + 1}" if number is not None and "[[" in m.head else ""
    )
    return f"{where}, {m.head}{which}" if where else f"{m.head}{which}"


def text(m: Mistake) -> str:
    """A mistake with its place, the lines to paste indented below."""
    at = place(m)
    first_line = f"{at}: {said(m)}" if at else said(m)
    return first_line + "".join(f"\n    {line}".rstrip(" ") for line in fix_lines(m))


def fix_lines(m: Mistake) -> list[str]:
    """The lines to paste; an example says that it is one."""
    lines = m.fix.splitlines()
    return [f"{line}  # for example" if m.example and n == 0 else line for n, line in enumerate(lines)]


def heading(mistakes: Sequence[Mistake], *, page: bool = False) -> str:
    """'3 things to fix in studio.toml and shoot.toml:'; of changes and answers, which are in no file, ''."""
    names = [FILES.get(m.file, m.file) if page else m.file for m in mistakes if m.file]
    if not names:
        return ""
    count = "One thing" if len(mistakes) == 1 else f"{len(mistakes)} things"
    return f"{count} to fix in {listed(dict.fromkeys(names))}:"


def all_said(mistakes: Sequence[Mistake]) -> str:
    """All of them, one below the other, under the line that counts them."""
    head = heading(mistakes)
    if head:
        return "\n".join([head, *(text(m) for m in mistakes)])
    return "\n".join(f"{m.label}: {said(m)}" if m.label else said(m) for m in mistakes)


def on_page(m: Mistake) -> dict[str, Any]:
    """The facts of a mistake, with the words for its place and for itself."""
    fields = {**asdict(m), "path": list(m.path), "allowed": list(m.allowed), "facts": dict(m.facts)}
    return {**fields, "where": place(m, page=True), "said": said(m, page=True)}


def _words_of(m: Mistake, page: bool) -> dict[str, Any]:
    """What a sentence of this mistake may name."""
    kind = str(m.facts.get("kind", ""))
    form = str(m.facts.get("form", ""))
    what = FORMS[form] if form else ""
    if kind and not what:
        what = allowed_words(kind, low=m.lowest, high=m.highest, unit=m.unit, words=m.allowed)
    head = thing(m.head) if page else m.head
    homes = [thing(h) if page else h for h in m.facts.get("homes", ())]
    return {
        "field": m.label if m.label and (page or not m.file) else m.key,
        "got": m.got, "what": what, "lowest": m.lowest, "highest": number_text(m.highest or 0),
        "in_unit": f", in {m.unit}" if m.unit else "",
        "name": m.name, "head": head, "table": head or "this file",
        "here": ("of the " if page else "in ") + head if head else "at the top of the file",
        "homes": [h or "the top of the file" for h in homes],
        "thing": THINGS.get(str(m.facts.get("table", "")), str(m.facts.get("table", ""))),
        "home": FILES.get(str(m.facts.get("home", "")), "") or "it" if page else m.facts.get("home", ""),
        "known": _known(m.facts.get("known", ())),
        **_shots(m),
    }  # fmt: skip


def _known(names: Sequence[str]) -> str:
    return f"allowed: {', '.join(_quoted(names))}" if names else "there are none yet"


def _quoted(names: Sequence[str]) -> list[str]:
    return [f'"{name}"' for name in names]


def _shots(m: Mistake) -> dict[str, str]:
    names = [str(name) for name in m.facts.get("shots", ())]
    if not names:
        return {}
    many = len(names) > 1
    return {
        "shots": f"shot{'s' if many else ''} {listed(names)}",
        "them": "them" if many else "it",
        "use": "use" if many else "uses",
        "they_name": "they name" if many else "it names",
    }
