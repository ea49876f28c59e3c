"""The first run: answers into files that are right, folder names that stay inside, towns as they are typed."""

import dataclasses
import datetime as dt
import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from plateside.demo.data import demo_folder, make_demo
from plateside.files.settings.load import open_shoot
from plateside.files.settings.places import cities_beginning
from plateside.model.errors import InputError, SettingsError
from plateside.plan.dish_kinds import KINDS
from plateside.tasks.plan.setup import set_up
from plateside.tasks.studio.first_run import (
    QUESTIONS,
    begin_first_shoot,
    begin_next_shoot,
    folder_for,
    free_name,
    pixels_of,
    usual_answers,
    wrong_answers,
)
from plateside.tasks.studio.listed_shoots import shoots_listed

# town and zone as GeoNames lists them
LISBON = {
    "name": "Lisbon", "country_code": "PT", "latitude_deg": 38.72, "longitude_deg": -9.15, "timezone": "Europe/Lisbon",
}  # fmt: skip


def answers(**more: Any) -> dict[str, Any]:
    return {
        **usual_answers(dt.date(2027, 3, 1)),
        "place": LISBON,
        "folder": "mine",
        "dish": "Soup",
        "creator": "Ana Reis",
        **more,
    }


def mistakes(error: pytest.ExceptionInfo[SettingsError]) -> list[str]:
    return [m.key for m in error.value.mistakes]


def test_the_usual_answers_and_a_town_are_enough(tmp_path: Path) -> None:
    report = begin_first_shoot(tmp_path, answers())
    opened = open_shoot(tmp_path / "mine")
    assert report.folder == tmp_path / "mine"
    assert opened.studio.place.timezone == "Europe/Lisbon"
    assert opened.shoot.date == "2027-03-06"  # the next Saturday
    assert (tmp_path / "mine" / "frames").is_dir()


def test_every_answer_arrives(tmp_path: Path) -> None:
    told = answers(
        facing_deg=371.26, width_m=5, depth_m=4, height_m=2.7, window_width_m=1.6, window_height_m=1.3, sill_m=0.9,
        window_from_left_m=0.4, table_from_window_m=0.9, table_height_m=0.72, sensor="four-thirds", megapixels=20,
        focal_mm=45, f_number=1.8, dish="Tart", creator="Ana Reis", date="2027-05-02", floor=2, outside="street",
        outside_distance_m=11, outside_height_m=14, focal2_mm=18, focal2_to_mm=55, f_number2=5.6,
    )  # fmt: skip
    begin_first_shoot(tmp_path, told)
    opened = open_shoot(tmp_path / "mine")
    window, spot = opened.studio.windows[0], opened.studio.spots[0]
    assert (window.bearing_deg, window.width_m, window.height_m) == (11.3, 1.6, 1.3)
    assert (window.sill_m, window.from_left_m) == (0.9, 0.4)
    # before the window's middle, since nothing else was said
    assert (spot.from_left_m, spot.from_front_m, spot.height_m) == (1.2, 0.9, 0.72)
    assert opened.studio.cameras[0].sensor_width_mm == 17.3
    assert opened.studio.cameras[0].pixels_wide * opened.studio.cameras[0].pixels_high == pytest.approx(
        20e6, rel=0.01
    )
    assert opened.studio.lenses[0].focal_length_mm == 45
    assert (opened.shoot.recipe.title, opened.shoot.creator.name) == ("Tart", "Ana Reis")
    # 3 m a storey over a ground floor of half a metre (common practice, no source)
    assert window.floor_above_ground_m == 6.5
    (house,) = window.opposite
    assert (house.distance_m, house.top_above_ground_m) == (11, 14)
    assert (house.bearing_from_deg, house.bearing_to_deg) == (311.3, 71.3)
    assert [(lens.name, lens.focal_length_mm, lens.focal_length_to_mm) for lens in opened.studio.lenses] == [
        ("45", 45, None), ("18-55", 18, 55),
    ]  # fmt: skip
    assert {shot.stand_in for shot in opened.shoot.shots} == {"tart"}


