"""The pictures of one frame at the size at which it is judged."""

import contextlib
from collections.abc import Callable
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.files.originals.kinds import is_raw
from plateside.files.originals.pixels import (
    begin_display_picture,
    begin_linear_and_levels,
    display_picture,
    linear_and_levels,
)
from plateside.frames.exposure import display_linear, small_linear
from plateside.frames.facts import FrameFacts
from plateside.model.pixels import LinearPicture, RawLevels

LONGEST_PX = 3000
"""Frames are looked at half size (24 megapixels): blur that matters in print or page is seen there."""


class FrameView:
    """A frame's decoded pictures, each read once and only when asked for."""

    def __init__(self, path: Path, facts: FrameFacts | None = None) -> None:
        self._path = path
        self._facts = facts
        self._picture_begun: Callable[[], NDArray[np.uint8]] | None = None
        self._begun: Callable[[], tuple[LinearPicture, RawLevels]] | None = None

    def begin(self) -> None:
        """Begin to decode all that will be asked for: first what is looked at, then a raw's own numbers."""
        self._picture_begun = begin_display_picture(self._path, LONGEST_PX)
        self.read_ahead()

    def read_ahead(self) -> None:
        """Begin to unpack a raw: its own numbers will be asked for after the preview's."""
        if self._begun is None and "_raw" not in self.__dict__ and is_raw(self._path):
            self._begun = begin_linear_and_levels(self._path)

    @property
    def facts(self) -> FrameFacts:
        assert self._facts is not None  # noqa: S101 - set by Judge before anyone sees it
        return self._facts

    @facts.setter
    def facts(self, facts: FrameFacts) -> None:
        self._facts = facts

    @cached_property
    def picture(self) -> NDArray[np.uint8]:
        if self._picture_begun is not None:
            # it may have been begun before the file was as it is: the second try tells what is wrong with it now
            with contextlib.suppress(Exception):
                return self._picture_begun()
        return display_picture(self._path, LONGEST_PX)

    @cached_property
    def _raw(self) -> tuple[LinearPicture | None, RawLevels | None]:
        if self._begun is not None:
            with contextlib.suppress(Exception):
                return self._begun()
        return linear_and_levels(self._path) if is_raw(self._path) else (None, None)

    @property
    def linear(self) -> LinearPicture | None:
        return self._raw[0]

    @property
    def levels(self) -> RawLevels | None:
        return self._raw[1]

    @cached_property
    def small(self) -> NDArray[np.float32]:
        return small_linear(self.picture) if self.linear is None else display_linear(self.linear)
