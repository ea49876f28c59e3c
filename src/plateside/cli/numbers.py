"""Numbers on the command line: what is none is refused in a sentence."""

import argparse
import math

from plateside.words.commands import not_a_number, not_whole


def number(text: str) -> float:
    """'400', '0,5' or '1e3' as a number. Raises ArgumentTypeError with the fix."""
    try:
        value = float(text.replace(",", ".") if text.count(",") == 1 and "." not in text else text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise argparse.ArgumentTypeError(not_a_number(text))
    return value


def whole(text: str) -> int:
    """'8765' as a whole number. Raises ArgumentTypeError with the fix."""
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(not_whole(text)) from None
