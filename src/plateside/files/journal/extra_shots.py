"""Frames that are finished beside the selects, each as a shot of its own: whoever works by shots takes them as well."""

from collections.abc import Collection
from dataclasses import replace

from plateside.files.journal.state import ShootState
from plateside.finish.extra import DELIVERED, USES, extra_name
from plateside.model.shoot import Shoot, Shot


def extra_shots(
    shoot: Shoot, state: ShootState, selects: Collection[str] = (), uses: Collection[str] = USES
) -> dict[str, Shot]:
    """Frame -> the shot that stands for it: its own shot under the name of its picture, and never the main one.

    selects  ids of frames that are finished as selects: they are finished once
    uses     which extras; none named: all
    """
    names = {shot.name: shot for shot in shoot.shots}
    chosen = {*state.heroes.values(), *selects}
    found = {}
    for frame, extra in state.extras.items():
        if frame in chosen or frame not in state.landed or extra.name in names or extra.use not in uses:
            continue
        own = names.get(state.shot_of.get(frame, ""))
        found[frame] = replace(own, name=extra.name, role="extra") if own else Shot(name=extra.name)
    return found


def with_delivered(shoot: Shoot, state: ShootState, selects: Collection[str] = ()) -> Shoot:
    """The shoot with the extra frames that are to be delivered as well, each behind its own shot."""
    extras = extra_shots(shoot, state, selects, (DELIVERED,))
    if not extras:
        return shoot
    behind: dict[str, list[Shot]] = {}
    for frame, shot in extras.items():
        behind.setdefault(state.shot_of.get(frame, ""), []).append(shot)
    known = {shot.name for shot in shoot.shots}
    loose = [shot for of, shots in behind.items() if of not in known for shot in shots]
    shots = [one for shot in shoot.shots for one in (shot, *behind.get(shot.name, ()))]
    return replace(shoot, shots=(*shots, *loose))


def name_for(shoot: Shoot, state: ShootState, frame: str) -> str:
    """What the picture of a frame is called: as before when it has one."""
    if frame in state.extras:
        return state.extras[frame].name
    taken = {*(shot.name for shot in shoot.shots), *(extra.name for extra in state.extras.values())}
    return extra_name(state.shot_of.get(frame, ""), state.landed.get(frame, frame), taken)
