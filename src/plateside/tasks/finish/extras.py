"""Frames that are finished beside the selects: named by you, written down, with their files checked."""

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from plateside.files.index.index import Index
from plateside.files.journal.extra_shots import extra_shots, name_for
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, read_state
from plateside.files.originals.identity import content_hash
from plateside.files.originals.scan import scan_frames
from plateside.files.settings.load import OpenShoot
from plateside.finish.extra import NOT_FINISHED
from plateside.model.errors import InputError
from plateside.tasks.choose.heroes import Hero
from plateside.tasks.set.shot import find_frame
from plateside.words.finish import frame_gone, not_finished_beside


def write_down(opened: OpenShoot, wanted: Mapping[str, Sequence[str]], selects: Sequence[Hero]) -> None:
    """Write down which frames are finished beside the selects, or no more.

    wanted  use -> frames, by name or the start of their id
    One that is a select, or is finished so already, stays as it is. Raises InputError for what is no frame.
    """
    for use, given in wanted.items():
        if given:
            _write_down(opened, given, use, {hero.frame_id for hero in selects})


def _write_down(opened: OpenShoot, given: Sequence[str], use: str, selects: Collection[str]) -> None:
    root = opened.folder.root
    with Index.open(root) as index:
        frames, _refused = scan_frames(opened.folder.frames_dir, index=index)
    state, rows = read_state(root), list[tuple[str, dict[str, Any]]]()
    for frame in dict.fromkeys(find_frame(frames, name) for name in given):
        there = state.extras.get(frame.id)
        if use == NOT_FINISHED and there is None:
            raise InputError(not_finished_beside(frame.name, [state.landed[f] for f in state.extras]))
        if frame.id in selects or (there is not None and there.use == use):
            continue
        if frame.id not in state.landed:
            rows.append(("frame landed", {"frame": frame.id, "name": frame.name}))
            state.landed[frame.id] = frame.name
        rows.append(
            ("extra", {"frame": frame.id, "name": name_for(opened.shoot, state, frame.id), "use": use})
        )
    if rows:
        Journal.open(root).append_many(rows)


def extra_heroes(opened: OpenShoot, state: ShootState, selects: Sequence[Hero]) -> list[Hero]:
    """Every frame to be finished beside the selects, as a select is. Raises InputError for a file that is gone."""
    found = []
    for frame, shot in extra_shots(opened.shoot, state, [hero.frame_id for hero in selects]).items():
        name = state.landed[frame]
        path = opened.folder.frames_dir / name
        if not path.is_file() or content_hash(path) != frame:
            raise InputError(frame_gone(name))
        found.append(Hero(shot, frame, name, path, "you"))
    return found
