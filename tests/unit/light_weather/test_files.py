"""EPW and TMY3: against pvlib's own readers, the hour's place in time, and errors that say line and mend."""

import io

import numpy as np
import pytest
from pvlib.iotools import read_epw

from plateside.light.weather.epw import parse_epw
from plateside.light.weather.tmy3 import parse_tmy3
from plateside.model.errors import InputError
from tests.unit.light_weather.samples import epw_text, hours, radiation, tmy3_text


def utc(text: str) -> np.ndarray:
    return np.array([text], dtype="datetime64[s]")


def test_epw_as_pvlib_reads_it() -> None:
    """Outside authority: pvlib.iotools.read_epw on the same text."""
    text = epw_text(offset=0.0)
    table, place = read_epw(io.StringIO(text), coerce_year=2001)
    ours = parse_epw(text)
    assert (ours.latitude_deg, ours.longitude_deg) == (place["latitude"], place["longitude"])
    assert ours.utc_offset_h == place["TZ"]
    assert ours.altitude_m == place["altitude"]
    # pvlib stamps an hour by its beginning; the mean over it belongs to its middle
    middles = (table.index.tz_convert("UTC").tz_localize(None) + np.timedelta64(30, "m")).to_numpy(
        "datetime64[s]"
    )
    got = ours.at(middles)
    np.testing.assert_allclose(got.direct_normal_w_m2, table["dni"].to_numpy())
    np.testing.assert_allclose(got.diffuse_horizontal_w_m2, table["dhi"].to_numpy())
    np.testing.assert_allclose(got.global_horizontal_w_m2, table["ghi"].to_numpy())
    np.testing.assert_allclose(got.dew_point_c, table["temp_dew"].to_numpy())
    np.testing.assert_allclose(got.cloud_share, table["total_sky_cover"].to_numpy() / 10)


@pytest.mark.parametrize(
    ("offset", "moment"), [(0.0, "2027-07-15T12:30"), (10.0, "2027-07-15T02:30"), (-8.0, "2026-07-15T20:30")]
)
def test_times_are_local_standard_time(offset: float, moment: str) -> None:
    """The hour that ends at 13 local standard time is worth 12:30 there: summer time is never in the file."""
    day = sum((31, 28, 31, 30, 31, 30)) + 14
    got = parse_epw(epw_text(offset=offset)).at(utc(moment))
    assert got.direct_normal_w_m2[0] == pytest.approx(radiation(day, 13)[0])


def test_between_two_hours_the_mean_of_both() -> None:
    day = sum((31, 28, 31, 30, 31, 30)) + 14
    got = parse_epw(epw_text()).at(utc("2027-07-15T10:00"))
    assert got.direct_normal_w_m2[0] == pytest.approx((radiation(day, 10)[0] + radiation(day, 11)[0]) / 2)


def test_leap_day_is_the_day_before() -> None:
    weather = parse_epw(epw_text())
    one, other = weather.at(utc("2028-02-29T12:30")), weather.at(utc("2028-02-28T12:30"))
    assert one.direct_normal_w_m2[0] == other.direct_normal_w_m2[0] > 0


def test_year_wraps_at_midnight() -> None:
    assert parse_epw(epw_text()).at(utc("2027-12-31T23:59")).direct_normal_w_m2[0] == 0


def test_tmy3_rows_land_on_their_hours() -> None:
    weather = parse_tmy3(tmy3_text())
    assert (weather.utc_offset_h, weather.altitude_m, weather.place_name) == (-8.0, 586, "INVENTED BAY")
    rows = hours()
    for month, day, hour, running in rows[::977]:
        middle = np.datetime64(f"2027-{month:02d}-{day:02d}T00:30") + np.timedelta64(hour - 1 + 8, "h")
        got = weather.at(np.array([middle], dtype="datetime64[s]"))
        want = radiation(running, hour)
        assert got.direct_normal_w_m2[0] == pytest.approx(want[0])
        assert got.diffuse_horizontal_w_m2[0] == pytest.approx(want[1])
        assert got.global_horizontal_w_m2[0] == pytest.approx(want[2])
        assert got.cloud_share[0] == pytest.approx(0.3)


def test_what_is_no_epw_is_refused() -> None:
    for text in ("", "hello", "LOCATION,too,short"):
        with pytest.raises(InputError, match="no EPW file: line 1"):
            parse_epw(text)
    with pytest.raises(InputError, match="EPW not hourly: line 8, got '4'"):
        parse_epw(epw_text(per_hour=4))
    with pytest.raises(InputError, match="EPW cut in its header: got 5"):
        parse_epw("\n".join(epw_text().splitlines()[:5]))


def test_bad_cells_are_named_by_line() -> None:
    lines = epw_text().splitlines()
    cells = lines[20].split(",")
    for field, text, said in (
        (14, "9999", "value missing: {}, what 'direct normal"),
        (15, "abc", "cell no number: {}, "),
        (1, "13", "cell out of range: {}, what 'the month"),
    ):
        bad = [*lines]
        bad[20] = ",".join([*cells[:field], text, *cells[field + 1 :]])
        with pytest.raises(InputError, match=said.format("line 21")):
            parse_epw("\n".join(bad))
    with pytest.raises(InputError, match="EPW line cut: line 21, got 3"):
        parse_epw("\n".join([*lines[:20], "1999,1,1", *lines[21:]]))


def test_half_a_year_says_so() -> None:
    half = parse_epw("\n".join(epw_text().splitlines()[: 8 + 24 * 180]))
    with pytest.raises(InputError, match=r"no hour for: moment .*07-15 13:00"):
        half.at(utc("2027-07-15T13:00"))


def test_bad_tmy3() -> None:
    with pytest.raises(InputError, match="no TMY3 file: line 1"):
        parse_tmy3("hello")
    with pytest.raises(InputError, match=r"no such column: line 2, got .*DNI"):
        parse_tmy3(tmy3_text().replace("DNI (W/m^2)", "beam"))
    lines = tmy3_text().splitlines()
    with pytest.raises(InputError, match="value missing: line 12, what 'DNI"):
        parse_tmy3("\n".join([*lines[:11], "01/01/1988,10:00,1,2,5,1,-9900,1,3,-2.5", *lines[12:]]))
    with pytest.raises(InputError, match="no TMY3 stamp: line 12"):
        parse_tmy3("\n".join([*lines[:11], "1988-01-01,10:00,1,2,5,1,0,1,3,-2.5", *lines[12:]]))
