"""What is still open before the pictures go out: decided here alone, and said by page, command, READ-ME and `verify`.

A delivery is ready when every wanted shot of the shoot is in it, finished and matched (or accepted by name), when every
channel's pixels and bytes are kept, everyone in a picture has agreed and the terms are stated. What is told beside that
is a remark: it would make the delivery better, and does not hold it back.

Three kinds, in the order in which she would mend them: what settings and journal tell, what the made files tell (kept
in the delivery's list), and whether the delivery that is there is whole and of today.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from plateside.deliver.points import Point, holds_back, point_from
from plateside.deliver.rights import licence_gate, person_gate, rights_of
from plateside.deliver.sources import changed_since, source_said, sources_of
from plateside.deliver.words import placeholders, words_for
from plateside.files.folder import shoot_folder
from plateside.files.journal.state import ShootState
from plateside.files.json_text import read_json_file
from plateside.files.manifests import listed_in
from plateside.model.errors import InputError
from plateside.model.shoot import Shoot, Shot
from plateside.paper.structured import page_url_missing
from plateside.tasks.choose.doubt import doubt_of
from plateside.tasks.finish.finished_list import FinishedNow, finished_now, look_of
from plateside.words.commands import typed
from plateside.words.finish import look_off_sentence

MANIFEST = "manifest.json"
WHOLE, UNFINISHED = "whole", "unfinished"
_MOST_NAMED = 4


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
        sources = manifest.get("made_from", {})
        state = WHOLE if manifest.get("state", WHOLE) == WHOLE else UNFINISHED
        return Delivered(
            state,
            manifest.get("ready_to_publish") is True and state == WHOLE,
            rows["pictures"],
            rows["documents"],
            tuple(point_from(p) for p in manifest.get("open_in_these_files", ())),
            {str(k): str(v) for k, v in sources.items()},
        )
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


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
        finished = finished_now(folder)
    except InputError:
        finished = {}
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
            points.append(Point(f"{shot.name} is left out on purpose.", code="left out", shot=shot.name))
            continue
        if (gate := person_gate(shot)) is not None:
            withheld.append(gate)
            continue
        points += _of_shot(shot, state, finished.get(shot.name), root)
        if shot.name in finished:
            points += words_for(shoot.recipe, shot, state.words.get(shot.name)).remarks
    match_to, look_off = look_of(shoot_folder(root, shoot))
    if look_off is not None:
        off = look_off_sentence(look_off, match_to)
        points.append(
            Point(
                f"{off} Choose another frame of it, or let the set follow another shot; then finish again.",
                f"Run: plateside finish {typed(root)} --match-to SHOT", "look off", match_to,
            )
        )  # fmt: skip
    if all(shot.left_out for shot in shoot.shots):
        points.append(
            Point(
                "Every shot is left out, so there is nothing to publish: say of one that it is wanted.",
                'Take "left out" out of deliberate = [...] under a shot in shoot.toml.',
                "no picture", blocks=True,
            )
        )  # fmt: skip
    return withheld, [*points, *placeholders(shoot.recipe, shoot.creator.name)]


def _of_shot(shot: Shot, state: ShootState, now: FinishedNow | None, root: Path) -> list[Point]:
    name, again = shot.name, f"Run: plateside finish {typed(root)}"
    if now is None:
        without = "Or mark the shot “left out” on the Plan page, to publish without it."
        aside = 'To publish without it: deliberate = ["left out"] under the shot in shoot.toml.'
        if name not in (state.shot_of[f] for f in state.landed if f in state.shot_of):
            return [
                Point(
                    f"{name} has no frame yet: photograph it. {without}", aside, "no frame", name, blocks=True
                )
            ]
        return [
            Point(
                f"{name} is not finished: finish it. {without}", f"{again}. {aside}", "not finished", name,
                blocks=True,
            )
        ]  # fmt: skip
    hero, found = state.heroes.get(name), []
    if hero is not None and hero != now.one.frame_id:
        return [
            Point(
                f"{name} has another hero now than the finished picture: finish it again, then deliver again.",
                again, "another hero", name, blocks=True,
            )
        ]  # fmt: skip
    if now.cut_short:
        found.append(
            Point(
                f"The picture of {name} was replaced by a run that was stopped: finish it again.",
                again, "finish cut short", name, blocks=True,
            )
        )  # fmt: skip
    if not now.one.adjustments.match.matched and "unmatched" not in shot.deliberate and not now.by_hand:
        found.append(
            Point(
                f"{name} is not matched to the series. Compare it by eye: choose another frame, or mark the shot "
                "“unmatched” on the Plan page to keep it as taken.",
                'To keep it: deliberate = ["unmatched"] under the shot in shoot.toml.',
                "unmatched", name, blocks=True,
            )
        )  # fmt: skip
    return [*found, *_doubtful(name, state, now.one.frame_id)]


def _doubtful(name: str, state: ShootState, frame: str) -> list[Point]:
    """A picture of a frame that was to be taken again; one that she kept all the same is hers to decide."""
    doubt = doubt_of(state, frame)
    if doubt is None or doubt["kept"]:
        return []
    act = doubt["act"].rstrip(".")
    who = (
        f"You wanted the frame of {name} taken again"
        if doubt["by_her"]
        else f"The tool would take the frame of {name} again" + (f": {act}" if act else "")
    )
    return [Point(f"{who}.", code="taken again", shot=name)]


def _of_delivery(delivery: Delivered, changed: Sequence[str], folder: Path) -> list[Point]:
    if delivery.state == UNFINISHED:
        return [
            Point(
                "Making the delivery was stopped before it was done, so its files are not of one time: make it again.",
                code="interrupted", blocks=True,
            )
        ]  # fmt: skip
    found = []
    if changed:
        found.append(Point(changed_said(delivery, changed), code="stale", blocks=True))
    gone = [
        str(row["file"])
        for row in (*delivery.pictures, *delivery.documents)
        if not (folder / row["file"]).is_file()
    ]
    if gone and not changed:  # making it again mends both
        found.append(
            Point(
                f"Gone from the delivery since it was made: {_some(gone)}. Make it again.",
                code="files missing", blocks=True,
            )
        )  # fmt: skip
    return found


def changed_said(delivery: Delivered, changed: Sequence[str]) -> str:
    """That the delivery is older than what it is made from, and what has changed."""
    if not delivery.made_from:
        return "This delivery does not say what it was made from: make it again."
    return f"Changed after this delivery was made: {_some([source_said(c) for c in changed])}. Make it again."


def _some(names: Sequence[str]) -> str:
    more = len(names) - _MOST_NAMED
    return ", ".join(names[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
