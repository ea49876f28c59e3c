"""Colour charts that were marked in frames of the shoot, and the profile each gives the raws of its camera."""

import contextlib
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

import numpy as np

from plateside.files.cache import BuildRecord, key_of
from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, read_state
from plateside.files.originals.kinds import is_raw
from plateside.files.originals.one_decode import OneDecode
from plateside.files.originals.scan import scan_frames
from plateside.files.settings.load import OpenShoot
from plateside.finish.chart import GREYS, ColourProfile, NoChart, profile_of
from plateside.finish.chart_found import Corners, fields, patches_at
from plateside.ground.temperature import mccamy_cct_k
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Settings
from plateside.model.pixels import LinearPicture
from plateside.tasks.finish.marked import marked_frames
from plateside.tasks.set.shot import find_frame
from plateside.words import finish_options as words

__all__ = [
    "Corners", "FoundChart", "MarkedChart", "chart_of", "find_chart", "mark_chart", "marked_charts", "profile_by",
]  # fmt: skip

_METHOD = 2
_MIRED = (100.0, 450.0)
_DAYLIGHT_MIRED = 200.0
_EVER = timedelta(days=36_500)


@dataclass(frozen=True)
class MarkedChart:
    """A frame in which a colour chart was found or marked."""

    frame: str
    path: Path
    corners: Corners
    settings: Settings


def marked_charts(opened: OpenShoot, state: ShootState) -> tuple[MarkedChart, ...]:
    """Every one whose file is there as it was."""
    return tuple(MarkedChart(*one) for one in marked_frames(opened, state, state.charts))


def chart_of(charts: Sequence[MarkedChart], path: Path, settings: Settings) -> MarkedChart | None:
    """The one of the same camera that was taken nearest in time: one for each light. None for a camera's JPEG."""
    if not is_raw(path):
        return None

    def apart(chart: MarkedChart) -> tuple[timedelta, str]:
        one, other = settings.taken_at, chart.settings.taken_at
        return (_EVER if one is None or other is None else abs(one - other)), chart.frame

    same = [chart for chart in charts if chart.settings.camera_model == settings.camera_model]
    return min(same, key=apart, default=None)


def profile_by(chart: MarkedChart, raws: OneDecode, record: BuildRecord) -> ColourProfile | None:
    """Its profile, from the record when it is known; None when the frame tells none any more."""
    name, key = f"chart {chart.frame}", key_of(_METHOD, chart.frame, chart.corners)
    cached = record.get(name, key)
    if cached is not None:
        # a damaged note only costs the time to measure again
        with contextlib.suppress(ValueError, KeyError, TypeError, OverflowError):
            return _profile_from(cached)
    try:
        profile = _profile(raws.small(chart.path), chart.corners)
    except (InputError, CouldNotError):
        return None
    record.put(name, key, **asdict(profile))
    return profile


@dataclass(frozen=True)
class FoundChart:
    """A chart in a frame, and how well the colours of its camera come out by it."""

    frame: str
    name: str
    corners: Corners
    profile: ColourProfile


def mark_chart(opened: OpenShoot, given: str, corners: Corners | None, raws: OneDecode) -> None:
    """Write down that a frame shows the chart by which the series' colours are made.

    given    name of the frame; 'none' takes every chart back
    corners  of its field of patches; None: it is looked for
    Raises InputError when there is no such raw, or no profile can be had of it; then nothing is written.
    """
    state = read_state(opened.folder.root)
    if given == "none":
        rows = [("colour chart", {"frame": frame, "corners": []}) for frame in state.charts]
        if rows:
            Journal.open(opened.folder.root).append_many(rows)
        return
    found = find_chart(opened, given, corners, raws)
    if state.charts.get(found.frame) != found.corners:
        marked: list[tuple[str, dict[str, Any]]] = [
            ("colour chart", {"frame": found.frame, "corners": list(found.corners)})
        ]
        if found.frame not in state.landed:
            marked.insert(0, ("frame landed", {"frame": found.frame, "name": found.name}))
        Journal.open(opened.folder.root).append_many(marked)


def find_chart(opened: OpenShoot, given: str, corners: Corners | None, raws: OneDecode) -> FoundChart:
    """The chart in the frame of that name or id, as `mark_chart` takes it; nothing is written. Raises InputError."""
    with Index.open(opened.folder.root) as index:
        frames, _refused = scan_frames(opened.folder.frames_dir, index=index)
    frame = find_frame(frames, given)
    path = opened.folder.frames_dir / frame.name
    if not is_raw(path):
        raise InputError(words.chart_needs_raw(frame.name))
    return FoundChart(frame.id, frame.name, *_right_way_round(raws.small(path), corners))


def _right_way_round(picture: LinearPicture, given: Corners | None) -> tuple[Corners, ColourProfile]:
    """The corners as given or turned a half, or as found. Raises InputError with what is wrong."""
    why = "not found" if given is None else "not a chart"
    for corners in fields(picture) if given is None else (given, (*given[4:], *given[:4])):
        try:
            return corners, _profile(picture, corners)
        except NoChart as error:
            # that it is clipped or lit unevenly says more than that something else is none
            why = error.reason if error.reason != "not a chart" else why
    raise InputError(words.NO_CHART[why])


def _profile(picture: LinearPicture, corners: Corners) -> ColourProfile:
    patches = patches_at(picture, corners)
    if not np.isfinite(patches).all():
        raise NoChart("not a chart")
    return profile_of(patches, np.asarray(picture.saturation), _mired(picture, patches[GREYS][1:5]))


def _mired(picture: LinearPicture, greys: np.ndarray) -> float:
    """Temperature of the light, by the camera's own matrix: to the patches it matters little."""
    if picture.xyz_to_camera is None:
        return _DAYLIGHT_MIRED
    xyz = np.linalg.inv(np.asarray(picture.xyz_to_camera)) @ np.median(
        greys / greys.mean(axis=1)[:, None], axis=0
    )
    total = float(xyz.sum())
    kelvin = mccamy_cct_k(float(xyz[0]) / total, float(xyz[1]) / total) if total > 0 else float("nan")
    mired = 1e6 / kelvin if np.isfinite(kelvin) and kelvin > 0 else _DAYLIGHT_MIRED
    return round(min(max(mired, _MIRED[0]), _MIRED[1]))


def _profile_from(row: dict[str, object]) -> ColourProfile:
    terms = tuple(tuple(float(v) for v in line) for line in row["terms"])  # type: ignore[attr-defined]
    figures = [float(row[n]) for n in ("mean_delta_e", "worst_delta_e", "mired")]  # type: ignore[arg-type]
    if (
        len(terms) != 3
        or any(len(line) != 6 for line in terms)
        or not np.isfinite([*sum(terms, ()), *figures]).all()
    ):
        raise ValueError("terms")
    return ColourProfile(terms, *figures)
