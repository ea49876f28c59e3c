"""What every shot has before the set is cleared, while the dish is still there: all by what is kept now.

A kept frame fills a channel when the crop that Deliver would plan of it holds the dish, leaves the text's third free
and has the pixels: the same planning (deliver/crops.py), on the frame as the camera made it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from plateside.deliver.crops import TooSmallError, plan_crop
from plateside.deliver.rectangles import PixelRectangle
from plateside.deliver.subject import Subject, dish_share, find_subject
from plateside.files.journal.state import ShootState, read_state
from plateside.files.originals.pixels import display_picture, size_and_settings
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.model.crop import CropRemark
from plateside.model.errors import PlatesideError
from plateside.model.shoot import Channel, Shot
from plateside.tasks.set.grey_asked import has_card
from plateside.tasks.set.now import set_now

LOOKED_AT_PX = 1200
MOST_KEPT = 6
"""Of a shot's kept frames, the latest, tried for each channel; the select first."""
_NOT_FILLED = ("runs out", "cut", "text third taken", "too few pixels")


@dataclass(frozen=True)
class ChannelLeft:
    """A channel that no kept frame of the shot fills."""

    channel: str
    remarks: tuple[CropRemark, ...]
    """of the frame that comes nearest; none: no kept frame can be read"""


@dataclass(frozen=True)
class ShotBefore:
    """One shot."""

    name: str
    frame: str
    """the select, else the latest kept; empty: none"""
    file: str
    kept: int
    spare: str
    """kept: a second one is kept or chosen; good: another one was judged good; empty: none"""
    channels: int
    """that it goes to"""
    left: tuple[ChannelLeft, ...]
    grey_card: str
    """yes, no, unknown"""
    release: str
    """none needed, signed, missing"""

    @property
    def needs_dish(self) -> bool:
        """Whether something of it can only be had while the dish is there."""
        return not self.kept or not self.spare or bool(self.left)

    @property
    def complete(self) -> bool:
        """Whether nothing is missing."""
        return not self.needs_dish and self.grey_card != "no" and self.release != "missing"


@dataclass(frozen=True)
class BeforeClearing:
    """Every wanted shot, in the order of the plan."""

    shots: tuple[ShotBefore, ...]

    @property
    def need_dish(self) -> tuple[str, ...]:
        """Names of the shots that still need it."""
        return tuple(shot.name for shot in self.shots if shot.needs_dish)


def before_clearing(root: Path) -> BeforeClearing:
    """As of now. Raises InputError and CouldNotError when the shoot's files cannot be read."""
    opened = open_shoot(root)
    state = read_state(root)
    by_name = {shot.name: shot for shot in opened.shoot.shots if not shot.left_out}
    in_order = [by_name[each.name] for each in set_now(opened.folder.root).shots if each.name in by_name]
    return BeforeClearing(tuple(_shot(opened, state, shot) for shot in in_order))


def _shot(opened: OpenShoot, state: ShootState, shot: Shot) -> ShotBefore:
    own = [f for f in state.landed if state.shot_of.get(f) == shot.name and f not in state.cards]
    select = state.heroes.get(shot.name, "")
    kept = [f for f in own if (f in state.kept or f == select) and f not in state.again]
    kept.sort(key=lambda f: f != select)
    if kept and kept[0] != select:
        kept.reverse()  # the latest first
    alternate = state.alternates.get(shot.name, "")
    good = any(
        state.verdicts.get(f, {}).get("word") == "good" for f in own if f not in kept and f not in state.again
    )
    spare = "kept" if len(kept) > 1 or (kept and alternate in own) else "good" if kept and good else ""
    channels = [c for c in opened.shoot.channels if not shot.channels or c.name in shot.channels]
    card = has_card(state, shot.name)
    frame = kept[0] if kept else ""
    return ShotBefore(
        name=shot.name,
        frame=frame,
        file=state.landed.get(frame, ""),
        kept=len(kept),
        spare=spare,
        channels=len(channels),
        left=_not_filled(opened, state, shot, kept[:MOST_KEPT], channels) if kept else (),
        grey_card="unknown" if card is None else "yes" if card else "no",
        release="none needed" if not shot.person else "signed" if shot.model_release else "missing",
    )


def _not_filled(
    opened: OpenShoot, state: ShootState, shot: Shot, kept: Sequence[str], channels: Sequence[Channel]
) -> tuple[ChannelLeft, ...]:
    meant = {"too few pixels"} if "fewer pixels" in shot.deliberate else set()
    bare = replace(shot, title="", caption="", alt_text="")
    subjects = [
        found
        for frame in kept
        if (found := _subject(str(opened.folder.frames_dir / state.landed[frame]), frame, bare)) is not None
    ]
    left = []
    for channel in channels:
        best: tuple[CropRemark, ...] | None = None
        for subject in subjects:
            try:
                remarks = plan_crop(subject, channel).remarks
            except TooSmallError:
                continue
            lacks = tuple(r for r in remarks if r.code in _NOT_FILLED and r.code not in meant)
            if best is None or len(lacks) < len(best):
                best = lacks
        if best is None or best:
            left.append(ChannelLeft(channel.name, best or ()))
    return tuple(left)


@lru_cache(maxsize=200)
def _subject(path: str, _frame: str, shot: Shot) -> Subject | None:
    """Where the dish is in a frame, in its own pixels; None when it cannot be read."""
    try:
        wide, high, _settings = size_and_settings(Path(path))
        picture = display_picture(Path(path), LOOKED_AT_PX)
    except PlatesideError:
        return None
    seen_high, seen_wide = picture.shape[:2]
    if (seen_wide >= seen_high) != (wide >= high):
        wide, high = high, wide  # a header that tells the sensor's sides, of a picture that was turned
    found = find_subject(picture, dish_share(shot, wide, high))
    return replace(
        found,
        box=_scaled(found.box, wide / seen_wide, high / seen_high, wide, high),
        core=_scaled(found.core, wide / seen_wide, high / seen_high, wide, high),
        width_px=wide,
        height_px=high,
    )


def _scaled(box: PixelRectangle, across: float, down: float, wide: int, high: int) -> PixelRectangle:
    x, y = min(round(box.x * across), wide - 1), min(round(box.y * down), high - 1)
    return PixelRectangle(
        x,
        y,
        min(max(round(box.width * across), 1), wide - x),
        min(max(round(box.height * down), 1), high - y),
    )
