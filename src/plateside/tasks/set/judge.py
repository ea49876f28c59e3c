"""Judge the frames of a shoot: what is wrong with each, and the one thing to change."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, replay, stand_for
from plateside.files.originals.listing import stamp_of
from plateside.files.originals.scan import scan_frames
from plateside.files.originals.unreadable import Unreadable
from plateside.files.originals.unreadable import unreadable as unreadable_of
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.frames.assign import guess_shots
from plateside.model.errors import Cancelled, CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.model.light_facts import Trend
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Shot
from plateside.tasks.set.bursts import BestBurst, best_bursts, look_by
from plateside.tasks.set.judged import Judged, light_trend, verdict_row
from plateside.tasks.set.judging import Judge
from plateside.words.light.left import trend_sentence
from plateside.words.set import refusals
from plateside.words.set.events import chart_seen_sentence
from plateside.words.set.verdicts import judged_sentence, no_frame_sentence, not_used_line, tally_sentence


@dataclass(frozen=True)
class JudgeReport:
    """Every frame judged, and every file that could not be."""

    frames: tuple[Judged, ...]
    unreadable: tuple[Unreadable, ...]
    remarks: tuple[str, ...] = ()
    light: tuple[tuple[str, Trend], ...] = ()
    """For each shot with a reference, where the light on its dish goes."""
    bursts: tuple[BestBurst, ...] = ()
    """Runs of frames of one moment, with the best of each."""
    folder: str = ""
    """Where the frames were looked for."""
    charts: tuple[str, ...] = ()
    """Files that show a colour chart: of no shot, and not judged."""

    def lines(self) -> list[str]:
        """A line per frame, then what could not be read."""
        if not self.frames and not self.unreadable and not self.charts:
            return [no_frame_sentence(self.folder)]
        width = max((len(j.frame.name) for j in self.frames), default=0)
        out = [j.line(width) for j in self.frames]
        out += [chart_seen_sentence(name) for name in self.charts]
        out += [not_used_line(u.reason) for u in self.unreadable]
        tally = tally_sentence([j.verdict.word for j in self.frames])
        out += [tally] if tally else []
        out += [burst.line() for burst in self.bursts]
        out += [f"{shot}: {trend_sentence(found)}" for shot, found in self.light]
        return out + sorted({judged_sentence(j.verdict) for j in self.frames}) + list(self.remarks)


def judge_frames(
    shoot_dir: Path, names: Sequence[str] | None = None, progress: Progress = silent, *, record: bool = True
) -> JudgeReport:
    """Judge all frames of a shoot, or those named.

    names   file names within the frames folder (or their last part); None or empty: all
    record  write shot guesses and verdicts that are new into the journal

    What was measured before is taken from the index, so an interrupted run goes on where it stopped.
    Raises InputError when the shoot or a named frame is missing.
    """
    opened = open_shoot(shoot_dir)
    journal = Journal.open(opened.folder.root)
    state = replay(journal.rows())
    with Index.open(opened.folder.root) as index:
        return _judge(opened, journal, state, index, names, progress, record)


def _judge(
    opened: OpenShoot,
    journal: Journal,
    state: ShootState,
    index: Index,
    names: Sequence[str] | None,
    progress: Progress,
    record: bool,
) -> JudgeReport:
    frames, unreadable = scan_frames(opened.folder.frames_dir, index=index)
    landed, aside = set(state.landed), dict(state.aside)
    same_exposure = _judged_as(frames, state)
    # a reference may be named before any row says that its file landed, and files may be renamed
    state.landed.update({f.id: f.name for f in frames})
    shots = shots_of([f for f in frames if f.id not in state.charts_seen], opened, state)
    wanted = [f for f in _named(frames, unreadable, names) if f.id not in state.cards]
    judged: list[Judged] = []
    charts: list[Frame] = []
    failed: list[Unreadable] = []
    judge = Judge(opened, index)
    for done, frame in enumerate(wanted):
        progress(done, len(wanted))
        try:
            if judge.shows_chart(frame, state):
                charts.append(frame)
            else:
                judged.append(judge.judged(frame, state, *shots[frame.id]))
        except Cancelled:
            raise
        except Exception as error:
            # whatever one file does to the judging, the others are judged
            failed.append(unreadable_of(frame.name, error))
    by_name = {s.name: s for s in opened.shoot.shots}
    bursts = best_bursts(judged, by_name, state, look_by(judge.picture), index)
    progress(len(wanted), len(wanted))
    rows = _rows(state, landed, judged, charts, same_exposure)
    rows += _rows_aside(aside, [*unreadable, *failed], opened.folder.frames_dir)
    remarks = _written(journal, rows) if record else ()
    refused = unreadable if not names else tuple(u for u in unreadable if _is_named(u.name, names))
    light = tuple((s.name, t) for s in opened.shoot.shots if (t := light_trend(judged, s.name)) is not None)
    return JudgeReport(
        tuple(judged), (*refused, *failed), remarks, light, bursts, str(opened.folder.frames_dir),
        tuple(f.name for f in charts),
    )  # fmt: skip


def shots_of(
    frames: Sequence[Frame], opened: OpenShoot, state: ShootState
) -> Mapping[str, tuple[Shot | None, bool]]:
    """For each frame id its shot, and whether that is a guess. What was said always wins."""
    by_name = {s.name: s for s in opened.shoot.shots}
    said = {k: v for k, v in state.shot_of.items() if k not in state.guessed and v in by_name}
    open_frames = [f for f in frames if f.id not in said]
    guesses = guess_shots(open_frames, opened.shoot.shots, opened.studio)
    out: dict[str, tuple[Shot | None, bool]] = {k: (by_name[v], False) for k, v in said.items()}
    for frame, name in zip(open_frames, guesses, strict=True):
        out[frame.id] = by_name.get(name), True
    return out


def _is_named(name: str, names: Sequence[str]) -> bool:
    return any(name == n or name.rsplit("/", 1)[-1] == n.replace("\\", "/").rsplit("/", 1)[-1] for n in names)


def _named(
    frames: Sequence[Frame], unreadable: Sequence[Unreadable], names: Sequence[str] | None
) -> list[Frame]:
    if not names:
        return list(frames)
    for name in names:
        if not any(
            _is_named(known, [name]) for known in [f.name for f in frames] + [u.name for u in unreadable]
        ):
            raise InputError(refusals.no_such_frame(name, [f.name for f in frames]))
    return [f for f in frames if _is_named(f.name, names)]


def _judged_as(frames: Sequence[Frame], state: ShootState) -> dict[str, str]:
    """Frame id -> id under which the same exposure was told: its JPEG, when the raw came while nobody watched."""
    by_name = {name: frame for frame, name in state.landed.items()}
    found = {f.id: by_name.get(f.companion, "") for f in frames if f.companion and f.id not in state.landed}
    for frame, former in found.items():
        # as the journal's row will say, so that what was decided of it counts at once
        if former:
            stand_for(state, former, frame)
    return {frame: former for frame, former in found.items() if former}


def _rows(
    state: ShootState,
    landed: set[str],
    judged: Sequence[Judged],
    charts: Sequence[Frame],
    same_exposure: Mapping[str, str],
) -> list[tuple[str, dict[str, Any]]]:
    rows: list[tuple[str, dict[str, Any]]] = []
    for frame in (*(one.frame for one in judged), *charts):
        if frame.id not in landed:
            former = same_exposure.get(frame.id, "")
            more = {"replaces": former} if former else {}
            rows.append(("frame landed", {"frame": frame.id, "name": frame.name, **more}))
    rows += [("chart seen", {"frame": f.id}) for f in charts if f.id not in state.charts_seen]
    for one in judged:
        frame = one.frame
        if one.guessed and one.shot and state.shot_of.get(frame.id) != one.shot:
            rows.append(("frame belongs", {"frame": frame.id, "shot": one.shot, "guess": True}))
        row = verdict_row(one)
        if state.verdicts.get(frame.id) != row:
            rows.append(("verdict", row))
    return rows


def _rows_aside(
    aside: Mapping[str, Mapping[str, Any]], refused: Sequence[Unreadable], folder: Path
) -> list[tuple[str, dict[str, Any]]]:
    """What cannot be used and was not told before, or has changed since; and what was told and is gone."""
    aside_now: dict[str, dict[str, Any]] = {}
    for one in refused:
        if one.code != "copy":
            stamp = stamp_of(folder, one)
            aside_now[one.name] = {"name": one.name, "code": one.code, "reason": one.reason, "stamp": stamp}
    rows = [
        ("file set aside", data)
        for name, data in aside_now.items()
        if name not in aside or aside[name].get("stamp", "") != data["stamp"]
    ]
    gone = [name for name in aside if name not in aside_now and not (folder / name).exists()]
    return rows + [("file gone", {"name": name}) for name in gone]


def _written(journal: Journal, rows: list[tuple[str, dict[str, Any]]]) -> tuple[str, ...]:
    if not rows:
        return ()
    try:
        journal.append_many(rows)
    except CouldNotError as error:
        return (refusals.not_written_down(error),)
    return ()
