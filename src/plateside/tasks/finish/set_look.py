"""The look of a set: its reference's white balance, grey card and small view; each hero measured against it."""

import contextlib
import math
from collections.abc import Callable
from dataclasses import asdict, dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.deliver.subject import dish_share, find_subject
from plateside.files.cache import BuildRecord, key_of
from plateside.files.originals.metadata import read_settings
from plateside.files.originals.one_decode import OneDecode
from plateside.finish.across import LARGEST_STOPS, NODES, Across
from plateside.finish.chart import ColourProfile
from plateside.finish.develop import develop, reduced
from plateside.finish.facts import by_now
from plateside.finish.matching import ITSELF, Known, Match, match
from plateside.finish.noise import strength
from plateside.finish.recognised import MatchView, look
from plateside.finish.render import highlight
from plateside.finish.tiles import Developing, developing
from plateside.finish.tone import CALM_CONTRAST, STRAIGHT, Curve
from plateside.finish.white_balance import NONE, Gains, NotGrey, from_grey, of_array
from plateside.ground.srgb import to_display
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Settings
from plateside.tasks.choose.heroes import Hero
from plateside.tasks.finish.cards import MarkedCard, card_of_light, stops_between
from plateside.tasks.finish.charts import MarkedChart, chart_of, profile_by
from plateside.tasks.finish.lenses import Lenses
from plateside.words.finish import NO_CARD_MARKED, NOT_GREY, PATCH_OUTSIDE

METHOD = 13
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
    noise_evened: bool = False
    """some of the sensor's noise is to go"""
    as_seen_stops: float = 0.0
    """how much brighter than metered its camera shows its raws [stops]"""
    noise_unknown: bool = False
    """a raw that neither states nor shows how strong its noise is"""

    @property
    def gains(self) -> Gains:
        """All that the developed picture is multiplied by."""
        return _brighter(self.match.gains, self.as_seen_stops)


