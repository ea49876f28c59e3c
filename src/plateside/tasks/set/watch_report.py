"""What a watch came to, for the terminal."""

from dataclasses import dataclass

from plateside.files.originals.unreadable import Unreadable
from plateside.tasks.set.judged import Judged
from plateside.words.set.verdicts import landed_sentence, not_used_line


@dataclass(frozen=True)
class WatchReport:
    """What a watch came to."""

    landed: int
    judged: tuple[Judged, ...]
    refused: tuple[Unreadable, ...]
    followed: tuple[str, ...] = ()
    """Words of the verdicts that another watcher gave and this one showed."""

    def lines(self) -> list[str]:
        """The tally."""
        words = [j.verdict.word for j in self.judged] + list(self.followed)
        return [landed_sentence(self.landed, words), *(not_used_line(u.reason) for u in self.refused)]
