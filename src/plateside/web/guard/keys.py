"""The secret that outlives a restart: from it come the desk's cookie and the token that pages send with every change.

It is kept in this account's own folder (files.own_place), never in the shoot's, and nothing that leaves this process
is the secret itself. Deleted, it is made anew: the pages must then be opened again by the address in the terminal.
"""

import hashlib
import hmac
from dataclasses import dataclass, field
from pathlib import Path

from plateside.tasks.serve.account import account_secret


@dataclass(frozen=True)
class Keys:
    """The secret of this account's Plateside."""

    secret: str = field(repr=False)

    @classmethod
    def of_this_account(cls) -> "Keys":
        """Read it, or make it."""
        return cls(account_secret())

    @property
    def change_token(self) -> str:
        """Sent by our own pages with every change; a foreign page cannot read it."""
        return self._of("change")

    def shoot_mark(self, root: Path) -> str:
        """By which a page tells the shoot that it was drawn of from another; it says nothing of where that lies."""
        return self._of(f"shoot {root.resolve()}")[:16]

    def desk_cookie(self, port: int) -> str:
        """What the laptop's browser shows. Each port has its own: cookies are sent to every port of a machine."""
        return self._of(f"desk {port}")

    def _of(self, what: str) -> str:
        return hmac.new(self.secret.encode(), what.encode(), hashlib.sha256).hexdigest()
