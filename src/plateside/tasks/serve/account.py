"""What this account keeps for its servers, in a folder of its own that no other account can read (files.own_place)."""

import contextlib
import json
import secrets
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from plateside.files import damage
from plateside.files.cache import read_sealed_json, sealed
from plateside.files.own_place import read_own, served_place, write_own, write_private
from plateside.model.errors import CouldNotError
from plateside.words.serving import TABLETS_LIST, not_remembered

KEY_FILE = "desk.key"
_LEAST = 40


def account_secret() -> str:
    """The secret that outlives a restart, read or made: at least 40 characters. Where nothing is kept it is new."""
    key_there = _key_there()
    if key_there is None:
        key_there = secrets.token_urlsafe(32)
        # where nothing can be kept it works until the server ends
        with contextlib.suppress(CouldNotError):
            write_own(KEY_FILE, key_there + "\n")
            # two that begin at the same moment: the one written last counts for both
            key_there = _key_there() or key_there
    return key_there


def _key_there() -> str | None:
    key = (read_own(KEY_FILE) or "").strip()
    return key if len(key) >= _LEAST else None


def write_opening_page(port: int, text: str) -> Path:
    """Write the page file that opens the server at `port` in this account's browser. Raises CouldNotError."""
    return write_own(f"open-{port}.html", text)


class PairedTablets:
    """The list of paired tablets of one served folder, as it is kept."""

    def __init__(self, home: Path) -> None:
        self._path = served_place(home) / "devices.json"

    def read(self) -> Any:
        """What was kept; None when there is nothing, or when it was damaged (which is noted)."""
        return read_sealed_json(self._path, TABLETS_LIST)

    def keep(self, key: Mapping[str, Any]) -> None:
        """Keep it. An account that can keep nothing still serves: the tablet is paired again after a restart."""
        try:
            write_private(self._path, sealed(json.dumps(key).encode()).decode())
        except CouldNotError as error:
            damage.note(self._path, not_remembered(error))
