"""The kinds of blur, told from one frame's own edges."""

from enum import Enum

from plateside.frames.facts import FocusFacts


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
