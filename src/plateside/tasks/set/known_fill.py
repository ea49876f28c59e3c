"""What is known of a reference's key against fill: by the ball that stood in it, else by the plan."""

import math
from datetime import datetime
from hashlib import sha256
from zoneinfo import ZoneInfo

from plateside.files.index.index import Index
from plateside.files.settings.load import OpenShoot
from plateside.frames.facts import Ball
from plateside.frames.fill import LEAST_KNOWN_STOPS, KnownFill
from plateside.frames.set_up_acts import BALL_SURE
from plateside.light.boards import all_standing
from plateside.model.errors import CouldNotError, InputError
from plateside.model.frame import Frame
from plateside.model.shoot import Shot
from plateside.plan.scene import spot_of
from plateside.plan.unlit import why_unlit
from plateside.tasks.plan.picture_stage import light_of_stage
from plateside.tasks.plan.setup import day_of, on_its_day, room_direction

STEEPEST_STOPS = 5.0
"""A predicted shadow side darker than this holds next to no light to compare."""
KIND = "planned fill"


def known_fill(
    opened: OpenShoot, index: Index, reference: Frame, shot: Shot, ball: Ball | None
) -> KnownFill | None:
    """The reference's own ratio and where its key comes from; None when neither ball nor plan tells it.

    The plan is asked only where the shot asks for a ratio, once for each reference: predicting takes a second or two.
    """
    if ball is not None and ball.confidence >= BALL_SURE:
        half = 0.6 * ball.width
        tall = half * max(reference.width_px, 1) / max(reference.height_px, 1)
        box = (ball.at[0] - half, ball.at[1] - tall, ball.at[0] + half, ball.at[1] + tall)
        return KnownFill(ball.ratio_stops, "the ball", ball.from_right, ball.from_above, box)
    taken = reference.settings.taken_at
    if shot.fill_stops is None or taken is None or why_unlit(opened.studio):
        return None
    version = f"1 {hash_of(opened, shot)}"
    cached = index.facts(reference.id, kind=KIND, version=version)
    if cached is None:
        found = planned_fill(opened, shot, taken)
        cached = {} if found is None else {
            "ratio_stops": found.ratio_stops, "from_right": found.from_right, "from_above": found.from_above
        }  # fmt: skip
        index.put_facts(reference.id, cached, kind=KIND, version=version)
    if not cached:
        return None
    return KnownFill(cached["ratio_stops"], "the plan", cached["from_right"], cached["from_above"])


def planned_fill(opened: OpenShoot, shot: Shot, taken: datetime) -> KnownFill | None:
    """The light engine's ratio at the spot with the shot's boards, at the hour taken; None when it has none to give."""
    zone = ZoneInfo(opened.studio.place.timezone)
    local = taken.astimezone(zone)
    when = datetime.combine(day_of(on_its_day(opened, shot)), local.time().replace(tzinfo=None), zone)
    try:
        boards = all_standing(opened.studio, spot_of(opened.studio, shot), shot.boards, shot.camera_faces_deg)
        light = light_of_stage(opened, shot, when, boards, None)
    except (CouldNotError, InputError):
        return None
    ratio = light.key_fill_stops.value
    if not math.isfinite(ratio) or not LEAST_KNOWN_STOPS <= ratio <= STEEPEST_STOPS:
        return None
    turn = math.radians(room_direction(opened.studio, light.key_bearing_deg) - shot.camera_faces_deg)
    up, camera_up = math.radians(light.key_elevation_deg), math.radians(shot.elevation)
    ahead, right = math.cos(turn) * math.cos(up), math.sin(turn) * math.cos(up)
    return KnownFill(
        ratio, "the plan", right, ahead * math.sin(camera_up) + math.sin(up) * math.cos(camera_up)
    )


def hash_of(opened: OpenShoot, shot: Shot) -> str:
    """A name for all that the prediction rests on."""
    rests = repr((opened.studio, opened.shoot.date, opened.shoot.sky, shot))
    return sha256(rests.encode()).hexdigest()[:16]
