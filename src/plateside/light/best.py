"""The best of a day and of several table spots, and from which side the light comes.

brightest, strongest   a day's brightest moment, and the stretch about it in which an exposure holds
ranked                 table spots, best first
left_at                how long the good light lasts
side_of                from which side of the camera
sun_near               where the sun falls, against the dish
"""

import math
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

import numpy as np

from plateside.light.boards import dish_xyz
from plateside.light.near import distance_m
from plateside.model.light_answers import DayLight, Interval, LightNeeds, SpotLight, Spread
from plateside.model.light_facts import LeftFacts, SpotRank, SunNear
from plateside.model.room import Spot
from plateside.model.studio import Studio

HALF_A_STOP = 2.0**-0.5
NEARLY_ALL = 0.8
"""A stretch with this share of the good hours is no news."""
STRAIGHT_DEG = 15.0
"""So near to straight ahead or behind, the light comes from there and not from a side (common practice, no source)."""
ABOVE_DEG = 70.0


def spread_at(light: DayLight, index: int) -> Spread:
    """The horizontal light at one of the day's moments."""
    return Spread(
        float(light.horizontal_lx[index]),
        float(light.horizontal_low_lx[index]),
        float(light.horizontal_high_lx[index]),
    )


def brightest(light: DayLight) -> int:
    """Index of the day's brightest moment; of its good moments, when it has any."""
    lux = light.horizontal_lx
    stamps = np.array([t.timestamp() for t in light.times])
    good = np.zeros(lux.size, bool)
    for span in light.good:
        good |= (stamps >= span.start.timestamp()) & (stamps < span.end.timestamp())
    return int(np.argmax(np.where(good, lux, -1.0) if good.any() else lux))


def strongest(light: DayLight) -> Interval | None:
    """The good moments round the brightest one within half a stop of it; None when that is nearly all.

    Dawn to dusk is true and no help; within half a stop an exposure set once still holds (common practice, no source).
    """
    top = brightest(light)
    least = float(light.horizontal_lx[top]) * HALF_A_STOP
    stamps = [t.timestamp() for t in light.times]
    around = next((s for s in light.good if s.start.timestamp() <= stamps[top] < s.end.timestamp()), None)
    if around is None:
        return None
    first = last = top
    from_s, to_s = around.start.timestamp(), around.end.timestamp()
    while first > 0 and stamps[first - 1] >= from_s and light.horizontal_lx[first - 1] >= least:
        first -= 1
    ends = len(stamps) - 1
    while last < ends and stamps[last + 1] <= to_s and light.horizontal_lx[last + 1] >= least:
        last += 1
    found = Interval(light.times[first], light.times[last])
    return found if found.minutes < NEARLY_ALL * light.good_min else None


def left_at(day: DayLight, at: datetime) -> LeftFacts:
    """How long the good light lasts from a moment, or when it comes again."""
    left = day.light_left_min(at)
    if left > 0:
        return LeftFacts(left, datetime.fromtimestamp(at.timestamp() + 60 * left, at.tzinfo), None)
    again = next((span.start for span in day.good if span.start.timestamp() > at.timestamp()), None)
    return LeftFacts(0.0, None, again)


def ranked(days: Mapping[str, DayLight], at: datetime | None, needs: LightNeeds) -> tuple[SpotRank, ...]:
    """Best spot first: at a moment the brightest that meets the needs, over a day the one good the longest."""
    if len(days) < 2:
        return ()
    found = []
    for name, day in days.items():
        i = brightest(day)
        if at is not None:
            i = int(np.argmin([abs(t.timestamp() - at.timestamp()) for t in day.times]))
        found.append(SpotRank(name, spread_at(day, i), 0.0, bool(day.sun_on_dish[i]), day.good, day.good_min))

    def merit(rank: SpotRank) -> tuple[float, float]:
        lx = rank.illuminance_lx.value
        if at is None:
            return rank.good_min, lx
        return float(not (needs.no_direct_sun and rank.sun_on_dish) and lx >= needs.at_least_lx), lx

    order = sorted(found, key=merit, reverse=True)
    top = order[0].illuminance_lx.value
    return tuple(replace(r, against_best_stops=stops_between(r.illuminance_lx.value, top)) for r in order)


def stops_between(lx: float, against_lx: float) -> float:
    """How many stops brighter one light is than another; 0 when either is dark."""
    return math.log2(lx / against_lx) if lx > 0 and against_lx > 0 else 0.0


def side_of(turn_deg: float) -> str:
    """left, right, behind (the dish) or camera, of a turn clockwise from where the camera looks [deg]."""
    turn = math.radians(turn_deg)
    if abs(math.sin(turn)) < math.sin(math.radians(STRAIGHT_DEG)):
        return "behind" if math.cos(turn) > 0 else "camera"
    return "right" if math.sin(turn) > 0 else "left"


def key_from(light: SpotLight, front_bearing_deg: float, camera_faces_deg: float) -> str:
    """From which side of the camera the key comes; above when it stands high."""
    if light.key_elevation_deg > ABOVE_DEG:
        return "above"
    return side_of(light.key_bearing_deg - front_bearing_deg - camera_faces_deg)


def day_key_from(light: DayLight, index: int, camera_faces_deg: float) -> str:
    """The same at one of a day's moments, by its upright faces."""
    front, right, back, left = (float(v) for v in light.faces_lx[:, index])
    return side_of(math.degrees(math.atan2(right - left, front - back)) - camera_faces_deg)


def sun_near(light: SpotLight, studio: Studio, spot: Spot, dish_width_mm: float) -> SunNear:
    """Where the sun falls, and how near to the dish."""
    if light.sun_elevation_deg <= 0:
        return SunNear("down")
    if light.sun_on_dish:
        return SunNear("dish", 0.0)
    if not light.sun_patch:
        return SunNear("away")
    x, y, _ = dish_xyz(studio, spot)
    near = min(distance_m((x, y), polygon) for polygon in light.sun_patch)
    return SunNear("edge" if near < dish_width_mm / 2000 else "table", near)
