"""The light at one spot at one moment."""

from collections.abc import Sequence
from datetime import datetime
from math import degrees, log2

import numpy as np

from plateside.ground.exposure import ev100_of_light
from plateside.ground.srgb import LUMINANCE
from plateside.light.colour import cct_duv, rgb_of_cct, tints_of
from plateside.light.evaluate import SensorLight, evaluate, factors, spread_of, sun_vectors
from plateside.light.modelling import (
    key_direction,
    key_fill_stops,
    modelling_word,
    sun_shadow_edge_mm,
    turn_and_elevation_deg,
    vector_scalar,
    window_shadow_edge_mm,
)
from plateside.light.sky import Sky, SkySeries, sky_for
from plateside.light.sun import SunPositions, sun_positions
from plateside.light.sun_patch import sun_patches
from plateside.light.transport import Prepared, Sensors, prepare
from plateside.model.light_answers import Array, Cast, Hung, SpotLight, Spread, StandingBoard
from plateside.model.room import Spot
from plateside.model.studio import Fit, Studio

CAMERA_FACES_DEG = 90.0
MOMENT_CELLS, MOMENT_SPLIT = 1600, 4
CCT_SPREAD_MIRED = 15.0
"""Half the width of the published ranges of each sky's colour."""
STOPS_SPREAD = 0.15
"""What the reflectances that one did not measure do to a ratio [stops]."""


def light_at(
    studio: Studio,
    spot: Spot,
    when: datetime,
    sky: str | Sky | SkySeries,
    *,
    camera_faces_deg: float | None = None,
    elevation_deg: float = 45.0,
    boards: Sequence[StandingBoard] = (),
    hung: Sequence[Hung] | None = None,
    plate_mm: float = 260.0,
    frame_mm: tuple[float, float] = (450.0, 300.0),
    shadow_of_mm: float = 60.0,
) -> SpotLight:
    """The light on the dish.

    when              aware moment
    sky               a word (clear, hazy, broken, overcast), a Sky, or a series of one moment
    camera_faces_deg  where the camera looks, clockwise from straight at the front wall; None: 90 (front window on
                      the camera's left)
    elevation_deg     of the camera above the dish
    hung              sheets over windows; None: those that the studio file hangs (diffusers with a window)
    """
    faces_deg = CAMERA_FACES_DEG if camera_faces_deg is None else camera_faces_deg
    prepared = prepare(
        studio, spot, boards=boards, hung=hung, camera_faces_deg=faces_deg, elevation_deg=elevation_deg,
        plate_mm=plate_mm, frame_mm=frame_mm,
    )  # fmt: skip
    position = sun_positions(studio.place, [when])
    suns = sun_vectors(position, prepared.room.scene.front_rad)
    series = sky_for(
        sky, position.elevation_deg, true_elevation_deg=position.true_elevation_deg,
        altitude_m=studio.place.altitude_m, day_of_year=float(when.timetuple().tm_yday),
    )  # fmt: skip
    lit = evaluate(prepared, suns, series, MOMENT_CELLS, MOMENT_SPLIT, studio.fit)
    return _answer(
        studio, spot, when, prepared, lit, position, faces_deg, plate_mm, frame_mm, shadow_of_mm
    )  # fmt: skip


