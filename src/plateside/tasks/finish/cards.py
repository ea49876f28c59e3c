"""Grey cards that were marked in frames of the shoot: which of them tells of the light of another frame."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from plateside.files.journal.state import CropShares, ShootState
from plateside.files.originals.kinds import is_raw
from plateside.files.settings.load import OpenShoot
from plateside.ground.exposure import F_NUMBERS, SHUTTERS, ScaleMark, nearest
from plateside.model.frame import Settings
from plateside.tasks.choose.heroes import Hero
from plateside.tasks.finish.marked import marked_frames

SAME_LIGHT = timedelta(minutes=20)
"""A card read longer before or after a frame tells of another light; common practice, no source."""
_ROUNDED_STOPS = 0.1
"""A camera writes 1/60 s for 1/64 s: so far the mark of the dial is off what it stands for."""
_SAME_SETTINGS_STOPS = 0.05


@dataclass(frozen=True)
class MarkedCard:
    """A frame in which a grey card was marked."""

    frame: str
    path: Path
    box: CropShares
    settings: Settings


def marked_cards(opened: OpenShoot, state: ShootState) -> tuple[MarkedCard, ...]:
    """Every one whose file is there as it was."""
    return tuple(
        MarkedCard(frame, path, box, settings)
        for frame, path, (_shot, box), settings in marked_frames(opened, state, state.card_marks)
    )


def card_of_light(cards: Sequence[MarkedCard], hero: Hero, settings: Settings) -> MarkedCard | None:
    """The one in the frame itself, else the nearest in time, before or after, by the same camera.

    A camera's JPEG holds no more than the tones it was given: another exposure, or a white balance that the camera
    chose for each frame, and a card beside it says nothing.
    """
    if own := [card for card in cards if card.frame == hero.frame_id]:
        return own[0]
    at = settings.taken_at
    near = []
    for card in cards:
        if at is None or card.settings.taken_at is None or is_raw(card.path) is not hero.is_raw:
            continue
        apart = abs(card.settings.taken_at - at)
        if card.settings.camera_model == settings.camera_model and apart <= SAME_LIGHT:
            near.append((apart, card.frame, card))
    for _apart, _frame, card in sorted(near, key=lambda one: one[:2]):
        step = stops_between(card.settings, settings)
        if step is None:
            continue
        auto = card.settings.auto_white_balance or settings.auto_white_balance
        if hero.is_raw or (abs(step) <= _SAME_SETTINGS_STOPS and not auto):
            return card
    return None


def stops_between(one: Settings, other: Settings) -> float | None:
    """How much more exposure the settings of `other` give than those of `one` [stops]; None where a file is silent."""
    given = [_given_stops(settings) for settings in (one, other)]
    return None if given[0] is None or given[1] is None else given[1] - given[0]


def _given_stops(settings: Settings) -> float | None:
    t, n, iso = settings.exposure_s, settings.f_number, settings.iso
    if not t or not n or not iso:
        return None
    return math.log2(_exact(SHUTTERS, t)) - 2 * math.log2(_exact(F_NUMBERS, n)) + math.log2(iso / 100)


def _exact(scale: tuple[ScaleMark, ...], written: float) -> float:
    mark = nearest(scale, written).exact
    return mark if abs(math.log2(mark / written)) < _ROUNDED_STOPS else written
