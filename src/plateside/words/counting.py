"""Numbers that count, in words."""


def ordinal(number: int) -> str:
    """A whole number from 0 as a place in a row: '1st', '2nd', '3rd', '11th'."""
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"
