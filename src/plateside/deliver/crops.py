"""The crop of a picture for each channel: the subject whole, the text's third empty, never enlarged in silence."""

from dataclasses import dataclass

import numpy as np

from plateside.deliver.rectangles import PixelRectangle, largest_size, pixels_of
from plateside.deliver.subject import Subject
from plateside.model.crop import CropRemark
from plateside.model.errors import InputError
from plateside.model.shoot import Channel

MARGIN = 0.03
"""Air wanted on each side of the subject, as share of the crop's side."""
LEAST_PX = 16
_SCALES = (1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65, 0.6)
_EMPTY_ENOUGH = 0.12
"""Mean busyness (0..1) of a third that text can stand on."""


@dataclass(frozen=True)
class Crop:
    """A crop decided for one channel."""

    channel: str
    box: PixelRectangle
    """in the finished picture's pixels"""
    width_px: int
    """delivered"""
    height_px: int
    subject_whole: bool
    text_space_free: bool | None
    """None when the channel has no text"""
    moved_by_her: bool
    remarks: tuple[CropRemark, ...]
    """what is not as asked"""


class TooSmallError(InputError):
    """A picture too small to give even a stamp."""

    def __init__(self, width_px: int, height_px: int) -> None:
        super().__init__(f"too small: {width_px} x {height_px}")
        self.size = width_px, height_px


def plan_crop(
    subject: Subject, channel: Channel, moved: tuple[float, float, float, float] | None = None
) -> Crop:
    """Where to crop, and how large to deliver.

    moved  the photographer's own crop as shares of the picture (x, y, width, height): obeyed, drawn to the
           channel's shape inside what she marked
    Raises TooSmallError when the picture is too small to give even a stamp.
    """
    full_w, full_h = subject.width_px, subject.height_px
    if min(full_w, full_h) < LEAST_PX:
        raise TooSmallError(full_w, full_h)
    if moved is not None:
        marked = pixels_of(moved, full_w, full_h)
        wide, high = largest_size(marked.width, marked.height, channel.width_px, channel.height_px)
        box = PixelRectangle(
            marked.x + (marked.width - wide) // 2, marked.y + (marked.height - high) // 2, wide, high
        )
    else:
        box = _best_box(subject, channel)
    return _decided(subject, channel, box, moved is not None)


def text_third(box: PixelRectangle, text_space: str) -> PixelRectangle:
    """The third of a crop where text will stand."""
    wide, high = box.width // 3, box.height // 3
    match text_space:
        case "top":
            return PixelRectangle(box.x, box.y, box.width, high)
        case "bottom":
            return PixelRectangle(box.x, box.bottom - high, box.width, high)
        case "left":
            return PixelRectangle(box.x, box.y, wide, box.height)
        case _:
            return PixelRectangle(box.right - wide, box.y, wide, box.height)


def delivered_size(box: PixelRectangle, channel: Channel) -> tuple[int, int]:
    """Width and height [px] delivered: the channel's own, or as many as there are in the same shape."""
    if box.width >= channel.width_px and box.height >= channel.height_px:
        return channel.width_px, channel.height_px
    return largest_size(box.width, box.height, channel.width_px, channel.height_px)


def busyness(subject: Subject, box: PixelRectangle) -> float:
    """Mean detail (0..1) within a box of the picture."""
    rows, columns = subject.busy.shape
    across, down = columns / subject.width_px, rows / subject.height_px
    left, right = int(box.x * across), max(int(np.ceil(box.right * across)), int(box.x * across) + 1)
    top, bottom = int(box.y * down), max(int(np.ceil(box.bottom * down)), int(box.y * down) + 1)
    return float(subject.busy[top:bottom, left:right].mean())


def _best_box(subject: Subject, channel: Channel) -> PixelRectangle:
    """The best of many: dish whole, then text free, then pixels enough, then large, airy and middled."""
    full_w, full_h = subject.width_px, subject.height_px
    wide, high = largest_size(full_w, full_h, channel.width_px, channel.height_px)
    # a smaller crop only helps text to find its empty third
    scales = _SCALES if channel.text_space != "none" else (1.0,)
    best: tuple[tuple[float, ...], PixelRectangle] | None = None
    for scale in scales:
        w, h = max(round(wide * scale), 1), max(round(high * scale), 1)
        for x in _places(full_w - w, subject.core.x + subject.core.width / 2 - w / 2):
            for y in _places(full_h - h, subject.core.y + subject.core.height / 2 - h / 2):
                box = PixelRectangle(x, y, w, h)
                rank = _rank(subject, channel, box, scale)
                if best is None or rank > best[0]:
                    best = rank, box
    return best[1] if best is not None else PixelRectangle(0, 0, wide, high)


