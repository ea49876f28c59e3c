"""Cities found offline. Positions and zones as atlases give them, not as the list does."""

from zoneinfo import ZoneInfo

import pytest

from plateside.files.settings.grammar import entries
from plateside.files.settings.guesses import compass_deg, folded, in_another_unit, nearest_key, number_in
from plateside.files.settings.places import country_code, find_cities, near_spellings
from plateside.model.room import Room, Window


@pytest.mark.parametrize(
    ("name", "country", "code", "lat", "lon", "zone"),
    [
        ("Lisbon", "", "PT", 38.72, -9.14, "Europe/Lisbon"),
        ("lisboa", "", "PT", 38.72, -9.14, "Europe/Lisbon"),
        ("Melbourne", "", "AU", -37.81, 144.96, "Australia/Melbourne"),
        ("Edinburgh", "UK", "GB", 55.95, -3.19, "Europe/London"),
        ("Edinburgh", "Scotland", "GB", 55.95, -3.19, "Europe/London"),
        ("Tromsø", "Norway", "NO", 69.65, 18.96, "Europe/Oslo"),
        ("tromso", "", "NO", 69.65, 18.96, "Europe/Oslo"),
        ("São Paulo", "", "BR", -23.55, -46.63, "America/Sao_Paulo"),
        ("Richmond, VA", "", "US", 37.54, -77.44, "America/New_York"),
        ("Richmond, Victoria", "", "AU", -37.82, 145.0, "Australia/Melbourne"),
        ("Cambridge", "England", "GB", 52.2, 0.12, "Europe/London"),
        # in another language, its first letter with an accent: Ôn-thi̍t-ví-phú in Min Nan, Ĵoan-Pesoo in Esperanto
        ("on thit vi phu", "", "BE", 51.22, 4.40, "Europe/Brussels"),
        ("joan pesoo", "", "BR", -7.12, -34.86, "America/Fortaleza"),
    ],
)
def test_found(name: str, country: str, code: str, lat: float, lon: float, zone: str) -> None:
    city = find_cities(name, country)[0]
    assert city.country_code == code
    assert city.latitude_deg == pytest.approx(lat, abs=0.1)
    assert city.longitude_deg == pytest.approx(lon, abs=0.1)
    assert ZoneInfo(city.timezone) == ZoneInfo(zone)


def test_several_of_one_name_come_by_people() -> None:
    found = find_cities("Richmond")
    assert len(found) >= 5
    assert [c.population for c in found] == sorted((c.population for c in found), reverse=True)
    assert len({(c.country_code, c.region) for c in found}) == len(found)
    assert "Virginia, United States" in found[0].full_name()


def test_near_spellings_of_a_slip() -> None:
    assert near_spellings("Lisbn")[0].name == "Lisbon"
    assert near_spellings("Melborne", "Australia")[0].country_code == "AU"
    assert near_spellings("Xqzzwv") == []


def test_countries() -> None:
    # ISO 3166-1
    for text, code in (
        ("Portugal", "PT"),
        ("prt", "PT"),
        ("pt", "PT"),
        ("UK", "GB"),
        ("United States", "US"),
        ("Atlantis", None),
    ):
        assert country_code(text) == code


# the sixteen points of the compass: multiples of 22.5 degrees
@pytest.mark.parametrize(
    ("word", "deg"),
    [("north", 0), ("NNE", 22.5), ("north-east", 45), ("south west", 225), ("Westnorthwest", 292.5), ("s", 180),
     ("up", None)],
)  # fmt: skip
def test_compass_words(word: str, deg: float | None) -> None:
    assert compass_deg(word) == deg


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("4,2", "m", 4.2), ("420 cm", "m", 4.2), ("1/60", "s", 1 / 60), ("1/60 s", "s", 1 / 60), ("f/1.8", "", 1.8),
        ("30 %", "", 0.3), ("12°", "deg", 12), ("2 h", "min", 120), ("500 g", "kg", 0.5), ("10 in", "m", 0.254),
        ("12 parsec", "m", None), ("a lot", "m", None), ("1/0", "s", None), ("SSW", "deg", 202.5),
    ],
)  # fmt: skip
def test_numbers_in_texts(text: str, unit: str, value: float | None) -> None:
    assert number_in(text, unit) == (value if value is None else pytest.approx(value))


def test_units_guessed() -> None:
    assert in_another_unit(420, entries(Room)["width_m"]) == (4.2, "420 cm")
    assert in_another_unit(1200, entries(Window)["width_m"]) == (1.2, "1200 mm")
    assert in_another_unit(80, entries(Room)["ceiling_reflectance"]) == (0.8, "80 %")
    assert in_another_unit(-10, entries(Window)["bearing_deg"]) is not None
    assert in_another_unit(1e9, entries(Room)["width_m"]) is None


def test_nearest_key() -> None:
    keys = list(entries(Window))
    assert nearest_key("width", keys) == "width_m"
    assert nearest_key("width_cm", keys) == "width_m"
    assert nearest_key("bearing", keys) == "bearing_deg"
    assert nearest_key("glas_transmitance", keys) == "glass_transmittance"
    assert nearest_key("zzz", keys) is None


def test_folded() -> None:
    assert folded("  Crème_Brûlée-Ø ") == "creme brulee o"