@pytest.mark.parametrize(
    ("more", "where"),
    [
        ({"place": None}, "place"),
        ({"window_width_m": 9}, "window_width_m"),
        ({"window_from_left_m": 3.5}, "window_from_left_m"),
        ({"sill_m": 2}, "window_height_m"),
        ({"table_from_window_m": 8}, "table_from_window_m"),
        ({"table_from_left_m": 8}, "table_from_left_m"),
        ({"width_m": 300}, "width_m"),
        ({"width_m": "wide"}, "width_m"),
        ({"height_m": float("nan")}, "height_m"),
        ({"megapixels": 0.01}, "megapixels"),
        ({"focal_mm": 1}, "focal_mm"),
        ({"date": "soon"}, "date"),
        ({"folder": "../out"}, "folder"),
        ({"floor": 900}, "floor"),
        ({"outside": "near", "outside_distance_m": 0.1}, "outside_distance_m"),
        ({"focal2_mm": 50}, "f_number2"),
        ({"focal2_mm": 55, "focal2_to_mm": 18, "f_number2": 4}, "focal2_mm"),
        ({"focal2_mm": 1, "f_number2": 4}, "focal2_mm"),
    ],
)  # fmt: skip
def test_a_wrong_answer_is_told_at_its_question(tmp_path: Path, more: dict[str, Any], where: str) -> None:
    with pytest.raises(SettingsError) as told:
        begin_first_shoot(tmp_path, answers(**more))
    assert where in mistakes(told)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("question", "more", "name", "code", "facts"),
    [
        ("room", {"width_m": -3}, "width_m", "out of range", {"lowest": 1, "highest": 30}),
        ("room", {"height_m": 90}, "height_m", "out of range", {"highest": 10}),
        ("window", {"window_width_m": 9}, "window_width_m", "window too wide", {"wall_length": 4}),
        ("window", {"window_from_left_m": 3.5}, "window_from_left_m", "window past wall", {"end": 4.7}),
        (
            "window",
            {"sill_m": 2},
            "window_height_m",
            "window above ceiling",
            {"top": 3.2, "ceiling": 2.5},
        ),
        ("table", {"table_from_window_m": 8}, "table_from_window_m", "dish past back", {"limit": 3.5}),
        ("table", {"table_from_window_m": 0}, "table_from_window_m", "too near a wall", {"least": 0.1}),
        ("table", {"table_from_left_m": 8}, "table_from_left_m", "dish past side", {"limit": 4}),
        ("table", {"table_height_m": 9}, "table_height_m", "out of range", {"highest": 2}),
        ("camera", {"focal_mm": 1}, "focal_mm", "out of range", {"lowest": 4, "highest": 1200}),
        ("camera", {"focal_mm": 0}, "focal_mm", "out of range", {"lowest": 4, "highest": 1200}),
        ("camera", {"megapixels": 24_000_000}, "megapixels", "megapixels", {"highest": 200, "meant": "24"}),
        ("camera", {"megapixels": 0.1}, "megapixels", "megapixels", {"lowest": 0.5, "meant": ""}),
        ("camera", {"megapixels": 1e300}, "megapixels", "number too large", {}),
        ("room", {"width_m": 4_000_000}, "width_m", "out of range", {"highest": 30}),
    ],
)
def test_what_cannot_be_is_told_at_its_question_in_plain_words(
    tmp_path: Path, question: str, more: dict[str, Any], name: str, code: str, facts: dict[str, Any]
) -> None:
    with pytest.raises(SettingsError) as caught:
        begin_first_shoot(tmp_path, answers(**more))
    mistake = next(m for m in caught.value.mistakes if m.path == (name,))
    assert mistake.code == code
    assert facts.items() <= {**dataclasses.asdict(mistake), **mistake.facts}.items()
    told = wrong_answers(answers(**more), question)
    assert name in told
    # no name of a file's field, no table
    for said in wrong_answers(answers(**more)).values():
        assert not re.search(r"_m\b|_mm\b|\[", said)
    assert wrong_answers(answers(), question) == {}


def test_a_zoom_is_called_by_both_its_ends_and_planned_with(tmp_path: Path) -> None:
    begin_first_shoot(tmp_path, answers(focal_mm=18, focal_to_mm=55, f_number=5.6))
    lens = open_shoot(tmp_path / "mine").studio.lenses[0]
    assert (lens.name, lens.focal_length_mm, lens.focal_length_to_mm, lens.widest_aperture) == (
        "18-55", 18, 55, 5.6,
    )  # fmt: skip
    report = set_up(tmp_path / "mine", lux=400)
    assert report.set_ups
    assert report.unsolved == ()
    for one in report.set_ups:
        assert one.lens == "18-55"
        assert 18 <= one.focal_length_mm <= 55
        assert one.f_number >= 5.6  # what the zoom has at every length


def test_a_clash_with_a_later_answer_is_told_when_she_comes_to_it() -> None:
    # the usual window does not fit into a wall of one metre
    assert wrong_answers(answers(width_m=1), "room") == {}
    assert "window_width_m" in wrong_answers(answers(width_m=1), "window")
    assert "window_width_m" in wrong_answers(answers(width_m=1))


def test_every_mistake_of_an_answer_has_a_question() -> None:
    asked = {name for names in QUESTIONS.values() for name in names}
    assert asked - {"place"} == set(usual_answers(dt.date(2027, 3, 1)))


