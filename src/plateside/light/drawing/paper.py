"""The paper every drawing of light is made on: palette, escaped SVG elements, and labels that keep apart.

A drawing is a string of SVG. Every text that a person wrote (names of rooms, windows, spots) goes through
`escape`, so a name with `<` or `&` in it is drawn as it is written. Ids carry a prefix, so that several
drawings can stand in one page.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from html import escape as html_escape

PAPER = "#faf7f2"
INK = "#23211e"
SOFT_INK = "#6d675f"
HAIRLINE = "#d9d2c7"
ACCENT = "#2f6f63"
SUN = "#f3c969"
SERIF = "Georgia, 'Liberation Serif', serif"
SANS = "system-ui, 'Liberation Sans', 'Helvetica Neue', sans-serif"

# Widest common sans faces run to about 0.6 em a letter; labels are kept apart by this guess, on the safe side.
LETTER_EM = 0.58

_NOT_IN_XML = {code: "�" for code in range(32) if code not in (9, 10, 13)} | {0xFFFE: "�", 0xFFFF: "�"}


def escape(text: str) -> str:
    """Any text as XML character data or attribute value; control characters XML forbids become a mark."""
    clean = "".join("�" if 0xD800 <= ord(c) <= 0xDFFF else c for c in text.translate(_NOT_IN_XML))
    return html_escape(clean, quote=True).replace("&#x27;", "&#39;")


def number(value: float) -> str:
    """A coordinate with at most two decimals and no trailing zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def element(name: str, body: str = "", /, **attributes: object) -> str:
    """One SVG element. Underscores in attribute names become hyphens; None leaves an attribute out."""
    parts = [name]
    for key, value in attributes.items():
        if value is None:
            continue
        shown = number(value) if isinstance(value, int | float) else escape(str(value))
        parts.append(f'{key.rstrip("_").replace("_", "-")}="{shown}"')
    start = " ".join(parts)
    return f"<{start}>{body}</{name}>" if body else f"<{start}/>"


def text(
    words: str, x: float, y: float, *, size: float = 12, anchor: str = "start", **attributes: object
) -> str:
    """One line of text with its baseline at (x, y)."""
    all_attributes: dict[str, object] = {
        "x": x,
        "y": y,
        "font_size": size if size != 12 else None,
        "text_anchor": anchor if anchor != "start" else None,
        "fill": INK,
        **attributes,
    }
    return element("text", escape(words), **all_attributes)


def halo(
    words: str, x: float, y: float, *, size: float = 12, anchor: str = "start", **attributes: object
) -> str:
    """A line of text that stays readable over a picture: it carries an edge of paper."""
    return text(
        words,
        x,
        y,
        size=size,
        anchor=anchor,
        stroke=PAPER,
        stroke_width=3.5,
        stroke_linejoin="round",
        paint_order="stroke",
        **attributes,
    )


def line(x1: float, y1: float, x2: float, y2: float, **attributes: object) -> str:
    """A straight line."""
    attributes.setdefault("stroke", INK)
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, **attributes)


def path(points: Iterable[tuple[float, float]], *, closed: bool = False) -> str:
    """The `d` of a polyline, one decimal each: a tenth of a unit is finer than any printer needs here."""
    pairs = [(round(x, 1), round(y, 1)) for x, y in points]
    if not pairs:
        return ""
    steps = "L".join(f"{number(x)} {number(y)}" for x, y in pairs)
    return f"M{steps}{'Z' if closed else ''}"


def hatch(
    pattern_id: str, *, colour: str = INK, ground: str | None = SUN, gap: float = 6, angle_deg: float = 45
) -> str:
    """A pattern of parallel lines, readable in print and without colour."""
    rect = element("rect", width=gap, height=gap, fill=ground, fill_opacity=0.75) if ground else ""
    return element(
        "pattern",
        rect + line(0, 0, 0, gap, stroke=colour, stroke_width=1.1),
        id=pattern_id,
        width=gap,
        height=gap,
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({number(angle_deg)})",
    )


def document(
    body: str,
    *,
    width: float,
    height: float,
    title: str,
    description: str,
    id_prefix: str,
    definitions: str = "",
    in_mm: bool = False,
) -> str:
    """A whole SVG with an accessible name and description.

    width, height  in CSS pixels (1/96 inch)
    in_mm          give the physical size as well, so that print at full size keeps the drawing's scale
    """
    size = (
        {"width": f"{number(width * 25.4 / 96)}mm", "height": f"{number(height * 25.4 / 96)}mm"}
        if in_mm
        else {"width": number(width), "height": number(height)}
    )
    head = (
        element("title", escape(title), id=f"{id_prefix}-title")
        + element("desc", escape(description), id=f"{id_prefix}-desc")
        + (element("defs", definitions) if definitions else "")
        + element("rect", width=width, height=height, fill=PAPER)
    )
    attributes: dict[str, object] = {
        "xmlns": "http://www.w3.org/2000/svg",
        "viewBox": f"0 0 {number(width)} {number(height)}",
        **size,
        "role": "img",
        "aria_labelledby": f"{id_prefix}-title {id_prefix}-desc",
        "font_family": SANS,
        "font_size": "12",
    }
    return element("svg", head + body, **attributes)


def text_width(words: str, size: float = 12) -> float:
    """A safe guess of how wide a line of text is [px]."""
    return len(words) * size * LETTER_EM


@dataclass(frozen=True)
class PaperRectangle:
    """An upright rectangle on the paper."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "PaperRectangle") -> bool:
        """True when the two overlap."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def inside(self, other: "PaperRectangle") -> bool:
        """True when this one lies wholly within the other."""
        return (
            self.left >= other.left
            and self.right <= other.right
            and self.top >= other.top
            and self.bottom <= other.bottom
        )


def text_box(words: str, x: float, y: float, *, size: float = 12, anchor: str = "start") -> PaperRectangle:
    """The room a line of text takes, with a little air."""
    wide = text_width(words, size)
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
    return PaperRectangle(left - 2, y - size, left + wide + 2, y + size * 0.3)


@dataclass
class Keeper:
    """Keeps labels apart: remembers what is taken and takes the first place that is free."""

    bounds: PaperRectangle
    taken: list[PaperRectangle] = field(default_factory=list)
    placed: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)

    def block(self, box: PaperRectangle) -> None:
        """Nothing else may stand here."""
        self.taken.append(box)

    def free(self, box: PaperRectangle) -> bool:
        """True when the box is on the paper and meets nothing."""
        return box.inside(self.bounds) and not any(box.meets(other) for other in self.taken)

    def place(
        self, words: str, places: Iterable[tuple[float, float, str]], *, size: float = 12
    ) -> tuple[float, float, str] | None:
        """The first of the places (x, y, anchor) where the words fit; None when none does."""
        for x, y, anchor in places:
            box = text_box(words, x, y, size=size, anchor=anchor)
            if self.free(box):
                self.block(box)
                self.placed.append(words)
                return x, y, anchor
        self.refused.append(words)
        return None

    def left_out(self) -> list[str]:
        """What found no place anywhere, each once, in the order it was asked for."""
        return [w for w in dict.fromkeys(self.refused) if w not in self.placed]