@dataclass(frozen=True, eq=False)
class SetLook:
    """The reference of a set; its picture is read only when something must be measured or made."""

    chief: Hero
    grey: Shares | None
    """where the reference shows a grey card"""
    record: BuildRecord
    cards: tuple[MarkedCard, ...] = ()
    """every grey card that was marked in the shoot's frames"""
    as_seen: Callable[[Path], float] = lambda _path: 0.0
    """by how much a raw is to be brighter than metered [stops]"""
    raws: OneDecode = field(default_factory=OneDecode)
    """the raws of this run"""
    lenses: Lenses = field(default_factory=Lenses)
    """the lenses of this run"""
    charts: tuple[MarkedChart, ...] = ()
    """every colour chart that was marked in the shoot's frames"""
    _profiles: dict[str, ColourProfile | None] = field(default_factory=dict)
    _noisy: dict[str, tuple[bool, bool]] = field(default_factory=dict)
    """frame -> whether some of its noise is to go, and whether it is not known; of those that were looked at"""

    @cached_property
    def _settings(self) -> Settings:
        return read_settings(self.chief.path)

    @cached_property
    def _card(self) -> MarkedCard | None:
        return card_of_light(self.cards, self.chief, self._settings)

    @cached_property
    def _balance(self) -> tuple[float, float, float] | None:
        return self.raws.white_balance(self.chief.path) if self.chief.is_raw else None

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

    def developing(self, hero: Hero) -> Developing:
        """In its whole size. A raw of the reference's camera gets the reference's white balance: one set, one."""
        balance = self.white_balance(hero)
        return developing(self.raws.whole(hero.path), balance, self.profile(hero.path)[1])

    def profile(self, path: Path) -> tuple[str, ColourProfile | None]:
        """Name of the frame whose chart a picture's colours are made by, and the profile; empty and None: by none."""
        chart = chart_of(self.charts, path, read_settings(path)) if self.charts else None
        if chart is None:
            return "", None
        if chart.frame not in self._profiles:
            self._profiles[chart.frame] = profile_by(chart, self.raws, self.record)
        found = self._profiles[chart.frame]
        return ("" if found is None else chart.path.name), found

    def _profile_key(self, path: Path) -> list[object]:
        found = self.profile(path)[1]
        return [] if found is None else [found.terms]

    def white_balance(self, hero: Hero) -> tuple[float, float, float] | None:
        """The reference's, for a raw of its camera; None: the frame's own."""
        same = hero.is_raw and read_settings(hero.path).camera_model == self._settings.camera_model
        return self._balance if same else None

    def rendering_key(self, hero: Hero) -> str:
        """What `developing` depends on besides the frame itself."""
        profile = self._profile_key(hero.path)
        return (
            key_of(self.chief.frame_id, *profile) if profile else self.chief.frame_id if hero.is_raw else ""
        )

    def measure(self, hero: Hero) -> MeasuredHero:
        """Gains and highlight of one hero; from the record when nothing has changed."""
        is_chief = hero.shot.name == self.chief.shot.name
        meant = self.meant(hero)
        surfaces = [h.shot.surface for h in (hero, self.chief)]
        shape = [dish_share(h.shot, 3, 2) for h in (hero, self.chief)]
        settings = read_settings(hero.path)
        card = None if is_chief else card_of_light(self.cards, hero, settings)
        bright = self.as_seen(hero.path)
        # measured as metered; what the cameras would show of it differs by this
        step = self.as_seen(self.chief.path) - bright
        name = f"match {hero.shot.name}"
        key = key_of(
            METHOD, hero.frame_id, self.chief.frame_id, is_chief, meant, self.grey, shape, surfaces,
            *(None if c is None else (c.frame, c.box) for c in (card, self._card)), bright, step,
            *self._profile_key(hero.path), *self._profile_key(self.chief.path),
            *self.lenses.shading_key(hero.path), *self.lenses.shading_key(self.chief.path),
        )  # fmt: skip
        cached = self.record.get(name, key)
        if cached is not None:
            # a damaged note only costs the time to measure again
            with contextlib.suppress(ValueError, KeyError, TypeError, OverflowError):
                noisy, unknown = cached["noise_evened"] is True, cached["noise_unknown"] is True
                return MeasuredHero(
                    hero, match_from(cached["match"]), _number(cached["highlight"]), noisy, bright, unknown
                )
        view = self._view if is_chief else self._looked_at(hero)
        grey = self._grey_gains
        if is_chief:
            found = ITSELF
            if grey != NONE:
                found = Match(grey, ITSELF.by, 1.0, None, None, grey.exposure_stops, grey.mired)
        else:
            known = self._known(hero, settings, card)
            m = match(self._view, view, meant, surfaces[0] == surfaces[1], known)
            m = m if meant else _as_seen(m, step)
            found = replace(m, gains=m.gains.times(grey))
        lit = view.linear if found.across is None else found.across.evened(view.linear.astype(np.float32))
        top = highlight(lit, _brighter(found.gains, bright))
        noisy, unknown = self._noisy[hero.frame_id]
        self.record.put(
            name, key, match=asdict(found), highlight=top, noise_evened=noisy, noise_unknown=unknown
        )
        return MeasuredHero(hero, found, top, noisy, bright, unknown)

    def _known(self, hero: Hero, settings: Settings, card: MarkedCard | None) -> Known:
        same_camera = settings.camera_model == self._settings.camera_model
        told = hero.is_raw and self.chief.is_raw and same_camera
        stops = stops_between(settings, self._settings) if told else None
        # raws and the camera's JPEGs in one series differ by the camera's own curve, which nobody knows
        curve = Curve(CALM_CONTRAST) if hero.is_raw and self.chief.is_raw else STRAIGHT
        shown = self.as_seen(self.chief.path)
        return Known(self._by_card(hero, settings, card), stops, hero.is_raw, shown, curve)

    def _by_card(self, hero: Hero, settings: Settings, card: MarkedCard | None) -> Gains | None:
        """By the cards of both lights; the same card in both tells nothing of a difference."""
        mine = self._card
        if mine is None or card is None or mine.frame == card.frame:
            return None
        with contextlib.suppress(InputError, CouldNotError):
            theirs, here = self._read(self.chief, self._settings, mine), self._read(hero, settings, card)
            return of_array(theirs / here)
        return None

    def _read(self, hero: Hero, settings: Settings, card: MarkedCard) -> NDArray[np.float64]:
        """Linear RGB (3,) of a card as it would be in the exposure of that frame. Raises NotGrey."""
        own = card.frame == hero.frame_id
        other = hero if own else replace(hero, frame_id=card.frame, name=card.path.name, path=card.path)
        patch = _patch(self._small(other), card.box)
        from_grey(patch)  # dark, clipped or coloured: it can be no card
        step = 0.0 if own else stops_between(card.settings, settings) or 0.0
        return np.asarray(np.median(np.asarray(patch, np.float64), axis=0) * 2.0**step)

    @staticmethod
    def meant(hero: Hero) -> bool:
        """Whether the picture is meant dark or light."""
        return bool(_KEEP_EXPOSURE & set(hero.shot.deliberate))

    def against(self, other: Hero) -> Match:
        """What would bring another frame of the reference's shot to the reference; from the record when known."""
        key = key_of(METHOD, other.frame_id, self.chief.frame_id, *self.lenses.shading_key(other.path))
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

    def _small(self, hero: Hero) -> NDArray[np.float32]:
        # a raw binned by two says the same at this size, without its interpolation
        balance = self.white_balance(hero)
        profile = self.profile(hero.path)[1]
        picture = self.raws.small(hero.path)
        self._noisy[hero.frame_id] = strength(picture) > 0, picture.is_raw and picture.noise is None
        small = reduced(develop(picture, balance, profile), LOOKED_AT_PX)
        return self.lenses.shaded(hero.path, small, picture)

    def _looked_at(self, hero: Hero) -> MatchView:
        small = self._small(hero)
        height, width = small.shape[:2]
        shown = np.asarray(to_display(np.clip(small, 0, 1)) * 255, np.uint8)
        subject = find_subject(shown, dish_share(hero.shot, width, height))
        box, core = subject.box, subject.core
        food = np.zeros((height, width), bool)
        food[box.y : box.bottom, box.x : box.right] = True
        y, x = np.mgrid[0:height, 0:width] + 0.5
        across, down = 2 * (x - core.x) / core.width - 1, 2 * (y - core.y) / core.height - 1
        return look(small, food, across**2 + down**2 < 1)