def _places(room: int, wanted: float) -> list[int]:
    """Places to try along one side: the wanted one first, then evenly over the room there is."""
    if room <= 0:
        return [0]
    first = min(max(round(wanted), 0), room)
    return [first, *(round(v) for v in np.linspace(0, room, min(room, 12) + 1))]


def _rank(subject: Subject, channel: Channel, box: PixelRectangle, scale: float) -> tuple[float, ...]:
    """What makes one crop better than another, the weightiest first."""
    core = subject.core
    whole = box.overlap(core) / core.pixels
    airy = 1.0 if box.holds(_with_air(core, box)) else 0.0
    around = box.overlap(subject.box) / subject.box.pixels
    dx = (core.x + core.width / 2 - box.x) / box.width
    dy = (core.y + core.height / 2 - box.y) / box.height
    if channel.text_space == "none":
        # what stands near the dish is wanted in the frame, but not at the price of a dish at the edge
        return whole, airy, around - abs(dx - 0.5) - abs(dy - 0.5)
    third = text_third(box, channel.text_space)
    clear = 1 - third.overlap(core) / third.pixels
    quiet = busyness(subject, third)
    enough = 1.0 if box.width >= channel.width_px and box.height >= channel.height_px else 0.0
    # the dish's middle belongs in the middle of what the text leaves
    aim_x = {"left": 2 / 3, "right": 1 / 3}.get(channel.text_space, 0.5)
    aim_y = {"top": 2 / 3, "bottom": 1 / 3}.get(channel.text_space, 0.5)
    off = abs(dx - aim_x) + abs(dy - aim_y)
    free = 1.0 if clear >= 1 else 0.0
    return whole, free, enough, airy, clear - round(quiet, 1) + 0.5 * scale, around - off


def _with_air(subject: PixelRectangle, box: PixelRectangle) -> PixelRectangle:
    x, y = round(MARGIN * box.width), round(MARGIN * box.height)
    return PixelRectangle(subject.x - x, subject.y - y, subject.width + 2 * x, subject.height + 2 * y)


def _framing(subject: Subject) -> list[CropRemark]:
    """What the frame itself does to the food, whatever the crop."""
    if subject.runs_out:
        return [CropRemark("runs out", names=tuple(subject.runs_out))]
    return [CropRemark("larger", got=(subject.larger,))] if subject.larger > 1 else []


def _decided(subject: Subject, channel: Channel, box: PixelRectangle, moved: bool) -> Crop:
    width, height = delivered_size(box, channel)
    core_inside = box.holds(subject.core)
    whole = core_inside and not subject.runs_out
    remarks = [] if whole else _framing(subject)
    if not core_inside:
        lost = 100 * (1 - box.overlap(subject.core) / subject.core.pixels)
        landscape = subject.width_px >= subject.height_px
        if moved:
            help_by = "as placed"
        elif (channel.width_px < channel.height_px) == landscape:
            help_by = "portrait" if landscape else "landscape"
        else:
            help_by = "step back"
        remarks.append(CropRemark("cut", help_by, got=(lost,)))
    free = None
    if channel.text_space != "none":
        third = text_third(box, channel.text_space)
        clear = third.overlap(subject.core) == 0
        free = clear and busyness(subject, third) <= _EMPTY_ENOUGH
        if not free:
            code = "text third busy" if clear else "text third taken"
            remarks.append(CropRemark(code, channel.text_space))
    if (width, height) != (channel.width_px, channel.height_px):
        got, asked = (box.width, box.height, width, height), (channel.width_px, channel.height_px)
        remarks.append(CropRemark("too few pixels", got=got, asked=asked))
    return Crop(channel.name, box, width, height, whole, free, moved, tuple(remarks))
