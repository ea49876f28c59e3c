"""A finished picture with what a hand just set: looked at while the hand turns, so it is quick and not kept."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.files.journal.state import read_state
from plateside.files.originals.identity import content_hash
from plateside.files.originals.pixels import linear_picture
from plateside.files.pictures import encode_plain
from plateside.files.settings.load import open_shoot
from plateside.finish.by_hand import curve_of, gains_of, straightened_to_look_at
from plateside.finish.chart import ColourProfile
from plateside.finish.develop import develop
from plateside.finish.facts import Rendering
from plateside.finish.hand import Hand, hand_of
from plateside.finish.quick import quick_render
from plateside.finish.tone import Curve
from plateside.finish.white_balance import Gains
from plateside.model.errors import InputError
from plateside.tasks.finish.finished_list import DAMAGED, read_rows, rendering_of
from plateside.tasks.finish.hand_version import file_state, hand_version
from plateside.tasks.finish.lenses import Lenses
from plateside.tasks.finish.moves import Moves
from plateside.tasks.finish.set_look import match_from
from plateside.words.finish import MADE_EARLIER, NOTHING_OF_THAT_NAME, frame_gone
from plateside.words.set.refusals import select_changed

__all__ = ["HandPreview", "hand_of", "hand_preview"]

LOOKED_AT_PX = 2_000_000
_QUALITY = 88


@dataclass(frozen=True)
class HandPreview:
    """What is looked at while a hand sets it."""

    jpeg: bytes
    version: str
    """of what it was made (`hand_version`), which may have changed since somebody asked"""


@dataclass(frozen=True, eq=False)
class _Held:
    """The picture whose controls were moved last, developed: what takes time is done once."""

    of: tuple[object, ...]
    linear: NDArray[np.float32]
    rendering: Rendering
    version: str


_held: list[_Held] = []


def hand_preview(root: Path, shot: str, hand: Hand) -> HandPreview:
    """About two megapixels. Raises InputError when nothing of that name is finished, its frame is gone or another."""
    held = _developed(root, shot)
    r = held.rendering
    red, green, blue = r.gains
    gains = Gains(red, green, blue).times(gains_of(hand))
    shown = quick_render(held.linear, gains, curve_of(Curve(r.contrast, r.white), hand))
    return HandPreview(
        encode_plain(straightened_to_look_at(shown, hand.turned_degrees), _QUALITY), held.version
    )


def _developed(root: Path, shot: str) -> _Held:
    opened = open_shoot(root)
    row = _row(read_rows(opened.folder), shot)
    rendering = rendering_of(row)
    if rendering is None:
        raise InputError(MADE_EARLIER)
    across = match_from(row["match"]).across
    path = opened.folder.frames_dir / row["frame"]
    if not path.is_file():
        raise InputError(frame_gone(row["frame"]))
    state = read_state(opened.folder.root)
    version = hand_version(opened.folder, state, shot, row["made_from"], path)
    moves = Moves(opened, state, Lenses(state.lens), shot, path)
    of = (
        str(opened.folder.root),
        shot,
        row["frame_id"],
        file_state(path),
        rendering.white_balance,
        rendering.profile,
        across,
        moves.place_key,
    )
    if _held and _held[0].of == of:
        return _Held(of, _held[0].linear, rendering, version)
    if content_hash(path) != row["frame_id"]:
        raise InputError(select_changed(shot, row["frame"]))
    profile = None if rendering.profile is None else ColourProfile(rendering.profile, 0.0, 0.0, 0.0)
    picture = linear_picture(path, half=True)
    linear = develop(picture, rendering.white_balance, profile)
    height, width = linear.shape[:2]
    share = min((LOOKED_AT_PX / (height * width)) ** 0.5, 1.0)
    if share < 1:
        size = (max(round(width * share), 1), max(round(height * share), 1))
        linear = np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA), np.float32)
    if across is not None:
        linear = across.evened(linear)
    linear = moves.moved(linear, picture)
    _held[:] = [_Held(of, np.ascontiguousarray(linear), rendering, version)]
    return _held[0]


def _row(rows: list[Mapping[str, Any]], shot: str) -> Mapping[str, Any]:
    try:
        return next(row for row in rows if row["shot"] == shot)
    except (StopIteration, *DAMAGED) as error:
        raise InputError(NOTHING_OF_THAT_NAME) from error
