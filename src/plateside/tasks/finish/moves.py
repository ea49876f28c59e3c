"""All that moves a picture's pixels, and what you set for it: in which file it ends, and of what it is made anew."""

from dataclasses import asdict, dataclass
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from plateside.files.journal.state import ShootState
from plateside.files.settings.load import OpenShoot
from plateside.finish.hand import Hand
from plateside.finish.lens_facts import LensDone
from plateside.finish.opcodes import DamagedOpcodesError
from plateside.finish.placing import moved_whole, placing_of
from plateside.finish.square import Square
from plateside.finish.squaring import NotSquareError
from plateside.finish.tiles import Placing
from plateside.model.errors import InputError
from plateside.model.pixels import LinearPicture
from plateside.tasks.finish.lenses import Lenses, LensFound
from plateside.tasks.finish.set_square import focal_in
from plateside.words.lens import cannot_square


@dataclass(frozen=True)
class Moves:
    """Of one picture."""

    opened: OpenShoot
    state: ShootState
    lenses: Lenses
    shot: str
    path: Path
    """of its frame"""

    @property
    def hand(self) -> Hand:
        """What you set for it, and for its series."""
        return self.state.hand(self.shot)

    @property
    def square(self) -> Square | None:
        """What is square to it."""
        return self.state.squares.get(self.shot)

    @property
    def lens(self) -> LensDone:
        """What is done about its lens."""
        return self._lens.done

    @property
    def key(self) -> list[object]:
        """Of all of it; empty: nothing is set, nothing moves."""
        return [*([asdict(self.hand)] if self.hand.changes else []), *self.place_key]

    @cached_property
    def place_key(self) -> list[object]:
        """Of what `moved` depends on."""
        found: list[object] = []
        if self.square is not None:
            focal = None if self.square.shape else focal_in(self.opened, self.path, (10_000, 10_000))
            found = [asdict(self.square), None if focal is None else (focal.px, focal.spread)]
        return [*found, *self._lens.key]

    def placing(self, size: tuple[int, int], *, turned: bool = True) -> Placing | None:
        """Where the pixels of the finished picture come from, of a frame of that width and height [px].

        turned  straightened by hand too
        Raises InputError when it cannot be made square.
        """
        lens = self._lens.lens(size)
        focal = None if self.square is None else focal_in(self.opened, self.path, size)
        try:
            return placing_of(size, self.hand.turned_degrees if turned else 0.0, lens, self.square, focal)
        except (NotSquareError, DamagedOpcodesError) as error:
            raise InputError(cannot_square(self.shot)) from error

    def moved(self, linear: NDArray[np.float32], picture: LinearPicture) -> NDArray[np.float32]:
        """A developed picture of any size in its place, but for straightening, to look at. Raises as `placing` does."""
        placing = self.placing((linear.shape[1], linear.shape[0]), turned=False)
        if placing is None:
            return linear
        return moved_whole(
            linear, placing, np.asarray(picture.to_srgb, np.float32) if picture.is_raw else None
        )

    @cached_property
    def _lens(self) -> LensFound:
        return self.lenses.of(self.path)
