"""The select of every shot: your own choice from the journal, else what `choose` picks; with its file, checked."""

from dataclasses import dataclass
from pathlib import Path

from plateside.files.journal.state import read_state
from plateside.files.originals.identity import content_hash
from plateside.files.originals.kinds import is_raw
from plateside.files.settings.load import OpenShoot
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Shot
from plateside.tasks.choose.selects import choose_frames
from plateside.words.set import refusals


@dataclass(frozen=True)
class Hero:
    """The frame that stands for a shot."""

    shot: Shot
    frame_id: str
    name: str
    path: Path
    by: str
    """'you' or 'tool'"""

    @property
    def is_raw(self) -> bool:
        return is_raw(self.path)


@dataclass(frozen=True)
class Heroes:
    """All there are, in the order of the shot list, and what is missing."""

    found: tuple[Hero, ...]
    missing: tuple[str, ...]
    """one sentence for each shot without one"""


def heroes_of(opened: OpenShoot, progress: Progress = silent) -> Heroes:
    """Her choices where she made them; `choose` is asked for the other shots only when there are any.

    Raises InputError when there is no hero at all, or when a hero's file is gone or has changed.
    """
    state = read_state(opened.folder.root)
    wanted = {shot.name: state.heroes.get(shot.name, "") for shot in opened.shoot.shots}
    names = dict(state.landed)
    by = {shot: "you" for shot, frame in wanted.items() if frame}
    if not all(frame and frame in names for frame in wanted.values()):
        for choice in choose_frames(opened.folder.root, progress=progress).shots:
            if choice.select is not None:
                wanted[choice.shot] = choice.select.frame
                names[choice.select.frame] = choice.select.name
                by[choice.shot] = choice.select.by
    found, missing = [], []
    for shot in opened.shoot.shots:
        frame = wanted[shot.name]
        if not frame:
            missing.append(refusals.shot_without_frame(shot.name))
            continue
        found.append(Hero(shot, frame, names[frame], _checked(opened, shot, frame, names), by[shot.name]))
    if not found:
        raise InputError(*refusals.no_select_yet(opened.folder.frames_dir.name, opened.folder.root))
    return Heroes(tuple(found), tuple(missing))


def _checked(opened: OpenShoot, shot: Shot, frame: str, names: dict[str, str]) -> Path:
    folder, root = opened.folder.frames_dir, opened.folder.root
    if frame not in names:
        raise InputError(*refusals.select_not_there(shot.name, frame[:12], folder.name, root))
    path = folder / names[frame]
    if not path.is_file():
        raise InputError(*refusals.select_not_there(shot.name, names[frame], folder.name, root))
    if content_hash(path) != frame:
        raise InputError(refusals.select_changed(shot.name, names[frame]))
    return path
