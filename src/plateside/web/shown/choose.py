"""What the page Choose is sent of a choice: facts, and the sentences that are shown of them."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from plateside.words.choose import reasons_phrase, remark_sentence

if TYPE_CHECKING:
    # it computes, and this is asked for by the server's own process
    from plateside.tasks.choose.selects import ChooseReport

FrameRow = tuple[str, str, int, int, int, int, int]
"""Id, name; indices of shot, word, act and press; what else is true of it, as bits: tasks/choose/sheets.py."""


@dataclass(frozen=True)
class ShotChosen:
    """A shot's own choice: ids of frames, empty when there is none."""

    name: str
    select: str
    alternate: str


@dataclass(frozen=True)
class SheetsShown:
    """All frames, in the short form: two thousand of them are some 130 kB."""

    row: int
    title: str
    shots: tuple[ShotChosen, ...]
    words: tuple[str, ...]
    pressed: tuple[str, ...]
    acts: tuple[str, ...]
    frames: tuple[FrameRow, ...]
    strips: tuple[str, ...]
    cells: int
    style: str


def sheets_shown(packed: dict[str, Any]) -> SheetsShown:
    """`Sheets.packed`, as the page knows it."""
    return SheetsShown(**packed)


@dataclass(frozen=True)
class PickShown:
    """A frame that Plateside would take, or that you took."""

    frame: str
    name: str
    by: str
    """you or tool"""
    why: str


@dataclass(frozen=True)
class ChoiceShown:
    """One shot."""

    shot: str
    select: PickShown | None
    alternate: PickShown | None
    remark: str


@dataclass(frozen=True)
class ProposalShown:
    """What Plateside would choose for every shot."""

    shots: tuple[ChoiceShown, ...]


def proposal(report: "ChooseReport") -> ProposalShown:
    """The choice with its sentences."""
    return ProposalShown(
        tuple(
            ChoiceShown(c.shot, _pick(c.select), _pick(c.alternate), remark_sentence(c.remark))
            for c in report.shots
        )
    )


def _pick(pick: Any) -> PickShown | None:
    return None if pick is None else PickShown(pick.frame, pick.name, pick.by, reasons_phrase(pick))
