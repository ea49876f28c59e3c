"""The light at one spot over one year."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from plateside.light.evaluate import evaluate, factors, sun_vectors
from plateside.light.modelling import key_fill_stops
from plateside.light.moment import CAMERA_FACES_DEG
from plateside.light.sky import Sky, SkySeries, sky_for
from plateside.light.sun import SunPositions, sun_positions, year_grid
from plateside.light.transport import Sensors, prepare
from plateside.model.light_answers import Array, Hung, StandingBoard, YearLight
from plateside.model.progress import Progress, silent
from plateside.model.room import Spot
from plateside.model.studio import Studio

YEAR_CELLS, YEAR_SPLIT = 200, 2
DARK_BELOW_DEG = -8.0
"""True elevation below which the year is not computed: the light is nothing."""
PIECES = 12


def year_light(
    studio: Studio,
    spot: Spot,
    year: int,
    sky: str | Sky | SkySeries,
    *,
    step_min: float = 5.0,
    camera_faces_deg: float | None = None,
    elevation_deg: float = 45.0,
    boards: Sequence[StandingBoard] = (),
    hung: Sequence[Hung] | None = None,
    progress: Progress = silent,
) -> YearLight:
    """The year on a grid of civil days by minutes of the day (5 minutes: 105,120 moments).

    sky  a word, a Sky (the same all year), or a series for all moments of sun.year_grid, days first
    """
    faces_deg = CAMERA_FACES_DEG if camera_faces_deg is None else camera_faces_deg
    prepared = prepare(
        studio, spot, boards=boards, hung=hung, camera_faces_deg=faces_deg, elevation_deg=elevation_deg
    )
    dates, minutes, seconds = year_grid(studio.place, year, step_min)
    days, steps = seconds.shape
    position = sun_positions(studio.place, seconds.ravel())
    day_of_year = np.repeat(np.arange(1.0, days + 1), steps)
    by_day = np.flatnonzero(position.true_elevation_deg > DARK_BELOW_DEG)
    sun = SunPositions(
        position.elevation_deg[by_day], position.true_elevation_deg[by_day], position.azimuth_deg[by_day]
    )
    suns = sun_vectors(sun, prepared.room.scene.front_rad)
    if isinstance(sky, SkySeries):
        whole = sky_for(sky, position.elevation_deg)
        series = part(whole, by_day)
    else:
        series = sky_for(
            sky, sun.elevation_deg, true_elevation_deg=sun.true_elevation_deg, altitude_m=studio.place.altitude_m,
            day_of_year=day_of_year[by_day],
        )  # fmt: skip
    count = len(prepared.sensors.points)
    flat = Sensors.HORIZONTAL
    lux = np.zeros((days * steps, count))
    on_dish = np.zeros(days * steps, dtype=bool)
    middle_sky, middle_sun = 0.0, 0.0
    bounds = np.linspace(0, by_day.size, PIECES + 1).astype(int)
    for piece, (a, b) in enumerate(pairwise(bounds)):
        if b > a:
            lit = evaluate(prepared, suns[a:b], part(series, np.arange(a, b)), YEAR_CELLS, YEAR_SPLIT)
            sky_lx, sun_lx = lit.sky_lx, lit.sun_lx
            lux[by_day[a:b]] = sky_lx + sun_lx
            on_dish[by_day[a:b]] = lit.direct_lx[:, :, flat].sum(axis=1) > 0
            middle_sky += float(sky_lx[:, flat].sum())
            middle_sun += float(sun_lx[:, flat].sum())
        progress(piece + 1, PIECES)
    low, high = factors(np.array([middle_sky]), np.array([middle_sun]), series, studio.fit)

    def grid(values: Array) -> Array:
        return np.ascontiguousarray(values.reshape(days, steps))

    return YearLight(
        spot=spot.name,
        year=year,
        timezone=studio.place.timezone,
        sky=series.name,
        dates=dates,
        minutes=minutes,
        sun_elevation_deg=grid(position.elevation_deg),
        sun_bearing_deg=grid(position.azimuth_deg),
        horizontal_lx=grid(lux[:, flat]),
        faces_lx=np.stack([grid(lux[:, k]) for k in range(1, 5)]),
        camera_lx=grid(lux[:, Sensors.CAMERA]),
        key_fill_stops=grid(key_fill_stops(lux[:, prepared.sensors.visible])),
        sun_on_dish=on_dish.reshape(days, steps),
        spread=(float(low[0]), float(high[0])),
    )


def part(series: SkySeries, which: np.ndarray) -> SkySeries:
    """The series at some of its moments."""
    return SkySeries(
        series.name, series.kind[which], series.shape[which], series.diffuse_horizontal_lx[which],
        series.direct_normal_lx[which], series.sky_cct_k[which], series.sun_cct_k[which],
        series.low, series.high, series.direct_low, series.direct_high,
    )  # fmt: skip
