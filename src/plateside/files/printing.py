"""Paper: PDF made by Typst from a template of ours and plain data. The data is passed as JSON, never as source."""

import importlib.resources
import json
from typing import Any

import typst


def make_pdf(template: str, data: dict[str, Any]) -> bytes:
    """The PDF that the template `template` (in plateside/files/paper/) makes of `data`."""
    paper = importlib.resources.files("plateside.files").joinpath("paper")
    source = paper.joinpath(template).read_bytes()
    with importlib.resources.as_file(paper.joinpath("fonts")) as fonts:
        # the machine's own letters serve only for scripts that the bundled ones lack
        pdf = typst.compile(
            source, font_paths=[str(fonts)], sys_inputs={"data": json.dumps(data, ensure_ascii=False)}
        )
    if not isinstance(pdf, bytes):
        raise TypeError(f"Typst made {type(pdf).__name__} of {template}, one PDF was expected.")
    return pdf
