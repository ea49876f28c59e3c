"""The one ruler by which all frames of a shot are measured: its accepted test frame, else what most of them show."""

import contextlib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from math import log2
from typing import Any

from plateside.files.index.index import Index
from plateside.files.originals.pixels import display_picture
from plateside.files.settings.load import OpenShoot
from plateside.frames.apart import Apart, apart
from plateside.frames.bursts import Detail, sharpnesses
from plateside.frames.choose import SAME_ODD_SHARE
from plateside.frames.colour import cast_of_world
from plateside.frames.dish_detail import details_alike, dish_of
from plateside.frames.exposure import brightest_matt, small_linear, stops_from_aim
from plateside.frames.facts import Box
from plateside.frames.odd import FEWEST, Beside, beside, small
from plateside.frames.subject import subject_box
from plateside.ground.srgb import LUMINANCE_32
from plateside.model.errors import CouldNotError, InputError
from plateside.model.shoot import Shot
from plateside.tasks.set.judged import Judged

_SEEN_PX = 1600
_MOVES_NOT = ("nothing",)
_VERSION = "2"


@dataclass(frozen=True)
class Measures:
    """One frame by the ruler of its shot; None where it could not be measured."""

    exposure_stops: float | None
    sharpness_stops: float | None
    cast_mired: float | None
    odd_share: float = 0.0
    turn_deg: float = 0.0
    apart: Apart | None = None
    """of two frames without an accepted one: against the other"""
    word: str = ""
    """the verdict without what two rulers would tell of exposure and colour; empty: as it is"""


def measures_of(
    opened: OpenShoot, shot: Shot, judged: Sequence[Judged], accepted: str
) -> dict[str, Measures]:
    """Each frame of a shot, by its id. `accepted`: id of the accepted test frame, or empty."""
    ruler = next((j for j in judged if j.frame.id == accepted), None)
    in_burst = _in_burst(opened, shot, judged)
    sharp = _sharpness(judged, in_burst)
    # a raw's own numbers and a JPEG behind its camera's tone curve are two rulers
    mixed = len({j.frame.is_raw for j in judged}) > 1
    # where something is meant to move, each frame shows it elsewhere
    moves = shot.moves not in _MOVES_NOT
    found = {}
    for one in judged:
        i = one.frame.id
        of_it = in_burst.get(i)
        if ruler is not None:
            stops, cast = _against(one, ruler, in_burst if mixed else {})
        else:
            stops, cast = _by_most(one, of_it, mixed=mixed)
        odd = of_it.beside.odd_share if of_it is not None and not moves else 0.0
        turn = of_it.beside.turn_deg if of_it is not None else 0.0
        of_two = of_it.apart if of_it is not None and ruler is None and not moves else None
        word = _word_alike(one) if mixed and ruler is None and of_it is not None else ""
        found[i] = Measures(stops, sharp[i], cast, odd, turn, of_two, word)
    return found


def _word_alike(judged: Judged) -> str:
    """Exposure and colour that ask for less than another frame are weighed by what is measured alike."""
    measured = ("exposure", "colour")
    weights = [a.weight for a in judged.verdict.acts if a.weight > 1 or a.kind not in measured]
    return ("good", "adjust", "again")[max(weights, default=0)]


def _against(judged: Judged, ruler: Judged, shown: Mapping[str, "_InBurst"]) -> tuple[float, float]:
    comparison = judged.comparison
    if judged.frame.id == ruler.frame.id:
        return 0.0, 0.0
    if comparison is not None and comparison.fits:
        return comparison.stops, comparison.cast_mired
    # it cannot be laid over the accepted frame: then both by themselves, and the difference
    own, its = (_alone(j, shown.get(j.frame.id)) for j in (judged, ruler))
    return own[0] - its[0], own[1] - its[1]


def _alone(judged: Judged, shown: "_InBurst | None") -> tuple[float, float]:
    """Against the default aim [stops] and neutral [mired]; `shown`: by its display picture, be it a raw or a JPEG."""
    exposure, colour = judged.facts.exposure, judged.facts.colour
    if shown is None:
        return exposure.stops, colour.cast_mired
    stops = exposure.stops if exposure.aim == "grey card" else shown.aim_stops
    return stops, colour.cast_mired if colour.source == "grey card" else shown.alone_mired


