"""Paper in the bundled typefaces, so that it looks the same on every machine.

`make_pdf`       PDF made by Typst from a template of ours and plain data, passed as JSON, never as source
`with_letters`   a page to print, with the typefaces inside it
"""

import base64
import importlib.resources
import json
from functools import cache
from typing import Any

import typst

from plateside.drawing.palette import PROPERTIES


def make_pdf(template: str, data: dict[str, Any]) -> bytes:
    """The PDF that the template `template` (in plateside/files/paper/) makes of `data`, with the palette."""
    paper = importlib.resources.files("plateside.files").joinpath("paper")
    source = paper.joinpath(template).read_bytes()
    inputs = {"data": json.dumps({"palette": PROPERTIES, **data}, ensure_ascii=False)}
    with importlib.resources.as_file(paper.joinpath("fonts")) as folder:
        # the machine's own letters serve only for scripts that the bundled ones lack
        fonts = typst.Fonts(font_paths=[str(folder)])
        pdf = typst.compile(source, font_paths=fonts, sys_inputs=inputs)
    if not isinstance(pdf, bytes):
        raise TypeError(template)
    return pdf


def with_letters(page: str) -> str:
    """A whole HTML document with the typefaces inside: it is opened and printed far from this package."""
    return page.replace("</head>", f"<style>{_faces()}</style></head>", 1)


@cache
def _faces() -> str:
    fonts = importlib.resources.files("plateside.files").joinpath("paper", "fonts")
    faces = (("Barlow", "400", "barlow-latin-400"), ("Barlow", "600 700", "barlow-latin-700"),
             ("Newsreader", "400", "newsreader-latin-400"))  # fmt: skip
    return "".join(
        f"@font-face{{font-family:{family};font-weight:{weight};src:url(data:font/woff2;base64,"
        f'{base64.b64encode(fonts.joinpath(f"{name}.woff2").read_bytes()).decode()}) format("woff2")}}'
        for family, weight, name in faces
    )
