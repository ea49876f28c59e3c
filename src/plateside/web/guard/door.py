"""Who is connected to one listener, and who has to go: connections are counted when they are accepted.

A connection is a stranger until its first request shows who sends it (a paired tablet, or the desk). Strangers have
their own number of places, few for one address; when these are taken, the stranger that has been here longest goes,
so that whoever comes now and says at once who it is still gets in. A paired tablet has places of its own, which no
stranger takes, also behind the same address.

    descriptors_allowed, limits_for    how many, from what the system lets one process hold open
    Guest                              one connection: who, since when, what it is waited for
    Door                               all connections of one listener
"""

import contextlib
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

OWN_FILES = 96
"""Open files of the server's own: pipes of its children, journal, settings. Common practice, no source."""
WANTED_FILES = 4096
USUAL_FILES = 1024
"""Taken where the system tells no number."""


@dataclass(frozen=True)
class Limits:
    """What one listener allows."""

    in_all: int
    """Connections."""
    strangers: int
    """Of these, such that have not said who they are."""
    per_address: int
    """Strangers from one address."""
    per_known: int
    """Connections of one paired tablet, or of the desk."""
    head_s: float = 10.0
    """For a request's head to come whole [s]."""
    body_s: float = 30.0
    """For its body to come whole [s]."""
    unread_s: float = 30.0
    """For an answer that nobody reads on [s]."""
    ending_s: float = 5.0
    """For the last bytes to be read, once it ends [s]."""


def descriptors_allowed() -> int:
    """How many files and connections this process may hold open; the soft limit is raised where that is allowed."""
    try:
        import resource
    except ImportError:
        return USUAL_FILES
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if soft == resource.RLIM_INFINITY:
        return WANTED_FILES
    wanted = WANTED_FILES if hard == resource.RLIM_INFINITY else min(WANTED_FILES, hard)
    if soft < wanted:
        with contextlib.suppress(OSError, ValueError):
            resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
            return wanted
    return soft


def limits_for(descriptors: int) -> tuple[Limits, Limits]:
    """The desk's limits and the tablets', so that both together never use up `descriptors`.

    A connection counts twice: while it is answered a file may be open for it.
    """
    places = max(descriptors - OWN_FILES, 48) // 2
    tablets = min(160, places * 2 // 5)
    strangers = max(tablets // 4, 4)
    desk = min(400, places - tablets)
    return (
        Limits(
            desk, max(desk // 4, 4), max(desk // 4, 4), desk - max(desk // 4, 4), head_s=20.0, unread_s=60.0
        ),
        Limits(tablets, strangers, max(strangers // 2, 3), max(tablets // 4, 6)),
    )


@dataclass(eq=False)
class Guest:
    """One connection."""

    address: str
    since: float
    drop: Callable[[], None]
    """Ends it at once; may be called more than once."""
    who: str = ""
    """'desk', 'device 3'; empty: a stranger."""
    busy: bool = False
    """A request is being answered."""
    waited_for: tuple[str, object] = ("head", None)
    """'head' or 'body' and the request it belongs to; ('', ...): nothing is."""
    waited_since: float = 0.0
    unread_since: float | None = None
    ending_since: float | None = None
    meet: Callable[[str], None] = field(default=lambda _who: None)
    """Told who it is, by the guard."""

    def waits(self, what: str, request: object, now: float) -> None:
        """From now on it is waited for this; the time runs on while it is the same."""
        if self.waited_for != (what, request):
            self.waited_for, self.waited_since = (what, request), now

    def overdue(self, limits: Limits, now: float) -> bool:
        """Whether it takes longer than anybody who means well."""
        what = self.waited_for[0]
        waited = now - self.waited_since
        if (what == "head" and waited > limits.head_s) or (what == "body" and waited > limits.body_s):
            return True
        if self.unread_since is not None and now - self.unread_since > limits.unread_s:
            return True
        return self.ending_since is not None and now - self.ending_since > limits.ending_s


class Door:
    """The connections of one listener. Every method is called on the loop, and none waits."""

    def __init__(self, limits: Limits, clock: Callable[[], float] = time.monotonic) -> None:
        self.limits, self.clock = limits, clock
        self._guests: dict[Guest, None] = {}
        """In the order in which they came."""

    def __len__(self) -> int:
        return len(self._guests)

    def __iter__(self) -> Iterator[Guest]:
        return iter(tuple(self._guests))

    def come(self, address: str, drop: Callable[[], None]) -> Guest:
        """A connection that was just accepted; another one may go for it."""
        self._make_room(address)
        now = self.clock()
        guest = Guest(address, now, drop, waited_since=now)
        guest.meet = lambda who: self._met(guest, who)
        self._guests[guest] = None
        return guest

    def gone(self, guest: Guest) -> None:
        """A connection that has ended."""
        self._guests.pop(guest, None)

    def strangers(self, address: str = "") -> list[Guest]:
        """Those that have not said who they are (from one address), the longest here first."""
        return [g for g in self._guests if not g.who and address in ("", g.address)]

    def sweep(self) -> None:
        """Let go whoever takes too long."""
        now = self.clock()
        # a stranger is given half the time: it has nothing to send but a few lines
        short = replace(self.limits, head_s=self.limits.head_s / 2, body_s=self.limits.body_s / 2)
        for guest in self:
            if guest.overdue(self.limits if guest.who else short, now):
                self._out(guest)

    def free_one(self) -> None:
        """The system has no descriptor left: a stranger goes, else who does nothing."""
        waiting = self.strangers() or [g for g in self if not g.busy]
        if waiting:
            self._out(waiting[0])

    def close(self) -> None:
        """All go."""
        for guest in self:
            self._out(guest)

    def _make_room(self, address: str) -> None:
        own = self.strangers(address)
        if len(own) >= self.limits.per_address:
            self._out(own[0])
        strangers = self.strangers()
        if len(strangers) >= self.limits.strangers:
            most = Counter(g.address for g in strangers).most_common(1)[0][0]
            self._out(next(g for g in strangers if g.address == most))
        if len(self) >= self.limits.in_all:
            self.free_one()
        if len(self) >= self.limits.in_all:
            # all are being answered: the one that has been here longest, as a stream that is opened again
            self._out(next(iter(self)))

    def _met(self, guest: Guest, who: str) -> None:
        if guest.who == who or guest not in self._guests:
            return
        guest.who = who
        own = [g for g in self if g.who == who]
        if len(own) > self.limits.per_known:
            self._out(next((g for g in own if not g.busy), own[0]))

    def _out(self, guest: Guest) -> None:
        self.gone(guest)
        guest.drop()