def _answer(
    studio: Studio, spot: Spot, when: datetime, prepared: Prepared, lit: SensorLight, position: SunPositions,
    faces_deg: float, plate_mm: float, frame_mm: tuple[float, float], shadow_of_mm: float,
) -> SpotLight:  # fmt: skip
    sensors, series, fit = prepared.sensors, lit.series, studio.fit
    sky_lx, sun_lx, lux = lit.sky_lx[0], lit.sun_lx[0], lit.lux[0]
    least, most = lit.sun_ends_lx

    def lx(index: int) -> Spread:
        ends = float(least[0, index]), float(most[0, index])
        return spread_of(float(sky_lx[index]), float(sun_lx[index]), series, fit, ends)

    flat = Sensors.HORIZONTAL
    straight = lit.direct_lx[0, :, flat]
    through = int(np.argmax(straight)) if straight.size and straight.max() > 0 else -1
    scene = prepared.room.scene
    sun = sun_vectors(position, scene.front_rad)[0]
    window = studio.windows[scene.apertures[through].window].name if through >= 0 else ""
    horizontal = lx(flat)
    vector, scalar = vector_scalar(*(float(lux[k]) for k in (1, 2, 3, 4, Sensors.UP, Sensors.DOWN)))
    turn, key_elevation = turn_and_elevation_deg(vector)
    ratio = float(np.linalg.norm(vector)) / scalar if scalar > 0 else 0.0
    cct, duv, cast = _colour(prepared, lit)
    rgb = (lit.sky_bands_lx + lit.sun_bands_lx)[0, :, flat]
    brightness = float(LUMINANCE @ rgb)
    edge = window_shadow_edge_mm(scene, shadow_of_mm)
    if straight.sum() > 0.3 * lux[flat]:
        edge = sun_shadow_edge_mm(shadow_of_mm, float(np.arcsin(sun[2])))
    front, right, back, left = (lx(k) for k in range(1, 5))
    return SpotLight(
        spot=spot.name,
        when=when,
        sky=series.name,
        sun_elevation_deg=float(position.elevation_deg[0]),
        sun_bearing_deg=float(position.azimuth_deg[0]),
        sun_on_dish=through >= 0,
        sun_window=window,
        horizontal_lx=horizontal,
        front_lx=front,
        right_lx=right,
        back_lx=back,
        left_lx=left,
        camera_lx=lx(Sensors.CAMERA),
        direct_sun_lx=spread_of(0.0, float(straight.sum()), series, fit),
        key_fill_stops=_key_fill(lit, sensors, series),
        key_direction=key_direction(turn, faces_deg),
        key_bearing_deg=(turn + degrees(scene.front_rad)) % 360,
        key_elevation_deg=key_elevation,
        vector_lx=(float(vector[0]), float(vector[1]), float(vector[2])),
        vector_scalar_ratio=Spread(ratio, ratio * 0.9, min(4.0, ratio * 1.1)),
        modelling=modelling_word(ratio),
        shadow_edge_mm=Spread(edge, edge * 0.7, edge * 1.3),
        shadow_of_mm=shadow_of_mm,
        sun_patch=sun_patches(scene, sun) if series.direct_normal_lx[0] > 0 else (),
        cct_k=cct,
        duv=duv,
        cast=cast,
        light_rgb=_three(rgb / brightness) if brightness > 0 else (1.0, 1.0, 1.0),
        ev100=_ev(horizontal),
        camera_ev100=_ev(lx(Sensors.CAMERA)),
        evenness_plate_stops=_evenness(np.append(lux[sensors.plate], lux[flat])),
        evenness_frame_stops=_evenness(np.append(lux[sensors.frame], lux[flat])),
        plate_mm=plate_mm,
        frame_mm=frame_mm,
    )


def _ev(lx: Spread) -> Spread:
    return Spread(ev100_of_light(lx.value), ev100_of_light(lx.low), ev100_of_light(lx.high))


def _three(values: Array) -> tuple[float, float, float]:
    return float(values[0]), float(values[1]), float(values[2])


def _key_fill(lit: SensorLight, sensors: Sensors, series: SkySeries) -> Spread:
    """With the sun as it is, hidden as far and out as far as the sky's range says, and the room's own uncertainty."""
    sky, sun = lit.sky_lx[0, sensors.visible], lit.sun_lx[0, sensors.visible]
    value = float(key_fill_stops(sky + sun))
    ends = [value, *(float(key_fill_stops(sky + f * sun)) for f in (series.direct_low, series.direct_high))]
    own = STOPS_SPREAD * (1 + value / 4)
    return Spread(value, max(0.0, min(ends) - own), max(ends) + own)


def _evenness(lux: Array) -> Spread:
    least = float(lux.min())
    if least <= 0:
        return Spread(0.0, 0.0, 0.0)
    value = log2(float(lux.max()) / least)
    return Spread(value, value * 0.9, value * 1.1 + 0.02)


def _colour(prepared: Prepared, lit: SensorLight) -> tuple[Spread, float, Cast]:
    """Colour of the light on the horizontal, and its cast against the same mixture of sky and sun untinted."""
    flat = Sensors.HORIZONTAL
    bands = (lit.sky_bands_lx + lit.sun_bands_lx)[0, :, flat]
    cct, duv = cct_duv(bands)
    if cct <= 0:
        none = Spread(0.0, 0.0, 0.0)
        return none, 0.0, Cast(none, none, ())
    plain = lit.sky_lx[0, flat] * rgb_of_cct(lit.series.sky_cct_k[0])
    plain = plain + lit.sun_lx[0, flat] * rgb_of_cct(lit.series.sun_cct_k[0])
    plain_cct, plain_duv = cct_duv(plain)
    mired = 1e6 / cct - 1e6 / plain_cct
    tint = duv - plain_duv
    cast = Cast(
        mired=Spread(mired, mired - 0.3 * abs(mired) - 1, mired + 0.3 * abs(mired) + 1),
        duv=Spread(tint, tint - 0.3 * abs(tint) - 3e-4, tint + 0.3 * abs(tint) + 3e-4),
        tints=tints_of(mired, tint),
    )
    low = 1e6 / (1e6 / cct + CCT_SPREAD_MIRED)
    high = 1e6 / max(1e6 / cct - CCT_SPREAD_MIRED, 20.0)
    return Spread(cct, low, high), duv, cast


def horizontal_range(lit: SensorLight, fit: Fit) -> tuple[Array, Array]:
    """Low and high of the horizontal at every moment [lx]."""
    flat = Sensors.HORIZONTAL
    sky, sun = lit.sky_lx[:, flat], lit.sun_lx[:, flat]
    least, most = lit.sun_ends_lx
    low, high = factors(sky, sun, lit.series, fit, (least[:, flat], most[:, flat]))
    return (sky + sun) * low, (sky + sun) * high
