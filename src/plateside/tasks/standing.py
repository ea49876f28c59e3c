"""Where a shoot stands, as the pages show it: from the journal and shoot.toml alone, so that it is told at once."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from plateside.files.journal.journal import Journal
from plateside.files.journal.rows import Row
from plateside.files.journal.state import ShootState, replay
from plateside.files.journal.verdict_rows import sentence_in
from plateside.files.settings.load import load_shoot
from plateside.words.set.events import chart_seen_sentence


@dataclass(frozen=True)
class FrameStanding:
    """One frame that has landed."""

    id: str
    name: str
    landed_at: datetime
    shot: str
    guessed: bool
    word: str
    """good, adjust, again; empty while it is being judged"""
    act: str
    confidence: float
    pressed: str
    """kept, again or empty: her own press"""
    role: str
    """select, alternate or empty: her own choice"""
    test_frame: bool
    burst: str = ""
    """best (by the tool), hers (best, by her choice), one (of a burst's others) or empty: of no burst"""
    chart: bool = False
    """a colour chart was seen in it: no picture, unless you put it into a shot"""


@dataclass(frozen=True)
class ShotStanding:
    """One shot of the list."""

    name: str
    current: bool
    frames: int
    good: int
    kept: int
    select: str
    alternate: str
    test_frame: str


@dataclass(frozen=True)
class ShootStanding:
    """The whole shoot."""

    row: int
    title: str
    current: str
    shots: tuple[ShotStanding, ...]
    frames: tuple[FrameStanding, ...]


def standing(root: Path, rows: list[Row] | None = None) -> ShootStanding:
    """Where the shoot in `root` stands (rows: of its journal, when they are at hand)."""
    rows = Journal.open(root).rows() if rows is None else rows
    state = replay(rows)
    shoot = load_shoot(root / "shoot.toml")
    landed_at = {str(r.data["frame"]): r.at for r in rows if r.kind == "frame landed"}
    in_burst = _in_bursts(state)
    frames = tuple(
        _frame(f, name, landed_at[f], state, in_burst.get(f, "")) for f, name in state.landed.items()
    )
    shots = []
    for shot in shoot.shots:
        own = [f for f in frames if f.shot == shot.name]
        shots.append(
            ShotStanding(
                name=shot.name,
                current=shot.name == state.current_shot,
                frames=len(own),
                good=sum(f.word == "good" for f in own),
                kept=sum(f.pressed == "kept" for f in own),
                select=state.heroes.get(shot.name, ""),
                alternate=state.alternates.get(shot.name, ""),
                test_frame=state.references.get(shot.name, ""),
            )
        )
    return ShootStanding(state.last_row, shoot.recipe.title, state.current_shot, tuple(shots), frames)


def _in_bursts(state: ShootState) -> dict[str, str]:
    found = {}
    for row in state.bursts.values():
        hers = state.best_by_her(row["frames"])
        for frame in row["frames"]:
            best = frame == (hers or row["best"])
            found[str(frame)] = "one" if not best else "hers" if hers else "best"
    return found


def _frame(frame: str, name: str, at: datetime, state: ShootState, burst: str) -> FrameStanding:
    verdict: Mapping[str, Any] = state.verdicts.get(frame, {})
    shot = state.shot_of.get(frame, "")
    role = (
        "select"
        if state.heroes.get(shot) == frame
        else "alternate"
        if state.alternates.get(shot) == frame
        else ""
    )
    return FrameStanding(
        id=frame,
        name=name,
        landed_at=at,
        shot=shot,
        guessed=frame in state.guessed,
        word=str(verdict.get("word", "")),
        act=chart_seen_sentence(name) if frame in state.charts_seen else sentence_in(verdict),
        confidence=float(verdict.get("confidence", 0.0)),
        pressed="kept" if frame in state.kept else "again" if frame in state.again else "",
        role=role,
        test_frame=state.references.get(shot) == frame,
        burst=burst,
        chart=frame in state.charts_seen,
    )
