"""Raws decoded once for all that one run wants of them: measured small, then developed whole.

A raw that was unpacked stays open until it was developed, as far as MOST_BYTES of mosaics go; one that finds no room is
unpacked again when its turn comes. The first ones stay, as they are developed first.
"""

import contextlib
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from plateside.files.originals import raws
from plateside.files.originals.in_hand import in_hand
from plateside.files.originals.kinds import is_raw
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import linear_picture
from plateside.files.originals.unreadable import faults_in_words
from plateside.frames.noise import NoiseProfile
from plateside.model.counted import CountedPicture, counted
from plateside.model.pixels import LinearPicture

MOST_BYTES = 128 << 20
"""Two raws of 24 megapixels, so that such a one is still finished in 700 MiB."""


@dataclass(eq=False)
class _Open:
    """A raw that was unpacked."""

    raw: Any
    noise: NoiseProfile | None
    closing: ExitStack
    bytes: int


@dataclass(eq=False)
class OneDecode:
    """The raws of one run. `close` it when the run ends: until then files may be held open."""

    _open: dict[Path, _Open] = field(default_factory=dict)
    _small: tuple[Path, LinearPicture] | None = None
    """the raw measured last, binned by two: it is asked for more than once in a row"""
    _balance: dict[Path, tuple[float, float, float]] = field(default_factory=dict)
    unpacked: int = 0
    """how many times a raw was unpacked"""

    def small(self, path: Path) -> LinearPicture:
        """A raw as `linear_picture(path, half=True)`, a camera's JPEG whole. Raises as that does."""
        if not is_raw(path):
            return linear_picture(path, half=False)
        if self._small is None or self._small[0] != path:
            self._small = None
            with faults_in_words(path.name), in_hand(path):
                one = self._unpacked(path)
                self._small = path, raws.binned(one.raw, one.noise)
                self._keep(path, one)
        assert self._small is not None  # noqa: S101 - just set
        self._balance[path] = self._small[1].white_balance
        return self._small[1]

    def white_balance(self, path: Path) -> tuple[float, float, float]:
        """As shot, of a raw."""
        return self._balance.get(path) or self.small(path).white_balance

    def whole(self, path: Path) -> CountedPicture:
        """The picture in its whole size; a raw is let go with it. Raises as `linear_picture` does."""
        self._small = None
        if not is_raw(path):
            return counted(linear_picture(path, half=False))
        with faults_in_words(path.name), in_hand(path):
            one = self._open.pop(path, None) or self._unpacked(path)
            with one.closing:
                return raws.whole(one.raw, one.noise)
        raise AssertionError("unreachable")

    def close(self) -> None:
        """Let go of every file."""
        self._small = None
        while self._open:
            self._open.popitem()[1].closing.close()

    def _unpacked(self, path: Path) -> _Open:
        if path in self._open:
            return self._open[path]
        with ExitStack() as stack:
            raw = stack.enter_context(raws.opened(path))
            raw.unpack()
            self.unpacked += 1
            settings = read_settings(path)
            noise = raws.noise_of(raw, settings.noise_profile, settings.iso)
            size = 2 * int(raw.sizes.raw_width) * int(raw.sizes.raw_height)
            return _Open(raw, noise, stack.pop_all(), size)
        raise AssertionError("unreachable")

    def _keep(self, path: Path, one: _Open) -> None:
        if path in self._open:
            return
        if sum(o.bytes for o in self._open.values()) + one.bytes <= MOST_BYTES:
            self._open[path] = one
        else:
            one.closing.close()


@contextlib.contextmanager
def one_decode() -> Iterator[OneDecode]:
    """For the time of one run."""
    raws_of_run = OneDecode()
    try:
        yield raws_of_run
    finally:
        raws_of_run.close()
