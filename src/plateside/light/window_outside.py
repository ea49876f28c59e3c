"""What stands outside one window, as rows of the scene's arrays: its ground, reveal, overhang and what is opposite.

scene.py says in words what each of them gives.
"""

from math import atan2, pi, radians, tan
from typing import NamedTuple

import numpy as np

from plateside.light.boards import bands
from plateside.light.rays import OUTWORKS
from plateside.model.light_answers import Array
from plateside.model.room import Opposite, Window
from plateside.model.studio import Studio

SEGMENT_DEG = 20.0
REVEAL_REFLECTANCE = 0.5
OVERHANG_REFLECTANCE = 0.5
LIFTED_HORIZON_M = 1000.0
LIFTED_HORIZON_REFLECTANCE = 0.25


class Outside(NamedTuple):
    """What stands outside, window by window: rows of OPPOSITE and THING (light/records.py)."""

    opposite: list[tuple[object, ...]]
    things: list[tuple[object, ...]]


def outside_of(
    studio: Studio, window: Window, middle: Array, normal: Array, outside: Outside
) -> tuple[int, int, int, int, int, int]:
    """Add a window's ground, reveal, overhang and opposites. The last fields of its OPENING, which say where they are.

    middle  of the window's width; normal  outward
    """
    front = radians(studio.front_bearing_deg)
    ground = bands(window.ground_reflectance)
    facing = atan2(normal[0], normal[1])
    opposite, objects = outside
    first_object = len(objects)
    half = tuple(0.5 * g for g in ground)
    objects.append((0.0, 0.0, facing, ground, (1.0, 1.0, 1.0)))
    objects.append((0.5, 0.0, facing, (REVEAL_REFLECTANCE,) * 3, tuple(0.25 * g for g in ground)))
    objects.append((0.0, 0.0, facing, (OVERHANG_REFLECTANCE,) * 3, half))
    ground_z = -window.floor_above_ground_m
    middle_z = window.sill_m + window.height_m / 2
    lift = studio.fit.skyline_lift_deg
    things = sorted(window.opposite, key=lambda one: one.distance_m)
    if lift > 0:
        top = LIFTED_HORIZON_M * tan(radians(lift)) + middle_z - ground_z
        things.append(
            Opposite(
                bearing_from_deg=0, bearing_to_deg=360, distance_m=LIFTED_HORIZON_M,
                top_above_ground_m=max(top, 0.0), reflectance=LIFTED_HORIZON_REFLECTANCE,
            )
        )  # fmt: skip
    first = len(opposite)
    for number, thing in enumerate(things):
        top = thing.top_above_ground_m + ground_z
        if lift != 0 and not (lift > 0 and number == len(things) - 1):
            angle = atan2(top - middle_z, thing.distance_m) + radians(lift)
            top = middle_z + thing.distance_m * tan(min(max(angle, -1.55), 1.55))
        extent = (thing.bearing_to_deg - thing.bearing_from_deg) % 360
        if extent == 0 and thing.bearing_to_deg != thing.bearing_from_deg:
            extent = 360.0
        count = max(1, int(np.ceil(extent / SEGMENT_DEG)))
        start = radians(thing.bearing_from_deg) - front
        opposite.append((
            middle[0], middle[1], thing.distance_m, start % (2 * pi), radians(extent), top, thing.see_through, ground_z,
            len(objects), count,
        ))  # fmt: skip
        for k in range(count):
            looks = start + radians(extent) * (k + 0.5) / count + pi
            objects.append((1.0, 1.0, looks, bands(thing.reflectance), half))
    outworks = -1
    if window.reveal_depth_m > 0 or window.overhang_depth_m > 0:
        outworks = len(objects)
        objects += [(0.0, 0.0, 0.0, (0.0,) * 3, (0.0,) * 3)] * OUTWORKS
    return first, len(opposite), first_object, first_object + 1, first_object + 2, outworks
