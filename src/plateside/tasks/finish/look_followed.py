"""How far the look of a set is off what its grey card, its test frame or the other pictures say. Nothing is changed."""

import contextlib
from collections.abc import Sequence
from dataclasses import replace

from plateside.files.journal.state import ShootState
from plateside.files.originals.identity import content_hash
from plateside.files.settings.load import OpenShoot
from plateside.finish.followed import CARD, TEST_FRAME, LookOff
from plateside.finish.look_off import above, card_off, look_off, off_the_others
from plateside.model.errors import CouldNotError, InputError
from plateside.tasks.choose.heroes import Hero
from plateside.tasks.finish.set_look import MeasuredHero, SetLook


def look_followed(
    opened: OpenShoot, state: ShootState, set_look: SetLook, measured: Sequence[MeasuredHero]
) -> LookOff | None:
    """By the surest that there is; None when the look is as it should be, or nothing tells.

    A picture that is meant dark or light is not held against anything in its exposure, only in its colour.
    """
    chief = set_look.chief
    difference = _difference(opened, state, set_look, measured)
    if difference is not None and set_look.meant(chief):
        difference = look_off(difference.by, 0.0, difference.mired)
    return difference


def _difference(
    opened: OpenShoot, state: ShootState, set_look: SetLook, measured: Sequence[MeasuredHero]
) -> LookOff | None:
    shot, frame = set_look.chief.shot.name, set_look.chief.frame_id
    if set_look.grey is not None:
        # its colour is set right by the card; its exposure is left as taken
        return look_off(CARD, card_off(set_look.card())[0], 0.0)
    marked, box = state.grey_cards.get(shot, ("", None))
    if box is not None and (other := _frame_of(opened, state, set_look.chief, marked)):
        with contextlib.suppress(InputError, CouldNotError):
            stops, mired = card_off(set_look.card(other, box))
            if (step := above(set_look.against(other))) is not None:
                return look_off(CARD, stops + step[0], mired + step[1])
    test_frame = state.references.get(shot, "")
    if test_frame == frame:
        return None
    if test_frame not in state.again and (other := _frame_of(opened, state, set_look.chief, test_frame)):
        with contextlib.suppress(InputError, CouldNotError):
            if (step := above(set_look.against(other))) is not None:
                return look_off(TEST_FRAME, *step)
    others = [m for m in measured if m.hero.shot.name != shot and not set_look.meant(m.hero)]
    return off_the_others([step for m in others if (step := above(m.match)) is not None])


def _frame_of(opened: OpenShoot, state: ShootState, chief: Hero, frame: str) -> Hero | None:
    """Another frame of the same shot, when it is there as it was."""
    name = state.landed.get(frame, "")
    path = opened.folder.frames_dir / name
    if not name or not path.is_file() or content_hash(path) != frame:
        return None
    return replace(chief, frame_id=frame, name=name, path=path)
