"""What squares a picture: four corners that you give, or the set card seen from the same place; and the lens switch."""

import contextlib
from collections.abc import Iterator
from dataclasses import asdict
from datetime import timedelta
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.camera.card.pose import card_corners
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, read_state
from plateside.files.originals.identity import content_hash
from plateside.files.originals.kinds import is_raw
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import display_picture, linear_picture, stated_size
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.finish.lens import Lens
from plateside.finish.lens_facts import OFF, ON
from plateside.finish.placing import placing_of
from plateside.finish.square import Corners, Square, square_of
from plateside.finish.squaring import Focal, NotSquareError, in_order
from plateside.ground.srgb import to_display
from plateside.model.errors import CouldNotError, InputError
from plateside.tasks.finish.lenses import Lenses, focal_of
from plateside.words import lens as words

__all__ = ["focal_in", "frame_of", "lens_switch", "square_by_card", "square_by_corners", "square_taken_back"]

LOOKED_AT_PX = 3000
_MOST_CARDS = 6
_OFF_PX = 3.0


def lens_switch(given: Path, use: str) -> None:
    """Write down whether the series is corrected for its lenses: on, off, or the profile to take where several fit."""
    opened = open_shoot(given)
    use = use if use not in (ON.title(), OFF.title()) else use.lower()
    if not use.strip() or len(use) > 200:
        raise InputError(words.NO_LENS_SWITCH)
    if read_state(opened.folder.root).lens != use:
        Journal.open(opened.folder.root).append_many([("lens", {"use": use})])


def square_by_corners(given: Path, shot: str, corners: tuple[float, ...], shape: float = 0.0) -> int:
    """Write down the four corners of a flat rectangle in a shot's frame, as shares of it: the number of the row.

    shape  its width over its height; 0: told by its perspective
    Raises InputError for what is no such shot, or no rectangle that can be made square; then nothing is written.
    """
    opened, state, path = _shot_frame(given, shot)
    try:
        square = square_of({"corners": corners, "shape": shape})
    except (ValueError, TypeError) as error:
        raise InputError(words.NOT_SQUARE["crossed"]) from error
    if square is None:
        raise InputError(words.NOT_SQUARE["crossed"])
    return _write(opened, state, shot, square, path)


def square_taken_back(given: Path, shot: str) -> None:
    """Square a shot's picture no more."""
    opened, state, _path = _shot_frame(given, shot)
    if shot in state.squares:
        Journal.open(opened.folder.root).append_many([("square", {"shot": shot, "corners": []})])


def square_by_card(given: Path, shot: str) -> int:
    """Square a shot's picture by the set card: in its own frame, else in the nearest in time: the number of the row.

    Raises InputError when none is seen.
    """
    opened, state, path = _shot_frame(given, shot)
    for frame in _with_card(opened, state, path):
        found = _card_in(frame, Lenses(state.lens))
        if found is not None:
            square = Square(found[0], found[1], frame.name)
            return _write(opened, state, shot, square, path)
    raise InputError(words.no_card_seen(path.name))


def _write(opened: OpenShoot, state: ShootState, shot: str, square: Square, path: Path) -> int:
    size = stated_size(path)
    lens = Lenses(state.lens).of(path).lens(size)
    try:
        placing_of(size, state.hand(shot).turned_degrees, lens, square, focal_in(opened, path, size))
    except NotSquareError as error:
        raise InputError(words.NOT_SQUARE[error.reason]) from error
    if state.squares.get(shot) == square:
        return state.last_row
    row = {"shot": shot, **asdict(square), "corners": list(square.corners)}
    return Journal.open(opened.folder.root).append("square", **row).number


def focal_in(opened: OpenShoot, path: Path, size: tuple[int, int]) -> Focal | None:
    """What is known of the focal length of a frame."""
    settings = read_settings(path)
    named = [c for c in opened.studio.cameras if c.exif_model and c.exif_model == settings.camera_model]
    return focal_of(settings, size, named[0].sensor_width_mm if named else None)


