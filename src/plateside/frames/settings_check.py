"""What the metadata alone gives away: automatics that will change the next frame, and settings that changed.

Common practice, no source: a series is matched only when exposure and white balance are set by hand; a stabiliser
on a tripod may itself shake the picture (makers say when to switch it off); a changed focal length or f-number
is a changed picture.
"""

import math

from plateside.frames.weighted_act import WeightedAct
from plateside.model.frame import Act, Settings

FOCAL_SLACK = 0.02
STOPS_SLACK = 0.2
UNDONE_BY = {"auto iso": "exposure", "auto white balance": "colour"}
"""The correction that each automatic would undo, by the code of its act."""


def automatics(settings: Settings, *, on_tripod: bool) -> list[WeightedAct]:
    """Automatics that are on. What the file does not say is not guessed."""
    found = []
    if settings.auto_iso:
        found.append(_remark("auto iso"))
    if settings.auto_white_balance:
        found.append(_remark("auto white balance"))
    if settings.stabiliser_on and on_tripod and (settings.exposure_s or 0) >= 1 / 60:
        found.append(_remark("stabiliser"))
    return found


def changed(before: Settings, after: Settings) -> list[WeightedAct]:
    """Settings that changed since the test frame, each in its own unit."""
    found = []
    if (
        before.focal_length_mm
        and after.focal_length_mm
        and _differs(before.focal_length_mm, after.focal_length_mm, FOCAL_SLACK)
    ):
        found.append(_act("zoom changed", after.focal_length_mm, before.focal_length_mm))
    if (
        before.f_number
        and after.f_number
        and 2 * abs(math.log2(after.f_number / before.f_number)) > STOPS_SLACK
    ):
        found.append(_act("aperture changed", after.f_number, before.f_number))
    if before.iso and after.iso and abs(math.log2(after.iso / before.iso)) > STOPS_SLACK:
        found.append(_remark("iso changed", after.iso, before.iso))
    if (
        before.exposure_s
        and after.exposure_s
        and abs(math.log2(after.exposure_s / before.exposure_s)) > STOPS_SLACK
    ):
        found.append(_remark("shutter changed", after.exposure_s, before.exposure_s))
    if before.auto_white_balance is False and after.auto_white_balance:
        found.append(_act("white balance automatic again"))
    if before.camera_model and after.camera_model and before.camera_model != after.camera_model:
        found.append(_remark("another camera"))
    return found


def opened_wider(before: Settings, after: Settings) -> tuple[float, float] | None:
    """f-number now and of the test frame, when the aperture is open wider than it was; else None."""
    if not before.f_number or not after.f_number:
        return None
    if 2 * math.log2(before.f_number / after.f_number) <= STOPS_SLACK:
        return None
    return after.f_number, before.f_number


def shorter(before: Settings, after: Settings) -> bool:
    """Whether the exposure is known to be shorter than the test frame's."""
    if not before.exposure_s or not after.exposure_s:
        return False
    return math.log2(before.exposure_s / after.exposure_s) > STOPS_SLACK


def zoomed(before: Settings, after: Settings) -> float:
    """How much larger everything is drawn by the zoom alone (the focal lengths' ratio); 1 where it was left alone."""
    if not before.focal_length_mm or not after.focal_length_mm:
        return 1.0
    if not _differs(before.focal_length_mm, after.focal_length_mm, FOCAL_SLACK):
        return 1.0
    return after.focal_length_mm / before.focal_length_mm


def _differs(a: float, b: float, share: float) -> bool:
    return abs(a - b) > share * max(a, b)


def _act(code: str, now: float | None = None, before: float | None = None) -> WeightedAct:
    return WeightedAct(Act(code, "settings", amount=now, against=before, confidence=0.8), 1)


def _remark(code: str, now: float | None = None, before: float | None = None) -> WeightedAct:
    return WeightedAct(Act(code, "settings", amount=now, against=before, confidence=0.9), 0)
