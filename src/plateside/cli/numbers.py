"""Numbers on the command line: what is none is told in a sentence."""

import argparse
import math


def number(text: str) -> float:
    """'400', '0,5' or '1e3' as a number. Raises ArgumentTypeError with how to mend it."""
    try:
        value = float(text.replace(",", ".") if text.count(",") == 1 and "." not in text else text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise argparse.ArgumentTypeError(f"{text!r} is not a number: write one, such as 400 or 0.5")
    return value


def whole(text: str) -> int:
    """'8765' as a whole number. Raises ArgumentTypeError with how to mend it."""
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number: write one, such as 3") from None
