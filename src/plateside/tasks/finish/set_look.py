"""The look of a set: its reference's white balance, grey card and small view; each hero measured against it."""

import contextlib
import math
from dataclasses import asdict, dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.deliver.subject import dish_share, find_subject
from plateside.files.cache import BuildRecord, key_of
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.pixels import linear_picture
from plateside.finish.develop import develop, reduced
from plateside.finish.facts import by_now
from plateside.finish.matching import ITSELF, Match, MatchView, look, match
from plateside.finish.render import highlight
from plateside.finish.white_balance import NONE, Gains, NotGrey, from_grey
from plateside.ground.srgb import to_display
from plateside.model.errors import InputError
from plateside.tasks.choose.heroes import Hero
from plateside.words.finish import NO_CARD_MARKED, NOT_GREY, PATCH_OUTSIDE

METHOD = 5
"""Raised when the same frame would come out differently: then everything is made again."""
LOOKED_AT_PX = 480
_KEEP_EXPOSURE = frozenset({"dark", "high key", "silhouette"})
Shares = tuple[float, float, float, float]


@dataclass(frozen=True)
class MeasuredHero:
    """One hero against the set's reference."""

    hero: Hero
    match: Match
    highlight: float
    """linear light that only its brightest 0.1 % exceed, after the gains"""


@dataclass(frozen=True, eq=False)
class SetLook:
    """The reference of a set; its picture is read only when something must be measured or made."""

    chief: Hero
    grey: Shares | None
    """where the reference shows a grey card"""
    record: BuildRecord

    @cached_property
    def _camera(self) -> str:
        return read_settings(self.chief.path).camera_model

    @cached_property
    def _balance(self) -> tuple[float, float, float] | None:
        return linear_picture(self.chief.path, half=True).white_balance if self.chief.is_raw else None

    @cached_property
    def _view(self) -> MatchView:
        return self._looked_at(self.chief)

    @cached_property
    def _grey_gains(self) -> Gains:
        if self.grey is None:
            return NONE
        try:
            return from_grey(_patch(self._view.linear, self.grey))
        except NotGrey as error:
            raise InputError(NOT_GREY[error.reason]) from error

    def developed(self, hero: Hero) -> NDArray[np.float32]:
        """Linear sRGB, full size. A raw of the reference's camera gets the reference's white balance: one set, one."""
        picture = linear_picture(hero.path, half=False)
        same = (
            picture.is_raw
            and self._balance is not None
            and read_settings(hero.path).camera_model == self._camera
        )
        return develop(picture, self._balance if same else None)

    def rendering_key(self, hero: Hero) -> str:
        """What `developed` depends on besides the frame itself."""
        return self.chief.frame_id if hero.is_raw else ""

    def measure(self, hero: Hero) -> MeasuredHero:
        """Gains and highlight of one hero; from the record when nothing has changed."""
        is_chief = hero.shot.name == self.chief.shot.name
        meant = self.meant(hero)
        surfaces = [h.shot.surface for h in (hero, self.chief)]
        shape = [dish_share(h.shot, 3, 2) for h in (hero, self.chief)]
        name = f"match {hero.shot.name}"
        key = key_of(METHOD, hero.frame_id, self.chief.frame_id, is_chief, meant, self.grey, shape, surfaces)
        cached = self.record.get(name, key)
        if cached is not None:
            # a damaged note only costs the time to measure again
            with contextlib.suppress(ValueError, KeyError, TypeError, OverflowError):
                return MeasuredHero(hero, match_from(cached["match"]), _number(cached["highlight"]))
        view = self._view if is_chief else self._looked_at(hero)
        grey = self._grey_gains
        if is_chief:
            found = ITSELF
            if grey != NONE:
                found = Match(grey, ITSELF.by, 1.0, None, None, grey.exposure_stops, grey.mired)
        else:
            m = match(self._view, view, keep_exposure=meant, same_surface=surfaces[0] == surfaces[1])
            found = replace(m, gains=m.gains.times(grey))
        top = highlight(view.linear, found.gains)
        self.record.put(name, key, match=asdict(found), highlight=top)
        return MeasuredHero(hero, found, top)

    @staticmethod
    def meant(hero: Hero) -> bool:
        """Whether the picture is meant dark or light."""
        return bool(_KEEP_EXPOSURE & set(hero.shot.deliberate))

    def against(self, other: Hero) -> Match:
        """What would bring another frame of the reference's shot to the reference; from the record when known."""
        key = key_of(METHOD, other.frame_id, self.chief.frame_id)
        cached = self.record.get("look followed", key)
        if cached is not None:
            with contextlib.suppress(ValueError, KeyError, TypeError, OverflowError):
                return match_from(cached["match"])
        found = match(self._view, self._looked_at(other))
        self.record.put("look followed", key, match=asdict(found))
        return found

    def card(self, other: Hero | None = None, box: Shares | None = None) -> NDArray[np.floating]:
        """Linear RGB (n, 3) of the grey card in the reference, or in another frame of its shot."""
        at = box or self.grey
        if at is None:
            raise InputError(NO_CARD_MARKED)
        return _patch((self._view if other is None else self._looked_at(other)).linear, at)

    def _looked_at(self, hero: Hero) -> MatchView:
        small = reduced(self.developed(hero), LOOKED_AT_PX)
        height, width = small.shape[:2]
        shown = np.asarray(to_display(np.clip(small, 0, 1)) * 255, np.uint8)
        box = find_subject(shown, dish_share(hero.shot, width, height)).box
        food = np.zeros((height, width), bool)
        food[box.y : box.bottom, box.x : box.right] = True
        return look(small, food)


def match_from(row: dict[str, object]) -> Match:
    """A match read back from JSON. Raises ValueError, KeyError, TypeError, OverflowError when it is none of ours."""
    gains = row["gains"]
    if not isinstance(gains, dict) or not isinstance(row["by"], str):
        raise TypeError("gains, by")
    entry: dict[str, Any] = {
        name: None if value is None and name.startswith("delta_e") else _number(value)
        for name, value in row.items()
        if name not in ("gains", "by")
    }
    return Match(Gains(**{name: _number(value) for name, value in gains.items()}), by_now(row["by"]), **entry)


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise TypeError("not a number")
    return float(value)


def _patch(small: NDArray[np.floating], shares: Shares) -> NDArray[np.floating]:
    height, width = small.shape[:2]
    x, y, w, h = shares
    if not (0 <= x < 1 and 0 <= y < 1 and 0 < w <= 1 - x and 0 < h <= 1 - y):
        raise InputError(PATCH_OUTSIDE)
    top, left = round(y * height), round(x * width)
    bottom, right = max(round((y + h) * height), top + 1), max(round((x + w) * width), left + 1)
    return small[top:bottom, left:right].reshape(-1, 3)