@pytest.mark.parametrize("sensor", ["aps-c", "full-frame", "four-thirds", "one-inch"])
@pytest.mark.parametrize("millions", [1, 12, 24, 61])
def test_pixels_agree_with_every_sensor(tmp_path: Path, sensor: str, millions: int) -> None:
    begin_first_shoot(tmp_path, answers(sensor=sensor, megapixels=millions))
    camera = open_shoot(tmp_path / "mine").studio.cameras[0]
    assert camera.pixels_wide * camera.pixels_high == pytest.approx(millions * 1e6, rel=0.02)
    assert (camera.pixels_wide, camera.pixels_high) == pixels_of(
        millions, (camera.sensor_width_mm, camera.sensor_height_mm)
    )


@pytest.mark.parametrize(
    ("date", "code"),
    [("", "no day"), ("soon", "no such day"), ("0202-07-15", "year"), ("2201-01-01", "year"),
     ("2027-02-30", "no such day"), ("20277-01-01", "no such day")],
)  # fmt: skip
def test_a_wrong_day_is_told_without_the_files_own_way_to_write_it(
    tmp_path: Path, date: str, code: str
) -> None:
    with pytest.raises(SettingsError) as told:
        begin_first_shoot(tmp_path, answers(date=date))
    assert mistakes(told) == ["date"]
    assert [m.code for m in told.value.mistakes] == [code]
    assert "year-month-day" not in str(told.value)


def test_a_zoom_has_both_its_ends(tmp_path: Path) -> None:
    begin_first_shoot(tmp_path, answers(focal_mm=24, focal_to_mm=70, f_number=2.8))
    lens = open_shoot(tmp_path / "mine").studio.lenses[0]
    assert (lens.focal_length_mm, lens.focal_length_to_mm, lens.widest_aperture) == (24, 70, 2.8)
    for wrong in (24, 12, 3000):
        assert "focal_mm" in wrong_answers(answers(focal_mm=24, focal_to_mm=wrong), "camera")


def test_a_dish_may_be_called_anything(tmp_path: Path) -> None:
    for number, dish in enumerate(('Soup "à la" Ana', "a\nb", "[[shots]]", "$name # {x}", "<b>", "日本")):
        begin_first_shoot(tmp_path, answers(dish=dish, folder=f"f{number}"))
        title = open_shoot(tmp_path / f"f{number}").shoot.recipe.title
        assert title == " ".join(dish.split())


@pytest.mark.parametrize("empty", ["", "  ", None])
def test_dish_and_name_are_asked_for(tmp_path: Path, empty: str | None) -> None:
    with pytest.raises(SettingsError) as told:
        begin_first_shoot(tmp_path, answers(dish=empty, creator=empty))
    assert mistakes(told) == ["dish", "creator"]
    assert list(tmp_path.iterdir()) == []
    # not before she has come to the last question
    assert wrong_answers(answers(dish=empty, creator=empty)) == {}


@pytest.mark.parametrize(
    "name",
    ["..", "../a", "a/b", "a\\b", "/etc", ".hidden", "-rf", "con", "NUL.txt", "lpt1", "a\0b", "a:b", "x" * 61, "ends.",
     "a..b", "~", "$HOME", "*", "a\nb", "C:"],
)  # fmt: skip
def test_a_folders_name_never_leads_out(tmp_path: Path, name: str) -> None:
    with pytest.raises(SettingsError) as told:
        folder_for(tmp_path, name)
    assert mistakes(told) == ["folder"]


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(max_size=30))
def test_whatever_is_typed_stays_inside(tmp_path: Path, name: str) -> None:
    try:
        folder = folder_for(tmp_path, name)
    except InputError:
        return
    assert folder.resolve() == tmp_path.resolve() or folder.resolve().parent == tmp_path.resolve()


def test_good_names_are_taken(tmp_path: Path) -> None:
    for name in ("my kitchen", "Tarte aux pommes (2)", "spring-2027", "Süße Küche", "台所", "a_b.c"):
        assert folder_for(tmp_path, name) == tmp_path / name


def test_nothing_is_written_over(tmp_path: Path) -> None:
    begin_first_shoot(tmp_path, answers())
    before = (tmp_path / "mine" / "studio.toml").read_bytes()
    with pytest.raises(SettingsError) as caught:
        begin_first_shoot(tmp_path, answers(dish="Other"))
    assert [m.code for m in caught.value.mistakes] == ["folder in use"]
    assert (tmp_path / "mine" / "studio.toml").read_bytes() == before
    (tmp_path / "half").mkdir()
    (tmp_path / "half" / "studio.toml").write_text("hers")
    with pytest.raises(SettingsError):
        begin_first_shoot(tmp_path, answers(folder="half"))
    (tmp_path / "file").write_text("hers")
    (tmp_path / "link").symlink_to(tmp_path.parent)
    for name in ("file", "link"):
        with pytest.raises(SettingsError):
            begin_first_shoot(tmp_path, answers(folder=name))
    assert free_name(tmp_path, "Mine") == "mine-2"
    assert free_name(tmp_path, "???") == "shoot"


