"""What a delivery will lack, told of a frame while the dish is still there: the same crops, and what mends each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from plateside.deliver.crops import LEAST_PX, Crop, plan_crop
from plateside.deliver.rectangles import largest_size
from plateside.deliver.subject import Subject, marked
from plateside.model.shoot import Channel, Shot

Shares = tuple[float, float, float, float]


@dataclass(frozen=True)
class Ahead:
    """One thing that a delivery of this frame will lack."""

    code: str
    """runs out, cut, text third taken, too few pixels"""
    channels: tuple[str, ...]
    mend: str
    """step back, portrait, landscape, own crop (yours is small: move closer instead), larger files (the camera keeps
    fewer pixels than it has), other camera, place (move your crop)"""
    names: tuple[str, ...] = ()
    """runs out: sides of the frame; text third taken: the third"""
    got: float = 0.0
    """too few pixels: along the longer side [px]; cut: per cent of the food"""
    asked: float = 0.0
    """too few pixels: [px]"""


def at_full_size(subject: Subject, width_px: int, height_px: int) -> Subject:
    """A subject found in a smaller copy, in the pixels of the frame itself."""
    factor = width_px / subject.width_px
    return replace(
        subject,
        box=subject.box.scaled(factor),
        core=subject.core.scaled(factor),
        width_px=width_px,
        height_px=height_px,
    )


def crops_ahead(
    subject: Subject,
    channels: Sequence[Channel],
    moved: Mapping[str, Shares],
    dish: Shares | None = None,
) -> tuple[Crop, ...]:
    """Each channel's crop, as a delivery would decide it; none of a frame too small for a stamp.

    moved  your own crops by channel, dish  where you marked the dish: shares of the picture
    """
    if min(subject.width_px, subject.height_px) < LEAST_PX:
        return ()
    placed = subject if dish is None else marked(subject, dish)
    return tuple(plan_crop(placed, channel, moved.get(channel.name)) for channel in channels)


def lacks_ahead(
    crops: Sequence[Crop],
    channels: Sequence[Channel],
    frame: tuple[int, int],
    camera: tuple[int, int] | None,
    shot: Shot,
) -> tuple[Ahead, ...]:
    """What these crops lack that a photographer on set can still mend, the food first.

    frame   width and height [px]
    camera  the most that the camera gives [px], longer side first; None when it is not known
    """
    by_name = {c.name: c for c in channels}
    found = [*_run_out(crops), *_cut(crops), *_third_taken(crops)]
    if "fewer pixels" not in shot.deliberate:
        found += [_too_few(crop, by_name[crop.channel], frame, camera) for crop in crops if _few(crop)]
    return tuple(found)


def _run_out(crops: Sequence[Crop]) -> list[Ahead]:
    sides = next((r.names for c in crops for r in c.remarks if r.code == "runs out"), ())
    return [Ahead("runs out", tuple(c.channel for c in crops), "step back", sides)] if sides else []


def _cut(crops: Sequence[Crop]) -> list[Ahead]:
    """One for each way to mend it, with all its channels."""
    ways: dict[str, list[tuple[str, float]]] = {}
    for crop in crops:
        for remark in crop.remarks:
            if remark.code == "cut":
                mend = "place" if remark.what == "as placed" else remark.what
                ways.setdefault(mend, []).append((crop.channel, remark.got[0]))
    return [
        Ahead("cut", tuple(name for name, _ in of), mend, got=max(lost for _, lost in of))
        for mend, of in ways.items()
    ]


def _third_taken(crops: Sequence[Crop]) -> list[Ahead]:
    return [
        Ahead("text third taken", (crop.channel,), "step back", (remark.what,))
        for crop in crops
        for remark in crop.remarks
        if remark.code == "text third taken"
    ]


def _few(crop: Crop) -> bool:
    return any(remark.code == "too few pixels" for remark in crop.remarks)


def _too_few(crop: Crop, channel: Channel, frame: tuple[int, int], camera: tuple[int, int] | None) -> Ahead:
    """Along the longer side asked for (a crop has its channel's shape), and what gives more."""
    asked = channel.width_px, channel.height_px
    got = crop.box.width, crop.box.height
    side = 0 if asked[0] >= asked[1] else 1
    return Ahead(
        "too few pixels",
        (channel.name,),
        _more_by(crop, asked, frame, camera),
        got=got[side],
        asked=asked[side],
    )


def _more_by(
    crop: Crop, asked: tuple[int, int], frame: tuple[int, int], camera: tuple[int, int] | None
) -> str:
    def reaches(width: int, height: int) -> bool:
        return largest_size(width, height, *asked) >= asked

    wide, high = frame
    if reaches(wide, high):
        # the frame has enough: a crop made smaller by hand, or to leave room for text
        return "own crop"
    turned = "portrait" if wide >= high else "landscape"
    if wide != high and reaches(high, wide):
        return turned
    if camera is not None and max(camera) > 1.05 * max(wide, high):
        long, short = max(camera), min(camera)
        if reaches(long, short) if wide >= high else reaches(short, long):
            return "larger files"
    return "other camera"
