"""What is wrong with a request: for programs that talk to the server, and for a page that is older than it."""

NOT_TEXT = "What was sent is not text in UTF-8."
NOT_JSON = "What was sent is not JSON."
NOT_AN_OBJECT = "What was sent is not a JSON object."
FIELD_TWICE = "What was sent has one field twice."
NUMBER_TOO_LARGE = "A number that was sent is larger than any number here."
NOT_KEPT = "A text that was sent has a character no file can keep (half of a letter, or NUL). Type it again."
ADDRESS = "This address has characters that no address of a page has."

TEXT = "a text"
WHOLE = "a whole number"
NUMBER = "a number"
FLAG = "true or false"
TEXTS = "a list of texts"
THINGS = "an object with fields"
EVERY = "a list of objects with fields"
PATH = "a list of names and numbers"


def must_be(name: str, wanted: str) -> str:
    """A field of another kind than it must be."""
    return f"'{name}' must be {wanted}."


def numbers(count: int) -> str:
    """What a list of so many numbers is called."""
    return f"a list of {count} numbers"


def too_deep(most: int) -> str:
    """Brackets in brackets without end."""
    return f"What was sent is nested deeper than anything here: {most} at most."


def too_many(most: int) -> str:
    """More values than anything here has."""
    return f"What was sent has more than {most} values."


def too_many_digits(digits: int) -> str:
    """A whole number that nothing here has."""
    return f"A number that was sent has {digits} digits; no number here has as many."


def no_such_number(name: str) -> str:
    """NaN and Infinity."""
    return f"{name} was sent for a number: JSON has no such number."
