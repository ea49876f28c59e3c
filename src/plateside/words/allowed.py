"""What may be written in a field, in words: for mistakes, the pages' hints and the reference page."""

from plateside.words.figures import number_text

FORMAT_NUMBER = "number of this file's format"
TOP_OF_THE_FILE = "At the top of the file"
MUST_BE_THERE = "*must be there*"
ONE_FOR_EACH = " One for each."

FORMS = {
    "date": "a date as year-month-day, 2027-07-15",
    "calendar date": "a day that is in the calendar, such as 2027-07-15",
    "year": "a date from 1990-01-01 to 2200-12-31",
    "time": "a time on the 24-hour clock, with two digits for the hour, such as 09:30",
    "moment": "the local date and time, such as 2027-07-15T13:30",
    "duration": "a duration, such as PT8M (8 minutes), PT1H30M, PT45S or P1D",
    "duration after T": "a duration, such as PT8M (8 minutes); hours, minutes and seconds follow a T",
    "place on disk": "a folder or file name of at most 255 characters, a path of at most 1000",
    "zone": "a time zone as continent and city, such as Europe/Lisbon",
    "colour": "a colour as a # and six hexadecimal digits, such as #a9b4ba",
    "address": "a whole web address, beginning with https://",
    "short name": "letters a to z, digits and hyphens (it becomes part of file names), at most 60",
    "language": "a language code, such as en, en-AU or pt-PT",
    "country": "two capital letters, such as PT, GB, AU or US",
}  # fmt: skip
"""Texts that must have a form, by the form's name."""


def allowed_words(
    kind: str,
    *,
    low: float | None = None,
    high: float | None = None,
    unit: str = "",
    words: tuple[str, ...] = (),
) -> str:
    """What a field of this kind takes: 'a number from 1 to 30 m', 'one of "left", "right"'.

    kind       number, integer, shares, text, texts or flag
    low, high  [unit]
    words      the allowed words, when it is one of a few
    """
    if kind == "flag":
        return "true or false"
    if words:
        quoted = ", ".join(f'"{w}"' for w in words)
        return f"a list of any of {quoted}" if kind == "texts" else f"one of {quoted}"
    if kind == "text":
        return "text in quotes"
    if kind == "texts":
        return 'a list of texts, such as ["one", "two"]'
    span = range_words(low, high)
    what = {"integer": "a whole number", "shares": "one number, or three as [red, green, blue],"}.get(
        kind, "a number"
    )
    return f"{what}{' ' + span if span else ''}{' ' + unit if unit else ''}"


def range_words(low: float | None, high: float | None) -> str:
    """'from 0.1 to 12', 'from 1 up', 'up to 5', or ''."""
    if low is not None and high is not None:
        return f"from {number_text(low)} to {number_text(high)}"
    if low is not None:
        return f"from {number_text(low)} up"
    return f"up to {number_text(high)}" if high is not None else ""


def reference_words(
    kind: str, *, low: float | None = None, high: float | None = None, unit: str = "", words: tuple[str, ...] = (),
    form: str = "", may_be_empty: bool = False,
) -> str:  # fmt: skip
    """The same for a table's cell on the reference page, ticks around what is typed as it stands."""
    if words:
        ticked = ", ".join(f"`{w}`" for w in words)
        return f"a list of {ticked}" if kind == "texts" else ticked
    if form:
        return f'{FORMS[form]}; or `""`' if may_be_empty else FORMS[form]
    if kind in ("number", "integer", "shares"):
        span = f"{number_text(low)} to {number_text(high)}" if low is not None and high is not None else ""
        what = {"integer": "whole number, ", "shares": "one number or `[red, green, blue]`, "}.get(kind, "")
        return f"{what}{span}{' ' + unit if unit else ''}"
    return {"flag": "`true`, `false`", "text": "text", "texts": "list of texts"}[kind]


def key_words(meaning: str, allowed: str, left_out: str) -> str:
    """A field's line of `check --fields`."""
    return f"{meaning}. Allowed: {allowed}. Left out: {left_out}."
