"""Telling what another watcher writes into the journal, while it is the one that judges."""

from collections.abc import Callable

from plateside.files.journal.live import LiveState
from plateside.tasks.set.events import Event, event_of
from plateside.words.set.events import FOLLOWING, TAKEN_OVER


class Follower:
    """Tells what another watcher writes into the journal."""

    def __init__(self, live: LiveState, say: Callable[[Event], None]) -> None:
        self.live, self.say = live, say
        self.following = False
        self.landed = 0
        self.words: list[str] = []

    def look(self) -> bool:
        """Tell the new rows; whether there were any."""
        if not self.following:
            self.following = True
            self.say(Event("following", FOLLOWING))
        rows = self.live.refresh()
        for row in rows:
            event = event_of(row, self.live.state)
            if event is not None:
                self.landed += event.kind == "landed"
                if event.kind == "verdict":
                    self.words.append(event.word)
                self.say(event)
        return bool(rows)

    def end(self) -> None:
        """The other watcher has stopped."""
        if self.following:
            self.look()
            self.say(Event("watching", TAKEN_OVER))
