"""A shot's key against fill, as the plan predicts it: the light engine's answer at the hour that a frame was taken."""

import math
from datetime import datetime
from zoneinfo import ZoneInfo

from plateside.files.settings.load import OpenShoot
from plateside.frames.fill import LEAST_KNOWN_STOPS, KnownFill
from plateside.light.boards import all_standing
from plateside.model.errors import CouldNotError, InputError
from plateside.model.shoot import Shot
from plateside.plan.scene import spot_of
from plateside.tasks.plan.picture_stage import light_of_stage
from plateside.tasks.plan.setup import day_of, on_its_day, room_direction

STEEPEST_STOPS = 5.0
"""A predicted shadow side darker than this holds next to no light to compare."""


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
