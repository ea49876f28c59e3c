"""Secrets that outlive a restart: the token that pages send with every change.

They lie with the account that started the server (files/private.py), a file for each served folder, readable by its
owner alone. Deleted, they are made anew: open pages must then be loaded again.
"""

import contextlib
import json
import secrets
from dataclasses import dataclass
from pathlib import Path

from plateside.files.private import state_folder, write_private
from plateside.files.sealed import read_sealed_json, sealed
from plateside.model.errors import CouldNotError


@dataclass(frozen=True)
class Keys:
    """The secrets of one server's folder."""

    change_token: str
    """Sent by our own pages with every change; a foreign page cannot read it."""

    @classmethod
    def of(cls, home: Path) -> "Keys":
        """Read them, or make them."""
        path = state_folder(home) / "serve.json"
        told = read_sealed_json(path, "The keys of open pages")
        token = told.get("change_token") if isinstance(told, dict) else None
        if isinstance(token, str) and len(token) >= 32:
            return cls(token)
        keys = cls(secrets.token_urlsafe(32))
        # an account that can keep nothing still serves: pages are then loaded again after a restart
        with contextlib.suppress(CouldNotError):
            write_private(path, sealed(json.dumps({"change_token": keys.change_token}).encode()).decode())
        return keys
