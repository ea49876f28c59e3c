"""How long the light lasts: by the camera's own readings of this shot, and by the day's prediction."""

import contextlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, replay
from plateside.files.originals.scan import read_frame
from plateside.files.settings.load import open_shoot
from plateside.frames.trend import LightSample, trend
from plateside.model.errors import CouldNotError, InputError
from plateside.tasks.light.asked import Asked, day_of
from plateside.tasks.light.words import day_words, good_again, light_left_sentence
from plateside.tasks.set.judging import Judge

MOST_READINGS = 24
"""The latest frames of a shot: an hour ago the clouds were others."""


@dataclass(frozen=True)
class LightLeft:
    """What the set is told of its light."""

    shot: str
    words: str
    """of the readings: 'Light falls 0.3 stop in 10 minutes, 35 minutes left.'; empty when they are too few"""
    until: datetime | None
    """by the readings; None when the light does not go"""
    predicted_words: str
    """for today, whatever day the shoot is planned for"""
    predicted_until: datetime | None
    predicted_from: datetime | None
    """when the light is good again on this day; None when it is good now, or not again"""
    planned_for: str
    """the shoot's day, 'Thursday 15 July 2027', when that is not today; else empty"""

    def lines(self) -> list[str]:
        plan = f"The plan is for {self.planned_for}; this is the light of today." if self.planned_for else ""
        return [w for w in (plan, self.words, self.predicted_words) if w]


def light_left(root: Path, shot: str, now: datetime) -> LightLeft:
    """The light of a shot at `now` (aware). Raises InputError for mistakes in the settings."""
    asked = Asked(path=root, shot=shot)
    stand = asked.stand()
    local = now.astimezone(stand.zone)
    words, until = _read_by_camera(root, shot, local)
    planned = local.date() if stand.shoot is None else date.fromisoformat(stand.shoot.date)
    day = day_of(stand, stand.spot, local.date(), asked.sky_for(stand, local.date()), asked.needs(stand))
    left = day.light_left_min(local)
    return LightLeft(
        shot=shot,
        words=words,
        until=until.astimezone(stand.zone) if until else None,
        predicted_words=light_left_sentence(day, local),
        predicted_until=local + timedelta(minutes=left) if left > 0 else None,
        predicted_from=good_again(day, local) if left <= 0 else None,
        planned_for="" if planned == local.date() else day_words(planned),
    )


def judged_today(state: ShootState, landed_at: Mapping[str, datetime], shot: str, now: datetime) -> list[str]:
    """A shot's judged frames that landed on the day of `now` (in its own zone), in order."""
    return [
        f
        for f in state.landed
        if state.shot_of.get(f) == shot
        and f in state.verdicts
        and landed_at[f].astimezone(now.tzinfo).date() == now.date()
    ]


def _read_by_camera(root: Path, shot: str, now: datetime) -> tuple[str, datetime | None]:
    """The trend of this shot's frames against its reference, and until when that light lasts.

    Frames that landed on an earlier day say nothing of the light of today (`now`, in the studio's zone).
    """
    opened = open_shoot(root)
    rows = Journal.open(root).rows()
    state = replay(rows)
    if shot not in state.references:
        return "", None
    landed = {str(r.data["frame"]): r.at for r in rows if r.kind == "frame landed"}
    own = judged_today(state, landed, shot, now)
    readings: list[LightSample] = []
    folder = opened.folder.frames_dir
    with Index.open(opened.folder.root) as index:
        judge = Judge(opened, index)
        for frame_id in own[-MOST_READINGS:]:
            with contextlib.suppress(InputError, CouldNotError, OSError):
                frame = read_frame(folder, folder / state.landed[frame_id], None, frame_id)
                comparison = judge.judged(frame, state).comparison
                if (
                    comparison
                    and comparison.fits
                    and comparison.light_stops is not None
                    and frame.settings.taken_at
                ):
                    readings.append(LightSample(frame.settings.taken_at, comparison.light_stops))
    found = trend(readings)
    if found is None:
        return "", None
    if found.minutes_left is None:
        return found.words(), None
    # the camera's clock may be wrong: minutes count from when the last frame landed here
    return found.words(), landed[own[-1]] + timedelta(minutes=found.minutes_left)
