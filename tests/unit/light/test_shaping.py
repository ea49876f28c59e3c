"""Key and fill, vector and scalar, shadow edges, boards, sun patches, evenness."""

from dataclasses import replace
from datetime import datetime
from math import cos, pi, radians, sin, tan
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from plateside.ground.exposure import ev100_of_light
from plateside.ground.figures import rounded
from plateside.light.boards import all_standing, standing
from plateside.light.evaluate import sun_vectors
from plateside.light.modelling import (
    key_direction,
    key_fill_stops,
    modelling_word,
    sun_shadow_edge_mm,
    vector_scalar,
    window_shadow_edge_mm,
)
from plateside.light.moment import light_at
from plateside.light.scene import build_scene
from plateside.light.sky import cie_sky
from plateside.light.sun import sun_positions
from plateside.light.sun_patch import sun_patches
from plateside.model.errors import InputError
from plateside.model.room import Block, Board, Opposite, Spot, Window
from plateside.model.shoot import PlacedBoard
from tests.unit.light.rooms import OVERCAST, PLAIN, SPOT, WINDOW

LISBON = ZoneInfo("Europe/Lisbon")
NOON = datetime(2027, 1, 15, 12, 30, tzinfo=LISBON)
WHITE = Board(name="white")
STUDIO = replace(PLAIN, boards=(WHITE, Board(name="black", reflectance=0.05)))
SOUTH = replace(PLAIN, windows=(replace(WINDOW, bearing_deg=180),))


@pytest.mark.parametrize(
    ("camera_faces", "side", "dx", "dy"),
    [
        (0.0, "right", 0.4, 0.0),
        (0.0, "far", 0.0, 0.4),
        (90.0, "left", 0.0, 0.4),
        (90.0, "right", 0.0, -0.4),
        (90.0, "near", -0.4, 0.0),
        (180.0, "left", 0.4, 0.0),
        (270.0, "far", -0.4, 0.0),
    ],
)
def test_boards_stand_where_the_camera_sees_them(
    camera_faces: float, side: str, dx: float, dy: float
) -> None:
    """Looking along the right wall (90) the window wall is on the left."""
    board = standing(STUDIO, SPOT, PlacedBoard(board="white", side=side, distance_m=0.4), camera_faces)
    assert board.x_m == pytest.approx(2.1 + dx)
    assert board.y_m == pytest.approx(2.5 + dy)
    assert board.z_m == pytest.approx(0.78 + WHITE.height_m / 2)
    turn = radians(board.normal_bearing_deg - STUDIO.front_bearing_deg)
    assert (sin(turn), cos(turn)) == pytest.approx((-dx / 0.4, -dy / 0.4), abs=1e-9)


def test_boards_that_cannot_stand_are_refused() -> None:
    with pytest.raises(InputError, match="no such board: name 'silver'"):
        standing(STUDIO, SPOT, PlacedBoard(board="silver"), 90)
    with pytest.raises(InputError, match="board outside the room"):
        standing(STUDIO, SPOT, PlacedBoard(board="white", side="far", distance_m=1.0), 0)
    assert (
        len(
            all_standing(
                STUDIO, SPOT, (PlacedBoard(board="white"), PlacedBoard(board="black", side="left")), 90
            )
        )
        == 2
    )


def test_key_direction_names() -> None:
    """Camera looks at the window wall (0): key from the window is behind the dish; from beside, side."""
    assert key_direction(0, 0) == "back"
    assert key_direction(180, 0) == "front"
    assert key_direction(0, 90) == "side"
    assert key_direction(270, 0) == "side"
    assert key_direction(45, 0) == "three-quarter back"
    assert key_direction(350, 170) == "front"


def test_key_to_fill_in_stops() -> None:
    assert float(key_fill_stops(np.array([100.0, 400.0, 200.0]))) == pytest.approx(2)
    assert float(key_fill_stops(np.zeros(3))) == 0


def test_a_single_beam_has_the_highest_vector_scalar_ratio() -> None:
    """Cuttle: a point source alone gives 4, even light from all sides 0."""
    vector, scalar = vector_scalar(1000, 0, 0, 0, 0, 0)
    assert np.linalg.norm(vector) / scalar == pytest.approx(4)
    vector, scalar = vector_scalar(500, 500, 500, 500, 500, 500)
    assert np.linalg.norm(vector) == 0 and scalar == 500


