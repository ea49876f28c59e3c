"""The light at one spot over one civil day."""

from collections.abc import Sequence
from datetime import date

import numpy as np

from plateside.light.evaluate import evaluate, sun_vectors
from plateside.light.good_hours import intervals, meets
from plateside.light.modelling import key_fill_stops
from plateside.light.moment import CAMERA_FACES_DEG, horizontal_range
from plateside.light.sky import Sky, SkySeries, sky_for
from plateside.light.sun import civil_times, sun_day, sun_positions
from plateside.light.transport import Sensors, prepare
from plateside.model.light_answers import DayLight, Hung, LightNeeds, StandingBoard
from plateside.model.room import Spot
from plateside.model.studio import Studio

EVERY_MIN = 5.0
DAY_CELLS, DAY_SPLIT = 600, 2
ANY = LightNeeds()


def day_light(
    studio: Studio,
    spot: Spot,
    day: date,
    sky: str | Sky | SkySeries,
    *,
    needs: LightNeeds = ANY,
    step_min: float = EVERY_MIN,
    camera_faces_deg: float | None = None,
    elevation_deg: float = 45.0,
    boards: Sequence[StandingBoard] = (),
    hung: Sequence[Hung] | None = None,
) -> DayLight:
    """The day at equal true steps (5 minutes).

    sky    a word, a Sky (the same all day), or a series for sun.civil_times(place, day, step_min)
    needs  what `good` and `light_left_min` mean
    """
    faces_deg = CAMERA_FACES_DEG if camera_faces_deg is None else camera_faces_deg
    prepared = prepare(
        studio, spot, boards=boards, hung=hung, camera_faces_deg=faces_deg, elevation_deg=elevation_deg
    )
    times = civil_times(studio.place, day, step_min)
    position = sun_positions(studio.place, times)
    suns = sun_vectors(position, prepared.room.scene.front_rad)
    series = sky_for(
        sky, position.elevation_deg, true_elevation_deg=position.true_elevation_deg,
        altitude_m=studio.place.altitude_m, day_of_year=float(day.timetuple().tm_yday),
    )  # fmt: skip
    lit = evaluate(prepared, suns, series, DAY_CELLS, DAY_SPLIT, studio.fit)
    lux = lit.lux
    flat = Sensors.HORIZONTAL
    low, high = horizontal_range(lit, studio.fit)
    sun_on_dish = lit.direct_lx[:, :, flat].sum(axis=1) > 0
    key_fill = key_fill_stops(lux[:, prepared.sensors.visible])
    good = meets(
        needs, lux[:, flat], sun_on_dish, key_fill, position.true_elevation_deg, lux[:, Sensors.CAMERA]
    )
    sun = sun_day(studio.place, day)
    return DayLight(
        spot=spot.name,
        day=day,
        timezone=studio.place.timezone,
        sky=series.name,
        times=times,
        sun_elevation_deg=position.elevation_deg,
        sun_bearing_deg=position.azimuth_deg,
        horizontal_lx=lux[:, flat],
        horizontal_low_lx=low,
        horizontal_high_lx=high,
        faces_lx=np.ascontiguousarray(lux[:, Sensors.WALLS].T),
        camera_lx=lux[:, Sensors.CAMERA],
        key_fill_stops=key_fill,
        sun_on_dish=sun_on_dish,
        sunrise=sun.sunrise,
        transit=sun.transit,
        sunset=sun.sunset,
        always_up=sun.always_up,
        never_up=sun.never_up,
        sun_intervals=intervals(times, sun_on_dish, step_min),
        needs=needs,
        good=intervals(times, good, step_min),
        step_min=step_min,
    )