def _by_most(judged: Judged, in_burst: "_InBurst | None", *, mixed: bool) -> tuple[float, float]:
    """Against the default aim and, of three frames or more, against the rest of them: the worse of both."""
    stops, cast = _alone(judged, in_burst if mixed else None)
    if in_burst is None or not in_burst.among_many:
        return stops, cast
    cast = cast if judged.facts.colour.source == "grey card" else in_burst.beside.cast_mired
    return max(stops, in_burst.beside.stops, key=abs), cast


def _sharpness(judged: Sequence[Judged], in_burst: Mapping[str, "_InBurst"]) -> dict[str, float | None]:
    """Fine contrast on the dish in the direction in which it is softest [stops]; else by the sharpest edges."""
    details = [in_burst[j.frame.id].detail if j.frame.id in in_burst else None for j in judged]
    if not in_burst or any(d is None for d in details):
        return {j.frame.id: j.facts.sharpness for j in judged}
    # what lies in one frame only is contrast, too, and no ruler for the rest
    own = [n for n, j in enumerate(judged) if in_burst[j.frame.id].beside.odd_share <= SAME_ODD_SHARE]
    share = sharpnesses([d for d in details if d is not None], own or None)
    return {j.frame.id: min(log2(max(v, 1e-4)), 0.0) for j, v in zip(judged, share, strict=True)}


@dataclass(frozen=True)
class _InBurst:
    """What a frame looks like, by its display picture."""

    beside: Beside
    detail: Detail | None
    aim_stops: float
    """outside the default aim, bright positive"""
    alone_mired: float
    """warmer than neutral, by its palest parts"""
    among_many: bool
    apart: Apart | None = None


def _in_burst(opened: OpenShoot, shot: Shot, judged: Sequence[Judged]) -> dict[str, _InBurst]:
    if len(judged) < 2:
        return {}
    ids = [j.frame.id for j in judged]
    box = subject_box(shot, judged[0].frame.width_px, judged[0].frame.height_px)
    version = f"{_VERSION} {' '.join(ids)} {' '.join(f'{v:.4f}' for v in box)}"
    with Index.open(opened.folder.root) as index:
        known = index.facts(ids[0], kind="beside", version=version)
        if known is not None:
            with contextlib.suppress(KeyError, TypeError, ValueError):
                return {i: _restored(known[i]) for i in ids}
        found = _looked_at(opened, judged, box)
        index.put_facts(ids[0], {i: asdict(one) for i, one in found.items()}, kind="beside", version=version)
        return found


def _looked_at(opened: OpenShoot, judged: Sequence[Judged], box: Box) -> dict[str, _InBurst]:
    smalls, dishes, alone = [], [], []
    try:
        for one in judged:
            picture = display_picture(opened.folder.frames_dir / one.frame.name, _SEEN_PX, metered=True)
            light = small_linear(picture)
            aim = stops_from_aim(brightest_matt(light @ LUMINANCE_32))
            alone.append((aim, cast_of_world(light).cast_mired))
            dishes.append(dish_of(picture, box))
            smalls.append(small(picture))
    except (InputError, CouldNotError):
        return {}
    many = len(smalls) >= FEWEST
    how = beside(smalls, box)
    pair: list[Apart | None] = [None] * len(smalls)
    if len(smalls) == 2:
        second = apart(smalls, box)
        pair = [second.reversed(), second]
    stops = [0.0, pair[1].stops] if pair[1:] and pair[1] is not None else [one.stops for one in how]
    details = details_alike(dishes, stops)
    rows = zip(judged, how, details, alone, pair, strict=True)
    return {j.frame.id: _InBurst(of_it, detail, *own, many, two) for j, of_it, detail, own, two in rows}


def _restored(row: Mapping[str, Any]) -> _InBurst:
    detail = row["detail"]
    whole = None if detail is None else (float(detail[0]), float(detail[1]), float(detail[2]))
    two = None if row["apart"] is None else Apart(**row["apart"])
    own = float(row["aim_stops"]), float(row["alone_mired"])
    return _InBurst(Beside(**row["beside"]), whole, *own, bool(row["among_many"]), two)
