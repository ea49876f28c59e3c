"""Lengths as the drawings have them."""


def metres(value_m: float) -> str:
    """'1.16 m', or '85 mm' under a tenth of a metre."""
    return f"{value_m:.2f} m" if abs(value_m) >= 0.1 else f"{value_m * 1000:.0f} mm"
