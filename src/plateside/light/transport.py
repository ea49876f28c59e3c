"""From a studio and a spot to everything the light needs, made once and kept: the room, the sensors, their answers to
sky, outside and sun.

room_transport  patches, exchange and daylight coefficients of a room with its table and boards (kept)
Sensors         the little planes that are asked
prepare         the answers of sensors to every sky node, outside object and sunbeam (kept)
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import cos, radians, sin
from threading import Lock

import numpy as np
from numpy.typing import NDArray

from plateside.light.daylight import patch_coefficients, sensor_coefficients, sheet_coefficients
from plateside.light.form_factors import patch_exchange, point_factors
from plateside.light.importance import importance
from plateside.light.outworks import Outworks, outworks_of, sun_on
from plateside.light.patches import Patches, cut
from plateside.light.scene import FACE_LIFT_M, HORIZONTAL_LIFT_M, Scene, build_scene
from plateside.light.sky_light import light_of_sky
from plateside.light.sky_nodes import NODES, node_directions
from plateside.light.skyline import raised
from plateside.light.sunbeam import sun_response
from plateside.model.light_answers import Array, Hung, IntArray, StandingBoard
from plateside.model.room import Spot
from plateside.model.studio import Studio

VISIBLE_TURNS_DEG = (-90.0, -60.0, -30.0, 0.0, 30.0, 60.0, 90.0)
"""Upright faces of the dish that a camera sees, from the direction to the camera."""
_LOCK = Lock()


@dataclass(frozen=True)
class RoomTransport:
    """A room with its table, boards and sheets; nothing in it depends on sky, sun or sensors."""

    scene: Scene
    patches: Patches
    factors: NDArray[np.float32]
    """F_ij as float32 (n, n)."""
    node_part: NDArray[np.float32]
    """What the patches get from the sky nodes [lx per cd/m2] (n, NODES), float32."""
    object_part: Array
    """... and from outside objects (n, k)."""
    sheet_which: IntArray
    """Patches of hung sheets."""
    sheet_nodes: Array
    sheet_objects: Array
    sheet_exitance: Array
    """Exitance for each lux that reaches a sheet (m,)."""
    outworks: Outworks | None
    """Reveals and overhangs."""


@dataclass(frozen=True)
class Sensors:
    """Points and normals; where each kind begins."""

    points: Array
    normals: Array
    visible: slice
    """The upright faces that the camera sees, VISIBLE_TURNS_DEG."""
    plate: slice
    """Horizontal points on the plate."""
    frame: slice
    """Horizontal points over the frame."""

    HORIZONTAL = 0
    WALLS = slice(1, 5)
    CAMERA = 5
    DOWN = 6
    UP = 7


@dataclass(frozen=True)
class Prepared:
    """What sensors answer to each sky node, outside object and sunbeam, with all reflections."""

    room: RoomTransport
    sensors: Sensors
    directions: Array
    """Of the sky nodes that any sensor sees (a, 3)."""
    node_part: Array
    """(a, b, s) [lx per cd/m2]"""
    object_part: Array
    """(k, b, s)"""
    reflect: Array
    onward: Array
    sheet_gain: Array
    outwork_gain: Array
    """What sensors get for each lux of sun on each patch before the glass (m, b, s)."""

    def sky(
        self, kind: IntArray, shape: Array, suns: Array, diffuse_lx: Array, normal_lx: Array
    ) -> tuple[Array, Array]:
        """Light (t, b, s) from the sky, and from sunlit things outside; see sky_light.light_of_sky."""
        return light_of_sky(
            kind, shape, suns, diffuse_lx, normal_lx, self.directions, self.node_part, self.object_part,
            self.room.scene.things,
        )  # fmt: skip

    def sun(self, suns: Array, cells: int, split: int = 1, skyline_deg: float = 0.0) -> tuple[Array, Array]:
        """Light (t, b, s) for each lux of direct normal sun, and its direct part by aperture (t, a, s).

        skyline_deg  how much higher than in the scene everything outside stands before the sun
        """
        s = self.sensors
        scene = raised(self.room.scene, skyline_deg) if skyline_deg else self.room.scene
        all_light, direct = sun_response(
            scene, self.room.patches, suns, s.points, s.normals, self.reflect, self.onward,
            self.room.sheet_which, self.sheet_gain, (cells, split),
        )  # fmt: skip
        if self.room.outworks is not None:
            all_light += np.tensordot(sun_on(scene, self.room.outworks, suns), self.outwork_gain, axes=1)
        return all_light, direct


@lru_cache(maxsize=4)
def _room(
    studio: Studio, spot: Spot, boards: tuple[StandingBoard, ...], hung: tuple[Hung, ...] | None
) -> RoomTransport:
    scene = build_scene(studio, spot, boards, hung)
    patches = cut(scene)
    factors = patch_exchange(scene, patches).astype(np.float32)
    nodes, objects = patch_coefficients(scene, patches)
    sheets = np.array([a.sheet for a in scene.apertures] + [False])
    which = np.flatnonzero(sheets[patches.aperture])
    sheet_nodes, sheet_objects = sheet_coefficients(scene, patches, which)
    exitance = np.array([scene.apertures[patches.aperture[i]].exitance for i in which])
    return RoomTransport(
        scene,
        patches,
        factors,
        nodes.astype(np.float32),
        objects,
        which,
        sheet_nodes,
        sheet_objects,
        exitance,
        outworks_of(scene),
    )


def room_transport(
    studio: Studio, spot: Spot, boards: Sequence[StandingBoard] = (), hung: Sequence[Hung] | None = None
) -> RoomTransport:
    """The room's own part, kept for the last few rooms."""
    with _LOCK:
        return _room(_bare(studio), spot, tuple(boards), None if hung is None else tuple(hung))


