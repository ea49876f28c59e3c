"""Rooms and gear that cannot be; sums done by hand beside each case."""

import pytest

from plateside.files.settings.load import judge_studio
from plateside.model.mistakes import Mistake
from tests.unit.settings.sample_settings import STUDIO, spoiled


def found(text: str) -> list[Mistake]:
    return list(judge_studio(text, "studio.toml").mistakes)


# the room is 4.2 m along its front wall, 3.1 m deep, 2.5 m high; the window 1.2 x 1.2 m, sill 0.78 m, faces 20
CANNOT_BE: list[tuple[str, str, str, dict[str, float | str], str]] = [
    ("width_m = 1.2", "width_m = 4.3", "window too wide", {"wall": "front", "wall_length": 4.2}, ""),
    ("sill_m = 0.78", "sill_m = 1.31", "window above ceiling", {"top": 2.51, "ceiling": 2.5}, ""),
    (
        "sill_m = 0.78", "sill_m = 0.78\nfrom_left_m = 3.1", "window past wall", {"end": 4.3, "wall_length": 4.2},
        "from_left_m = 3",
    ),
    ("from_left_m = 2.1", "from_left_m = 4.3", "dish past side", {"reach": 4.3, "limit": 4.2}, ""),
    ("from_front_m = 0.6", "from_front_m = 3.2", "dish past back", {"reach": 3.2, "limit": 3.1}, ""),
    (
        "bearing_from_deg = 340", "bearing_from_deg = 120", "view too wide", {"width": 300},
        "bearing_from_deg = 60\nbearing_to_deg = 120",
    ),
    ("bearing_from_deg = 340", "bearing_from_deg = 60", "view too wide", {"width": 0}, ""),
    (
        "bearing_from_deg = 340", "bearing_from_deg = 239.5", "view too wide", {"width": 180.5},
        "bearing_from_deg = 60\nbearing_to_deg = 239.5",
    ),
    ("depth_m = 3.1", "depth_m = 3.1\nfront_bearing_deg = 25", "window not square", {"front": 25}, "bearing_deg = 25"),
    (
        "depth_m = 3.1", "depth_m = 3.1\nfront_bearing_deg = 23.5", "window not square", {"front": 23.5},
        "bearing_deg = 23.5",
    ),
    ("depth_m = 3.1", "depth_m = 3.1\nfront_bearing_deg = 115", "window not square", {"front": 115},
     "bearing_deg = 25"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "code", "facts", "fix"), CANNOT_BE)
def test_cannot_be(old: str, new: str, code: str, facts: dict[str, float | str], fix: str) -> None:
    (mistake,) = found(spoiled(STUDIO, old, new))
    assert (mistake.code, mistake.fix) == (code, fix)
    assert {name: mistake.facts[name] for name in facts} == facts


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("width_m = 1.2", "width_m = 4.2"),  # wall to wall
        ("sill_m = 0.78", "sill_m = 1.3"),  # up to the ceiling: 1.3 + 1.2 = 2.5
        ("sill_m = 0.78", "sill_m = 0.78\nfrom_left_m = 3.0"),  # 3.0 + 1.2 = 4.2
        ("from_left_m = 2.1", "from_left_m = 4.2"),
        ("depth_m = 3.1", "depth_m = 3.1\nfront_bearing_deg = 23"),  # three degrees off: measured twice
        (
            "depth_m = 3.1",
            "depth_m = 3.1\nfront_bearing_deg = 290",
        ),  # the window is in the right wall, 3.1 m long
        ("bearing_from_deg = 340", "bearing_from_deg = 240"),  # 180 degrees wide: all there is
        ("bearing_to_deg = 60", "bearing_to_deg = 340.5"),
    ],
)
def test_just_can_be(old: str, new: str) -> None:
    assert found(spoiled(STUDIO, old, new)) == []


def test_a_window_in_a_side_wall_is_held_against_the_depth() -> None:
    text = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfront_bearing_deg = 290")
    text = spoiled(text, "width_m = 1.2", "width_m = 3.2")
    (mistake,) = found(text)
    assert (mistake.code, mistake.facts["wall"], mistake.facts["wall_length"]) == (
        "window too wide",
        "right",
        3.1,
    )


def test_what_stands_behind_the_wall_is_not_seen() -> None:
    # the window faces 20: it sees from 290 to 110; 150 to 200 lies behind
    text = spoiled(
        spoiled(STUDIO, "bearing_from_deg = 340", "bearing_from_deg = 150"),
        "bearing_to_deg = 60",
        "bearing_to_deg = 200",
    )
    assert [m.code for m in found(text)] == ["view behind wall"]