def frame_of(opened: OpenShoot, state: ShootState, shot: str) -> Path | None:
    """The frame that a shot's picture is made of: its select, or the extra of that name."""
    frame = next((f for f, extra in state.extras.items() if extra.name == shot), "") or state.heroes.get(
        shot, ""
    )
    name = state.landed.get(frame, "")
    path = opened.folder.frames_dir / name
    return path if name and path.is_file() else None


def _shot_frame(given: Path, shot: str) -> tuple[OpenShoot, ShootState, Path]:
    opened = open_shoot(given)
    state = read_state(opened.folder.root)
    path = frame_of(opened, state, shot)
    if path is None:
        names = [one.name for one in opened.shoot.shots if frame_of(opened, state, one.name) is not None]
        raise InputError(words.no_frame_to_square(shot, names))
    return opened, state, path


def _with_card(opened: OpenShoot, state: ShootState, path: Path) -> Iterator[Path]:
    """The frame itself, then frames of the set card at the same focal length, the nearest in time first."""
    yield path
    own = read_settings(path)
    found: list[tuple[timedelta, Path]] = []
    for frame in state.cards:
        other = opened.folder.frames_dir / state.landed.get(frame, "")
        with contextlib.suppress(CouldNotError, OSError):
            if not other.is_file() or content_hash(other) != frame:
                continue
            settings = read_settings(other)
            alike = (settings.camera_model, settings.focal_length_mm, settings.orientation) == (
                own.camera_model, own.focal_length_mm, own.orientation,
            )  # fmt: skip
            if alike and settings.taken_at and own.taken_at:
                found.append((abs(settings.taken_at - own.taken_at), other))
    yield from [other for _apart, other in sorted(found)][:_MOST_CARDS]


def _looked_at(path: Path) -> NDArray[np.uint8]:
    """The frame in grey: of a raw its own numbers, for the picture in it may be corrected or cut by the camera."""
    if not is_raw(path):
        return np.asarray(cv2.cvtColor(display_picture(path, LOOKED_AT_PX), cv2.COLOR_RGB2GRAY), np.uint8)
    light = linear_picture(path, half=max(stated_size(path)) > LOOKED_AT_PX).rgb[..., 1]
    white = max(float(np.percentile(light, 99.5)), 1e-6)
    return np.asarray(255 * to_display(np.clip(light / white, 0, 1)), np.uint8)


def _card_in(path: Path, lenses: Lenses) -> tuple[Corners, float] | None:
    """Where the card's corners lie, as shares of the frame, and its shape as it lies there; None: no card is seen."""
    grey = _looked_at(path)
    seen = card_corners(grey)
    if seen is None:
        return None
    side, object_mm, image_px = seen
    size = grey.shape[1], grey.shape[0]
    lens: Lens | None = lenses.of(path).lens(size)
    straight = image_px if lens is None else np.column_stack(lens.places(image_px[:, 0], image_px[:, 1]))
    # a corner under a crumb must not pull the whole card
    found: Any = cv2.findHomography(object_mm, straight, cv2.RANSAC, _OFF_PX)
    matrix = found[0]
    if matrix is None:  # there is no one plane
        return None
    wide, high = side.paper.width_mm, side.paper.height_mm
    flat = np.array([[(0, high), (wide, high), (wide, 0), (0, 0)]], np.float64)
    corners = cv2.perspectiveTransform(flat, matrix)[0]
    try:
        ordered = in_order(corners)
    except NotSquareError:
        return None
    turned = int(np.argmin(np.abs(corners - ordered[0]).sum(axis=1))) % 2 == 1
    if lens is not None:
        ordered = lens.sources(ordered[:, 0], ordered[:, 1])
        ordered = ordered[:, ordered.shape[1] // 2]
    shares = (ordered + 0.5) / np.array(size, float)
    a, b, c, d, e, f, g, h = (round(float(v), 7) for v in shares.ravel())
    return (a, b, c, d, e, f, g, h), high / wide if turned else wide / high
