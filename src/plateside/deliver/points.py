"""One thing that stands open, said so that it can be read anywhere; how it is mended in her files stands apart.

A page, the contact sheet and the note in the delivery show the words alone: nobody there has shoot.toml before her.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Point:
    """What stands open."""

    words: str
    """What it is and what would mend it, in sentences without the names of files and fields."""
    in_files: str = ""
    """The line to write in her settings, or the command to run; empty: there is none."""

    def in_full(self) -> str:
        """Both, for who works by commands."""
        return f"{self.words} {self.in_files}" if self.in_files else self.words