def second_window(extra: str) -> str:
    return STUDIO + f'\n[[windows]]\nname = "second"\nwidth_m = 1.2\nheight_m = 1.2\nsill_m = 0.78\n{extra}\n'


def test_windows_overlap_in_one_wall_only() -> None:
    assert [m.code for m in found(second_window("bearing_deg = 20"))] == ["windows overlap"]
    # the first is in the middle: 1.5 to 2.7
    assert found(second_window("bearing_deg = 20\nfrom_left_m = 2.7")) == []
    close = found(second_window("bearing_deg = 20\nfrom_left_m = 2.6"))
    assert [(m.code, m.facts["other"]) for m in close] == [("windows overlap", "kitchen window")]
    assert found(second_window("bearing_deg = 110")) == []


GEAR = [
    (
        'name = "the camera"',
        'name = "the camera"\npixels_high = 3000',
        "sensor shape",
        "pixels_high = 3983",
    ),  # 6000 x 15.6 / 23.5
    (
        'name = "the camera"',
        'name = "the camera"\nbase_iso = 200\nhighest_iso = 100',
        "swapped",
        "base_iso = 100\nhighest_iso = 200",
    ),
    (
        'name = "the camera"',
        'name = "the camera"\nsensor_width_mm = 15.6\nsensor_height_mm = 23.5',
        "sides swapped",
        "",
    ),
    (
        "focal_length_mm = 35",
        "focal_length_mm = 70\nfocal_length_to_mm = 24",
        "swapped",
        "focal_length_mm = 24\nfocal_length_to_mm = 70",
    ),
    (
        "focal_length_mm = 35",
        "focal_length_mm = 35\nwidest_aperture = 22",
        "swapped",
        "widest_aperture = 16\nsmallest_aperture = 22",
    ),
]


@pytest.mark.parametrize(("old", "new", "code", "fix"), GEAR)
def test_gear_that_cannot_be(old: str, new: str, code: str, fix: str) -> None:
    (mistake,) = found(spoiled(STUDIO, old, new))
    assert (mistake.code, mistake.fix) == (code, fix)


@pytest.mark.parametrize(
    ("sensor", "pixels"),
    # usual formats and picture sizes (common practice, no source)
    [((36.0, 24.0), (6000, 4000)), ((22.3, 14.9), (6000, 4000)), ((17.3, 13.0), (5184, 3888)),
     ((23.5, 15.6), (4928, 3264))],
)  # fmt: skip
def test_usual_cameras_pass(sensor: tuple[float, float], pixels: tuple[int, int]) -> None:
    lines = (
        f'name = "the camera"\nsensor_width_mm = {sensor[0]}\nsensor_height_mm = {sensor[1]}\n'
        f"pixels_wide = {pixels[0]}\npixels_high = {pixels[1]}"
    )
    assert found(spoiled(STUDIO, 'name = "the camera"', lines)) == []


def test_a_sheet_gives_out_no_more_light_than_it_gets() -> None:
    shares = "diffuse_transmittance = 0.8\nclear_transmittance = 0.1\nreflectance = 0.3"
    sheet = f'\n[[diffusers]]\nname = "sheer"\n{shares}\n'
    (mistake,) = found(STUDIO + sheet)
    assert (mistake.code, mistake.facts["total"]) == ("too much light", 1.2)
    assert mistake.fix == "diffuse_transmittance = 0.6"


def test_furniture_stays_in_the_room() -> None:
    sizes = "from_left_m = 3.6\nfrom_front_m = 2.5\nwidth_m = 0.6\ndepth_m = 0.6\nheight_m = 1.8"
    block = f'\n[[furniture]]\nname = "fridge"\n{sizes}\n'
    assert found(STUDIO + block) == []
    # 3.7 + 0.6 = 4.3 m of 4.2; 0.8 + 1.8 = 2.6 m of 2.5
    for text, code, reach in (
        (block.replace("3.6", "3.7"), "furniture past side", 4.3),
        (block + "bottom_m = 0.8\n", "furniture above ceiling", 2.6),
    ):
        (mistake,) = found(STUDIO + text)
        assert (mistake.code, mistake.facts["reach"]) == (code, reach)


def test_names_in_the_studio_are_looked_up() -> None:
    sheet = '\n[[diffusers]]\nname = "sheer"\nwindow = "kitchen windw"\n'
    assert [m.fix for m in found(STUDIO + sheet)] == ['window = "kitchen window"']
    (mistake,) = found(spoiled(STUDIO, 'spot = "by the window"', 'spot = "attic"'))
    assert (mistake.code, mistake.got, mistake.facts["table"]) == ("not there", "attic", "spots")
    assert mistake.facts["known"] == ["by the window"]
