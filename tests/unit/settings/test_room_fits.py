"""Rooms and gear that cannot be; sums done by hand beside each case."""

import pytest

from plateside.files.settings.load import judge_studio
from tests.unit.settings.sample_settings import STUDIO, spoiled


def said(text: str) -> list[tuple[str, str]]:
    return [(m.said, m.paste) for m in judge_studio(text, "studio.toml").mistakes]


# the room is 4.2 m along its front wall, 3.1 m deep, 2.5 m high; the window 1.2 x 1.2 m, sill 0.78 m, faces 20
CANNOT_BE = [
    ("width_m = 1.2", "width_m = 4.3", "the front wall is only 4.2 m long", ""),
    ("sill_m = 0.78", "sill_m = 1.31", "top at 2.51 m, above the ceiling at 2.5 m", ""),
    (
        "sill_m = 0.78",
        "sill_m = 0.78\nfrom_left_m = 3.1",
        "runs past the front wall's 4.2 m",
        "from_left_m = 3",
    ),
    ("from_left_m = 2.1", "from_left_m = 4.3", "outside the room, whose width_m is 4.2", ""),
    ("from_front_m = 0.6", "from_front_m = 3.2", "outside the room, whose depth_m is 3.1", ""),
    (
        "bearing_from_deg = 340",
        "bearing_from_deg = 120",
        "Are the two swapped?",
        "bearing_from_deg = 60\nbearing_to_deg = 120",
    ),
    ("bearing_from_deg = 340", "bearing_from_deg = 60", "0 degrees wide", ""),
    (
        "bearing_from_deg = 340",
        "bearing_from_deg = 239.5",
        "180.5 degrees wide",
        "bearing_from_deg = 60\nbearing_to_deg = 239.5",
    ),
    ("depth_m = 3.1", "depth_m = 3.1\nfront_bearing_deg = 25", "a quarter turn", "bearing_deg = 25"),
    ("depth_m = 3.1", "depth_m = 3.1\nfront_bearing_deg = 23.5", "a quarter turn", "bearing_deg = 23.5"),
    ("depth_m = 3.1", "depth_m = 3.1\nfront_bearing_deg = 115", "a quarter turn", "bearing_deg = 25"),
]


@pytest.mark.parametrize(("old", "new", "words", "paste"), CANNOT_BE)
def test_cannot_be(old: str, new: str, words: str, paste: str) -> None:
    found = said(spoiled(STUDIO, old, new))
    assert len(found) == 1, found
    assert words in found[0][0]
    assert found[0][1] == paste


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
    assert said(spoiled(STUDIO, old, new)) == []


def test_a_window_in_a_side_wall_is_held_against_the_depth() -> None:
    text = spoiled(STUDIO, "depth_m = 3.1", "depth_m = 3.1\nfront_bearing_deg = 290")
    text = spoiled(text, "width_m = 1.2", "width_m = 3.2")
    assert "the right wall is only 3.1 m long (the room's depth)" in said(text)[0][0]


def test_what_stands_behind_the_wall_is_not_seen() -> None:
    # the window faces 20: it sees from 290 to 110; 150 to 200 lies behind
    text = spoiled(
        spoiled(STUDIO, "bearing_from_deg = 340", "bearing_from_deg = 150"),
        "bearing_to_deg = 60",
        "bearing_to_deg = 200",
    )
    assert "lie behind the wall" in said(text)[0][0]


def second_window(extra: str) -> str:
    return STUDIO + f'\n[[windows]]\nname = "second"\nwidth_m = 1.2\nheight_m = 1.2\nsill_m = 0.78\n{extra}\n'


def test_windows_overlap_in_one_wall_only() -> None:
    assert "overlaps" in said(second_window("bearing_deg = 20"))[0][0]
    # the first is in the middle: 1.5 to 2.7
    assert said(second_window("bearing_deg = 20\nfrom_left_m = 2.7")) == []
    assert "overlaps" in said(second_window("bearing_deg = 20\nfrom_left_m = 2.6"))[0][0]
    assert said(second_window("bearing_deg = 110")) == []


GEAR = [
    (
        'name = "the camera"',
        'name = "the camera"\npixels_high = 3000',
        "must agree within 2 %",
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
        "long side",
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
        "focal_length_mm = 35\nwidest_f_number = 22",
        "above smallest_f_number 16",
        "widest_f_number = 16\nsmallest_f_number = 22",
    ),
]


@pytest.mark.parametrize(("old", "new", "words", "paste"), GEAR)
def test_gear_that_cannot_be(old: str, new: str, words: str, paste: str) -> None:
    found = said(spoiled(STUDIO, old, new))
    assert len(found) == 1, found
    assert words in found[0][0]
    assert found[0][1] == paste


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
    assert said(spoiled(STUDIO, 'name = "the camera"', lines)) == []


def test_a_sheet_gives_out_no_more_light_than_it_gets() -> None:
    shares = "diffuse_transmittance = 0.8\nclear_transmittance = 0.1\nreflectance = 0.3"
    sheet = f'\n[[diffusers]]\nname = "sheer"\n{shares}\n'
    found = said(STUDIO + sheet)
    assert "make 1.2 together" in found[0][0]
    assert found[0][1] == "diffuse_transmittance = 0.6"


def test_furniture_stays_in_the_room() -> None:
    sizes = "from_left_m = 3.6\nfrom_front_m = 2.5\nwidth_m = 0.6\ndepth_m = 0.6\nheight_m = 1.8"
    block = f'\n[[blocks]]\nname = "fridge"\n{sizes}\n'
    assert said(STUDIO + block) == []
    assert "outside the room" in said(STUDIO + block.replace("3.6", "3.7"))[0][0]
    assert "outside the room" in said(STUDIO + block + "bottom_m = 0.8\n")[0][0]


def test_names_in_the_studio_are_looked_up() -> None:
    sheet = '\n[[diffusers]]\nname = "sheer"\nwindow = "kitchen windw"\n'
    assert said(STUDIO + sheet)[0][1] == 'window = "kitchen window"'
    assert (
        "no [[spots]] of that name" in said(spoiled(STUDIO, 'spot = "by the window"', 'spot = "attic"'))[0][0]
    )
