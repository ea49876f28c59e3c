"""The pasted forecast, and irradiances from cloud cover."""

from datetime import date

import numpy as np
import pytest

from plateside.light.weather.cloud import parse_cloud_cover
from plateside.light.weather.kasten1980 import irradiances_from_cloud
from plateside.model.errors import InputError

PASTED = """time,cloud
2027-07-15T12:00,20
2027-07-15T13:00,80%
"""


def moments(*texts: str) -> np.ndarray:
    return np.array(texts, dtype="datetime64[s]")


def test_civil_time_with_summer_time() -> None:
    """Lisbon in July is UTC+1 (IANA Europe/Lisbon), so 12:00 there is 11:00 UTC."""
    cover = parse_cloud_cover(PASTED, "Europe/Lisbon")
    assert list(cover.times_utc) == list(moments("2027-07-15T11:00", "2027-07-15T12:00"))
    assert cover.at(moments("2027-07-15T11:30"))[0] == pytest.approx(0.5)


@pytest.mark.parametrize(
    "text",
    [
        "2027-07-15 12:00;20\n2027-07-15 13:00;80",
        "2027-07-15T12:00\t20,0\n2027-07-15T13:00\t80,0",
        "12:00 20\n13:00 80 %".replace(" %", "%"),
        "2027-07-15T13:00+01:00,80\n2027-07-15T11:00Z,20",
    ],
)
def test_other_ways_of_writing_it(text: str) -> None:
    cover = parse_cloud_cover(text, "Europe/Lisbon", day=date(2027, 7, 15))
    assert list(cover.share) == pytest.approx([0.2, 0.8])
    assert cover.times_utc[0] == np.datetime64("2027-07-15T11:00")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no forecast"),
        ("2027-07-15T12:00", "no two columns: line 1"),
        ("time,cloud\n2027-07-15T12:00,120", "no cloud cover: line 2, got .*120"),
        ("2027-07-15T12:00,twenty\n2027-07-15T13:00,many", "line 2"),
        ("noon,20", "no date.*: line 1"),
        ("12:00,20", "no date: line 1"),
        ("2027-07-15T12:00,20\n2027-07-15T12:00,30", "time twice: line 2"),
        ("2027-03-28T01:30,20", "skipped time: line 1"),
    ],
)
def test_errors_say_line_and_mend(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        parse_cloud_cover(text, "Europe/Lisbon")


def test_a_forecast_is_not_stretched() -> None:
    cover = parse_cloud_cover(PASTED, "Europe/Lisbon")
    assert cover.at(moments("2027-07-15T13:20"))[0] == pytest.approx(0.8)
    with pytest.raises(InputError, match="forecast misses"):
        cover.at(moments("2027-07-15T18:00"))


def test_kasten_czeplak_at_its_ends() -> None:
    """Kasten and Czeplak 1980: no cloud, sun at 30 degrees, 425 W/m2, 30 % of it diffuse; at 8 eighths a
    quarter of the clear sky's, all of it diffuse (coefficients from memory)."""
    clear = irradiances_from_cloud(0.0, 30.0)
    assert clear.global_horizontal_w_m2[0] == pytest.approx(425)
    assert clear.diffuse_horizontal_w_m2[0] == pytest.approx(127.5)
    overcast = irradiances_from_cloud(1.0, 30.0)
    assert overcast.global_horizontal_w_m2[0] == pytest.approx(425 / 4)
    assert overcast.direct_normal_w_m2[0] == pytest.approx(0, abs=1e-9)


def test_irradiances_close_and_never_turn_negative() -> None:
    share, elevation = (a.ravel() for a in np.meshgrid(np.linspace(0, 1, 9), np.linspace(-20, 90, 23)))
    got = irradiances_from_cloud(share, elevation)
    assert (got.direct_normal_w_m2 >= -1e-9).all()
    assert (got.diffuse_horizontal_w_m2 >= 0).all()
    np.testing.assert_allclose(
        got.diffuse_horizontal_w_m2 + got.direct_normal_w_m2 * np.sin(np.radians(elevation)),
        got.global_horizontal_w_m2,
        atol=1e-9,
    )
    assert (got.global_horizontal_w_m2[elevation < 1.8] == 0).all()
