"""What a watch came to, for the terminal."""

from dataclasses import dataclass

from plateside.files.originals.unreadable import Unreadable
from plateside.tasks.set.judged import Judged


@dataclass(frozen=True)
class WatchReport:
    """What a watch came to."""

    landed: int
    judged: tuple[Judged, ...]
    refused: tuple[Unreadable, ...]
    followed: tuple[str, ...] = ()
    """Words of the verdicts that another watcher gave and this one told."""

    def lines(self) -> list[str]:
        """The tally."""
        words = [j.verdict.word for j in self.judged] + list(self.followed)
        tally = ", ".join(f"{words.count(w)} {w}" for w in ("good", "adjust", "again") if w in words)
        out = [
            f"{self.landed} frame{'s' if self.landed != 1 else ''} landed" + (f": {tally}." if tally else ".")
        ]
        return out + [f"not used: {u.reason}" for u in self.refused]
