"""Every colour that a drawing, a page or a paper of ours has, once [sRGB hex].

Style sheets cannot import: those of the pages repeat these values as custom properties, and a test holds them equal.
"""

PAPER = "#faf7f2"
CARD = "#fffdf9"
"""Paper that lies on the paper: a field, a floor, a plate."""
INK = "#23211e"
SOFT = "#635d55"
"""Words that stand back: still 6 to 1 on the paper (WCAG 2.2 asks 4.5 to 1)."""
HAIRLINE = "#d9d2c7"
ACCENT = "#2f6f63"
SUN = "#f3c969"
DEEP_SUN = "#b98a1f"
"""The sun's colour as a thin line on paper."""
ACCENT_PALE = "#8fb3aa"
"""What is only prepared: the set without the hero."""
SOFT_PALE = "#b8afa2"
"""What needs nobody."""
WASH = "#efe9df"
"""A table top, an hour without work."""

NIGHT_TO_DAY = ("#33423f", "#55665f", "#83948a", "#b3beb0", "#dcddcd", "#f4efdf", "#fbf3dc")
"""Night to full window light: a dark sage that clears to the colour of paper and warms where light is plenty."""

PROPERTIES = {
    "paper": PAPER,
    "card": CARD,
    "ink": INK,
    "soft": SOFT,
    "hairline": HAIRLINE,
    "accent": ACCENT,
    "sun": SUN,
    "wash": WASH,
}
"""As a style sheet names them."""


def css_root(*names: str) -> str:
    """The custom properties of a style sheet: ':root{--paper:#faf7f2;...}', all of them or those named."""
    return ":root{" + ";".join(f"--{name}:{PROPERTIES[name]}" for name in names or PROPERTIES) + "}"