def _bare(studio: Studio) -> Studio:
    """The studio without what the light does not depend on, so that it finds its kept room again."""
    return replace(
        studio, spots=(), boards=(), cameras=(), lenses=(), supports=(), surfaces=(), props=(), readings=()
    )


def make_sensors(
    scene: Scene, camera_faces_deg: float, elevation_deg: float, plate_mm: float = 0.0,
    frame_mm: tuple[float, float] = (0.0, 0.0),
) -> Sensors:  # fmt: skip
    """Faces at the dish, and points over plate and frame when their sizes are given."""
    dish = scene.dish
    low, high = dish + np.array([0, 0, HORIZONTAL_LIFT_M]), dish + np.array([0, 0, FACE_LIFT_M])
    look, lift = radians(camera_faces_deg), radians(elevation_deg)
    points = [low, *[high] * 7]
    normals: list[tuple[float, float, float]] = [
        (0, 0, 1), (0, 1, 0), (1, 0, 0), (0, -1, 0), (-1, 0, 0),
        (-sin(look) * cos(lift), -cos(look) * cos(lift), sin(lift)), (0, 0, -1), (0, 0, 1),
    ]  # fmt: skip
    for turn in VISIBLE_TURNS_DEG:
        angle = look + np.pi + radians(turn)
        points.append(high)
        normals.append((sin(angle), cos(angle), 0.0))
    visible = slice(8, len(points))
    for k in range(8 if plate_mm > 0 else 0):
        angle = 2 * np.pi * k / 8
        points.append(low + plate_mm / 2000 * np.array([sin(angle), cos(angle), 0.0]))
        normals.append((0, 0, 1))
    plate = slice(visible.stop, len(points))
    wide, tall = frame_mm[0] / 1000, frame_mm[1] / 1000 / max(sin(lift), 0.5)
    across = np.array([cos(look), -sin(look), 0.0])
    ahead = np.array([sin(look), cos(look), 0.0])
    size = scene.size
    for i in range(5 if wide > 0 else 0):
        for j in range(3):
            at = low + across * wide * (i / 4 - 0.5) + ahead * tall * (j / 2 - 0.5)
            at[:2] = np.clip(at[:2], 0.01, size[:2] - 0.01)
            points.append(at)
            normals.append((0, 0, 1))
    return Sensors(np.array(points), np.array(normals), visible, plate, slice(plate.stop, len(points)))


@lru_cache(maxsize=8)
def _prepared(
    studio: Studio, spot: Spot, boards: tuple[StandingBoard, ...], hung: tuple[Hung, ...] | None,
    camera_faces_deg: float, elevation_deg: float, plate_mm: float, frame_mm: tuple[float, float],
) -> Prepared:  # fmt: skip
    room = _room(studio, spot, boards, hung)
    sensors = make_sensors(room.scene, camera_faces_deg, elevation_deg, plate_mm, frame_mm)
    return answer(room, sensors)


def prepare(
    studio: Studio, spot: Spot, *, boards: Sequence[StandingBoard] = (), hung: Sequence[Hung] | None = None,
    camera_faces_deg: float = 90.0, elevation_deg: float = 45.0, plate_mm: float = 0.0,
    frame_mm: tuple[float, float] = (0.0, 0.0),
) -> Prepared:  # fmt: skip
    """Everything about a spot but sky and sun, kept for the last few spots."""
    with _LOCK:
        return _prepared(
            _bare(studio), spot, tuple(boards), None if hung is None else tuple(hung), float(camera_faces_deg),
            float(elevation_deg), float(plate_mm), (float(frame_mm[0]), float(frame_mm[1])),
        )  # fmt: skip


def answer(room: RoomTransport, sensors: Sensors) -> Prepared:
    """Solve the importance of all patches for these sensors and fold the daylight coefficients into it."""
    scene, patches = room.scene, room.patches
    sensor_factors = point_factors(scene, patches, sensors.points, sensors.normals)
    nodes, objects = sensor_coefficients(scene, sensors.points, sensors.normals)
    bands, count = scene.bands, len(sensors.points)
    node_part = np.empty((NODES, bands, count))
    object_part = np.empty((scene.things.size, bands, count))
    reflect = np.ascontiguousarray(patches.reflectance[:, :bands])
    onward = np.empty((patches.count, bands, count))
    sheet_gain = np.empty((room.sheet_which.size, bands, count))
    for band in range(bands):
        gain = importance(room.factors, reflect[:, band], sensor_factors)
        by_lux = (gain * reflect[:, band]).astype(np.float32)
        by_sheet = gain[:, room.sheet_which] * room.sheet_exitance
        node_part[:, band] = (nodes + by_lux @ room.node_part + by_sheet @ room.sheet_nodes).T
        object_part[:, band] = (objects + by_lux @ room.object_part + by_sheet @ room.sheet_objects).T
        onward[:, band] = ((gain - sensor_factors) * reflect[:, band] / patches.area).T
        sheet_gain[:, band] = by_sheet.T
    outwork_gain = np.empty((0, bands, count))
    if room.outworks is not None:
        o = room.outworks
        seen_part = object_part[o.columns]
        object_part[o.columns] = 0.0
        node_part += np.tensordot(o.node_part.T, seen_part, axes=1)
        object_part += np.tensordot(o.object_part.T, seen_part, axes=1)
        outwork_gain = np.tensordot(o.by_lux.T, seen_part, axes=1)
    used = np.any(node_part > 0, axis=(1, 2))
    return Prepared(
        room, sensors, node_directions()[used], np.ascontiguousarray(node_part[used]), object_part, reflect, onward,
        sheet_gain, outwork_gain,
    )  # fmt: skip
