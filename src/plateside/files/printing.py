"""Paper: PDF made by Typst from a template of ours and plain data. The data is passed as JSON, never as source."""

import importlib.resources
import json
from typing import Any

import typst

from plateside.drawing.palette import PROPERTIES


def make_pdf(template: str, data: dict[str, Any]) -> bytes:
    """The PDF that the template `template` (in plateside/files/paper/) makes of `data`, with the palette."""
    source = importlib.resources.files("plateside.files").joinpath("paper", template).read_bytes()
    made = typst.compile(
        source, sys_inputs={"data": json.dumps({"palette": PROPERTIES, **data}, ensure_ascii=False)}
    )
    if not isinstance(made, bytes):
        raise TypeError(f"Typst made {type(made).__name__} of {template}, one PDF was expected.")
    return made
