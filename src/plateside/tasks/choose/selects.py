"""Choose a select and an alternate for each shot; her own choice always wins and is kept in the journal."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from plateside.deliver.rectangles import too_small_for
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, read_state
from plateside.files.originals.unreadable import Unreadable
from plateside.files.settings.load import OpenShoot, open_shoot
from plateside.frames.choose import Candidate, ShotChoice, choose
from plateside.model.errors import InputError
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Shot
from plateside.tasks.choose.rulers import Measures, measures_of
from plateside.tasks.named import check_shot
from plateside.tasks.set.bursts import BestBurst
from plateside.tasks.set.judge import judge_frames
from plateside.tasks.set.judged import Judged
from plateside.tasks.set.shot import find_frame
from plateside.words.choose import choice_lines, of_no_shot_line
from plateside.words.set import refusals
from plateside.words.set.presses import written_down_sentence
from plateside.words.set.verdicts import no_frame_sentence, not_used_line


@dataclass(frozen=True)
class ChooseReport:
    """What is chosen for every shot, and the frames of no shot."""

    said: tuple[str, ...]
    shots: tuple[ShotChoice, ...]
    without_shot: tuple[str, ...]
    unreadable: tuple[Unreadable, ...]
    no_frames_in: str = ""
    """the folder looked into, when it holds no frame"""

    def lines(self) -> list[str]:
        if self.no_frames_in and not self.unreadable:
            return [*self.said, no_frame_sentence(self.no_frames_in)]
        rows = list(self.said)
        for choice in self.shots:
            rows += choice_lines(choice)
        if self.without_shot:
            rows.append(of_no_shot_line(self.without_shot))
        return rows + [not_used_line(u.reason) for u in self.unreadable]


def choose_frames(
    given: Path,
    selects: Sequence[tuple[str, str]] = (),
    alternates: Sequence[tuple[str, str]] = (),
    keep: Sequence[str] = (),
    again: Sequence[str] = (),
    progress: Progress = silent,
    *,
    test_frames: Sequence[tuple[str, str]] = (),
    best: Sequence[str] = (),
    record: bool = True,
) -> ChooseReport:
    """Choose for every shot, after writing down what she says.

    selects, alternates (shot, frame) pairs that she chooses herself
    test_frames         (shot, frame) pairs: the accepted test frame against which the others of the shot are judged
    keep, again         frames she keeps or refuses
    best                frames that she names the best of their burst
    record              False: only asked; no guess and no verdict is written down
    Raises InputError for a shot or frame that is not there; then nothing is written down.
    """
    opened = open_shoot(given)
    judged = judge_frames(given, progress=progress, record=record)
    pairs = {"select": selects, "alternate": alternates, "test frame": test_frames}
    said = _write_down(opened, judged.frames, pairs, {"kept": keep, "again": again, "best": best})
    if test_frames or best:
        judged = judge_frames(given, progress=progress)
    state = read_state(opened.folder.root)
    bursts = {frame: burst for burst in judged.bursts for frame in burst.frames}
    choices = []
    for shot in opened.shoot.shots:
        yours = state.heroes.get(shot.name, ""), state.alternates.get(shot.name, "")
        # a frame that was taken for its colour chart is no picture, unless you say so
        of_shot = [
            j for j in judged.frames
            if j.shot == shot.name and (j.frame.id not in state.charts or j.frame.id in yours)
        ]  # fmt: skip
        accepted = state.references.get(shot.name, "")
        accepted = accepted if any(j.frame.id == accepted for j in of_shot) else ""
        measured = measures_of(opened, shot, of_shot, accepted)
        candidates = [
            _candidate(j, shot, opened, state, bursts, measured[j.frame.id], accepted) for j in of_shot
        ]
        choices.append(choose(shot.name, candidates, *yours))
    loose = tuple(j.frame.name for j in judged.frames if not j.shot)
    nowhere = "" if judged.frames else judged.folder
    return ChooseReport(said, tuple(choices), loose, judged.unreadable, nowhere)


def _candidate(
    judged: Judged,
    shot: Shot,
    opened: OpenShoot,
    state: ShootState,
    bursts: Mapping[str, BestBurst],
    measured: Measures,
    accepted: str,
) -> Candidate:
    frame = judged.frame
    burst = bursts.get(frame.id)
    best = burst.best if burst and burst.best and burst.best.frame == frame.id else None
    channels = [c for c in opened.shoot.channels if not shot.channels or c.name in shot.channels]
    return Candidate(
        frame=frame.id,
        name=frame.name,
        word=judged.verdict.word,
        kept=frame.id in state.kept,
        again=frame.id in state.again,
        exposure_stops=measured.exposure_stops,
        sharpness_stops=measured.sharpness_stops,
        cast_mired=measured.cast_mired,
        odd_share=measured.odd_share,
        turn_deg=measured.turn_deg,
        against_reference=bool(accepted),
        apart=measured.apart,
        word_alike=measured.word,
        accepted=frame.id == accepted,
        is_raw=frame.is_raw,
        taken_at=frame.settings.taken_at,
        burst=burst.number if burst else None,
        best_of_burst=best is not None,
        burst_count=len(burst.frames) if burst else 0,
        why_best=best.why if best else None,
        best_on_hero=best is not None and best.on_hero,
        too_small_for=too_small_for(frame.width_px, frame.height_px, channels),
        act=judged.verdict.first,
        asked_stops=next((a.stops for a in judged.verdict.acts if a.kind == "exposure" and a.weight), None),
    )


def _write_down(
    opened: OpenShoot,
    judged: Sequence[Judged],
    pairs_of: Mapping[str, Sequence[tuple[str, str]]],
    presses: Mapping[str, Sequence[str]],
) -> tuple[str, ...]:
    frames = tuple(j.frame for j in judged)
    shot_of = {j.frame.id: j.shot for j in judged}
    rows: list[tuple[str, dict[str, str]]] = []
    said = []
    for kind, pairs in pairs_of.items():
        for shot_name, given in pairs:
            shot, frame = check_shot(opened.shoot, shot_name), find_frame(frames, given)
            if shot_of[frame.id] != shot:
                has, root = shot_of[frame.id], opened.folder.root
                raise InputError(refusals.of_another_shot(frame.name, has, shot, root))
            rows.append((kind, {"shot": shot, "frame": frame.id}))
            said.append(written_down_sentence(kind, frame.name, shot))
    for kind, names in presses.items():
        for given in names:
            frame = find_frame(frames, given)
            rows.append((kind, {"frame": frame.id}))
            said.append(written_down_sentence(kind, frame.name))
    if rows:
        Journal.open(opened.folder.root).append_many(rows)
    return tuple(said)
