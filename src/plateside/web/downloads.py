"""Files of the shoot's own folders `finished` and `delivery`, and of no other place, handed to a page.

A path must name a plain file inside the folder: no step upwards, nothing hidden, no link that leads out; to a tablet,
not even the folder itself may be a link that leads out of the shoot. Only kinds
of file that are made there are handed out. A page made from your recipe is shown with every right taken from it: no
script, no form, nothing loaded but its own pictures.
"""

from pathlib import Path

from starlette.responses import FileResponse, JSONResponse, Response

from plateside.web.asker import at_desk
from plateside.words.serving import NO_FILE

KINDS = {
    ".jpg": "image/jpeg", ".webp": "image/webp", ".avif": "image/avif", ".png": "image/png", ".tif": "image/tiff",
    ".html": "text/html; charset=utf-8", ".txt": "text/plain; charset=utf-8", ".json": "application/json",
    ".jsonld": "application/ld+json",
}  # fmt: skip

POWERLESS = (
    # its own pictures must load, so it keeps its origin; without allow-scripts nothing can make use of that
    "sandbox allow-same-origin; default-src 'none'; img-src 'self' data:; style-src 'unsafe-inline'; font-src data:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
"""For pages: may be read, can do nothing."""


def _is_inside(path: Path, folder: Path) -> bool:
    try:
        # a folder that is itself a link leads where only the desk may follow
        end = folder.resolve() if at_desk() else folder.parent.resolve() / folder.name
        return path.is_file() and path.resolve().is_relative_to(end)
    except OSError:
        # longer than a name can be, or a ring of links
        return False


def download(folder: Path, name: str) -> Response:
    """The file `name` (with forward slashes) of `folder`, or a 404 that tells nothing of what lies elsewhere."""
    parts = name.split("/")
    plain = all(
        p and not p.startswith(".") and "\\" not in p and "\0" not in p and ":" not in p for p in parts
    )
    path = folder.joinpath(*parts) if plain else folder
    kind = KINDS.get(path.suffix.lower())
    if not plain or kind is None or not _is_inside(path, folder):
        return JSONResponse({"error": NO_FILE, "mistakes": []}, 404)
    headers = {"cache-control": "no-cache", "x-content-type-options": "nosniff"}
    if kind.startswith("text/html"):
        headers["content-security-policy"] = POWERLESS
    elif kind == "image/tiff":
        # already packed inside: not squeezed a second time on the way
        headers |= {"content-disposition": "attachment", "content-encoding": "identity"}
    return FileResponse(path, media_type=kind, headers=headers)
