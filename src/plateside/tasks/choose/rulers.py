"""The one ruler by which all frames of a shot are measured: its accepted test frame, else what most of them show."""

import contextlib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from math import log2
from typing import Any

from plateside.files.index.index import Index
from plateside.files.originals.pixels import display_picture
from plateside.files.settings.load import OpenShoot
from plateside.frames.bursts import Detail, detail_in, sharpnesses
from plateside.frames.choose import SAME_ODD_SHARE
from plateside.frames.facts import Box
from plateside.frames.odd import FEWEST, Beside, beside, small
from plateside.frames.subject import subject_box
from plateside.model.errors import CouldNotError, InputError
from plateside.model.shoot import Shot
from plateside.tasks.set.judged import Judged

_SEEN_PX = 1600
_MOVES_NOT = ("nothing",)
_VERSION = "1"


@dataclass(frozen=True)
class Measures:
    """One frame by the ruler of its shot; None where it could not be measured."""

    exposure_stops: float | None
    sharpness_stops: float | None
    cast_mired: float | None
    odd_share: float = 0.0
    turn_deg: float = 0.0


def measures_of(
    opened: OpenShoot, shot: Shot, judged: Sequence[Judged], accepted: str
) -> dict[str, Measures]:
    """Each frame of a shot, by its id. `accepted`: id of the accepted test frame, or empty."""
    ruler = next((j for j in judged if j.frame.id == accepted), None)
    in_burst = _in_burst(opened, shot, judged)
    sharp = _sharpness(judged, in_burst)
    # where something is meant to move, each frame shows it elsewhere
    moves = shot.moves not in _MOVES_NOT
    found = {}
    for one in judged:
        i = one.frame.id
        stops, cast = _against(one, ruler) if ruler is not None else _by_most(one, in_burst.get(i))
        odd = in_burst[i].beside.odd_share if i in in_burst and not moves else 0.0
        found[i] = Measures(stops, sharp[i], cast, odd, in_burst[i].beside.turn_deg if i in in_burst else 0.0)
    return found


def _against(judged: Judged, ruler: Judged) -> tuple[float, float]:
    facts, in_burst = judged.facts, judged.comparison
    if judged.frame.id == ruler.frame.id:
        return 0.0, 0.0
    if in_burst is not None and in_burst.fits:
        return in_burst.stops, in_burst.cast_mired
    # it cannot be laid over the accepted frame: then both by themselves, and the difference
    its = ruler.facts
    return facts.exposure.stops - its.exposure.stops, facts.colour.cast_mired - its.colour.cast_mired


def _by_most(judged: Judged, in_burst: "_InBurst | None") -> tuple[float, float]:
    """Against the default aim and, of three frames or more, against the rest of them: the worse of both."""
    stops, colour = judged.facts.exposure.stops, judged.facts.colour
    if in_burst is None or not in_burst.among_many:
        return stops, colour.cast_mired
    cast = colour.cast_mired if colour.source == "grey card" else in_burst.beside.cast_mired
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
    among_many: bool


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
    smalls, details = [], []
    try:
        for one in judged:
            picture = display_picture(opened.folder.frames_dir / one.frame.name, _SEEN_PX)
            details.append(detail_in(picture, box))
            smalls.append(small(picture))
    except (InputError, CouldNotError):
        return {}
    many = len(smalls) >= FEWEST
    rows = zip(judged, beside(smalls, box), details, strict=True)
    return {j.frame.id: _InBurst(how, detail, many) for j, how, detail in rows}


def _restored(row: Mapping[str, Any]) -> _InBurst:
    detail = row["detail"]
    whole = None if detail is None else (float(detail[0]), float(detail[1]), float(detail[2]))
    return _InBurst(Beside(**row["beside"]), whole, bool(row["among_many"]))
