"""A sheet's HTML as a plain tree, so that paper set by other means holds the same words and drawings.

`tree_of`    the tree of an HTML body of ours: nodes {"tag", "classes", "kids"}, text as text, drawings whole
`words_of`   all its words in order
"""

import re
from html.parser import HTMLParser
from typing import Any

_DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
_HALOED = re.compile(r'<text\b([^>]*?) stroke="([^"]*)"([^>]*?) paint-order="stroke"([^>]*)>([^<]*)</text>')
_ROOT = "body"


def tree_of(body: str) -> dict[str, Any]:
    """The tree of a body that call_sheet.py or card.py wrote (only such: every tag but the table's parts is closed).

    A drawing becomes {"tag": "svg", "svg": its text}; a cell over several columns has "span".
    """
    drawings: list[str] = []

    def kept(found: re.Match[str]) -> str:
        drawings.append(_HALOED.sub(_halo_below, found[0]))
        return f'<svg data-n="{len(drawings) - 1}"></svg>'

    reader = _Reader(drawings)
    reader.feed(_DRAWING.sub(kept, body))
    reader.close()
    return reader.root


def words_of(node: dict[str, Any] | str) -> list[str]:
    """Every piece of text of a tree, without what is drawn, spaces evened out."""
    if isinstance(node, str):
        even = " ".join(node.split())
        return [even] if even else []
    return [word for kid in node.get("kids", ()) for word in words_of(kid)]


def _halo_below(text: re.Match[str]) -> str:
    """Words with a halo as two texts, one on the other: on paper each letter's halo would cover the letter before."""
    before, colour, between, after, words = text.groups()
    fill = re.compile(r' fill="[^"]*"')
    left = f"{fill.sub('', before)} {fill.sub('', between)}{after}"
    below = f'<text{left} fill="{colour}" stroke="{colour}">{words}</text>'
    plain = re.sub(r' stroke-(?:width|linejoin)="[^"]*"', "", f"{before}{between}{after}")
    return f"{below}<text{plain}>{words}</text>"


class _Reader(HTMLParser):
    def __init__(self, drawings: list[str]) -> None:
        super().__init__(convert_charrefs=True)
        self.root: dict[str, Any] = {"tag": _ROOT, "classes": [], "kids": []}
        self._open = [self.root]
        self._drawings = drawings

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        node: dict[str, Any] = {"tag": tag, "classes": (given.get("class") or "").split(), "kids": []}
        if tag == "svg":
            node["svg"] = self._drawings[int(given["data-n"] or 0)]
        if given.get("colspan"):
            node["span"] = int(given["colspan"] or 1)
        self._open[-1]["kids"].append(node)
        self._open.append(node)

    def handle_endtag(self, tag: str) -> None:
        while len(self._open) > 1 and self._open.pop()["tag"] != tag:
            pass

    def handle_data(self, data: str) -> None:
        self._open[-1]["kids"].append(data)