def test_an_even_half_sky_has_ratio_two() -> None:
    """A hemisphere of even luminance above black: E up = pi L, sides pi L / 2, scalar = pi L / 2: ratio 2."""
    vector, scalar = vector_scalar(pi / 2, pi / 2, pi / 2, pi / 2, pi, 0)
    # Cuttle's cube takes the even part from the lesser of each pair: (pi/2 + pi/2 + 0)/3 instead of pi/4: 17 % high.
    assert np.linalg.norm(vector) / scalar == pytest.approx(2, rel=0.17)


def test_modelling_bands() -> None:
    assert [modelling_word(x) for x in (0.5, 1.0, 1.5, 2.0, 2.5, 3.0)] == [
        "weak", "moderately weak", "moderately strong", "strong", "very strong", "dramatic",
    ]  # fmt: skip


def test_shadow_edges() -> None:
    """Similar triangles: sun (0.533 deg), 100 mm along the ray: 0.93 mm; a 1.2 m window faced at 0.9 m: 133 mm."""
    assert sun_shadow_edge_mm(100, pi / 2) == pytest.approx(0.93, abs=0.005)
    # The window as a square of 1.2 m whose middle is 0.9 m off, 45 degrees up: the ray from the edge is longer.
    spot = Spot(name="s", from_left_m=2.1, from_front_m=0.6, height_m=0.78)
    scene = build_scene(replace(PLAIN, spots=(spot,)), spot)
    away = (0.6**2 + 0.6**2) ** 0.5
    expected = 100 / sin(radians(45)) * (1.2 * 1.2 * cos(radians(45))) ** 0.5 / away
    assert window_shadow_edge_mm(scene, 100) == pytest.approx(expected, rel=1e-6)


def test_the_suns_patch_is_where_the_rays_fall() -> None:
    """The window's lower corner, on the table's level, is its own image; the upper ones fall height / tan h inwards."""
    spot = Spot(
        name="s", from_left_m=2.1, from_front_m=1.5, height_m=0.78, table_width_m=4.2, table_depth_m=5.0
    )
    studio = replace(SOUTH, spots=(spot,))
    at = sun_positions(studio.place, [NOON])
    sun = sun_vectors(at, radians(180))[0]
    (patch,) = sun_patches(build_scene(studio, spot), sun)
    xs, ys = [p[0] for p in patch], [p[1] for p in patch]
    assert max(ys) == pytest.approx(3.1)
    deep = 1.2 / tan(radians(at.elevation_deg[0])) * cos(radians(at.azimuth_deg[0] - 180))
    assert min(ys) == pytest.approx(3.1 - deep, rel=1e-6)
    assert max(xs) - min(xs) >= 1.2


def test_an_overhang_cuts_the_far_end_of_the_patch() -> None:
    spot = replace(SPOT, table_width_m=4.0, table_depth_m=5.0)
    window = replace(SOUTH.windows[0], overhang_depth_m=0.5, overhang_above_m=0.0)
    at = sun_positions(SOUTH.place, [NOON])
    sun = sun_vectors(at, radians(180))[0]
    (bare,) = sun_patches(build_scene(replace(SOUTH, spots=(spot,)), spot), sun)
    (cut,) = sun_patches(build_scene(replace(SOUTH, windows=(window,), spots=(spot,)), spot), sun)
    # The plate's edge stands 0.5 m before the glass: its shadow falls 0.5 m tan(profile angle) down the pane.
    profile = tan(radians(at.elevation_deg[0])) / cos(radians(at.azimuth_deg[0] - 180))
    assert min(p[1] for p in cut) - min(p[1] for p in bare) == pytest.approx(0.5, rel=1e-6)
    assert 0.5 * profile < 1.2


def test_a_skyline_above_the_sun_takes_the_patch() -> None:
    wall = Opposite(bearing_from_deg=90, bearing_to_deg=270, distance_m=10, top_above_ground_m=12)
    hidden = replace(SOUTH, windows=(replace(SOUTH.windows[0], opposite=(wall,)),))
    light = light_at(hidden, SPOT, NOON, cie_sky(12, 10000, 70000))
    assert light.sun_patch == () and not light.sun_on_dish
    assert light_at(SOUTH, SPOT, NOON, cie_sky(12, 10000, 70000)).sun_on_dish


