"""How one frame lies over another of the same camera when they do not have the same shape, and what level is known.

Two frames of one camera are parts of the same sensor about its middle, however many pixels each was kept with: a
16:9 frame is a 3:2 frame without its top and bottom. So both are laid into the sensor's frame, and that into itself.
"""

from dataclasses import dataclass
from typing import TypeGuard

from plateside.frames.compare import Comparison
from plateside.frames.facts import CardInFrame

SAME_SHAPE = 0.01
"""Sides that agree to this share: a raw is a few pixels larger than its JPEG."""
STRAIGHT_DOWN_DEG = 88.0
"""As `camera.card.pose` has it: from here on a roll cannot be told from a turn of the table."""
USUAL_SENSOR = 1.5
"""Width over height of a sensor that is not known (36 x 24 mm)."""


@dataclass(frozen=True)
class Level:
    """How far the camera is from level [degrees], clockwise positive: the scene's horizon is turned the other way."""

    roll_deg: float
    by: str
    """set card (it is in this frame), or test frame (it was in that, and the camera has turned since as measured)"""


def laid_over(
    frame: tuple[int, int], other: tuple[int, int], sensor: float = USUAL_SENSOR
) -> tuple[float, float, float, float] | None:
    """Where `other` lies over `frame`: left, top, width, height as shares of the frame; may reach beyond it.

    frame, other  width and height [px], upright
    sensor        the sensor's longer side over its shorter one
    None when one is landscape and the other portrait: they cannot be laid over each other.
    """
    (w, h), (ow, oh) = frame, other
    if abs(w * oh / (h * ow) - 1) <= SAME_SHAPE:
        return 0.0, 0.0, 1.0, 1.0
    if (w > h and ow < oh) or (w < h and ow > oh):
        return None
    turned = (w < h) if w != h else ow < oh
    of = 1 / sensor if turned else sensor
    across = ow / _sensor_width(ow, oh, of) * _sensor_width(w, h, of) / w
    down = across * w / ow * oh / h
    return (1 - across) / 2, (1 - down) / 2, across, down


def _sensor_width(width: float, height: float, sensor: float) -> float:
    """Width of the whole sensor in the pixels of a frame that was cut from it."""
    return max(width, height * sensor)


def level_of(
    card: CardInFrame | None, test_card: CardInFrame | None, comparison: Comparison | None
) -> Level | None:
    """What is known of the camera's roll: by the set card in the frame, else by the test frame's; else nothing."""
    if _tells(card):
        return Level(card.roll_deg, "set card")
    if not _tells(test_card) or comparison is None or not comparison.fits:
        return None
    # the picture turns against the camera
    return Level(test_card.roll_deg - comparison.turn_deg, "test frame")


def _tells(card: CardInFrame | None) -> TypeGuard[CardInFrame]:
    """From straight above there is no horizon to be level with."""
    return card is not None and not card.back and card.elevation_deg < STRAIGHT_DOWN_DEG
