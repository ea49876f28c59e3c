"""From weather to skies: energy kept, the sun's place respected, ranges told."""

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from plateside.light.sky import SkySeries
from plateside.light.sky_choice import SkyChoice
from plateside.light.sun import sun_positions
from plateside.light.weather.cloud import CloudCover, parse_cloud_cover
from plateside.light.weather.epw import parse_epw
from plateside.light.weather.hours import Weather
from plateside.light.weather.kasten1980 import irradiances_from_cloud
from plateside.model.light_facts import SkyAsked
from plateside.model.room import Place
from tests.unit.light_weather.samples import epw_text

LISBON = Place(latitude_deg=38.7223, longitude_deg=-9.1393, timezone="Europe/Lisbon")
ZONE = ZoneInfo("Europe/Lisbon")
DAY = [datetime(2027, 7, 15, 0, 0, tzinfo=ZONE) + timedelta(minutes=20 * k) for k in range(72)]


def skies(sky: Weather | CloudCover, times: list[datetime]) -> SkySeries:
    asked = SkyAsked("typical year" if isinstance(sky, Weather) else "forecast")
    weather, cloud = (sky, None) if isinstance(sky, Weather) else (None, sky)
    found = SkyChoice(asked, weather=weather, cloud=cloud).over(
        LISBON, np.array([t.timestamp() for t in times])
    )
    assert isinstance(found, SkySeries)
    return found


def test_weather_file_through_a_day() -> None:
    weather = parse_epw(epw_text())
    got = skies(weather, DAY)
    elevation = sun_positions(LISBON, DAY).elevation_deg
    assert (got.direct_normal_lx[elevation <= 0] == 0).all()
    noon = int(np.argmax(elevation))
    irradiance = weather.at(
        np.array([DAY[noon].astimezone(ZoneInfo("UTC")).replace(tzinfo=None)], dtype="datetime64[s]")
    )
    # Luminous efficacy of daylight, published range: sky 90 to 160, sun 50 to 115 lm/W (P. Littlefair, Lighting
    # Research and Technology 17, 1985; from memory).
    assert 90 < got.diffuse_horizontal_lx[noon] / irradiance.diffuse_horizontal_w_m2[0] < 160
    assert 50 < got.direct_normal_lx[noon] / irradiance.direct_normal_w_m2[0] < 115


def test_forecast_from_clear_to_overcast() -> None:
    lines = "\n".join(f"2027-07-15T{hour:02d}:00,{cloud}" for hour, cloud in ((12, 0), (13, 50), (14, 100)))
    cover = parse_cloud_cover(lines, "Europe/Lisbon")
    times = [datetime(2027, 7, 15, hour, 0, tzinfo=ZONE) for hour in (12, 13, 14)]
    got = skies(cover, times)
    assert got.direct_normal_lx[0] > got.direct_normal_lx[1] > got.direct_normal_lx[2]
    assert got.direct_normal_lx[2] == pytest.approx(0, abs=1)
    elevation = sun_positions(LISBON, times[2:]).elevation_deg
    diffuse = irradiances_from_cloud(1.0, elevation).diffuse_horizontal_w_m2[0]
    assert 90 < got.diffuse_horizontal_lx[2] / diffuse < 160


def test_missing_dew_point_is_ten_degrees() -> None:
    weather = parse_epw(epw_text())
    blank = replace(weather, hours=replace(weather.hours, dew_point_c=np.full(366 * 24, np.nan)))
    ten = replace(weather, hours=replace(weather.hours, dew_point_c=np.full(366 * 24, 10.0)))
    one, other = skies(blank, DAY), skies(ten, DAY)
    np.testing.assert_array_equal(one.diffuse_horizontal_lx, other.diffuse_horizontal_lx)
