"""Where the open shoot's files are, as the network may know it: not at all.

Places.opened      the laptop has opened a shoot: what its shoot.toml names then was named there
Places.elsewhere   whether studio or frames are now in a folder that nobody at the laptop opened
Places.unnamed     what is said to a tablet, every folder of this machine by its own name only
"""

import html
import json
import re
import sys
import tempfile
from pathlib import Path
from typing import Any
from urllib.parse import quote

from plateside.tasks.serve.shoots import NamedFiles
from plateside.web.guard.tablets_may import ROUTES

_ANY_PATH = re.compile(r"(?<![\w:/.~-])(?:[A-Za-z]:[\\/]|\\\\|/)(?:[^\s'\"\\/<>]+[\\/])+")
"""An absolute folder in a sentence; what stands behind the last separator stays."""

_OURS = {path.split("/")[1] for _, path in ROUTES}


class Places:
    """The folders of one server."""

    def __init__(self, home: Path) -> None:
        self._home = home
        self._named: frozenset[Path] = frozenset()
        self._files = NamedFiles()
        self._pattern: tuple[Any, re.Pattern[bytes], dict[bytes, bytes]] | None = None

    def opened(self, root: Path | None) -> None:
        """A shoot was opened at the laptop: where its files are now is right."""
        self._named = frozenset() if root is None else frozenset(_resolved(p) for p in self._files.of(root))

    def elsewhere(self, root: Path | None) -> bool:
        """Whether studio or frames are outside the shoot, the served folder and what was opened at the laptop."""
        if root is None:
            return False
        return any(_resolved(p) not in self._named for p in self._files.outside(root, (root, self._home)))

    def unnamed(self, data: bytes, root: Path | None) -> bytes:
        """What is sent, with every folder of this machine cut down to its own name."""
        pattern, shown = self._cut(root)
        return pattern.sub(lambda found: shown[found[0]], data)

    def sentence(self, words: str, root: Path | None) -> str:
        """The same of one sentence, of which any folder at all is cut off."""
        known = self.unnamed(words.encode("utf-8", "surrogatepass"), root).decode("utf-8", "surrogatepass")
        return _ANY_PATH.sub("", known)

    def _cut(self, root: Path | None) -> tuple[re.Pattern[bytes], dict[bytes, bytes]]:
        found = () if root is None else (*self._files.of(root), *self._files.disks_of(root))
        key = (root, found)
        if self._pattern is None or self._pattern[0] != key:
            folders = [self._home, Path.home(), Path(__file__).parents[1], Path(sys.prefix)]
            folders += [Path(tempfile.gettempdir()), *found, *(p.parent for p in found)]
            folders += [] if root is None else [root]
            shown: dict[bytes, bytes] = {}
            for folder in folders:
                for form in (folder, _resolved(folder)):
                    # the disk's own root is in every address; a folder /plan reads as one of ours
                    if (
                        form.is_absolute()
                        and form.parts[1:]
                        and not (len(form.parts) == 2 and form.name in _OURS)
                    ):
                        for full, short in zip(_written(str(form)), _written(form.name), strict=True):
                            shown.setdefault(full, short)
            longest = sorted(shown, key=len, reverse=True)
            inside = b"|".join(re.escape(each) for each in longest)
            self._pattern = (key, re.compile(rb"(?:" + inside + rb")(?![\w.-])"), shown)
        return self._pattern[1], self._pattern[2]


def _resolved(path: Path) -> Path:
    try:
        return path.resolve()
    except (OSError, ValueError, RuntimeError):
        return path


def _written(text: str) -> tuple[bytes, ...]:
    """A path as it stands in a sentence, in JSON (two ways), in HTML, in JSON inside HTML, in an address."""
    plain, ascii_only = json.dumps(text, ensure_ascii=False)[1:-1], json.dumps(text)[1:-1]
    scripted = plain.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
    escaped = html.escape(text).replace("&quot;", "&#34;").replace("&#x27;", "&#39;")
    forms = (text, plain, ascii_only, escaped, scripted, quote(text))
    return tuple(form.encode("utf-8", "surrogatepass") for form in forms)
