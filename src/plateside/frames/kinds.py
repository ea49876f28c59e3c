"""The kinds of blur, told from one frame's own edges."""

from enum import Enum

from plateside.frames.facts import FocusFacts
from plateside.frames.softer import Softening


class BlurKind(Enum):
    """What a frame's sharpness is."""

    SHARP = "sharp"
    SHALLOW = "wanted shallow focus"
    DEFOCUS = "out of focus"
    SHAKE = "camera shake"
    MOTION = "subject motion"
    ELSEWHERE = "focus elsewhere"
    UNSURE = "unsure"

    @property
    def keeps(self) -> bool:
        """Whether a frame of this kind can be kept."""
        return self in (BlurKind.SHARP, BlurKind.SHALLOW, BlurKind.UNSURE)


SHARP_PX = 2.4
"""Spread of the subject's sharper edges that still looks sharp, in pixels of a 3000 px wide picture."""
ALONG_PX2 = 4.0
SOFTER_PX2 = 1.0


def kind_of(focus: FocusFacts, sharp_wish: str = "hero") -> tuple[BlurKind, float]:
    """The kind of blur and how sure that is, 0 to 1, from one frame alone."""
    subject, around = focus.subject_spread_px, focus.around_spread_px
    if subject is None:
        return BlurKind.UNSURE, 0.3
    if subject <= SHARP_PX:
        blurred_around = around is not None and around > 1.6 * max(subject, 1.2)
        return (BlurKind.SHALLOW if blurred_around else BlurKind.SHARP), 0.7
    if focus.along_px2 > ALONG_PX2:
        both = focus.around_along_px2 > 0.4 * focus.along_px2
        return (BlurKind.SHAKE if both or around is None else BlurKind.MOTION), 0.6
    best = focus.best_spread_px
    if best is not None and best < 0.6 * subject and best <= SHARP_PX:
        return BlurKind.ELSEWHERE, 0.6
    return BlurKind.DEFOCUS, 0.6


def kind_against(soft: Softening, wants_shallow: bool = False) -> tuple[BlurKind, float]:
    """The kind of blur and how sure that is, from what grew softer since the reference."""
    subject, around = soft.subject_median, soft.around_median
    if subject < SOFTER_PX2 and soft.subject_along < ALONG_PX2:
        behind = wants_shallow or around > 4 * SOFTER_PX2
        return (BlurKind.SHALLOW if behind else BlurKind.SHARP), 0.9
    if soft.subject_along > max(ALONG_PX2, soft.subject_level):
        together = soft.around_along > 0.35 * soft.subject_along
        return (BlurKind.SHAKE if together else BlurKind.MOTION), 0.85
    if around < max(0.25 * subject, SOFTER_PX2):
        return BlurKind.ELSEWHERE, 0.85
    return BlurKind.DEFOCUS, 0.9
