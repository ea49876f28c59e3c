"""As many figures as a prediction is good for."""

import math


def rounded(value: float, figures: int = 2) -> str:
    """So many significant figures, without an exponent: 483.2 -> '480', 0.0132 -> '0.013'."""
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    digits = figures - 1 - math.floor(math.log10(abs(value)))
    shown = round(value, digits)
    # 9.96 to two figures is 10, not 10.0
    digits = figures - 1 - math.floor(math.log10(abs(shown)))
    return f"{shown:.{max(0, digits)}f}"
