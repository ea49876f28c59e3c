"""Styles, scripts, letters and sounds: what the pages are made of."""

import gzip
import hashlib
import importlib.resources
import mimetypes
import os
import re
import stat
from dataclasses import dataclass
from pathlib import Path

from starlette.datastructures import Headers
from starlette.responses import Response
from starlette.staticfiles import NotModifiedResponse, StaticFiles
from starlette.types import Scope

# not known to every system's list
mimetypes.add_type("font/woff2", ".woff2")

_MARKED = re.compile(r"v-([0-9a-f]{16})[/\\](.+)", re.DOTALL)
_HELD = (".css", ".js", ".svg")
"""A page asks for thirty of these: they are read and packed once, not for every page."""


@dataclass(frozen=True)
class _Text:
    stamp: tuple[int, int]
    """when it was written [ns], and its size: with another one it is read again"""
    plain: bytes
    packed: bytes
    mark: str


def _stamp(found: os.stat_result) -> tuple[int, int]:
    return found.st_mtime_ns, found.st_size


class OwnFiles(StaticFiles):
    """Under the place of their version, or under none: looked up anew each time then."""

    def __init__(self, directory: Path) -> None:
        super().__init__(directory=directory)
        self._home = directory.resolve()
        self._texts: dict[str, _Text] = {}
        self._version = ""
        self._stamps: dict[str, tuple[int, int]] = {}

    def place(self) -> str:
        """Where a page finds the files as they now are: another address once any of them is another.

        So a browser that has them asks for none again from page to page, and never mixes a new version with an old.
        """
        stamps = {}
        for folder, _, names in os.walk(self._home):
            for name in names:
                path = Path(folder, name)
                stamps[str(path)] = _stamp(path.stat())
        if stamps != self._stamps:
            known = repr(sorted(stamps.items())).encode()
            self._version = hashlib.blake2b(known, digest_size=8).hexdigest()
            self._stamps = stamps
        return f"/static/v-{self._version}"

    async def get_response(self, path: str, scope: Scope) -> Response:
        marked = _MARKED.fullmatch(path)
        path = marked[2] if marked else path
        answer = self._text(path, scope) or await super().get_response(path, scope)
        # letters never change under their names: asked for anew, every page would first show other ones
        lasting = path.endswith(".woff2") or (marked is not None and self._is_of(marked[1], path))
        lasting = lasting and answer.status_code in (200, 304)
        answer.headers["cache-control"] = "private, max-age=31536000, immutable" if lasting else "no-cache"
        return answer

    def _is_of(self, version: str, path: str) -> bool:
        """Whether the file is still the one of this version."""
        place, found = self.lookup_path(path)
        return version == self._version and found is not None and self._stamps.get(place) == _stamp(found)

    def _text(self, path: str, scope: Scope) -> Response | None:
        if not path.endswith(_HELD) or scope["method"] not in ("GET", "HEAD"):
            return None
        try:
            place, found = self.lookup_path(path)
        except (OSError, ValueError):
            return None
        if found is None or not stat.S_ISREG(found.st_mode):
            return None
        stamp = _stamp(found)
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


OWN_FILES = OwnFiles(Path(str(importlib.resources.files("plateside.web") / "static")))
