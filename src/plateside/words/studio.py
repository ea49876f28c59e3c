"""What the Studio and its files say: a file that cannot be used, changes that cannot be made, what a page must send."""

from collections.abc import Sequence

CARD_SHARES = "Give the place of the grey card and the light it reflects as shares from 0 to 1."
PLAN_PLACE = "Give the width and height of the plan's place on the page, in pixels."
NO_SUCH_BOARD = "This shot has no such board. Load the page again."
NOT_DRAGGED = "Nothing there can be dragged. Load the page again."
NEITHER_FILE = "The two files are 'studio' and 'shoot'."


def mend_title(file: str) -> str:
    """The page on which a file is fixed line by line."""
    return f"{file}: to fix"


def plan_size(low_px: float, high_px: float) -> str:
    """A plan smaller or larger than it can be drawn."""
    return f"A plan can be {low_px:g} to {high_px:g} px wide and high."


def no_side(side: object, known: Sequence[str]) -> str:
    """A side of the dish that a board cannot be on."""
    return f"A board's side is {side!r}; there are: {', '.join(known)}."


def not_dragged_so(name: str, value: object) -> str:
    """A number that no drag changes, or not so far."""
    return f"A drag cannot change {name!r} to {value!r}. Load the page again."


def sun_notes(most: int) -> str:
    """Moments at which the sun was seen, that were sent in another shape."""
    return f"Send a list of 1 to {most} notes, each of words: when, what, and where."


def changed_elsewhere(name: str) -> str:
    """A file that somebody else changed since the page read it."""
    return f"{name} was changed elsewhere since this page read it. What is there now is shown; make your change again."


def kept_step_damaged(step: str) -> str:
    """A kept step that cannot be brought back."""
    return (
        f"{step} is damaged, so this change cannot be undone. Nothing was changed; make the change by hand."
    )


def kept_names_damaged(names: str, step: str) -> str:
    """A kept step whose note of the new names is damaged."""
    return f"{names} is damaged, so this change cannot be undone by itself. The file as it was is {step}."


def not_a_toml_name(name: str) -> str:
    """A studio file of another kind, which the page does not show."""
    return f"The studio file must have a name that ends in .toml; {name} does not."


def no_such_line(name: str, lines: int, longest: int) -> str:
    """A line that a file cannot have."""
    return f"{name} has {lines} lines of at most {longest} characters."


HALF_A_CHARACTER = "The text holds half of a character, which no file can keep. Type it again."


def only_at_the_laptop(field: str) -> str:
    """A field that a tablet may not change."""
    return f"'{field[:60].replace('_', ' ')}' can be changed at the laptop only."


FIX_AT_THE_LAPTOP = "That file has something to fix first: open it at the laptop."

CHANGES_ARE_A_LIST = "Changes come as a list."
CHANGE_IS_AN_OBJECT = "A change is an object with put, add, take or move."
CHANGE_SAYS_WHERE = "A change says where: a list of names, as in ['windows', 'kitchen', 'width_m']."
MOVE_SAYS_PLACE = "A move says to which place: a whole number from 0."
TOO_DEEP = "That is nested deeper than any setting."
NUMBER_TOO_LARGE = "That number is larger than any setting can be."


def text_too_long(count: int, most: int) -> str:
    """A text longer than a setting holds."""
    return f"That text has {count} characters; a setting holds {most} at most."


def takes_no_items(where: str) -> str:
    """Something to which nothing can be added."""
    return f"{where} is not a list of things: nothing can be added to it."


def is_one_value(where: str) -> str:
    """A plain field that was sent a table."""
    return f"{where} is not a table: it takes one value."


def is_a_table(where: str) -> str:
    """A table that was sent one value."""
    return f"{where} is a table: name one of its fields."


def fields_missing(where: str) -> str:
    """An item that was sent without its fields."""
    return f"What is added to {where} must name its fields, each with a value."


def no_such_field(file: str, where: str) -> str:
    """A field that a file has not."""
    return f"There is no field {where} in the {file}."


def no_such_item(table: str, name: str, known: Sequence[str]) -> str:
    """An item that is called by a name nobody has."""
    there = ", ".join(f'"{k}"' for k in known) or "none"
    return f'There is no {table} called "{name}". There: {there}.'


def no_such_number(table: str, number: int, count: int) -> str:
    """An item by a number that is not there."""
    return f"There is no {table} number {number}; there are {count}."


def on_one_line(where: str, head: str) -> str:
    """A table that is written on one line, which cannot be changed in place."""
    return f"{where} is written on one line. Write it as {head}."


def items_on_one_line(where: str, head: str) -> str:
    """Items that are written on one line, to which none can be added in place."""
    return f"{where} is written on one line. Write each item under {head} of its own, then try again."


def not_a_table(where: str, *, move: bool = False) -> str:
    """An item written inside another line."""
    return f"{where} is not a table of its own. {'Move' if move else 'Take out'} its line with a text editor."


def no_such_place(place: int, count: int) -> str:
    """A place among fewer items."""
    return f"There is no place {place}; there are {count}."


def nothing_called(name: str, near: Sequence[str]) -> str:
    """A field that neither file has."""
    hint = f" Did you mean {', '.join(near)}?" if near else ""
    return f'Nothing in studio.toml or shoot.toml is called "{name}".{hint} Every field: plateside check --fields'


def no_such_shoot() -> str:
    """A shoot that is not in the list."""
    return "There is no such shoot here. Load the page again."


def no_such_shot(name: str, near: str, known: Sequence[str]) -> str:
    """A shot that is not in the list."""
    hint = f" Did you mean {near}?" if near else ""
    return f"There is no shot called {name!r}.{hint} The shots are: {', '.join(known)}."
