"""A wrong answer of the first run in the words of its question: no name of a file's field, the figures that clash.

Whether an answer is wrong is decided where the settings are judged; here it is only said.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from plateside.files.settings.grammar import entries
from plateside.files.settings.lines import number_text, range_text
from plateside.model.first_answers import Answers
from plateside.model.studio import Lens, Room, Spot, Window


@dataclass(frozen=True)
class _Asked:
    """One answer: what it is called, where its limits stand, its unit."""

    words: str
    table: type
    field: str


_ASKED: Mapping[str, _Asked] = {
    "width_m": _Asked("The room along the window wall", Room, "width_m"),
    "depth_m": _Asked("The room from the window wall to the wall behind you", Room, "depth_m"),
    "height_m": _Asked("The room from floor to ceiling", Room, "height_m"),
    "window_width_m": _Asked("The window's width", Window, "width_m"),
    "window_height_m": _Asked("The window's height", Window, "height_m"),
    "sill_m": _Asked("The window's lower edge above the floor", Window, "sill_m"),
    "window_from_left_m": _Asked("From the left corner to the window", Window, "from_left_m"),
    "table_from_window_m": _Asked("From the window wall to the dish", Spot, "from_front_m"),
    "table_from_left_m": _Asked("From the left wall to the dish", Spot, "from_left_m"),
    "table_height_m": _Asked("The table's height", Spot, "height_m"),
    "focal_mm": _Asked("The focal length", Lens, "focal_length_mm"),
    "f_number": _Asked("The smallest f-number", Lens, "widest_f_number"),
}


def answer_words(name: str, said: str, answers: Answers, more: Mapping[str, float]) -> str:
    """What is wrong with an answer, in a newcomer's words.

    name     the answer, as in first_run.QUESTIONS
    said     the settings' own words, which stand where nothing plainer is known
    answers  all answers
    more     those that the starter has no place for: window_from_left_m, table_from_left_m, table_height_m
    """
    value = _value(name, answers, more)
    if name == "table_from_left_m" and value is None:
        return "The dish would stand outside the room: look at the sizes of room and window once more."
    if name not in _ASKED or value is None:
        return said
    asked = _ASKED[name]
    entry = entries(asked.table)[asked.field]
    unit = f" {entry.unit}" if entry.unit else ""
    too_small = entry.low is not None and value < entry.low
    if too_small or (entry.high is not None and value > entry.high):
        meant = re.search(r"Did you mean ([\d.]+)", said)
        guess = f" Did you mean {meant[1]}{unit}?" if meant and value > 0 else ""
        span, size = range_text(entry), "small" if too_small else "large"
        return f"{asked.words}: {number_text(value)}{unit} is too {size}; {span}{unit} is possible.{guess}"
    return _clash(name, value, answers, more) or said


def _value(name: str, answers: Answers, more: Mapping[str, float]) -> float | None:
    if name in ("window_from_left_m", "table_from_left_m", "table_height_m"):
        return more.get(name)
    known = {
        "width_m": answers.room_m[0], "depth_m": answers.room_m[1], "height_m": answers.room_m[2],
        "window_width_m": answers.window_m[0], "window_height_m": answers.window_m[1], "sill_m": answers.sill_m,
        "table_from_window_m": answers.from_window_m, "focal_mm": answers.focal_mm,
        "f_number": answers.widest_f_number,
    }  # fmt: skip
    return known.get(name)


def _clash(name: str, value: float, answers: Answers, more: Mapping[str, float]) -> str:
    """How an answer clashes with the room; empty when it is another thing that is wrong."""
    width, depth, height = (number_text(v) for v in answers.room_m)
    told = number_text(value)
    match name:
        case "window_width_m":
            return f"The window is {told} m wide, but its wall is only {width} m long. Mend the one that is wrong."
        case "window_from_left_m":
            end = number_text(round(value + answers.window_m[0], 3))
            return (
                f"A window that begins {told} m from the corner and is {number_text(answers.window_m[0])} m wide "
                f"ends at {end} m, but its wall is only {width} m long."
            )
        case "window_height_m":
            top = number_text(round(answers.sill_m + value, 3))
            return (
                f"A window {told} m high whose lower edge is {number_text(answers.sill_m)} m above the floor ends at "
                f"{top} m, but the ceiling is at {height} m. Mend the one that is wrong."
            )
        case "table_from_window_m":
            return f"The dish would stand {told} m from the window wall, but the room is only {depth} m deep."
        case "table_from_left_m":
            return f"The dish would stand {told} m from the left wall, but the room is only {width} m wide."
        case "table_height_m":
            return f"The table would be {told} m high, but the ceiling is at {height} m."
    return ""
