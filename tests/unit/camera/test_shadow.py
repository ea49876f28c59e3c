"""Who stands in the light: segment distances, similar triangles, and shares kept off."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plateside.camera.gloss import Rectangle
from plateside.camera.shadow import Capsule, blocked, falls_at, segment_distance, sun_patch, window_points

DISH = (2.0, 2.0, 0.8)
WINDOW = Rectangle("window", (1.4, 3.0, 0.9), (1.2, 0.0, 0.0), (0.0, 0.0, 1.2))

coordinate = st.floats(-2, 2)
point = st.tuples(coordinate, coordinate, coordinate)


@settings(max_examples=60)
@given(point, point, point, point)
def test_segment_distance_is_the_least_of_many(p: tuple, q: tuple, a: tuple, b: tuple) -> None:
    pa, qa, aa, ba = (np.array(v, dtype=np.float64) for v in (p, q, a, b))
    got = float(segment_distance(pa[None], qa[None], aa, ba)[0])
    s = np.linspace(0, 1, 61)
    one = pa + s[:, None] * (qa - pa)
    two = aa + s[:, None] * (ba - aa)
    least = float(np.min(np.linalg.norm(one[:, None] - two[None], axis=2)))
    longest = max(float(np.linalg.norm(qa - pa)), float(np.linalg.norm(ba - aa)))
    assert got <= least + 1e-9
    # the grid of points can miss the nearest pair by half a step on each
    assert got >= least - longest / 60 - 1e-9


def test_nothing_in_the_way_keeps_nothing_off() -> None:
    aside = {"thing": (Capsule((0.5, 0.5, 0.0), (0.5, 0.5, 1.5), 0.2),)}
    assert blocked(DISH, 0.1, window_points(WINDOW), aside) == {"thing": 0.0, "all": 0.0}


def test_a_wall_between_keeps_all_off_and_two_things_are_counted_once() -> None:
    wall = Capsule((0.0, 2.5, 1.2), (4.0, 2.5, 1.2), 0.6)
    got = blocked(DISH, 0.1, window_points(WINDOW), {"one": (wall,), "two": (wall,)})
    assert got["one"] == pytest.approx(1.0)
    assert got["all"] == pytest.approx(1.0)


def test_half_the_window_hidden_keeps_about_half_off() -> None:
    # a broad flat thing whose right edge stands on the line from the dish to the window's middle
    thing = Capsule((1.4, 2.6, 0.8), (1.4, 2.6, 3.0), 0.6)
    got = blocked(DISH, 0.01, window_points(WINDOW, 24), {"thing": (thing,)})
    assert 0.4 < got["thing"] < 0.6


def test_the_shadow_falls_by_similar_triangles() -> None:
    # a point 0.4 m over the table under a light 1.2 m over it and 1 m ahead: half of the light's run beyond
    at = falls_at((2.0, 2.0, 1.2), (2.0, 3.0, 2.0), 0.8)
    assert at is not None
    assert at[0] == pytest.approx(2.0)
    assert at[1] == pytest.approx(2.0 - 0.4 / 0.8)
    assert falls_at((2.0, 2.0, 1.2), (2.0, 3.0, 1.0), 0.8) is None


def test_the_sun_is_far_and_in_its_direction() -> None:
    p = sun_patch(DISH, 90.0, 30.0)[0] - np.array(DISH)
    assert np.linalg.norm(p) == pytest.approx(1000.0)
    assert p[0] > 0
    assert p[1] == pytest.approx(0.0, abs=1e-9)
    assert p[2] == pytest.approx(500.0)


def test_an_overhead_camera_blocks_a_sun_behind_it() -> None:
    camera = {"camera": (Capsule((2.0, 2.0, 1.5), (2.0, 2.0, 1.6), 0.3),)}
    assert blocked(DISH, 0.1, sun_patch(DISH, 0.0, 89.0), camera)["camera"] == pytest.approx(1.0)
    assert blocked(DISH, 0.1, sun_patch(DISH, 0.0, 20.0), camera)["camera"] == 0.0