def _brighter(gains: Gains, stops: float) -> Gains:
    return of_array(gains.array * 2.0**stops) if stops else gains


def _as_seen(m: Match, step: float) -> Match:
    """A match measured as metered, for pictures that are each as bright as their camera shows them."""
    if m.by == "too far":
        return replace(m, lacking_stops=m.lacking_stops + step)
    if not step or (m.gains == NONE and not m.facts.matched):
        return m  # as taken, and so as bright as its own camera shows it
    return replace(m, gains=_brighter(m.gains, step), stops=m.stops + step)


def match_from(row: dict[str, object]) -> Match:
    """A match read back from JSON. Raises ValueError, KeyError, TypeError, OverflowError when it is none of ours."""
    gains = row["gains"]
    if not isinstance(gains, dict) or not isinstance(row["by"], str):
        raise TypeError("gains, by")
    entry: dict[str, Any] = {
        name: None if value is None and name.startswith("delta_e") else _number(value)
        for name, value in row.items()
        if name not in ("gains", "by", "across")
    }
    by_name = {name: _number(value) for name, value in gains.items()}
    return Match(Gains(**by_name), by_now(row["by"]), across=_across_from(row.get("across")), **entry)


def _across_from(value: object) -> Across | None:
    """Read back from JSON. Raises TypeError, ValueError when it is none of ours."""
    if value is None:
        return None
    rows = value["stops"] if isinstance(value, dict) else None
    if not isinstance(rows, list | tuple) or len(rows) != NODES[0] * NODES[1]:
        raise TypeError("across")
    numbers = np.array([[_number(v) for v in row] for row in rows], np.float64)
    if numbers.shape[1:] != (3,) or np.abs(numbers).max() > 4 * LARGEST_STOPS:
        raise ValueError("across")
    return Across(tuple((float(r), float(g), float(b)) for r, g, b in numbers))


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
