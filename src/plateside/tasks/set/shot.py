"""Say which shot is being taken, to which shot frames belong, and take back the last decision."""

import difflib
from dataclasses import dataclass
from pathlib import Path

from plateside.files.folder import find_shoot, shoot_folder
from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, last_undoable, read_state
from plateside.files.originals.identity import content_hash
from plateside.files.originals.scan import frames_there, scan_frames
from plateside.files.settings.load import load_shoot
from plateside.model.errors import InputError
from plateside.model.frame import Frame
from plateside.model.shoot import Shoot
from plateside.plan.dish_order import following
from plateside.tasks.named import check_shot
from plateside.tasks.plan.planned_order import done_shots, order_on_set
from plateside.words.commands import typed
from plateside.words.set import refusals, screen
from plateside.words.set.presses import NOTHING_TO_TAKE_BACK, taken_back_sentence


@dataclass(frozen=True)
class ShotLine:
    """One shot of the list and how far it is."""

    name: str
    current: bool
    frames: int
    select: str
    """the select's file name, when you chose one"""


@dataclass(frozen=True)
class ShotReport:
    """Where the shoot stands, after what was just decided."""

    said: str
    current: str
    shots: tuple[ShotLine, ...]
    not_judged: int = 0
    """files in the frames folder that no verdict exists for"""
    frames_folder: str = ""
    """where the frames land"""
    judge_with: str = ""
    """the command that judges them"""

    def lines(self) -> list[str]:
        rows = [self.said] if self.said else []
        for shot in self.shots:
            rows.append(screen.shot_line(shot.name, shot.frames, shot.select, current=shot.current))
        if self.not_judged:
            rows.append(screen.not_judged_line(self.not_judged, self.frames_folder, self.judge_with))
        return rows


def find_frame(frames: tuple[Frame, ...], given: str) -> Frame:
    """A frame by its file name (with or without folder), or by the start of its content hash.

    Raises InputError when none or several fit.
    """
    fitting = [f for f in frames if given in (f.name, f.name.rsplit("/", 1)[-1], f.companion)]
    fitting = fitting or [f for f in frames if len(given) >= 6 and f.id.startswith(given)]
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        raise InputError(refusals.several_frames(given, [f.name for f in fitting]))
    near = difflib.get_close_matches(given, [f.name for f in frames], n=3, cutoff=0.4)
    raise InputError(refusals.no_such_frame_near(given, near))


def name_shot(given: Path, name: str, frame_names: list[str]) -> ShotReport:
    """Make `name` the current shot or, when frames are named, say that those belong to it. Empty name: only tell."""
    root = find_shoot(given)
    shoot = load_shoot(root / "shoot.toml")
    journal = Journal.open(root)
    said = ""
    if name:
        name = check_shot(shoot, name)
        if frame_names:
            with Index.open(root) as index:
                frames, _refused = scan_frames(shoot_folder(root, shoot).frames_dir, index=index)
            found = [find_frame(frames, n) for n in frame_names]
            journal.append_many(
                ("frame belongs", {"frame": f.id, "shot": name, "guess": False}) for f in found
            )
            said = screen.now_of_shot_sentence([f.name for f in found], name)
        else:
            journal.append("shot current", shot=name)
            said = screen.current_shot_sentence(name)
    return _report(said, root, shoot, read_state(root))


def go_on(given: Path) -> ShotReport:
    """Make the next shot by the plan's order the current one, as the page's Next shot does."""
    root = find_shoot(given)
    shoot = load_shoot(root / "shoot.toml")
    state = read_state(root)
    name = following(order_on_set(root, shoot), done_shots(state, shoot), state.current_shot, state.visits)
    if not name:
        return _report(screen.NO_SHOT_LEFT, root, shoot, state)
    return name_shot(given, name, [])


def undo_last(given: Path) -> ShotReport:
    """Take back the latest decision that still counts. Undone twice, the one before it, and so on."""
    root = find_shoot(given)
    shoot = load_shoot(root / "shoot.toml")
    journal = Journal.open(root)
    row = last_undoable(journal.rows())
    if row is None:
        return _report(NOTHING_TO_TAKE_BACK, root, shoot, read_state(root))
    journal.append("undo", row=row.number)
    return _report(taken_back_sentence(row.kind, row.data), root, shoot, read_state(root))


def _report(said: str, root: Path, shoot: Shoot, state: ShootState) -> ShotReport:
    per_shot = list(state.shot_of.values())
    folder = shoot_folder(root, shoot).frames_dir
    return ShotReport(
        said=said,
        current=state.current_shot,
        shots=tuple(
            ShotLine(
                name=s.name,
                current=s.name == state.current_shot,
                frames=per_shot.count(s.name),
                select=state.landed.get(state.heroes.get(s.name, ""), state.heroes.get(s.name, "")[:12]),
            )
            for s in order_on_set(root, shoot)
        ),
        not_judged=_not_judged(root, folder, state),
        frames_folder=str(folder),
        judge_with=f"plateside judge {typed(root)}",
    )


def _not_judged(root: Path, folder: Path, state: ShootState) -> int:
    """How many frames lie in the folder without a verdict."""
    with Index.open(root) as index:
        there = set(frames_there(folder, index))
    done = state.no_pictures | state.verdicts.keys()
    judged = {name: frame for frame, name in state.landed.items() if frame in done}
    unknown = there - judged.keys()
    if unknown and (renamed := {judged[name] for name in judged.keys() - there}):
        # a judged frame lies under another name now: only then is content read
        unknown = {name for name in unknown if content_hash(folder / name) not in renamed}
    return len(unknown)
