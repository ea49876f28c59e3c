"""Paper: PDF made by Typst from a template of ours and plain data. The data is passed as JSON, never as source."""

import importlib.resources
import json
from typing import Any

import typst


def make_pdf(template: str, data: dict[str, Any]) -> bytes:
    """The PDF that the template `template` (in plateside/files/paper/) makes of `data`."""
    source = importlib.resources.files("plateside.files").joinpath("paper", template).read_bytes()
    made = typst.compile(source, sys_inputs={"data": json.dumps(data, ensure_ascii=False)})
    if not isinstance(made, bytes):
        raise TypeError(template)
    return made
