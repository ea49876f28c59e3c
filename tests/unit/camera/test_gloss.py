"""Mirror images in a level dish: the plane-mirror law and what follows from it."""

import numpy as np
import pytest

from plateside.camera.gloss import Rectangle, RoomSize, disc_points, elevation_for, hits, mirrored
from plateside.camera.place import stand

ROOM = RoomSize((4.0, 3.0, 2.6))
DISH = (2.0, 2.0, 0.8)
WINDOW = Rectangle("window", (1.2, 3.0, 0.9), (1.6, 0.0, 0.0), (0.0, 0.0, 1.2))


def test_shares_add_to_one() -> None:
    for e in (5, 30, 60, 90):
        shares = mirrored(DISH, 0.1, stand(DISH, 0.0, e, 0.7), [WINDOW], ROOM)
        assert sum(shares.values()) == pytest.approx(1.0)


def test_from_straight_above_the_camera_sees_itself_in_the_middle_and_the_ceiling_around() -> None:
    lens = stand(DISH, 0.0, 90.0, 0.7)
    shares = mirrored(DISH, 0.15, lens, [WINDOW], ROOM, camera_m=0.08)
    # the ray from r goes out to 2 r at the lens's height, so what lies within half the camera's radius mirrors it
    assert shares["camera"] == pytest.approx((0.04 / 0.15) ** 2, abs=0.03)
    assert shares["camera"] + shares["ceiling"] == pytest.approx(1.0)
    small = mirrored(DISH, 0.03, lens, [WINDOW], ROOM, camera_m=0.08)
    assert small["camera"] == pytest.approx(1.0)


def test_the_window_behind_the_dish_mirrors_at_its_own_elevation() -> None:
    # the middle of the window is 1 m away and 0.7 m above the dish: 35 degrees
    low, high = np.degrees(np.arctan([0.1, 1.3]))
    inside = mirrored(DISH, 0.01, stand(DISH, 0.0, 35.0, 0.7), [WINDOW], ROOM)
    assert inside["window"] == 1.0
    above = mirrored(DISH, 0.01, stand(DISH, 0.0, high + 4.0, 0.7), [WINDOW], ROOM)
    assert "window" not in above
    below = mirrored(DISH, 0.01, stand(DISH, 0.0, low - 2.0, 0.7), [WINDOW], ROOM)
    assert "window" not in below


def test_the_image_lies_where_the_mirrored_camera_looks() -> None:
    """The straight line from the camera's mirror image through the dish meets the window where the ray does."""
    lens = np.array(stand(DISH, 10.0, 33.0, 0.7))
    image = lens * [1, 1, -1] + [0, 0, 2 * DISH[2]]
    points = disc_points(DISH, 0.05)
    rays = points - image
    t = hits(image + np.zeros_like(points), rays, WINDOW)
    share = float(np.mean(np.isfinite(t)))
    got = mirrored(DISH, 0.05, (float(lens[0]), float(lens[1]), float(lens[2])), [WINDOW], ROOM)
    assert got.get("window", 0.0) == pytest.approx(share)


def test_a_board_in_front_of_the_window_hides_it() -> None:
    board = Rectangle("board", (1.2, 2.5, 0.8), (1.6, 0.0, 0.0), (0.0, 0.0, 1.4))
    got = mirrored(DISH, 0.05, stand(DISH, 0.0, 35.0, 0.7), [WINDOW, board], ROOM)
    assert got == {"board": 1.0}


def test_the_elevation_that_clears_it_does() -> None:
    args = (DISH, 0.05, 0.0, 40.0, 0.7, [WINDOW], ROOM)
    clear = elevation_for("window", False, *args)
    assert clear is not None
    assert mirrored(DISH, 0.05, stand(DISH, 0.0, clear, 0.7), [WINDOW], ROOM).get("window", 0.0) <= 0.02
    fill = elevation_for("window", True, DISH, 0.05, 0.0, 55.0, 0.7, [WINDOW], ROOM)
    assert fill is not None
    assert mirrored(DISH, 0.05, stand(DISH, 0.0, fill, 0.7), [WINDOW], ROOM)["window"] >= 0.9
