"""Key against fill by the reference: light adds, and a quotient of two frames holds no reflectance.

Every frame is made from that: r (k K + f F), and the ratio of a ball in it is log2((k K + f F) / (f F)).
"""

from dataclasses import replace
from functools import cache

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.frames.compare import Comparison, compare, comparison_from_json, reference_of
from plateside.frames.facts import Ball
from plateside.frames.fill import FillRead, KnownFill, fill_since
from plateside.frames.measure import facts_of
from plateside.frames.register import Registration
from plateside.frames.set_up_acts import fill_against
from plateside.model.frame import Settings
from plateside.model.shoot import Shot
from plateside.tasks.report import as_json

Array = NDArray[np.float32]
Floats = NDArray[np.float64]
STILL = Registration(np.array([[1.0, 0, 0], [0, 1.0, 0]]), 1.0, 0.0, 0.0, 1.0)
FROM_LEFT = KnownFill(2.0, "the ball", -0.8, 0.4)


def table(key: float, fill: float, *, noise: float = 0.002, seed: int = 3) -> Array:
    """Matt things of many colours on a cloth, the key low from the left: shaded right sides, cast shadows.

    On a ball the key gives `key` where it gives most, the fill `fill`.
    """
    reflectance, by_key = things()
    picture = reflectance * (key * by_key + fill)[..., None] + grain(seed) * noise
    return np.asarray(np.maximum(picture, 0.001), np.float32)


@cache
def grain(seed: int) -> Floats:
    return np.random.default_rng(seed).normal(0, 1, (500, 750, 3))


@cache
def things() -> tuple[Floats, Floats]:
    """Their colours, and the key's share on them; only to be read."""
    colours = np.random.default_rng(7)
    v, u = np.mgrid[0:500, 0:750].astype(np.float64)
    lit = np.full(u.shape, 0.6)
    cast = np.zeros(u.shape)
    reflectance = 0.35 + 0.1 * cv2.GaussianBlur(colours.normal(size=u.shape), (0, 0), 4)[..., None] * np.ones(
        3
    )
    for x, y, r in ((160, 150, 60), (390, 260, 90), (600, 380, 55), (560, 110, 50), (200, 380, 50)):
        cast = np.maximum(cast, (np.hypot((u - x - 1.3 * r) / 1.2, v - y) < r).astype(np.float64))
        on = np.hypot(u - x, v - y) < r
        p, q = (u - x) / r, -(v - y) / r
        depth = np.sqrt(np.maximum(1 - p * p - q * q, 0))
        shade = np.maximum(-0.8 * p + 0.4 * q + 0.45 * depth, 0)
        lit[on], cast[on] = shade[on], 0
        reflectance[on] = colours.uniform(0.2, 0.8, 3) * [1, 0.9, 0.8]
    return reflectance, lit * (1 - cv2.GaussianBlur(cast, (0, 0), 6))


@pytest.mark.parametrize("after", [1.2, 1.6, 2.5, 3.0])
def test_the_ratio_follows_from_the_quotient(after: float) -> None:
    fill = 0.75 / (2**after - 1)
    read = fill_since(table(0.75, 0.25), table(0.75, fill, seed=4), STILL, 750, FROM_LEFT, 0.0)
    assert read is not None
    assert read.ratio_stops == pytest.approx(after, abs=0.4)
    assert read.change_stops * (after - 2) > 0


@pytest.mark.parametrize("stops", [-1.5, -0.4, 0.0, 0.5])
@pytest.mark.parametrize("settings", [True, False])
def test_light_that_only_fell_or_rose_is_as_in_the_reference(stops: float, settings: bool) -> None:
    before, after = table(0.75, 0.25) * np.float32(0.8), table(0.6 * 2**stops, 0.2 * 2**stops, seed=4)
    read = fill_since(before, after, STILL, 750, FROM_LEFT, 0.0 if settings else None)
    assert read == FillRead(2.0, 0.0, "the ball", 0.9)