def test_exposure_value_of_the_printed_table() -> None:
    """ISO 2720, C = 250, E = 2.5 * 2^EV: EV100 0 is 2.5 lx, 5 is 80 lx, 8 is 640 lx, 10 is 2560 lx."""
    for ev, lux in ((0, 2.5), (5, 80), (8, 640), (10, 2560)):
        assert ev100_of_light(lux) == pytest.approx(ev)


def test_a_figure_says_no_more_than_is_known() -> None:
    assert rounded(0.01324) == "0.013" and rounded(1234.5) == "1200"


def test_a_red_floor_warms_and_a_lawn_greens() -> None:
    """Terracotta in the sun's way makes the light warmer, a lawn outside greener, than the same in grey."""
    room = replace(PLAIN.room, floor_reflectance=(0.6, 0.25, 0.12), back_reflectance=(0.7, 0.4, 0.3))
    warm = light_at(replace(PLAIN, room=room), SPOT, NOON, OVERCAST)
    lawn = replace(
        PLAIN, windows=(replace(WINDOW, sill_m=0.2, height_m=1.8, ground_reflectance=(0.05, 0.25, 0.04)),)
    )
    green = light_at(lawn, SPOT, NOON, OVERCAST)
    plain = light_at(PLAIN, SPOT, NOON, OVERCAST)
    assert plain.cast.tints == ()
    assert warm.cast.mired.value > 1 > abs(plain.cast.mired.value)
    assert green.cast.duv.value > 0.001 > abs(plain.cast.duv.value)
    assert warm.horizontal_lx.low < warm.horizontal_lx.value < warm.horizontal_lx.high


def test_grey_bands_equal_one_number() -> None:
    """Three equal bands are the same room as one number, to the last figure; nearly equal ones give nearly the same."""
    room = replace(PLAIN.room, floor_reflectance=(0.3, 0.3, 0.3))
    one = light_at(PLAIN, SPOT, NOON, OVERCAST)
    three = light_at(replace(PLAIN, room=room), SPOT, NOON, OVERCAST)
    near = replace(PLAIN.room, floor_reflectance=(0.3, 0.3, 0.3000001))
    almost = light_at(replace(PLAIN, room=near), SPOT, NOON, OVERCAST)
    assert three.horizontal_lx.value == pytest.approx(one.horizontal_lx.value, rel=1e-9)
    assert almost.horizontal_lx.value == pytest.approx(one.horizontal_lx.value, rel=1e-4)


def test_evenness_of_the_plate_against_the_closed_form() -> None:
    """Siegel, Howell, appendix C: across a 260 mm plate, 0.5 m from a 1.2 m window, 0.64 stop (black room)."""
    from plateside.light.transport import make_sensors
    from tests.unit.light.forms import horizontal_uniform
    from tests.unit.light.rooms import black_room

    studio, spot = black_room(WINDOW, Spot(name="s", from_left_m=2.1, from_front_m=0.5, height_m=0.78))
    light = light_at(studio, spot, NOON, cie_sky(5, 10000))
    near, far = (2 * horizontal_uniform(0.6, 1.2, d) for d in (0.37, 0.63))
    assert np.log2(near / far) == pytest.approx(0.64, abs=0.01)
    assert light.evenness_plate_stops.value == pytest.approx(np.log2(near / far), abs=0.01)
    assert light.evenness_frame_stops.value > light.evenness_plate_stops.value
    scene = build_scene(studio, spot)
    assert make_sensors(scene, 90, 45).plate.start == make_sensors(scene, 90, 45).plate.stop


def test_things_that_do_not_fit_are_refused() -> None:
    wide = replace(PLAIN, windows=(Window(name="w", bearing_deg=20, width_m=5, height_m=1, sill_m=1),))
    with pytest.raises(InputError, match=r"window does not fit: name 'w'.*wall 'front'"):
        light_at(wide, SPOT, NOON, OVERCAST)
    with pytest.raises(InputError, match="spot outside the room"):
        light_at(PLAIN, replace(SPOT, from_front_m=4.0), NOON, OVERCAST)
    block = Block(name="island", from_left_m=1.5, from_front_m=0.2, width_m=1.2, depth_m=0.8, height_m=1.0)
    with pytest.raises(InputError, match=r"spot inside a block: .*block 'island'"):
        light_at(replace(PLAIN, furniture=(block,)), SPOT, NOON, OVERCAST)
    level = replace(block, height_m=SPOT.height_m)
    assert light_at(replace(PLAIN, furniture=(level,)), SPOT, NOON, OVERCAST).horizontal_lx.value > 0
