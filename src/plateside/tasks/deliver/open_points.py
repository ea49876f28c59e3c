"""What is left to fix before the pictures go out: decided here alone; page, command, READ-ME and `verify` say it.

A delivery is ready when every wanted shot of the shoot is in it, finished and matched (or accepted by name), when every
channel's pixels and bytes are kept, everyone recognisable has signed and the terms are stated. Everything else is a
remark: it would make the delivery better, and does not hold it back.

Three kinds, in the order in which one would fix them: what settings and journal tell, what the made files tell (kept
in the delivery's list), and whether the delivery that is there is whole and of today.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from plateside.deliver.points import Point, holds_back, point_from
from plateside.deliver.rights import licence_gate, person_gate, rights_of
from plateside.deliver.sources import changed_since, sources_of
from plateside.deliver.words import placeholders, words_for
from plateside.files.folder import shoot_folder
from plateside.files.journal.extra_shots import with_delivered
from plateside.files.journal.state import ShootState
from plateside.files.json_text import read_json_file
from plateside.files.manifests import listed_in
from plateside.model.errors import InputError
from plateside.model.shoot import Shoot, Shot
from plateside.paper.structured import page_url_missing
from plateside.tasks.choose.doubt import doubt_of
from plateside.tasks.finish.finished_list import (
    FinishedNow,
    accepted_as_taken,
    finished_now,
    look_of,
    selects_of,
    set_since,
)
from plateside.tasks.finish.retouched_list import not_taken_in
from plateside.words.deliver.points import point_sentence

MANIFEST = "manifest.json"
WHOLE, UNFINISHED = "whole", "unfinished"


@dataclass(frozen=True)
class Delivered:
    """The list of the delivery that is there."""

    state: str
    """WHOLE, or UNFINISHED while it is made and after that was cut short"""
    ready: bool
    pictures: tuple[Mapping[str, Any], ...]
    documents: tuple[Mapping[str, Any], ...]
    of_files: tuple[Point, ...]
    """what is open in its files"""
    made_from: Mapping[str, str]


def delivered(folder: Path) -> Delivered | None:
    """What the list of a delivery folder says; None when there is none that can be read."""
    try:
        manifest = read_json_file(folder / MANIFEST)
        rows = {kind: tuple(dict(row) for row in manifest[kind]) for kind in ("pictures", "documents")}
        listed_in(manifest)
        for row in rows["pictures"]:
            _check(row)
        points = tuple(point_from(p) for p in manifest.get("open_in_these_files", ()))
        for point in points:
            # one that cannot be said is none
            point_sentence(point)
        sources = manifest.get("made_from", {})
        state = WHOLE if manifest.get("state", WHOLE) == WHOLE else UNFINISHED
        return Delivered(
            state,
            manifest.get("ready_to_publish") is True and state == WHOLE,
            rows["pictures"],
            rows["documents"],
            points,
            {str(k): str(v) for k, v in sources.items()},
        )
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return None


def _check(row: Mapping[str, Any]) -> None:
    """Raise KeyError or TypeError for a picture's row that others could not read."""
    done = row.get("done", [])
    texts = [row["shot"], row["channel"], row["kind"], *done] if isinstance(done, list) else [done]
    sizes = (row["width_px"], row["height_px"])
    if not all(isinstance(text, str) for text in texts) or not all(type(size) is int for size in sizes):
        raise TypeError(row["file"])


@dataclass(frozen=True)
class DeliveryStanding:
    """Where a shoot's delivery stands."""

    withheld: tuple[Point, ...]
    open: tuple[Point, ...]
    delivery: Delivered | None
    changed: tuple[str, ...]
    """what the delivery was made from and is not as it was (see deliver.sources)"""

    @property
    def ready(self) -> bool:
        """True when what is there may be published as it is."""
        return self.delivery is not None and not holds_back((*self.withheld, *self.open))


def what_blocks(now: DeliveryStanding) -> list[Point]:
    """What keeps a delivery from being ready."""
    return told_apart((*now.withheld, *now.open))[0]


def told_apart(points: Iterable[Point]) -> tuple[list[Point], list[Point]]:
    """What keeps the delivery from being ready, and what is only a remark."""
    found = list(points)
    return [p for p in found if p.blocks], [p for p in found if not p.blocks]


def standing(root: Path, shoot: Shoot, state: ShootState) -> DeliveryStanding:
    """Where the delivery of the shoot in `root` stands, by what is on disk now."""
    folder = shoot_folder(root, shoot)
    try:
        finished = finished_now(folder, state)
    except InputError:
        finished = {}
    shoot = with_delivered(shoot, state, selects_of(finished))
    delivery = delivered(folder.delivery_dir)
    withheld, points = points_before(shoot, state, finished, root)
    changed: tuple[str, ...] = ()
    if delivery is not None:
        changed = changed_since(delivery.made_from, sources_now(shoot, state, finished))
        points += _of_delivery(delivery, changed, folder.delivery_dir)
        points += delivery.of_files
    if (missing := page_url_missing(shoot.creator.page_url)) is not None and delivery is not None:
        points = [*(p for p in points if p.code != missing.code), missing]
    return DeliveryStanding(tuple(withheld), tuple(first_what_blocks(points)), delivery, changed)


