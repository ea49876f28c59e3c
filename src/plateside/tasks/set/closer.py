"""What is known of a frame for who looks closely while the dish is alive, beside its pixels.

The crops that its channels would get and what they would lack, the test frame that can be laid over it, how level the
camera is. Asked after the verdict, which is kept; only the food is looked for anew, in a small picture.
"""

from dataclasses import dataclass

from plateside.deliver.ahead import Ahead, at_full_size, crops_ahead, lacks_ahead
from plateside.deliver.crops import Crop
from plateside.deliver.subject import LOOKED_AT_PX, dish_share, find_subject
from plateside.files.journal.state import ShootState, read_state
from plateside.files.originals.pixels import display_picture
from plateside.files.settings.load import OpenShoot
from plateside.frames.over import USUAL_SENSOR, laid_over, level_of
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.model.gear import Camera
from plateside.model.shoot import Channel, Shot
from plateside.tasks.set.judged import Judged
from plateside.tasks.set.marks import FrameMarker
from plateside.words.set.ahead import ahead_lead, ahead_sentence, over_sentence

Shares = tuple[float, float, float, float]


@dataclass(frozen=True)
class CropAhead:
    """One channel's crop of the frame, as a delivery would take it."""

    channel: str
    box: Shares
    """left, top, width, height, shares of the frame"""
    width_px: int
    height_px: int
    whole: bool
    """the food is whole in it, and it has all the pixels asked for"""


@dataclass(frozen=True)
class CloserFacts:
    """One frame, for who looks closely."""

    frame: str
    shot: str
    crops: tuple[CropAhead, ...]
    lacks: tuple[str, ...]
    """what a delivery of it will lack, a sentence each with what mends it; the food first"""
    lead: str
    """the first of these in short; empty without any"""
    test_frame: str
    """id of the shot's test frame; empty when there is none, or when it is this one"""
    test_over: Shares | None
    """where the test frame lies over this one; None when it cannot be laid there"""
    test_words: str
    """why there is nothing to lay over it; else empty"""
    roll_deg: float | None
    """camera's roll, clockwise positive; None when it is not known"""
    roll_by: str
    """set card or test frame"""

    def lines(self) -> list[str]:
        return list(self.lacks)


def closer_facts(marker: FrameMarker, frame_id: str) -> CloserFacts:
    """What is known of a frame. Raises InputError, CouldNotError when the frame or its file is not there."""
    state = read_state(marker.root)
    one, opened = marker.judged(frame_id), marker.opened
    shot = next((s for s in opened.shoot.shots if s.name == one.shot), None)
    test_id = state.references.get(one.shot, "")
    test = _other(marker, test_id) if test_id and test_id != frame_id else None
    over, words = _laid(one, test, opened)
    level = level_of(one.facts.card, test.facts.card if test else None, one.comparison)
    crops, lacks = _ahead(marker, one, shot, state) if shot is not None else ((), ())
    return CloserFacts(
        frame=frame_id,
        shot=one.shot,
        crops=crops,
        lacks=tuple(ahead_sentence(each) for each in lacks),
        lead=ahead_lead(lacks[0]) if lacks else "",
        test_frame=test.frame.id if test else "",
        test_over=over,
        test_words=words,
        roll_deg=None if level is None else level.roll_deg,
        roll_by="" if level is None else level.by,
    )


def _other(marker: FrameMarker, frame_id: str) -> Judged | None:
    try:
        return marker.judged(frame_id)
    except (InputError, CouldNotError):
        return None


def _laid(one: Judged, test: Judged | None, opened: OpenShoot) -> tuple[Shares | None, str]:
    if test is None:
        return None, over_sentence("none")
    camera = camera_of(one.frame, opened)
    sensor = USUAL_SENSOR if camera is None else camera.sensor_width_mm / camera.sensor_height_mm
    size, other = ((f.width_px, f.height_px) for f in (one.frame, test.frame))
    over = laid_over(size, other, max(sensor, 1 / sensor))
    return (over, "") if over is not None else (None, over_sentence("turned"))


def camera_of(frame: Frame, opened: OpenShoot) -> Camera | None:
    """The studio's camera that took a frame; with one camera that states no model, that one."""
    cameras = opened.studio.cameras
    named = [c for c in cameras if c.exif_model and c.exif_model == frame.settings.camera_model]
    if named:
        return named[0]
    return cameras[0] if len(cameras) == 1 and not cameras[0].exif_model else None


def _ahead(
    marker: FrameMarker, one: Judged, shot: Shot, state: ShootState
) -> tuple[tuple[CropAhead, ...], tuple[Ahead, ...]]:
    channels = [c for c in marker.opened.shoot.channels if not shot.channels or c.name in shot.channels]
    if not channels or shot.left_out:
        return (), ()
    size = one.frame.width_px, one.frame.height_px
    small = display_picture(marker.path_of(one.frame), 2 * LOOKED_AT_PX)
    subject = at_full_size(find_subject(small, dish_share(shot, *size)), *size)
    moved = {channel: box for (name, channel), box in state.crops.items() if name == shot.name}
    crops = crops_ahead(subject, channels, moved, state.dishes.get(shot.name))
    camera = camera_of(one.frame, marker.opened)
    most = None if camera is None else (camera.pixels_wide, camera.pixels_high)
    lacks = lacks_ahead(crops, channels, size, most, shot)
    by_name = {c.name: c for c in channels}
    shown = tuple(_shown(crop, by_name[crop.channel], size) for crop in crops)
    return shown, lacks


def _shown(crop: Crop, channel: Channel, size: tuple[int, int]) -> CropAhead:
    x, y, w, h = crop.box.x, crop.box.y, crop.box.width, crop.box.height
    enough = (crop.width_px, crop.height_px) == (channel.width_px, channel.height_px)
    box = (round(x / size[0], 6), round(y / size[1], 6), round(w / size[0], 6), round(h / size[1], 6))
    return CropAhead(crop.channel, box, crop.width_px, crop.height_px, crop.subject_whole and enough)
