"""What a command answers with: a task's facts, and the sentences of `words` that are shown of them."""

from dataclasses import dataclass
from typing import Any

from plateside.tasks.report import as_json


@dataclass(frozen=True)
class Answer:
    """A command's answer: the facts as one JSON object for programs, the sentences for people."""

    facts: Any
    """A frozen dataclass of numbers, names and codes."""
    sentences: tuple[str, ...]
    exit_status: int = 0

    def lines(self) -> list[str]:
        """One sentence a line."""
        return list(self.sentences)

    def json(self) -> dict[str, Any]:
        """The facts, and under `sentences` what people are told of them."""
        return {**as_json(self.facts), "sentences": list(self.sentences)}