def first_what_blocks(points: Iterable[Point]) -> list[Point]:
    """The points in the order in which they are told: first what keeps the delivery from being ready."""
    blocking, remarks = told_apart(points)
    return [*blocking, *remarks]


def sources_now(shoot: Shoot, state: ShootState, finished: Mapping[str, FinishedNow]) -> dict[str, str]:
    """Everything that a delivery made now would be made from; a shot that is held back or left out has no picture."""
    rights = rights_of(shoot.creator, date.fromisoformat(shoot.date).year)
    pictures = {
        shot.name: finished[shot.name].digest
        for shot in shoot.shots
        if shot.name in finished and is_delivered(shot)
    }
    return sources_of(shoot, rights, pictures, state.words, state.crops, state.dishes)


def is_delivered(shot: Shot) -> bool:
    """Whether the shot's picture goes into a delivery once it is finished."""
    return not shot.left_out and person_gate(shot) is None


def points_before(
    shoot: Shoot, state: ShootState, finished: Mapping[str, FinishedNow], root: Path
) -> tuple[list[Point], list[Point]]:
    """What is held back, and what is open, before a file of the delivery is looked at."""
    withheld, points = [], []
    if gate := licence_gate(rights_of(shoot.creator, date.fromisoformat(shoot.date).year)):
        withheld.append(gate)
    for shot in shoot.shots:
        if shot.left_out:
            points.append(Point("left out", shot.name))
            continue
        if (gate := person_gate(shot)) is not None:
            withheld.append(gate)
            continue
        points += _of_shot(shot, state, finished.get(shot.name))
        if shot.name in finished:
            points += words_for(shoot.recipe, shot, state.words.get(shot.name)).remarks
    folder = shoot_folder(root, shoot)
    points += [Point(code, names=(file,)) for file, code in not_taken_in(folder, state, finished)]
    match_to, look_off = look_of(folder)
    if look_off is not None:
        found_off = (look_off.stops, look_off.mired)
        points.append(Point("look off", match_to, what=look_off.by, got=found_off))
    if all(shot.left_out for shot in shoot.shots):
        points.append(Point("no picture", blocks=True))
    return withheld, [*points, *placeholders(shoot.recipe, shoot.creator.name)]


def _of_shot(shot: Shot, state: ShootState, now: FinishedNow | None) -> list[Point]:
    name = shot.name
    if now is None:
        has_frame = name in (state.shot_of[f] for f in state.landed if f in state.shot_of)
        has_frame = has_frame or name in (extra.name for extra in state.extras.values())
        return [Point("not finished" if has_frame else "no frame", name, blocks=True)]
    hero, found = state.heroes.get(name), []
    if hero is not None and hero != now.one.frame_id:
        return [Point("another select", name, blocks=True)]
    if now.retouched is not None and now.retouched.wrong:
        return [Point(f"retouched {now.retouched.wrong}", name, blocks=True, names=(now.retouched.file,))]
    if set_since(now.one.adjustments, state, name) and (not now.by_hand or now.retouched is not None):
        return [Point("hand changed", name, blocks=True)]
    if now.cut_short:
        found.append(Point("finish cut short", name, blocks=True))
    accepted = accepted_as_taken(shot, state, now.one.frame_id)
    if not now.one.adjustments.match.matched and not accepted and not now.by_hand:
        found.append(Point("unmatched", name, blocks=True))
    return [*found, *_doubtful(name, state, now.one.frame_id)]


def _doubtful(name: str, state: ShootState, frame: str) -> list[Point]:
    """A picture of a frame that was to be taken again; one that was kept all the same is decided."""
    doubt = doubt_of(state, frame)
    if doubt is None or doubt["kept"]:
        return []
    return [Point("taken again", name) if doubt["by_her"] else Point("better again", name, text=doubt["act"])]


def _of_delivery(delivery: Delivered, changed: tuple[str, ...], folder: Path) -> list[Point]:
    if delivery.state == UNFINISHED:
        return [Point("interrupted", blocks=True)]
    if changed:  # making it again brings back what is gone as well
        return [Point("stale", blocks=True, names=changed if delivery.made_from else ())]
    gone = [
        str(row["file"])
        for row in (*delivery.pictures, *delivery.documents)
        if not (folder / row["file"]).is_file()
    ]
    return [Point("files missing", blocks=True, names=tuple(gone))] if gone else []
