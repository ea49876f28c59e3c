"""A flat rectangle made square: by a pinhole camera worked out here (Hartley and Zisserman 2004, ch. 6 and 8)."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.finish.placing import Flat, placing_of
from plateside.finish.square import Square, square_of
from plateside.finish.squaring import Focal, NotSquareError, in_order, shape_of
from tests.synthetic.dotted import measured

SIZE = (3000, 2000)


def seen(
    wide: float,
    high: float,
    tilt: float,
    turn: float,
    roll: float,
    focal: float = 3500.0,
    away: float = 900.0,
) -> NDArray[np.float64]:
    """Corners [px] of a rectangle [mm] in front of a camera: tilted, turned about its upright, rolled [degrees]."""
    a, b, c = np.radians([tilt, turn, roll])
    rx = np.array([[1, 0, 0], [0, math.cos(a), -math.sin(a)], [0, math.sin(a), math.cos(a)]])
    ry = np.array([[math.cos(b), 0, math.sin(b)], [0, 1, 0], [-math.sin(b), 0, math.cos(b)]])
    rz = np.array([[math.cos(c), -math.sin(c), 0], [math.sin(c), math.cos(c), 0], [0, 0, 1]])
    flat = np.array([(-1, -1, 0), (1, -1, 0), (1, 1, 0), (-1, 1, 0)]) * (wide / 2, high / 2, 0)
    at = flat @ (rz @ ry @ rx).T + (15.0, -20.0, away)
    return np.asarray(at[:, :2] / at[:, 2:] * focal + (np.array(SIZE) - 1) / 2)


def given(corners: NDArray[np.float64], shape: float = 0.0) -> Square:
    a, b, c, d, e, f, g, h = (float(v) for v in ((corners + 0.5) / SIZE).ravel())
    return Square((a, b, c, d, e, f, g, h), shape)


def made_square(corners: NDArray[np.float64], placing: Flat) -> NDArray[np.float64]:
    """Where the corners lie in the finished picture."""
    at = np.linalg.inv(placing.to_source) @ np.vstack([corners.T, np.ones(4)])
    return np.asarray((at[:2] / at[2]).T)


CASES = [
    (297.0, 210.0, 35.0, 12.0, 3.0), (200.0, 300.0, -25.0, -15.0, -6.0), (250.0, 250.0, 10.0, 20.0, 8.0),
    (300.0, 100.0, 30.0, 8.0, -20.0), (180.0, 240.0, 20.0, 30.0, 0.0),
]  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_corners_alone_tell_square_and_shape(case: tuple[float, ...]) -> None:
    """Within 0.2 degree and 0.2 % of the shape, nothing else known."""
    corners = seen(*case)
    placing = placing_of(SIZE, 0.0, None, given(corners))
    assert isinstance(placing, Flat)
    off, shape = measured(made_square(corners, placing))
    assert off < 0.2
    assert shape == pytest.approx(case[0] / case[1], rel=0.002)


@pytest.mark.parametrize("tilt", [-40.0, -15.0, 25.0, 45.0])
def test_tilted_one_way_only_the_focal_length_tells_the_shape(tilt: float) -> None:
    corners = seen(297.0, 210.0, tilt, 0.0, 0.0)
    placing = placing_of(SIZE, 0.0, None, given(corners), Focal(3500.0, 0.01))
    assert isinstance(placing, Flat)
    off, shape = measured(made_square(corners, placing))
    assert off < 0.2
    assert shape == pytest.approx(297 / 210, rel=0.002)


def test_a_shape_that_is_known_counts() -> None:
    corners = seen(297.0, 210.0, 40.0, 0.0, 0.0)
    placing = placing_of(SIZE, 0.0, None, given(corners, 297 / 210))
    assert isinstance(placing, Flat)
    assert measured(made_square(corners, placing)) == pytest.approx((0, 297 / 210), abs=1e-6)


def test_the_picture_keeps_its_shape_and_shows_nothing_from_outside_the_frame() -> None:
    for case in CASES:
        placing = placing_of(SIZE, 1.5, None, given(seen(*case)))
        assert isinstance(placing, Flat)
        width, height = placing.size
        assert width / height == pytest.approx(1.5, abs=0.003)
        x, y = placing.sources((0, height, 0, width))[0]
        assert x.min() > -1 and y.min() > -1 and x.max() < SIZE[0] and y.max() < SIZE[1]
        assert width > 0.3 * SIZE[0]


def test_corners_may_come_in_any_order() -> None:
    corners = seen(*CASES[0])
    for order in ([2, 0, 3, 1], [3, 2, 1, 0], [1, 2, 3, 0]):
        assert in_order(corners[order]) == pytest.approx(corners)


@pytest.mark.parametrize(
    ("corners", "reason"),
    [
        ([(0.1, 0.1), (0.1, 0.1), (0.9, 0.9), (0.1, 0.9)], "crossed"),
        ([(0.1, 0.1), (0.9, 0.1), (0.3, 0.3), (0.1, 0.9)], "crossed"),
        ([(0.1, 0.1), (0.12, 0.1), (0.12, 0.12), (0.1, 0.12)], "small"),
        ([(0.48, 0.1), (0.52, 0.1), (0.95, 0.9), (0.05, 0.9)], "steep"),
    ],
)
def test_what_is_no_rectangle_is_refused(corners: list[tuple[float, float]], reason: str) -> None:
    with pytest.raises(NotSquareError) as found:
        placing_of(SIZE, 0.0, None, given(np.array(corners) * SIZE - 0.5))
    assert found.value.reason == reason


def test_a_square_is_read_back_or_refused() -> None:
    square = Square((0.1, 0.1, 0.9, 0.1, 0.9, 0.9, 0.1, 0.9), 1.5, "IMG_1.dng")
    assert square_of({"corners": list(square.corners), "shape": 1.5, "card": "IMG_1.dng"}) == square
    assert square_of({"corners": []}) is None
    for row in (
        {"corners": [1] * 7},
        {"corners": [9.0] * 8},
        {"corners": ["a"] * 8},
        {"corners": [0.1] * 8, "shape": 99},
    ):
        with pytest.raises((ValueError, TypeError)):
            square_of(row)


def test_shape_is_steady_when_corners_are_a_pixel_off() -> None:
    """A hand's pixel moves the shape by little when the focal length is known."""
    rng = np.random.default_rng(3)
    for case in CASES[:3]:
        corners = in_order(seen(*case) + rng.normal(0, 0.7, (4, 2)))
        assert shape_of(corners, SIZE, Focal(3500.0, 0.02)) == pytest.approx(case[0] / case[1], rel=0.02)
