"""Secrets that outlive a restart: the token that pages send with every change.

They lie in `.plateside/serve.json` of the folder the server was started in, readable by its owner alone.
Deleted, they are made anew: open pages must then be loaded again.
"""

import contextlib
import json
import secrets
from dataclasses import dataclass
from pathlib import Path

from plateside.files.atomic import write_text
from plateside.model.errors import CouldNotError


@dataclass(frozen=True)
class Keys:
    """The secrets of one server's folder."""

    change_token: str
    """Sent by our own pages with every change; a foreign page cannot read it."""

    @classmethod
    def of(cls, home: Path) -> "Keys":
        """Read them, or make them."""
        path = home / ".plateside" / "serve.json"
        with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
            token = json.loads(path.read_text(encoding="utf-8"))["change_token"]
            if isinstance(token, str) and len(token) >= 32:
                return cls(token)
        keys = cls(secrets.token_urlsafe(32))
        # a read-only folder still works: pages are then loaded again after a restart
        with contextlib.suppress(OSError, CouldNotError):
            path.parent.mkdir(parents=True, exist_ok=True)
            write_text(path, json.dumps({"change_token": keys.change_token}))
            path.chmod(0o600)
        return keys
