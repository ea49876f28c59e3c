"""What the metadata alone gives away: automatics that will change the next frame, and settings that changed.

Common practice, no source: a series is matched only when exposure and white balance are set by hand; a stabiliser
on a tripod may itself shake the picture (makers say when to switch it off); a changed focal length or f-number
is a changed picture.
"""

import math

from plateside.frames.weighted_act import WeightedAct
from plateside.ground.exposure import f_number_words, iso_words, shutter_words
from plateside.model.frame import Act, Settings

FOCAL_SLACK = 0.02
STOPS_SLACK = 0.2


AUTO_ISO = "Auto ISO is on: set ISO by hand, or the next frame differs"
AUTO_WHITE_BALANCE = "Auto white balance is on: set it by hand, from the grey card"
UNDONE_BY = {AUTO_ISO: "exposure", AUTO_WHITE_BALANCE: "colour"}
"""The correction that each automatic would undo."""


def automatics(settings: Settings, *, on_tripod: bool) -> list[WeightedAct]:
    """Automatics that are on. What the file does not say is not guessed."""
    found = []
    if settings.auto_iso:
        found.append(_remark(AUTO_ISO))
    if settings.auto_white_balance:
        found.append(_remark(AUTO_WHITE_BALANCE))
    if settings.stabiliser_on and on_tripod and (settings.exposure_s or 0) >= 1 / 60:
        found.append(_remark("The stabiliser is on while the camera stands on a tripod: switch it off"))
    return found


def changed(before: Settings, after: Settings) -> list[WeightedAct]:
    """Settings that changed since the reference, each in its own unit."""
    found = []
    if (
        before.focal_length_mm
        and after.focal_length_mm
        and _differs(before.focal_length_mm, after.focal_length_mm, FOCAL_SLACK)
    ):
        words = (
            f"The zoom stands at {after.focal_length_mm:g} mm, the reference at {before.focal_length_mm:g} mm"
        )
        found.append(_act(words))
    if (
        before.f_number
        and after.f_number
        and 2 * abs(math.log2(after.f_number / before.f_number)) > STOPS_SLACK
    ):
        words = f"{f_number_words(after.f_number)} now, {f_number_words(before.f_number)} in the reference"
        found.append(_act(f"{words}: the depth of focus changed"))
    if before.iso and after.iso and abs(math.log2(after.iso / before.iso)) > STOPS_SLACK:
        found.append(_remark(f"{iso_words(after.iso)} now, {iso_words(before.iso)} in the reference"))
    if (
        before.exposure_s
        and after.exposure_s
        and abs(math.log2(after.exposure_s / before.exposure_s)) > STOPS_SLACK
    ):
        words = f"{shutter_words(after.exposure_s)} now, {shutter_words(before.exposure_s)} in the reference"
        found.append(_remark(words))
    if before.auto_white_balance is False and after.auto_white_balance:
        found.append(_act("White balance went back to automatic since the reference: set it by hand"))
    if before.camera_model and after.camera_model and before.camera_model != after.camera_model:
        found.append(_remark("Another camera than the reference's"))
    return found


def wider_words(before: Settings, after: Settings) -> str:
    """'f/2.8 now, f/8 in the reference' when the aperture is open wider than it was; else empty."""
    if not before.f_number or not after.f_number:
        return ""
    if 2 * math.log2(before.f_number / after.f_number) <= STOPS_SLACK:
        return ""
    return f"{f_number_words(after.f_number)} now, {f_number_words(before.f_number)} in the reference"


def _differs(a: float, b: float, share: float) -> bool:
    return abs(a - b) > share * max(a, b)


def _act(words: str) -> WeightedAct:
    return WeightedAct(Act(words, kind="settings", confidence=0.8), 1)


def _remark(words: str) -> WeightedAct:
    return WeightedAct(Act(words, kind="settings", confidence=0.9), 0)
