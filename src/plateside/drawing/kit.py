"""What every drawing is made of: escaped SVG elements, lines, words, patterns, and the document around them.

A drawing is a string of SVG. Every text that a person wrote (names of rooms, windows, spots) goes through
`escape`, so a name with `<` or `&` in it is drawn as it is written. Ids carry a prefix, so that several
drawings can stand in one page.
"""

import re
from collections.abc import Iterable
from html import escape as html_escape

from plateside.drawing.palette import INK, PAPER, SUN

SERIF = "Newsreader, Georgia, 'Liberation Serif', serif"
SANS = "Barlow, system-ui, 'Liberation Sans', sans-serif"
"""The bundled typefaces first: pages and papers bring them along."""
_HALOED = re.compile(r'<text\b([^>]*?) stroke="([^"]*)"([^>]*?) paint-order="stroke"([^>]*)>([^<]*)</text>')

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
    words: str,
    x: float,
    y: float,
    *,
    size: float = 12,
    anchor: str = "start",
    edge: float = 3.5,
    **attributes: object,
) -> str:
    """A line of text that stays readable over a picture: it carries an edge of paper, `edge` [px] wide."""
    return text(
        words,
        x,
        y,
        size=size,
        anchor=anchor,
        stroke=PAPER,
        stroke_width=edge,
        stroke_linejoin="round",
        paint_order="stroke",
        **attributes,
    )


def halos_below(svg: str) -> str:
    """A drawing whose haloed words are two texts, one on the other: set on paper, each letter's halo would else cover
    the letter before."""

    def two(found: re.Match[str]) -> str:
        before, colour, between, after, words = found.groups()
        fill = re.compile(r' fill="[^"]*"')
        left = f"{fill.sub('', before)} {fill.sub('', between)}{after}"
        plain = re.sub(r' stroke-(?:width|linejoin)="[^"]*"', "", f"{before}{between}{after}")
        return f'<text{left} fill="{colour}" stroke="{colour}">{words}</text><text{plain}>{words}</text>'

    return _HALOED.sub(two, svg)


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
    sized: bool = True,
    ground: str | None = PAPER,
    **more: object,
) -> str:
    """A whole SVG with an accessible name and description.

    width, height  in CSS pixels (1/96 inch)
    in_mm          give the physical size as well, so that print at full size keeps the drawing's scale
    sized          False: it fills whatever place it is put in
    ground         what it lies on; None: on whatever is there
    more           further attributes of the root
    """
    size: dict[str, object] = (
        {"width": f"{number(width * 25.4 / 96)}mm", "height": f"{number(height * 25.4 / 96)}mm"}
        if in_mm
        else {"width": number(width), "height": number(height)}
    )
    head = (
        element("title", escape(title), id=f"{id_prefix}-title")
        + element("desc", escape(description), id=f"{id_prefix}-desc")
        + (element("defs", definitions) if definitions else "")
        + (element("rect", width=width, height=height, fill=ground) if ground else "")
    )
    attributes: dict[str, object] = {
        "xmlns": "http://www.w3.org/2000/svg",
        "viewBox": f"0 0 {number(width)} {number(height)}",
        **(size if sized else {}),
        "role": "img",
        "aria_labelledby": f"{id_prefix}-title {id_prefix}-desc",
        "font_family": SANS,
        "font_size": "12",
        **more,
    }
    return element("svg", head + body, **attributes)
