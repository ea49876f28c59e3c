"""Whether a frame should perhaps not stand for its shot: said the same way on every page and paper."""

from typing import Any

from plateside.files.journal.state import ShootState
from plateside.files.journal.verdict_rows import sentence_in


def doubt_of(state: ShootState, frame: str) -> dict[str, Any] | None:
    """Why the frame that stands for a shot should perhaps not: it was to be taken again; None: nothing says so."""
    verdict = state.verdicts.get(frame, {})
    if frame in state.again:
        return {"by_her": True, "act": "", "kept": False}
    if verdict.get("word") == "again":
        return {"by_her": False, "act": sentence_in(verdict), "kept": frame in state.kept}
    return None
