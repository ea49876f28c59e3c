"""Styles, scripts, letters and sounds: what the pages are made of."""

import gzip
import hashlib
import mimetypes
import stat
from dataclasses import dataclass
from pathlib import Path

from starlette.datastructures import Headers
from starlette.responses import Response
from starlette.staticfiles import NotModifiedResponse, StaticFiles
from starlette.types import Scope

# not known to every system's list
mimetypes.add_type("font/woff2", ".woff2")

_HELD = (".css", ".js", ".svg")
"""A page asks for thirty of these: they are read and packed once, not for every page."""


@dataclass(frozen=True)
class _Text:
    stamp: tuple[int, int]
    """when it was written [ns], and its size: with another one it is read again"""
    plain: bytes
    packed: bytes
    mark: str


class OwnFiles(StaticFiles):
    """Looked up anew each time: no new version is mixed with an old."""

    def __init__(self, directory: Path) -> None:
        super().__init__(directory=directory)
        self._texts: dict[str, _Text] = {}

    async def get_response(self, path: str, scope: Scope) -> Response:
        answer = self._text(path, scope) or await super().get_response(path, scope)
        # letters never change under their names: asked for anew, every page would first show other ones
        lasting = path.endswith(".woff2") and answer.status_code in (200, 304)
        answer.headers["cache-control"] = "private, max-age=31536000, immutable" if lasting else "no-cache"
        return answer

    def _text(self, path: str, scope: Scope) -> Response | None:
        if not path.endswith(_HELD) or scope["method"] not in ("GET", "HEAD"):
            return None
        try:
            place, found = self.lookup_path(path)
        except (OSError, ValueError):
            return None
        if found is None or not stat.S_ISREG(found.st_mode):
            return None
        stamp = (found.st_mtime_ns, found.st_size)
        text = self._texts.get(place)
        if text is None or text.stamp != stamp:
            plain = Path(place).read_bytes()
            mark = f'"{hashlib.blake2b(plain, digest_size=16).hexdigest()}"'
            text = self._texts[place] = _Text(stamp, plain, gzip.compress(plain, mtime=0), mark)
        asked = Headers(scope=scope)
        packed = "gzip" in asked.get("accept-encoding", "")
        headers = {"etag": text.mark, "vary": "Accept-Encoding"}
        if self.is_not_modified(Headers(headers), asked):
            return NotModifiedResponse(Headers(headers))
        if packed:
            headers["content-encoding"] = "gzip"
        kind = mimetypes.guess_type(path)[0]
        return Response(text.packed if packed else text.plain, headers=headers, media_type=kind)
