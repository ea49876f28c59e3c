"""Laws that hold whatever the room: no light is made, light goes both ways alike, symmetry, hemispheres, adjoint."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from plateside.light.daylight import patch_coefficients, sensor_coefficients
from plateside.light.form_factors import point_factors
from plateside.light.importance import importance
from plateside.light.moment import light_at
from plateside.light.scene import build_scene
from plateside.light.sky import cie_sky
from plateside.light.sun import sun_day
from plateside.light.transport import make_sensors, room_transport
from plateside.model.light_answers import Hung, StandingBoard
from plateside.model.room import Block, Diffuser, Opposite, Place, Room, Spot, Window
from plateside.model.studio import Studio
from tests.unit.light.rooms import OVERCAST, PLAIN, SPOT, WINDOW, all_of

NOON = datetime(2027, 1, 15, 12, 30, tzinfo=ZoneInfo("Europe/Lisbon"))
WHITE = StandingBoard(2.5, 2.5, 1.03, 290, 0.7, 0.5, (0.88, 0.88, 0.88))
TILTED = StandingBoard(1.6, 2.2, 1.1, 60, 0.6, 0.6, (0.4, 0.4, 0.4), tilt_deg=25)
ISLAND = Block(name="island", from_left_m=0.4, from_front_m=1.9, width_m=1.3, depth_m=0.7, height_m=0.9)
FRIDGE = Block(name="fridge", from_left_m=3.6, from_front_m=2.4, width_m=0.6, depth_m=0.7, height_m=1.9)
FURNISHED = replace(PLAIN, furniture=(ISLAND, FRIDGE))


@pytest.mark.parametrize("reflectance", [0.3, 0.8, 0.95])
def test_white_furnace(reflectance: float) -> None:
    """Every surface glows with 1 - r and gives back r: then each place sees exactly 1, in any room."""
    room = room_transport(FURNISHED, SPOT, (WHITE, TILTED))
    sensors = make_sensors(room.scene, 90, 45, 260, (450, 300))
    seen = point_factors(room.scene, room.patches, sensors.points, sensors.normals)
    gain = importance(room.factors, np.full(room.patches.count, reflectance), seen)
    got = (gain * (1 - reflectance)).sum(axis=1)
    assert got == pytest.approx(np.ones(len(got)), abs=0.005)


def test_reciprocity() -> None:
    """A_i F_ij = A_j F_ji."""
    room = room_transport(FURNISHED, SPOT, (WHITE, TILTED))
    mutual = room.patches.area[:, None] * room.factors
    assert np.abs(mutual - mutual.T).max() < 1e-6 * room.patches.area.max()


def test_closed() -> None:
    """All that leaves a patch arrives at patches."""
    room = room_transport(FURNISHED, SPOT, (WHITE, TILTED))
    sums = room.factors.sum(axis=1)[room.patches.live]
    assert sums == pytest.approx(np.ones(sums.size), abs=0.002)


def test_no_room_gains_light() -> None:
    """What the surfaces swallow is what came in, for light put on any patches."""
    room = room_transport(FURNISHED, SPOT, (WHITE, TILTED))
    p = room.patches
    rng = np.random.default_rng(5)
    first = rng.random(p.count) * p.live
    rho = p.reflectance[:, 0]
    exitance = np.linalg.solve(np.eye(p.count) - rho[:, None] * room.factors, rho * first)
    falls = first + room.factors @ exitance
    swallowed = float(np.sum(p.area * (1 - rho) * falls))
    assert swallowed == pytest.approx(float(np.sum(p.area * first)), rel=0.002)


def test_adjoint_equals_forward() -> None:
    """The importance of patches gives the same light as solving the radiosity of the room under a sky."""
    room = room_transport(FURNISHED, SPOT, (WHITE,))
    p = room.patches
    sensors = make_sensors(room.scene, 90, 45)
    sky = np.random.default_rng(3).random(room.node_part.shape[1])
    falls = room.node_part @ sky
    rho = p.reflectance[:, 0]
    exitance = np.linalg.solve(np.eye(p.count) - rho[:, None] * room.factors, rho * falls)
    straight, _ = sensor_coefficients(room.scene, sensors.points, sensors.normals)
    seen = point_factors(room.scene, p, sensors.points, sensors.normals)
    forward = straight @ sky + seen @ exitance
    adjoint = straight @ sky + (importance(room.factors, rho, seen) * rho) @ falls
    assert adjoint == pytest.approx(forward, rel=2e-4)


def test_a_symmetric_room_answers_symmetrically() -> None:
    light = light_at(PLAIN, SPOT, NOON, OVERCAST, camera_faces_deg=0)
    assert light.left_lx.value == pytest.approx(light.right_lx.value, rel=1e-3)
    assert light.vector_lx[0] == pytest.approx(0, abs=1e-3 * light.front_lx.value)


def test_a_mirrored_room_answers_mirrored() -> None:
    """Window, sun, board and spot on the other side: left and right change places, the rest stays."""
    room = Room(width_m=4.2, depth_m=3.1, height_m=2.5)
    sky = cie_sky(12, 12000, 70000)
    place = Place(latitude_deg=0.0, longitude_deg=0.0, timezone="UTC")
    # Equal distances from noon at the equator near the equinox: the sun stands mirrored about north and south.
    early, late = (datetime(2027, 1, 15, h, m, tzinfo=ZoneInfo("UTC")) for h, m in ((10, 9), (14, 10)))
    lights = []
    for when, left, x, bearing in ((early, 0.5, 1.3, 90), (late, 2.5, 2.9, 270)):
        window = replace(WINDOW, bearing_deg=180, from_left_m=left)
        spot = Spot(name="s", from_left_m=4.2 - x, from_front_m=0.9)
        studio = Studio(place=place, room=room, windows=(window,), spots=(spot,))
        board = StandingBoard(
            4.2 - x + (0.4 if bearing == 270 else -0.4), 2.2, 1.0, bearing, 0.7, 0.5, (0.88,) * 3
        )
        lights.append(light_at(studio, spot, when, sky, boards=(board,), camera_faces_deg=0))
    a, b = lights
    assert a.sun_elevation_deg == pytest.approx(b.sun_elevation_deg, abs=0.3)
    assert a.horizontal_lx.value == pytest.approx(b.horizontal_lx.value, rel=0.02)
    assert a.left_lx.value == pytest.approx(b.right_lx.value, rel=0.02)
    assert a.right_lx.value == pytest.approx(b.left_lx.value, rel=0.02)
    assert a.back_lx.value == pytest.approx(b.back_lx.value, rel=0.02)


def test_the_southern_hemisphere_mirrors_the_northern() -> None:
    """At the June solstice in the north and the December solstice in the south, equally long before the sun's noon, a
    south window there and a north window here get the same light, left and right exchanged."""
    sky = cie_sky(12, 12000, 70000)
    answers = []
    for latitude, bearing, day in ((40.0, 180, date(2027, 6, 21)), (-40.0, 0, date(2027, 12, 22))):
        place = Place(latitude_deg=latitude, longitude_deg=0.0, timezone="UTC")
        when = sun_day(place, day).transit - timedelta(hours=2, minutes=15)
        studio = replace(PLAIN, place=place, windows=(replace(WINDOW, bearing_deg=bearing),))
        answers.append(light_at(studio, SPOT, when, sky, camera_faces_deg=0))
    a, b = answers
    assert a.sun_elevation_deg == pytest.approx(b.sun_elevation_deg, abs=0.02)
    assert a.sun_bearing_deg == pytest.approx(180 - b.sun_bearing_deg, abs=0.05)
    assert a.sun_patch and b.sun_patch
    assert a.horizontal_lx.value == pytest.approx(b.horizontal_lx.value, rel=0.01)
    assert a.left_lx.value == pytest.approx(b.right_lx.value, rel=0.01)
    assert a.right_lx.value == pytest.approx(b.left_lx.value, rel=0.01)


def test_more_glass_never_means_less_light() -> None:
    small = light_at(PLAIN, SPOT, NOON, OVERCAST).horizontal_lx.value
    wider = replace(PLAIN, windows=(replace(WINDOW, width_m=1.6),))
    assert light_at(wider, SPOT, NOON, OVERCAST).horizontal_lx.value > small


def test_light_grows_with_the_sky() -> None:
    """Twice the sky and sun give twice the light, everywhere."""
    one = light_at(PLAIN, SPOT, NOON, cie_sky(12, 10000, 40000))
    two = light_at(PLAIN, SPOT, NOON, cie_sky(12, 20000, 80000))
    for a, b in zip(one.faces_lx.values(), two.faces_lx.values(), strict=True):
        assert b.value == pytest.approx(2 * a.value, rel=1e-9)


def test_two_windows_add_up() -> None:
    """In a black room the light of two windows is the sum of the light of each."""
    room = Room(width_m=4.2, depth_m=3.1, height_m=2.5, **all_of(0.0))
    spot = replace(SPOT, table_reflectance=0.0)
    second = Window(name="helper", bearing_deg=110, width_m=0.9, height_m=1.0, sill_m=0.9)
    lights = []
    for windows in ((WINDOW,), (second,), (WINDOW, second)):
        front = replace(room, front_bearing_deg=20.0)
        studio = Studio(place=PLAIN.place, room=front, windows=windows, spots=(spot,))
        lights.append(light_at(studio, spot, NOON, OVERCAST))
    a, b, both = (one.horizontal_lx.value for one in lights)
    # The panes throw a little of each other's light back.
    assert a + b <= both == pytest.approx(a + b, rel=0.003)


def test_black_board_takes_and_white_board_gives() -> None:
    bare = light_at(PLAIN, SPOT, NOON, OVERCAST)
    white = light_at(PLAIN, SPOT, NOON, OVERCAST, boards=(WHITE,))
    black = light_at(PLAIN, SPOT, NOON, OVERCAST, boards=(replace(WHITE, reflectance=(0.05,) * 3),))
    assert white.horizontal_lx.value > bare.horizontal_lx.value
    assert black.right_lx.value < white.right_lx.value
    assert black.horizontal_lx.value < white.horizontal_lx.value


def test_a_board_shades_the_suns_patch() -> None:
    """A black board between window and dish takes the sun off the dish and its light out of the room."""
    sunny = replace(PLAIN, windows=(replace(WINDOW, bearing_deg=180),))
    sky = cie_sky(12, 1.0, 80000)
    bare = light_at(sunny, SPOT, NOON, sky, camera_faces_deg=0)
    shade = StandingBoard(2.1, 2.8, 1.38, 0, 2.0, 1.2, (0.0, 0.0, 0.0))
    shaded = light_at(sunny, SPOT, NOON, sky, camera_faces_deg=0, boards=(shade,))
    assert bare.sun_on_dish and not shaded.sun_on_dish
    assert shaded.horizontal_lx.value < 0.02 * bare.horizontal_lx.value


def test_opaque_sheet_and_full_sheet() -> None:
    """A blind over all lets nothing through; a sheet that passes all unchanged is no sheet."""
    blind = Hung(
        "window", Diffuser(name="b", diffuse_transmittance=0, clear_transmittance=0, reflectance=0.05)
    )
    nothing = Hung(
        "window", Diffuser(name="n", diffuse_transmittance=0, clear_transmittance=1, reflectance=0)
    )
    assert light_at(PLAIN, SPOT, NOON, OVERCAST, hung=(blind,)).horizontal_lx.value == 0
    bare = light_at(PLAIN, SPOT, NOON, OVERCAST, hung=()).horizontal_lx.value
    same = light_at(PLAIN, SPOT, NOON, OVERCAST, hung=(nothing,)).horizontal_lx.value
    assert same == pytest.approx(bare, rel=0.01)


def test_a_sheet_is_an_even_source() -> None:
    """In a black room a sheet that scatters all, under a uniform sky through open holes, gives pi-fold even light.

    Exitance is d x pi L, so the horizontal gets d x (light of the bare hole under a sky that fills the whole view):
    with a ground as bright as the sky both are the same factor of the opening.
    """
    hole = replace(WINDOW, glass_transmittance=1.0, dirt_factor=1.0, frame_share=0.0, ground_reflectance=0.98)
    room = Room(width_m=4.2, depth_m=3.1, height_m=2.5, **all_of(0.0))
    spot = replace(SPOT, table_reflectance=0.0)
    studio = Studio(place=PLAIN.place, room=room, windows=(hole,), spots=(spot,))
    sheet = Hung(
        "window", Diffuser(name="d", diffuse_transmittance=0.6, clear_transmittance=0, reflectance=0)
    )
    bare = light_at(studio, spot, NOON, cie_sky(5, 10000), hung=()).horizontal_lx.value
    hung = light_at(studio, spot, NOON, cie_sky(5, 10000), hung=(sheet,)).horizontal_lx.value
    assert hung == pytest.approx(0.6 * 0.99 * bare, rel=0.01)


def test_a_wall_opposite_takes_the_sky() -> None:
    """A black wall all round that reaches to the sky leaves no light; see-through halves it."""
    room = Room(width_m=4.2, depth_m=3.1, height_m=2.5, **all_of(0.0))
    spot = replace(SPOT, table_reflectance=0.0)

    def with_wall(see_through: float) -> float:
        wall = Opposite(
            bearing_from_deg=200, bearing_to_deg=199.9, distance_m=5, top_above_ground_m=1000, reflectance=0.0,
            see_through=see_through,
        )  # fmt: skip
        window = replace(WINDOW, opposite=(wall,), ground_reflectance=0.0)
        studio = Studio(place=PLAIN.place, room=room, windows=(window,), spots=(spot,))
        return light_at(studio, spot, NOON, OVERCAST).horizontal_lx.value

    free = with_wall(1.0)
    assert with_wall(0.0) < 0.01 * free
    assert with_wall(0.5) == pytest.approx(0.5 * free, rel=0.01)


def test_the_horizontal_sees_the_whole_room() -> None:
    scene = build_scene(PLAIN, SPOT)
    room = room_transport(PLAIN, SPOT)
    sensors = make_sensors(scene, 90, 45)
    seen = point_factors(scene, room.patches, sensors.points, sensors.normals)
    assert seen.sum(axis=1) == pytest.approx(np.ones(len(seen)), abs=1e-9)
    nodes, _ = patch_coefficients(scene, room.patches)
    assert nodes.min() >= 0
