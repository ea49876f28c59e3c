"""How long the light lasts: by the camera's own readings of this shot, and by the day's prediction."""

import contextlib
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from pathlib import Path

from plateside.files.index.index import Index
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import ShootState, replay
from plateside.files.originals.scan import read_frame
from plateside.files.settings.load import open_shoot
from plateside.frames.trend import LightSample, trend
from plateside.light.best import left_at
from plateside.light.boards import all_standing
from plateside.light.moment import light_at
from plateside.model.errors import CouldNotError, InputError
from plateside.model.light_facts import LightLeft, Trend
from plateside.model.shoot import Shoot
from plateside.plan.scene import spot_of
from plateside.tasks.light.asked import Asked, day_of
from plateside.tasks.set.judging import Judge

DARK_LX = 5.0
"""Below this no light on the dish has a colour worth setting a camera to (by judgement, no source)."""
MOST_READINGS = 24
"""The latest frames of a shot: an hour ago the clouds were others."""


def light_left(root: Path, shot: str, now: datetime) -> LightLeft:
    """The light of a shot at `now` (aware). Raises InputError for mistakes in the settings."""
    asked = Asked(path=root, shot=shot)
    stand = asked.stand()
    local = now.astimezone(stand.zone)
    found, until = _read_by_camera(root, shot, local)
    planned = local.date() if stand.shoot is None else date.fromisoformat(_day_of(stand.shoot, shot))
    day = day_of(stand, stand.spot, local.date(), asked.sky_for(stand, local.date()), asked.needs(stand))
    return LightLeft(
        shot=shot,
        trend=found,
        until=until.astimezone(stand.zone) if until else None,
        predicted=left_at(day, local),
        planned_for=None if planned == local.date() else planned,
        cct_k=_cct_k(root, shot, local),
    )


def _cct_k(root: Path, shot: str, when: datetime) -> float:
    """The light's colour on the dish at a moment [K]; 0 when it is too dark for one."""
    opened = open_shoot(root)
    wanted = next((s for s in opened.shoot.shots if s.name == shot), None)
    if wanted is None or not opened.studio.windows:
        return 0.0
    with contextlib.suppress(InputError, CouldNotError):
        spot = spot_of(opened.studio, wanted)
        boards = all_standing(opened.studio, spot, wanted.boards, wanted.camera_faces_deg)
        light = light_at(
            opened.studio, spot, when, opened.shoot.sky, camera_faces_deg=wanted.camera_faces_deg,
            elevation_deg=wanted.elevation, boards=boards,
        )  # fmt: skip
        return light.cct_k.value if light.horizontal_lx.value >= DARK_LX else 0.0
    return 0.0


def _day_of(shoot: Shoot, name: str) -> str:
    return next((shoot.day_of(s) for s in shoot.shots if s.name == name), shoot.date)


def judged_today(state: ShootState, landed_at: Mapping[str, datetime], shot: str, now: datetime) -> list[str]:
    """A shot's judged frames that landed on the day of `now` (in its own zone), in order."""
    return [
        f
        for f in state.landed
        if state.shot_of.get(f) == shot
        and f in state.verdicts
        and landed_at[f].astimezone(now.tzinfo).date() == now.date()
    ]


def _read_by_camera(root: Path, shot: str, now: datetime) -> tuple[Trend | None, datetime | None]:
    """The trend of this shot's frames against its reference, and until when that light lasts.

    Frames that landed on an earlier day say nothing of the light of today (`now`, in the studio's zone).
    """
    opened = open_shoot(root)
    rows = Journal.open(root).rows()
    state = replay(rows)
    if shot not in state.references:
        return None, None
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
    if found is None or found.minutes_left is None:
        return found, None
    # the camera's clock may be wrong: minutes count from when the last frame landed here
    return found, landed[own[-1]] + timedelta(minutes=found.minutes_left)
