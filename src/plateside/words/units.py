"""Lengths in the units that the studio asks for (`units` of [place]); files and facts stay metric.

    length        '40 cm' or '15 1/2 in', '1.20 m' or '3 ft 11 1/2 in'
    length_mm     the same from millimetres
    size_mm       '450 x 300 mm' or '17 3/4 x 11 3/4 in'

What the trade has in millimetres everywhere (focal lengths, sensors, filter threads) is not for these.
1 inch is 25.4 mm and 1 foot 12 inches exactly (international yard and pound agreement, 1959).
Fractions of an inch as a tape has them: common practice.
"""

from math import floor
from typing import Literal

Units = Literal["metric", "imperial"]
METRIC: Units = "metric"
IMPERIAL: Units = "imperial"

MM_PER_INCH = 25.4
INCHES_PER_FOOT = 12
FEET_FROM_IN = 36
"""Below three feet inches alone are said, as a tape reads."""
FINEST = 16
"""Sixteenths are the finest marks of a tape."""


def units_of(word: str) -> Units:
    """The studio's `units` as the functions here take it; anything but 'imperial' is metric."""
    return IMPERIAL if word == IMPERIAL else METRIC


def length(metres: float, units: Units = METRIC, step_mm: float = 10) -> str:
    """A length [m] to about `step_mm`: what the figure is good for, or what a person can set up to."""
    return length_mm(metres * 1000, units, step_mm)


def length_mm(mm: float, units: Units = METRIC, step_mm: float = 10) -> str:
    """A length [mm] to about `step_mm`."""
    if units == IMPERIAL:
        return _feet_and_inches(mm, step_mm)
    shown = _to_step(mm, step_mm)
    if abs(shown) >= 1000:
        return f"{shown / 1000:.{3 if step_mm < 10 else 2 if step_mm < 100 else 1}f} m"
    if step_mm >= 10 and abs(shown) >= 100:
        return f"{shown / 10:.0f} cm"
    return f"{shown:.{0 if step_mm >= 1 else 1}f} mm"


def size_mm(width_mm: float, height_mm: float, units: Units = METRIC, step_mm: float = 5) -> str:
    """Width by height [mm], the unit said once; `step_mm` is for inches, millimetres are shown whole."""
    if units == IMPERIAL:
        return f"{_inches(width_mm, step_mm)} x {_inches(height_mm, step_mm)} in"
    return f"{_to_step(width_mm, 1):.0f} x {_to_step(height_mm, 1):.0f} mm"


def _to_step(mm: float, step_mm: float) -> float:
    return floor(mm / step_mm + 0.5) * step_mm


def _feet_and_inches(mm: float, step_mm: float) -> str:
    sign = "-" if mm < 0 else ""
    part = _part(step_mm)
    parts = floor(abs(mm) / MM_PER_INCH * part + 0.5)
    if parts < FEET_FROM_IN * part:
        return f"{sign}{_with_fraction(parts, part)} in"
    feet, left = divmod(parts, INCHES_PER_FOOT * part)
    return f"{sign}{feet} ft" + (f" {_with_fraction(left, part)} in" if left else "")


def _inches(mm: float, step_mm: float) -> str:
    part = _part(step_mm)
    return _with_fraction(floor(mm / MM_PER_INCH * part + 0.5), part)


def _part(step_mm: float) -> int:
    """Into how many parts an inch is cut: 1, 2, 4, 8 or 16, the coarsest within about one and a half steps."""
    part = 1
    while part < FINEST and MM_PER_INCH / part > 1.6 * step_mm:
        part *= 2
    return part


def _with_fraction(parts: int, part: int) -> str:
    """'15 1/2' of 31 halves, in lowest terms."""
    whole, left = divmod(parts, part)
    while left and left % 2 == 0:
        left, part = left // 2, part // 2
    fraction = f"{left}/{part}" if left else ""
    return " ".join(p for p in (str(whole) if whole or not fraction else "", fraction) if p)
