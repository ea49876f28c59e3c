"""What of a page is cut off, too wide, or lies over something else, measured as it is drawn (layout.js).

A text's box is the box of each of its lines, a fifth of the letters' size taken off above and below (what a line keeps
free around its letters; by sight, no source). Two boxes overlap when they share more than 1 px both ways and neither
element is within the other. What stays in view while the page scrolls is a layer of its own. Words that no press
reaches (pointer-events: none) may lie on a control: they are its label.
"""

from pathlib import Path
from typing import Any

from playwright.sync_api import Page

SIZES = ((1440, 900), (1180, 820), (820, 1180), (390, 844))
_MEASURE = Path(__file__).with_suffix(".js").read_text(encoding="utf-8")


def faults(page: Page) -> list[str]:
    """All that is wrong with how the page is laid out now; of an open dialog, with that alone."""
    found: Any = page.evaluate(_MEASURE)
    return [str(each) for each in found]
