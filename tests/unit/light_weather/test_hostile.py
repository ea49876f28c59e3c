"""Damaged weather files: one sentence with the line; other systems' line ends and encodings are no damage."""

import numpy as np
import pytest

from plateside.light.weather.cloud import parse_cloud_cover
from plateside.light.weather.epw import parse_epw
from plateside.light.weather.tmy3 import parse_tmy3
from plateside.model.errors import InputError
from plateside.tasks.light.sky import weather_text
from tests.unit.light_weather.samples import epw_text, tmy3_text

FORECAST = "time,cloud\n2027-05-01T10:00Z,40\n2027-05-01T11:00Z,80\n"


@pytest.mark.parametrize("end", ["\r", "\r\n", "\n"])
def test_line_ends_of_every_system_are_read(end: str) -> None:
    same = parse_epw(epw_text()).hours.direct_normal_w_m2
    assert np.array_equal(
        parse_epw(epw_text().replace("\n", end)).hours.direct_normal_w_m2, same, equal_nan=True
    )
    same = parse_tmy3(tmy3_text()).hours.direct_normal_w_m2
    assert np.array_equal(
        parse_tmy3(tmy3_text().replace("\n", end)).hours.direct_normal_w_m2, same, equal_nan=True
    )
    assert parse_cloud_cover(FORECAST.replace("\n", end), "UTC").share.tolist() == [0.4, 0.8]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "latin-1"])
def test_encodings_of_every_sheet_are_read(encoding: str) -> None:
    text = epw_text().replace("Invented Bay", "São Inventado")
    assert parse_epw(weather_text(text.encode(encoding))).place_name == "São Inventado"


@pytest.mark.parametrize(
    "cell", ["", "x", "nan", "inf", "1e999", "9" * 5_000, "-1e308", "\x00", '"', "²", "0x10", "--1"]
)
@pytest.mark.parametrize("field", [0, 1, 6, 7, 8, 9])
def test_a_damaged_head_names_its_line(field: int, cell: str) -> None:
    head, _, rest = epw_text().partition("\n")
    cells = head.split(",")
    cells[field] = cell
    try:
        parse_epw(",".join(cells) + "\n" + rest)
    except InputError as error:
        assert "line 1" in str(error)
        assert len(str(error)) < 400
    else:
        assert field == 1  # the place's name may be anything


@pytest.mark.parametrize(
    "row",
    [
        "02/30/1988,01:00",
        "13/01/1988,01:00",
        "01/01/1988,25:00",
        "01/32/1988,01:00",
        "٠١/01/1988,1:30",
        '"01/01',
    ],
)
def test_an_hour_that_no_year_has_names_its_line(row: str) -> None:
    lines = tmy3_text().split("\n")
    lines[9] = row + ",1,2,3,1,4,5,3,-2.5"
    with pytest.raises(InputError, match=r"line \d"):
        parse_tmy3("\n".join(lines))


@pytest.mark.parametrize("parse", [parse_epw, parse_tmy3])
@pytest.mark.parametrize(
    "text", ["", "\x00" * 500, "x" * 200_000, '"' * 150_000, "\n" * 9_000, ",\n" * 9_000, "[" * 9_000]
)
def test_what_is_no_weather_file_is_one_sentence(parse: object, text: str) -> None:
    with pytest.raises(InputError) as told:
        parse(text)  # type: ignore[operator]
    assert len(str(told.value)) < 500


@pytest.mark.parametrize(
    "line",
    [
        "0001-01-01T00:00+23:59,5",
        "9999-12-31T23:59-23:59,5",
        "1989-12-31T00:00,5",
        "2201-01-01T00:00,5",
        "2027-05-01T10:00,nan",
        "2027-05-01T10:00,inf",
        "2027-05-01T10:00," + "9" * 5_000,
        "9" * 5_000 + ",5",
        "\x00,5",
        "2027-02-30T10:00,5",
        "x" * 90_000,
    ],
)
def test_a_line_of_a_forecast_that_nobody_means_is_told(line: str) -> None:
    with pytest.raises(InputError, match="line 4") as told:
        parse_cloud_cover(FORECAST + line, "Europe/Lisbon")
    assert len(str(told.value)) < 500
