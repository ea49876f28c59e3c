"""Who sits at this laptop: a browser that once came with a key from the terminal, and shows a cookie since.

127.0.0.1 is open to every account of the machine, so its address alone opens nothing. A key has 128 random bits and
works once, in the body of one request; it comes to the browser in an address's fragment, which is never sent, or in a
page file that only this account can read, never in a command's arguments, which every account can list.
"""

import contextlib
import hmac
import html
import secrets
from collections.abc import Callable
from pathlib import Path

from plateside.model.errors import CouldNotError, InputError
from plateside.tasks.serve.account import write_opening_page
from plateside.web.guard.keys import Keys
from plateside.web.guard.rates import Rate
from plateside.words.serving import KEY_USED

PAGE = "/desk"
KNOCKING = Rate(400, 40)
"""Requests at this machine's own address without the cookie, all accounts together."""
MOST_KEYS = 8
_OPENING = """<!doctype html><meta charset="utf-8"><meta name="referrer" content="no-referrer"><title>Plateside</title>
<meta http-equiv="refresh" content="0; url={address}"><a href="{address}">Open Plateside</a>
"""


class Desk:
    """The keys that have been handed out and not yet used, and the cookie they are changed for."""

    def __init__(self, keys: Keys) -> None:
        self._keys = keys
        self._port = 0
        self._open: list[str] = []
        self._said = ""
        self._file: Path | None = None
        self._of_file = ""
        self._keep = False
        self.on_used: Callable[[], None] = lambda: None
        """Called when the key that was said in the terminal has been used: time to say another."""

    def at(self, port: int) -> None:
        """The port is known."""
        self._port = port

    @property
    def cookie_name(self) -> str:
        """Cookies know no ports, so the name does."""
        return f"plateside_desk_{self._port}"

    def knows(self, cookie: str) -> bool:
        """Whether this cookie was given out here."""
        return hmac.compare_digest(cookie.encode(), self._keys.desk_cookie(self._port).encode())

    def address(self) -> str:
        """An address to open once, to be said in the terminal; the one said before is void."""
        if self._said in self._open:
            self._open.remove(self._said)
        self._said = self._key()
        return self._at(self._said)

    def opening_file(self, *, keep: bool = False) -> Path:
        """A page that opens an address of its own, for this account's browser. Raises OSError, CouldNotError.

        keep  once it has been used it is written anew: whoever starts Plateside again finds this server by it
        """
        self._keep = self._keep or keep
        if self._of_file in self._open:
            self._open.remove(self._of_file)
        self._of_file = self._key()
        self._file = write_opening_page(
            self._port, _OPENING.format(address=html.escape(self._at(self._of_file)))
        )
        return self._file

    def let_in(self, key: str) -> str:
        """Use a key: the cookie. Raises InputError when it does not (or no longer) work."""
        given = key.encode("utf-8", "replace")
        found = next((k for k in self._open if hmac.compare_digest(k.encode(), given)), None)
        if found is None:
            raise InputError(KEY_USED)
        self._open.remove(found)
        if found == self._said:
            self.on_used()
        elif self._keep:
            with contextlib.suppress(OSError, CouldNotError):
                self.opening_file()
        else:
            self.close()
        return self._keys.desk_cookie(self._port)

    def close(self) -> None:
        """Take the page file away."""
        if self._file is not None:
            with contextlib.suppress(OSError):
                self._file.unlink(missing_ok=True)
            self._file = None

    def _at(self, key: str) -> str:
        return f"http://127.0.0.1:{self._port}{PAGE}#{key}"

    def _key(self) -> str:
        key = secrets.token_urlsafe(16)
        self._open = [*self._open, key][-MOST_KEYS:]
        return key
