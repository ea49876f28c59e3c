"""Key against fill from a ball: the closed form of a matt sphere (Lambert's cosine law), eggs, and what is no ball."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.frames.ball import find_ball
from plateside.frames.grey_card import SURE, card_at, find_grey_card
from plateside.frames.measure import facts_of
from plateside.frames.verdict import verdict_of
from plateside.model.frame import Settings

Array = NDArray[np.float32]


def scene(
    key: float,
    fill: float,
    direction: tuple[float, float, float],
    *,
    stretch: float = 1.0,
    noise: float = 0.004,
) -> Array:
    """A grey sphere on a mid-dark cloth: fill + key max(n . l, 0), exactly."""
    v, u = np.mgrid[0:500, 0:750].astype(np.float64)
    x, y = (u - 520) / 60, -(v - 180) / (60 * stretch)
    inside = x * x + y * y < 1
    z = np.sqrt(np.maximum(1 - x * x - y * y, 0))
    to = np.array(direction) / np.linalg.norm(direction)
    shade = fill + key * np.maximum(x * to[0] + y * to[1] + z * to[2], 0)
    rng = np.random.default_rng(4)
    table = 0.06 + 0.02 * cv2.GaussianBlur(rng.normal(size=(500, 750)), (0, 0), 3)
    grey = np.where(inside, shade, table)
    picture = grey[..., None] * np.array([1.05, 1.0, 0.93]) + rng.normal(0, noise, (500, 750, 3))
    return np.asarray(np.maximum(cv2.GaussianBlur(picture, (0, 0), 0.8), 0.001), np.float32)


@pytest.mark.parametrize("ratio", [1.0, 2.0, 3.0])
@pytest.mark.parametrize("direction", [(-0.7, 0.5, 0.5), (0.8, 0.3, 0.2), (-0.6, 0.4, -0.2)])
def test_the_closed_form_of_a_matt_sphere(ratio: float, direction: tuple[float, float, float]) -> None:
    fill = 0.6 / 2**ratio
    ball = find_ball(scene(0.6 - fill, fill, direction))
    assert ball is not None
    truth = np.array(direction) / np.linalg.norm(direction)
    # what is told is the brightest side that the camera sees: of a key from behind, the limb nearest to it
    seen = np.sqrt(1 - min(truth[2], 0) ** 2)
    assert ball.ratio_stops == pytest.approx(
        np.log2((fill + (0.6 - fill) * seen) / fill), abs=0.2 if truth[2] > 0 else 0.25
    )
    cosine = float(np.dot(truth, (ball.from_right, ball.from_above, ball.from_camera)))
    assert np.degrees(np.arccos(min(cosine, 1))) < 12


def test_an_egg_is_read_too() -> None:
    ball = find_ball(scene(0.45, 0.15, (-0.7, 0.5, 0.5), stretch=1.25))
    assert ball is not None
    assert ball.ratio_stops == pytest.approx(2.0, abs=0.3)
    assert ball.from_right < -0.4


def test_a_plate_in_sloping_light_is_no_ball() -> None:
    v, u = np.mgrid[0:500, 0:750].astype(np.float64)
    plate = np.hypot(u - 375, v - 250) < 80
    grey = np.where(plate, 0.5 + 0.3 * (u - 375) / 80, 0.08)
    assert find_ball((grey[..., None] * np.ones(3)).astype(np.float32)) is None


def test_nothing_round_no_ball() -> None:
    rng = np.random.default_rng(1)
    assert find_ball(rng.uniform(0.05, 0.6, (300, 450, 3)).astype(np.float32)) is None


def with_card(level: float, *, turn: float = 12.0, rough: float = 0.004, tint: float = 1.0) -> Array:
    rng = np.random.default_rng(2)
    picture = np.full((500, 750, 3), 0.42, np.float32) * (1 + rng.normal(0, 0.1, (500, 750, 1))).astype(
        np.float32
    )
    cv2.ellipse(picture, (300, 260), (140, 120), 0, 0, 360, (0.82, 0.81, 0.79), -1)
    box = cv2.boxPoints(((600, 120), (130, 90), turn))
    colour = (level * 1.1, level * tint, level * 0.9)
    cv2.fillConvexPoly(picture, np.round(box).astype(np.int32), colour, cv2.LINE_AA)
    return np.maximum(picture + rng.normal(0, rough, picture.shape), 0.001).astype(np.float32)


def test_a_grey_card_is_found_and_lies_within() -> None:
    found = find_grey_card(with_card(0.17))
    assert found is not None
    assert found.confidence >= SURE
    x0, y0, x1, y1 = found.box
    assert 550 < 750 * x0 < 750 * x1 < 650
    assert 85 < 500 * y0 < 500 * y1 < 155


@pytest.mark.parametrize("level", [0.09, 0.18, 0.24])
def test_a_grey_card_is_the_aim_of_the_exposure(level: float) -> None:
    # ISO 12232: a metered 18 % card stands at 0.18 of display white (10/S against 78/S at saturation)
    linear = np.clip(with_card(level), 0, 1)
    encoded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    shown = (encoded * 255 + 0.5).astype(np.uint8)
    card = (0.76, 0.19, 0.84, 0.29)
    facts = facts_of(shown, grey_card=card)
    assert facts.exposure.aim == "grey card"
    luminance = level * (0.2126 * 1.1 + 0.7152 + 0.0722 * 0.9)
    assert facts.exposure.stops == pytest.approx(np.log2(luminance / 0.18), abs=0.05)
    acts = [a.by for a in verdict_of(facts, None, Settings()).acts if a.kind == "exposure"]
    assert acts == ([] if level == 0.18 else ["grey card"])


@pytest.mark.parametrize("picture", [with_card(0.6), with_card(0.17, rough=0.08), with_card(0.17, tint=1.35)])
def test_what_is_too_bright_rough_or_green_is_no_card(picture: Array) -> None:
    found = find_grey_card(picture)
    assert found is None or found.confidence < SURE


@pytest.mark.parametrize("wide", [60, 90, 130])
@pytest.mark.parametrize("flat", [1.0, 0.75, 0.5])
def test_a_round_grey_thing_is_no_card(wide: int, flat: float) -> None:
    picture = with_card(0.42)  # of the table's own level: none
    axes = (wide // 2, round(wide * flat / 2))
    cv2.ellipse(picture, (600, 120), axes, 20, 0, 360, (0.187, 0.17, 0.153), -1, cv2.LINE_AA)
    found = find_grey_card(picture)
    assert found is None or found.confidence < SURE


def test_in_black_and_white_nothing_is_a_grey_card() -> None:
    picture = np.repeat(with_card(0.17).mean(axis=2, keepdims=True), 3, axis=2)
    assert find_grey_card(picture) is None


@pytest.mark.parametrize("turn", [0.0, 30.0])
def test_a_touch_anywhere_on_the_card_reads_within_it(turn: float) -> None:
    picture = with_card(0.17, turn=turn)
    corners = cv2.boxPoints(((600, 120), (130, 90), turn)).astype(np.float32)
    for across, down in ((600, 120), (570, 130), (625, 105)):
        found = card_at(picture, across / 750, down / 500)
        assert found.why_not == ""
        x0, y0, x1, y1 = found.box
        for x, y in ((x0, y0), (x1, y0), (x0, y1), (x1, y1)):
            assert cv2.pointPolygonTest(corners, (x * 750, y * 500), measureDist=False) > 0


def test_a_touch_beside_the_card_says_why_it_is_none() -> None:
    white, green = with_card(0.17), with_card(0.17, tint=1.35)
    assert card_at(white, 300 / 750, 260 / 500).why_not == "white"  # the plate
    assert card_at(green, 600 / 750, 120 / 500).why_not == "green"
    assert card_at(with_card(0.17, turn=0.0), 535 / 750, 120 / 500).why_not == "uneven"
    dark = with_card(0.02)
    assert card_at(dark, 600 / 750, 120 / 500).why_not == "too dark"