@pytest.mark.parametrize("wish", ["Con", "NUL", "com1", "lpt9", "...", "a\\b", "Aux.", "Prn "])
def test_a_name_offered_is_one_that_is_taken(tmp_path: Path, wish: str) -> None:
    # devices, dots and spaces at the end: Microsoft, "Naming Files, Paths, and Namespaces"
    assert folder_for(tmp_path, free_name(tmp_path, wish)).parent == tmp_path


def test_an_empty_folder_name_is_home_itself(tmp_path: Path) -> None:
    begin_first_shoot(tmp_path, answers(folder=""))
    assert (tmp_path / "shoot.toml").is_file()


def test_a_further_shoot_in_the_same_kitchen(tmp_path: Path) -> None:
    begin_first_shoot(tmp_path, answers(creator="Ana Reis"))
    begin_next_shoot(tmp_path, tmp_path / "mine", {"dish": "Tart", "date": "2027-06-01", "folder": "second"})
    opened = open_shoot(tmp_path / "second")
    assert opened.folder.studio_file == (tmp_path / "mine" / "studio.toml").resolve()
    assert (opened.shoot.recipe.title, opened.shoot.creator.name) == ("Tart", "Ana Reis")
    assert not (tmp_path / "second" / "studio.toml").exists()
    with pytest.raises(SettingsError) as told:
        begin_next_shoot(tmp_path, tmp_path / "mine", {"dish": "Tart", "date": "x", "folder": "third"})
    assert mistakes(told) == ["date"]


def test_the_demo_is_hers_once_she_has_changed_it(tmp_path: Path) -> None:
    first = make_demo(tmp_path)
    assert first == tmp_path / "demo" / "shoot"
    assert make_demo(tmp_path) == first
    (first / "studio.toml").write_text((first / "studio.toml").read_text() + "# mine\n")
    assert make_demo(tmp_path) == tmp_path / "demo-2" / "shoot"
    assert (first / "studio.toml").read_text().endswith("# mine\n")
    other = tmp_path / "other"
    begin_first_shoot(other, answers(folder="demo"))
    assert demo_folder(other) == other / "demo-2" / "shoot"


def test_the_list_tells_of_every_shoot_also_of_a_broken_one(tmp_path: Path) -> None:
    begin_first_shoot(tmp_path, answers(dish="Tart", date="2027-05-02"))
    begin_first_shoot(tmp_path, answers(dish="Soup", date="2027-06-02", folder="later"))
    (tmp_path / "torn").mkdir()
    (tmp_path / "torn" / "shoot.toml").write_text("not = [", encoding="utf-8")
    roots = [tmp_path / name for name in ("torn", "mine", "later")]
    told = shoots_listed(tmp_path, roots)
    assert [(t.key, t.title) for t in told] == [("later", "Soup"), ("mine", "Tart"), ("torn", "torn")]
    assert told[2].wrong
    assert (told[0].place, told[0].frames, told[0].wrong) == ("Lisbon", 0, "")


def test_towns_are_found_as_they_are_typed() -> None:
    # the capital comes first among all that begin so; the larger of two towns of one name comes first
    assert cities_beginning("lisb")[0].name == "Lisbon"
    assert [c.country_code for c in cities_beginning("Melbourne")][:2] == ["AU", "US"]
    assert cities_beginning("Richmond, virg")[0].region == "Virginia"
    assert cities_beginning("Lisboa")[0].country_code == "PT"  # her own language
    assert cities_beginning("l") == []
    assert cities_beginning("") == []
    assert cities_beginning("qqqqzz") == []
    assert len(cities_beginning("san")) == 8


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("sensor_size", ["aps-c", "four-thirds"])
def test_the_shots_to_begin_with_ask_for_no_frame_that_cuts_the_dish(
    tmp_path: Path, kind: str, sensor_size: str
) -> None:
    begin_first_shoot(tmp_path, answers(folder="a", kind=kind, sensor=sensor_size))
    found = set_up(tmp_path / "a", at="12:30", lux=2000.0)
    assert not found.unsolved
    assert [(s.shot, u.about) for s in found.set_ups for u in s.unmet if u.code == "channel"] == []
    # nor with less room round it than is told of
    assert [(s.shot, f.about) for s in found.set_ups for f in s.checks if f.kind == "hero"] == []
    # and every channel has a picture
    channels = {c.name for c in open_shoot(tmp_path / "a").shoot.channels}
    assert {c.channel for s in found.set_ups for c in s.coverage} == channels
