"""Which tablets may come in: paired once with a secret that works once, remembered by the hash of their cookie.

The secret has 12 characters of 30, works once, for three minutes. It travels in the fragment of the address in the QR
code, which browsers never send, and in the body of one request.

Five wrong tries from one address, and that address is heard no more until another secret is shown; the secret stays
good for every other, so that no stranger can keep the owner's tablet out. Guessing is hopeless all the same: there are
30^12 = 5.3e17 secrets, and a home network of 65,536 addresses (a /16) with five tries each has 327,680 tries: one in
1.6e12 that any of them hits.
"""

import contextlib
import hashlib
import hmac
import secrets
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from plateside.model.errors import InputError
from plateside.tasks.serve.account import PairedTablets
from plateside.words.serving import CODE_WRONG, wrong_codes

ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""No 0 O 1 I L U: a secret may have to be typed."""
LETTERS = 12
OPEN_S = 180.0
WRONG_TRIES = 5
"""Of one address."""
LONGEST_NAME = 40


@dataclass(frozen=True)
class Device:
    """One paired tablet."""

    number: int
    name: str
    since: str
    """ISO 8601, UTC."""
    cookie_hash: str


@dataclass
class Invitation:
    """A secret that has been shown and not yet used."""

    secret: str
    until: float
    wrong: Counter[str] = field(default_factory=Counter)
    """Wrong tries by the address they came from."""


class Devices:
    """The paired tablets of one server's folder."""

    def __init__(self, home: Path, clock: Callable[[], float] = time.monotonic) -> None:
        self._store = PairedTablets(home)
        self._clock = clock
        self._invitation: Invitation | None = None
        self._devices: list[Device] = []
        self.open_since: str = ""
        """When the home network was let in (ISO 8601, UTC); empty: it is not."""
        devices_there = self._store.read()
        with contextlib.suppress(KeyError, TypeError):
            self._devices = [Device(**d) for d in devices_there["devices"]] if devices_there else []
            self.open_since = str(devices_there["open_since"]) if devices_there else ""

    def all(self) -> list[Device]:
        """Oldest first."""
        return list(self._devices)

    def invite(self) -> Invitation:
        """A new secret; the one before it is void."""
        secret = "".join(secrets.choice(ALPHABET) for _ in range(LETTERS))
        self._invitation = Invitation(secret, self._clock() + OPEN_S)
        return self._invitation

    def invitation(self) -> Invitation | None:
        """The one that still works, if any."""
        one = self._invitation
        if one and self._clock() >= one.until:
            self._invitation = one = None
        return one

    def seconds_left(self) -> float:
        """How long the secret that is shown still works [s]."""
        one = self.invitation()
        return one.until - self._clock() if one else 0.0

    def pair(self, secret: str, name: str, address: str = "") -> str:
        """Use a secret: the cookie of the new device. Raises InputError when it does not (or no longer) work.

        address  where the try comes from
        """
        one = self.invitation()
        if one is not None and one.wrong[address] >= WRONG_TRIES:
            raise InputError(wrong_codes(WRONG_TRIES))
        typed = "".join(c for c in secret.upper() if c in ALPHABET)
        if one is None or not hmac.compare_digest(typed, one.secret):
            if one is not None:
                one.wrong[address] += 1
            raise InputError(CODE_WRONG)
        self._invitation = None
        cookie = secrets.token_urlsafe(32)
        number = max((d.number for d in self._devices), default=0) + 1
        shown = " ".join(name.split())[:LONGEST_NAME] or f"Tablet {number}"
        self._devices.append(Device(number, shown, datetime.now(UTC).isoformat(), _hash(cookie)))
        self._write()
        return cookie

    def of(self, cookie: str) -> Device | None:
        """The device with this cookie."""
        if not cookie:
            return None
        own = _hash(cookie)
        return next((d for d in self._devices if hmac.compare_digest(d.cookie_hash, own)), None)

    def forget(self, number: int) -> None:
        """This device sees nothing from now on."""
        self._devices = [d for d in self._devices if d.number != number]
        self._write()

    def set_open(self, is_open: bool) -> None:
        """Remember whether the home network is let in, for a restart within the day."""
        self.open_since = datetime.now(UTC).isoformat() if is_open else ""
        if not is_open:
            self._invitation = None
        self._write()

    def opened_today(self, hours: float = 12.0) -> bool:
        """Whether it was let in less than `hours` ago and not closed since."""
        with contextlib.suppress(ValueError):
            since = datetime.fromisoformat(self.open_since)
            return (datetime.now(UTC) - since).total_seconds() < hours * 3600
        return False

    def _write(self) -> None:
        self._store.keep({"open_since": self.open_since, "devices": [asdict(d) for d in self._devices]})


def _hash(cookie: str) -> str:
    return hashlib.blake2b(cookie.encode(), digest_size=32, person=b"plateside-tablet").hexdigest()
