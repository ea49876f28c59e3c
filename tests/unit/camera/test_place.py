"""Camera positions in the room's coordinates."""

import numpy as np
import pytest

from plateside.camera.place import axes, direction, faces_deg, out_of_box_m, stand


@pytest.mark.parametrize("faces", [0, 45, 90, 200, 359])
@pytest.mark.parametrize("elevation", [0, 5, 45, 90])
def test_axes_are_square_and_right_handed(faces: float, elevation: float) -> None:
    a = axes(faces, elevation)
    m = np.stack([a.right, a.up, a.forward])
    assert m @ m.T == pytest.approx(np.eye(3), abs=1e-12)
    # right x up points back at the photographer
    assert np.cross(a.right, a.up) == pytest.approx(-a.forward, abs=1e-12)
    assert a.right[2] == pytest.approx(0.0, abs=1e-12)


def test_directions_run_clockwise_from_the_front_wall() -> None:
    assert direction(0) == pytest.approx([0, 1, 0])
    assert direction(90) == pytest.approx([1, 0, 0], abs=1e-12)
    for d in (0.0, 12.0, 90.0, 270.0):
        assert faces_deg(direction(d)) == pytest.approx(d, abs=1e-9)


def test_looking_right_the_front_window_is_on_the_left() -> None:
    # camera_faces_deg 90: the front wall (+y) is to the camera's left
    assert axes(90, 30).right @ np.array([0, 1, 0]) == pytest.approx(-1.0)


def test_the_camera_stands_back_and_up() -> None:
    assert stand((2, 2, 0.8), 0, 90, 1.0) == pytest.approx((2, 2, 1.8))
    assert stand((2, 2, 0.8), 90, 0, 1.0) == pytest.approx((1, 2, 0.8))
    x, y, z = stand((2, 2, 0.8), 0, 45, 1.0)
    assert (x, y, z) == pytest.approx((2, 2 - 0.5**0.5, 0.8 + 0.5**0.5))


def test_out_of_the_room() -> None:
    assert out_of_box_m((1, 1, 1), (3, 3, 3)) == (0.0, "")
    gap, side = out_of_box_m((1, -0.3, 1), (3, 3, 3))
    assert gap == pytest.approx(0.3)
    assert side == "back wall"
    assert out_of_box_m((1, 1, 2.95), (3, 3, 3), 0.1)[1] == "ceiling"
