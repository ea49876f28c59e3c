"""What the copying has come to, told by the watcher: each change to the pages, what matters to the terminal too."""

from pathlib import Path

from plateside.tasks.set.events import Event
from plateside.tasks.set.safe import SafeNow, safe_now, stamp_of
from plateside.words.set import safe as words


class SafeTold:
    """Looks at what is written down of a shoot, by whichever watcher copies."""

    def __init__(self, root: Path) -> None:
        self._root = root
        self._stamp: tuple[int, int] | None = None
        self._said: tuple[object, ...] = ()

    def look(self) -> Event | None:
        """An event when something changed; without words when only the count did."""
        stamp = stamp_of(self._root)
        if stamp == self._stamp:
            return None
        self._stamp = stamp
        now = safe_now(self._root)
        if now is None:
            return None
        matters = _matters(now)
        if "starting" in (now.state, now.card and now.card.state):
            return Event("safe", "")
        changed, self._said = matters != self._said, matters
        return Event("safe", " ".join(words.told(now, now.card)) if changed else "")


def _matters(now: SafeNow) -> tuple[object, ...]:
    card = now.card
    return (
        now.state, now.disks, now.all_on_two, now.kept_as,
        card and (card.state, card.may_be_cleared, [one for one in card.left if one.code != "waiting"]),
    )  # fmt: skip