def test_exposure_set_anew_is_taken_off() -> None:
    fill = 0.75 / (2**1.2 - 1)
    two = table(0.75, 0.25), table(0.75, fill, seed=4)
    plain, anew = (
        fill_since(
            two[0] * np.float32(0.5), two[1] * np.float32(0.5 * g), STILL, 750, FROM_LEFT, float(np.log2(g))
        )
        for g in (1.0, 0.5)
    )
    assert plain is not None and anew is not None and plain.ratio_stops is not None
    assert anew.ratio_stops == pytest.approx(plain.ratio_stops, abs=0.05)


def test_a_thing_put_down_or_a_ball_taken_away_is_no_change_of_light() -> None:
    with_ball = table(0.75, 0.25)
    cv2.circle(with_ball, (470, 430), 35, (0.5, 0.5, 0.5), -1)
    later = table(0.75, 0.25, seed=4)
    cv2.circle(later, (80, 60), 45, (0.7, 0.25, 0.1), -1)
    known = replace(FROM_LEFT, ball_box=(0.57, 0.77, 0.69, 0.95))
    read = fill_since(with_ball, later, STILL, 750, known, 0.0)
    assert read is not None
    assert read.change_stops == 0


def test_without_shade_or_places_nothing_is_told() -> None:
    flat, dark = replace(FROM_LEFT, ratio_stops=0.1), np.full((500, 750, 3), 0.001, np.float32)
    assert fill_since(table(0.75, 0.25), table(0.75, 0.5), STILL, 750, flat, 0.0) is None
    assert fill_since(dark, dark, STILL, 750, FROM_LEFT, 0.0) is None


def test_signs_that_disagree_leave_the_side_open() -> None:
    # the shaded side gained, but the key was said to come from the right, and the light was said to stay where it grew
    before, after = table(0.75, 0.25), table(0.75, 0.5, seed=4)
    wrong = replace(FROM_LEFT, from_right=0.9, from_above=-0.3)
    read = fill_since(before, after, STILL, 750, wrong, 1.0)
    assert read is not None
    assert read.ratio_stops is None
    assert read.confidence < 0.4


def shown(linear: Array) -> NDArray[np.uint8]:
    linear = np.clip(linear, 0, 1)
    encoded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    return (encoded * 255 + 0.5).astype(np.uint8)


def compared(after: float) -> Comparison:
    before, later = shown(table(0.75, 0.25)), shown(table(0.75, 0.75 / (2**after - 1), seed=4))
    settings = Settings(exposure_s=0.5, f_number=5.6, iso=100)
    small = before_small(before)
    reference = reference_of("r", before, small, settings, (0.25, 0.25, 0.75, 0.75), fill=FROM_LEFT)
    found = compare(reference, later, before_small(later), settings)
    assert found is not None
    return found


def before_small(picture: NDArray[np.uint8]) -> Array:
    v = picture / 255.0
    return np.asarray(np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4), np.float32)


def test_the_act_and_what_is_not_nagged_about() -> None:
    seen = compared(3.0)
    assert comparison_from_json(as_json(seen)) == seen
    facts = replace(facts_of(shown(table(0.75, 0.25))), ball=None)
    asked = Shot(name="a", fill_stops=1.5)
    (act,) = fill_against(facts, seen, asked)
    assert act.weight == 1
    assert (act.act.code, act.act.way, act.act.against) == ("white board", "closer", 1.5)
    assert act.act.by == "test frame"
    assert fill_against(facts, seen, Shot(name="a", fill_stops=1.5, deliberate=("silhouette",))) == []
    (remark,) = fill_against(facts, seen, None)
    assert remark.weight == 0 and (remark.act.against or 0) > 0
    ball = Ball(3.0, -0.8, 0.4, 0.4, (0.5, 0.5), 0.1, 0.8)
    assert fill_against(replace(facts, ball=ball), seen, asked) == []
    assert fill_against(facts, replace(seen, lamp=True), asked) == []
    # accepted with 2 where 1.5 or 3 was asked: as it was, and nearer to what was asked, is no fault
    (still,) = fill_against(facts, compared(2.0), Shot(name="a", fill_stops=3.0))
    assert (still.weight, still.act.against) == (0, 0.0)
    assert still.act.amount == pytest.approx(2.0)
