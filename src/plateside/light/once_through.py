"""Every kernel of the light called once, in a small room made for it: what numba compiles is then kept on disk.

Compiled at the first question it would be some 20 s of waiting after an install (one core of 2.4 GHz). The sun's part
comes first: whoever asks meanwhile compiles from the other end, and the two meet.
"""

from collections.abc import Callable
from datetime import date, datetime
from zoneinfo import ZoneInfo

import numpy as np

from plateside.light.day import day_light
from plateside.light.moment import light_at
from plateside.light.patches import cut
from plateside.light.scene import Scene, build_scene
from plateside.light.sunbeam import sun_response
from plateside.light.transport import make_sensors
from plateside.model.progress import Progress, silent
from plateside.model.room import Block, Diffuser, Opposite, Place, Room, Spot, Window
from plateside.model.studio import Studio

_DAY = date(2027, 6, 21)
_SPOT = Spot(name="table", from_left_m=2.1, from_front_m=0.8)
_ROOM = Studio(
    place=Place(latitude_deg=40.0, longitude_deg=0.0, timezone="UTC"),
    room=Room(width_m=4.2, depth_m=3.1),
    windows=(
        Window(
            name="a", bearing_deg=180, width_m=1.2, height_m=1.2, sill_m=0.8, reveal_depth_m=0.2,
            overhang_depth_m=0.5, opposite=(
                Opposite(
                    bearing_from_deg=150, bearing_to_deg=210, distance_m=12, top_above_ground_m=6, see_through=0.3
                ),
            ),
        ),
        Window(name="b", bearing_deg=270, width_m=1.0, height_m=1.2, sill_m=0.8),
    ),
    spots=(_SPOT,),
    diffusers=(Diffuser(name="sheer", window="b", clear_transmittance=0.2),),
    furniture=(Block(name="shelf", from_left_m=0.0, from_front_m=2.0, width_m=0.4, depth_m=0.4, height_m=1.0),),
)  # fmt: skip


def call_all(progress: Progress = silent) -> None:
    """Call every kernel once, the sun's first. Raises Cancelled when `progress` says so."""
    parts: tuple[Callable[[], object], ...] = (_sun, _day, _moment)
    for done, part in enumerate(parts):
        progress(done, len(parts))
        part()
    progress(len(parts), len(parts))


def _sun() -> None:
    """The sun through the windows, before any of the room's own part is known: all that it gives on is nothing."""
    scene: Scene = build_scene(_ROOM, _SPOT, (), None)
    patches = cut(scene)
    sensors = make_sensors(scene, 90.0, 45.0)
    which = np.flatnonzero(np.array([a.sheet for a in scene.apertures] + [False])[patches.aperture])
    count, bands = len(sensors.points), scene.bands
    suns = np.array([[0.3, 0.5, 0.6], [-0.6, 0.3, 0.5]])
    sun_response(
        scene, patches, suns / np.linalg.norm(suns, axis=1)[:, None], sensors.points, sensors.normals,
        np.ascontiguousarray(patches.reflectance[:, :bands]), np.zeros((patches.count, bands, count)), which,
        np.zeros((which.size, bands, count)), (8, 1),
    )  # fmt: skip


def _day() -> None:
    day_light(_ROOM, _SPOT, _DAY, "clear", step_min=60.0)


def _moment() -> None:
    light_at(_ROOM, _SPOT, datetime(2027, 6, 21, 12, 0, tzinfo=ZoneInfo("UTC")), "overcast")
