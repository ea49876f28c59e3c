"""The guided check 'lamp off, one frame': asked for, and settled by the shot's next frame."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plateside.files.folder import find_shoot
from plateside.files.journal.decided import LampCheck
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, read_state
from plateside.files.originals.scan import read_frame
from plateside.files.settings.load import load_shoot
from plateside.frames.edges import grey
from plateside.frames.exposure import small_linear
from plateside.frames.register import register
from plateside.frames.second_light import settled
from plateside.frames.subject import subject_box
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.model.shoot import Shot
from plateside.tasks.named import check_shot
from plateside.tasks.set.judging import Judge
from plateside.words.set import events as words
from plateside.words.set import refusals


@dataclass(frozen=True)
class LampAsked:
    """A check that now waits for its frame."""

    shot: str
    frame: str
    """id of the frame under suspicion"""
    name: str
    row: int

    def lines(self) -> list[str]:
        return [words.compared_with_next_sentence(self.name), words.lamps_off_sentence(self.shot)]


def ask_lamp_off(given: Path, shot: str, frame: str = "") -> LampAsked:
    """Open the check for a shot: the next frame of it that lands is the one with the lamp off.

    shot   left empty, the current one
    frame  id of the suspected frame; left out, the shot's latest
    Raises InputError for an unknown shot, or when no frame of it has landed.
    """
    root = find_shoot(given)
    state = read_state(root)
    shot = check_shot(load_shoot(root / "shoot.toml"), shot or state.current_shot)
    of_shot = [f for f in state.landed if state.shot_of.get(f) == shot]
    if frame and frame not in state.landed:
        raise InputError(refusals.NOT_LANDED)
    if not frame and not of_shot:
        raise InputError(refusals.nothing_to_compare(shot))
    frame = frame or of_shot[-1]
    row = Journal.open(root).append("lamp check", shot=shot, frame=frame)
    return LampAsked(shot, frame, state.landed[frame], row.number)


def open_check(frame: Frame, shot: str, state: ShootState) -> LampCheck | None:
    """The check that this frame of `shot` settles, if one waits for it."""
    check = state.lamp_checks.get(shot)
    if check is None or frame.id == check.frame:
        return None
    later = list(state.landed).index(frame.id) >= check.landed if frame.id in state.landed else False
    return check if later else None


def settle_lamp(
    judge: Judge, frame: Frame, shot: Shot, check: LampCheck, state: ShootState
) -> dict[str, Any]:
    """Compare the frame with the lamp off to the suspected one; the data of a 'lamp settled' row.

    Raises CouldNotError when the two do not show the same set-up, or the suspected frame is gone.
    """
    path = judge.folder / state.landed.get(check.frame, "")
    if not path.is_file():
        raise CouldNotError(refusals.LAMP_FRAME_GONE)
    # the frame that has just landed is decoded last: it is judged next, and is not decoded twice
    on = judge.picture(read_frame(judge.folder, path, None, check.frame))
    off = judge.picture(frame)
    if on.shape != off.shape:
        raise CouldNotError(refusals.LAMP_OTHER_SHAPE)
    fit = register(grey(off), grey(on))
    if not fit.fits:
        raise CouldNotError(refusals.LAMP_OTHER_SCENE)
    box = subject_box(shot, frame.width_px, frame.height_px)
    whole = settled(small_linear(on), small_linear(off), fit, off.shape[1])
    inside = settled(small_linear(on), small_linear(off), fit, off.shape[1], box)
    found = inside if inside.lamp and not whole.lamp else whole
    return {
        "shot": shot.name,
        "frame": frame.id,
        "against": check.frame,
        "lamp": found.lamp,
        "share": round(found.share, 4),
        "warmer_mired": round(found.warmer_mired, 1),
        "at": [round(v, 4) for v in found.at],
        "on_subject_share": round(inside.share, 4),
    }
