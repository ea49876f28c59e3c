"""From a shot, its set-up and an hour to the stage that is drawn."""

import math
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TypeVar

import numpy as np

from plateside.camera.setup import SetUp
from plateside.files.settings.load import OpenShoot
from plateside.light.boards import all_standing
from plateside.light.moment import light_at
from plateside.light.scene import build_scene
from plateside.light.sky import sky_for
from plateside.light.sun import sun_positions
from plateside.model.errors import RefusedError
from plateside.model.gear import Prop, Surface
from plateside.model.light_answers import Hung, SpotLight, StandingBoard
from plateside.model.room import Spot
from plateside.model.shoot import PlacedBoard, Shot
from plateside.model.studio import Studio
from plateside.picture.pose import CameraPose
from plateside.picture.shapes.set_table import TableSetting
from plateside.picture.stage import Stage, sun_vector
from plateside.plan.scene import spot_of

Named = TypeVar("Named", Surface, Prop)

BACKDROP_BELOW_DEG = 30.0
"""Lower cameras see what stands behind the dish: a painted panel at the planned gap, unless a window is there."""
BACKDROP = "#6f7472"


@dataclass(frozen=True)
class LitStage:
    """A stage with the light engine's word on it."""

    stage: Stage
    light: SpotLight


def stage_of(
    opened: OpenShoot,
    shot: Shot,
    set_up: SetUp,
    when: datetime,
    *,
    placed: tuple[PlacedBoard, ...] | None = None,
    hung: tuple[Hung, ...] | None = None,
) -> LitStage:
    """The stage of a shot at a moment; `placed` and `hung` in place of the shot's boards and the studio's sheets."""
    studio, spot = opened.studio, spot_of(opened.studio, shot)
    faces = shot.camera_faces_deg
    boards = all_standing(studio, spot, shot.boards if placed is None else placed, faces)
    light = light_of_stage(opened, shot, when, boards, hung)
    sun = sun_positions(studio.place, [when])
    sky = sky_for(
        opened.shoot.sky,
        sun.elevation_deg,
        true_elevation_deg=sun.true_elevation_deg,
        altitude_m=studio.place.altitude_m,
        day_of_year=float(when.timetuple().tm_yday),
    ).at(0)
    stage = Stage(
        studio=studio,
        spot=spot,
        sky=sky,
        sun_direction=sun_vector(
            float(sun.azimuth_deg[0]), float(sun.elevation_deg[0]), studio.front_bearing_deg
        ),
        pose=pose_of(set_up),
        faces_deg=faces,
        boards=boards,
        hung=hung,
        laid=laid_of(studio, spot, shot, set_up),
    )
    return LitStage(stage, light)


def light_of_stage(
    opened: OpenShoot,
    shot: Shot,
    when: datetime,
    boards: tuple[StandingBoard, ...],
    hung: tuple[Hung, ...] | None,
) -> SpotLight:
    """The light engine's answer for these boards and sheets."""
    return light_at(
        opened.studio,
        spot_of(opened.studio, shot),
        when,
        opened.shoot.sky,
        camera_faces_deg=shot.camera_faces_deg,
        elevation_deg=shot.elevation,
        boards=boards,
        hung=hung,
        plate_mm=shot.dish_width_mm,
        frame_mm=(shot.frame_width_mm, shot.frame_height_mm),
        shadow_of_mm=max(shot.dish_height_mm, 1.0),
    )


def pose_of(set_up: SetUp) -> CameraPose:
    """Where the solved camera stands and how it is set."""
    turn = math.radians(set_up.camera_faces_deg)
    overhead = set_up.elevation_deg > 80
    return CameraPose(
        position_m=set_up.lens_m,
        target_m=set_up.aim_m,
        up=(math.sin(turn), math.cos(turn), 0.0) if overhead else (0.0, 0.0, 1.0),
        focal_length_mm=set_up.focal_length_mm,
        f_number=set_up.f_number,
        focus_distance_m=set_up.focus_lens_distance_m,
        sensor_width_mm=set_up.sensor_width_mm,
        sensor_height_mm=set_up.sensor_height_mm,
        exposure_s=set_up.exposure_s,
        iso=float(set_up.iso),
        filter_stops=set_up.polariser_stops,
    )


def laid_of(studio: Studio, spot: Spot, shot: Shot, set_up: SetUp) -> TableSetting:
    """What is on the table for a shot, with surface and props from the studio file."""
    surface = _found(studio.surfaces, shot.surface, "surface", shot) if studio.surfaces else None
    if surface is not None:
        # drawn no larger than the table it lies on
        surface = replace(surface, width_m=min(surface.width_m, 1.6), depth_m=min(surface.depth_m, 1.2))
    props = tuple(p for name in shot.props if (p := _found(studio.props, name, "prop", shot)) is not None)
    behind = shot.background_gap_mm / 1000.0
    colour = _backdrop(studio, spot, shot, behind, surface)
    return TableSetting(
        dish=shot.stand_in,
        dish_width_m=shot.dish_width_mm / 1000.0,
        dish_height_m=max(shot.dish_height_mm, 10.0) / 1000.0,
        surface=surface,
        props=props,
        frame_width_m=set_up.frame_width_mm / 1000.0,
        frame_height_m=set_up.frame_height_mm / 1000.0,
        elevation_deg=set_up.elevation_deg,
        backdrop_colour=colour,
        backdrop_gap_m=behind,
    )


def _backdrop(studio: Studio, spot: Spot, shot: Shot, behind_m: float, surface: Surface | None) -> str:
    if shot.elevation > BACKDROP_BELOW_DEG:
        return ""
    turn = math.radians(shot.camera_faces_deg)
    x = spot.from_left_m + math.sin(turn) * (behind_m + shot.dish_width_mm / 2000.0 + 0.05)
    y = (
        studio.room.depth_m
        - spot.from_front_m
        + math.cos(turn) * (behind_m + shot.dish_width_mm / 2000.0 + 0.05)
    )
    if not (0.0 < x < studio.room.width_m and 0.0 < y < studio.room.depth_m):
        return ""  # the wall itself is that near
    scene = build_scene(studio, spot)
    for outward in scene.openings["outward"]:
        if float(np.array([math.sin(turn), math.cos(turn), 0.0]) @ outward) > 0.6:
            return ""  # the window is behind the dish: nothing is put before it
    others = [s.colour for s in studio.surfaces if surface is None or s.name != surface.name]
    return others[0] if others else BACKDROP


def _found(things: tuple[Named, ...], name: str, what: str, shot: Shot) -> Named:
    if not name:
        return things[0]
    for thing in things:
        if thing.name == name:
            return thing
    known = [thing.name for thing in things]
    raise RefusedError("not in the studio", shot=shot.name, what=what, got=name, known=known)
