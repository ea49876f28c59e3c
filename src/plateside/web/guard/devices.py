"""Which tablets may come in: paired once with a secret that works once, remembered by the hash of their cookie.

The secret has 60 random bits, works once, for three minutes, and is void after five wrong tries. It travels in
the fragment of the address in the QR code, which browsers never send, and in the body of one request.
"""

import contextlib
import hashlib
import hmac
import json
import secrets
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path

from plateside.files.atomic import write_text
from plateside.model.errors import CouldNotError, InputError

ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""No 0 O 1 I L U: a secret may have to be typed."""
LETTERS = 12
OPEN_S = 180.0
WRONG_TRIES = 5
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
    wrong: int = 0


class Devices:
    """The paired tablets of one server's folder."""

    def __init__(self, home: Path, clock: Callable[[], float] = time.monotonic) -> None:
        self._path = home / ".plateside" / "devices.json"
        self._clock = clock
        self._invitation: Invitation | None = None
        self._devices: list[Device] = []
        self.open_since: str = ""
        """When the home network was let in (ISO 8601, UTC); empty: it is not."""
        with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
            told = json.loads(self._path.read_text(encoding="utf-8"))
            self._devices = [Device(**d) for d in told["devices"]]
            self.open_since = str(told["open_since"])

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
        if one and (self._clock() >= one.until or one.wrong >= WRONG_TRIES):
            self._invitation = one = None
        return one

    def seconds_left(self) -> float:
        """How long the secret that is shown still works [s]."""
        one = self.invitation()
        return one.until - self._clock() if one else 0.0

    def pair(self, secret: str, name: str) -> str:
        """Use a secret: the cookie of the new device. Raises InputError when it does not (or no longer) work."""
        one = self.invitation()
        typed = "".join(c for c in secret.upper() if c in ALPHABET)
        if one is None or not hmac.compare_digest(typed, one.secret):
            if one is not None:
                one.wrong += 1
            raise InputError(
                "That code does not work, or no longer. Show a new one on the laptop and try again."
            )
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
        # a folder that cannot be written still serves: the tablet is paired again after a restart
        with contextlib.suppress(OSError, CouldNotError):
            self._path.parent.mkdir(parents=True, exist_ok=True)
            told = {"open_since": self.open_since, "devices": [asdict(d) for d in self._devices]}
            write_text(self._path, json.dumps(told, ensure_ascii=False, indent=1))
            self._path.chmod(0o600)


def _hash(cookie: str) -> str:
    return hashlib.blake2b(cookie.encode(), digest_size=32, person=b"plateside-tablet").hexdigest()
