"""What is said first against the test frame; the truth is how each frame was made (`tests/synthetic/first_acts`)."""

from dataclasses import replace

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from plateside.frames.ball import find_ball
from plateside.frames.compare import light_change
from plateside.frames.edges import grey
from plateside.frames.exposure import small_linear
from plateside.frames.grey_card import SURE, find_grey_card
from plateside.frames.part_blur import part_blur
from plateside.frames.register import register
from plateside.frames.set_up_acts import BALL_SURE
from plateside.frames.streaked_around import streaked_around
from plateside.frames.verdict import verdict_of
from plateside.ground.srgb import LUMINANCE
from plateside.model.shoot import Shot
from tests.synthetic.faults import blurred, frame_of, streak
from tests.synthetic.first_acts import AT, first_case, told_first
from tests.synthetic.scenes import TEST, photo
from tests.unit.frames.plain import PLAIN, exposed

Array = NDArray[np.float32]
BOX = (0.3, 0.2, 0.7, 0.8)


def coloured(seed: int = 3) -> Array:
    """Red and orange lumps, linear, 300 x 450: little in it is grey."""
    rng = np.random.default_rng(seed)
    lumps = cv2.GaussianBlur(rng.normal(0, 1, (300, 450)).astype(np.float32), (0, 0), 9)
    light = 0.25 * np.exp(0.6 * lumps / lumps.std())
    return np.asarray(light[..., None] * np.array([1.6, 0.5, 0.2]), np.float32).clip(0.002, 0.8)


def test_a_warmer_light_as_bright_is_no_exposure_on_red_food() -> None:
    # on grey: 0.2126 r + 0.7152 g + 0.0722 b = 1 (Rec. 709)
    gains = np.array([1.25, 1.0, 0.65])
    gains /= float(gains @ np.asarray(LUMINANCE, float))
    before = coloured()
    plain = np.asarray(np.sqrt(before.mean(axis=2)), np.float32)
    stops, mired, _ = light_change(
        before, np.asarray(before * gains, np.float32), register(plain, plain), 450
    )
    assert stops == pytest.approx(0.0, abs=0.01)
    assert mired > 20
    brighter = light_change(before, np.asarray(before * 0.5, np.float32), register(plain, plain), 450)[0]
    assert brighter == pytest.approx(-1.0, abs=0.01)


def test_a_zoom_that_was_turned_is_said_and_not_a_camera_that_moved() -> None:
    case = first_case(TEST, 100, "zoom", width=600)
    acts = [act.code for act in told_first(case).acts if act.weight]
    assert acts[0] == "zoom changed" and "camera moved" not in acts
    # a file that says nothing of it leaves the scale to the camera
    unsaid = replace(case, after=replace(case.after, focal_length_mm=None))
    assert told_first(unsaid).first.code == "camera moved"


def test_what_was_moved_on_a_plain_table_does_not_pull_the_fit_askew() -> None:
    for seed in (203, 207):
        case = first_case(TEST, seed, "same")
        fit = register(grey(case.reference), grey(case.frame))
        # the made camera is nudged by 1.5 px of 1200 at most
        assert fit.shift_px < 0.003 * 900 and abs(fit.turn_deg) < 0.3
        assert told_first(case).first.code == "keep"


def linen(seed: int) -> Array:
    """A cloth with a fine weave and no clear edge, encoded, 400 x 600."""
    rng = np.random.default_rng(seed)
    weave = cv2.GaussianBlur(rng.normal(0, 1, (400, 600)).astype(np.float32), (0, 0), 1.2)
    return np.asarray(0.5 * (1 + 0.04 * weave / weave.std()), np.float32)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_cloth_without_edges_tells_whether_the_camera_moved(seed: int) -> None:
    rng = np.random.default_rng(seed)
    still, turn = linen(seed), float(rng.uniform(0, 180))
    fit = register(linen(9), linen(9))

    def seen(picture: Array) -> Array:
        return np.asarray(picture + rng.normal(0, 0.006, picture.shape), np.float32)

    before, swept = seen(still), blurred(still, streak(9.0, turn))
    assert streaked_around(before, seen(swept), fit, BOX, turn, 9.0) > 0.03
    assert streaked_around(before, seen(still), fit, BOX, turn, 9.0) < 0
    # another cloth tells nothing
    assert streaked_around(before, seen(linen(seed + 20)), fit, BOX, turn, 9.0) == 0


def test_a_camera_that_shook_over_a_plain_table_is_no_dish_that_moved() -> None:
    assert told_first(first_case(TEST, 102, "shake")).first.code == "shake"
    assert told_first(first_case(TEST, 102, "motion")).first.code == "moved"


def test_what_a_lamp_burnt_out_has_not_moved() -> None:
    rng = np.random.default_rng(5)
    lumps = cv2.GaussianBlur(rng.normal(0, 1, (400, 600)).astype(np.float32), (0, 0), 2.0)
    before = np.asarray(np.clip(0.72 + 0.12 * lumps / lumps.std(), 0, 1), np.float32)
    v, u = np.mgrid[0:400, 0:600].astype(np.float32)
    lamp = 1 + 0.5 * np.exp(-(((u - 300) / 60) ** 2 + ((v - 200) / 60) ** 2))
    after = np.asarray(np.clip(before * lamp, 0, 1), np.float32)
    assert part_blur(before, after, register(before, before), BOX).share == 0


def test_without_a_shot_a_dark_picture_is_asked_about_and_with_one_it_is_too_dark() -> None:
    dark = exposed(stops=-2.0)
    alone, of_a_shot = verdict_of(dark, None, AT), verdict_of(dark, Shot(name="bowl"), AT)
    assert alone.word == "good" and "looks dark" in [act.code for act in alone.acts]
    assert not any(act.code == "expose" for act in alone.acts)
    assert (of_a_shot.word, of_a_shot.first.code) == ("again", "expose")
    # a lens cap is not meant
    assert verdict_of(exposed(stops=-6.0), None, AT).first.code == "expose"
    assert not any(act.code == "looks dark" for act in verdict_of(PLAIN, None, AT).acts)


def with_a_card() -> Array:
    """A photograph's table with a white plate and a grey card on it, linear, 500 x 750."""
    table = cv2.resize(photo("coffee"), (750, 500), interpolation=cv2.INTER_AREA)
    out = np.asarray(table * np.float32(0.5), np.float32)
    cv2.circle(out, (560, 180), 110, (0.8, 0.78, 0.75), -1, cv2.LINE_AA)
    cv2.rectangle(out, (120, 280), (260, 400), (0.2, 0.195, 0.19), -1)
    return out


def test_in_a_toned_picture_no_card_is_taken_for_neutral() -> None:
    rng = np.random.default_rng(4)
    picture = frame_of(with_a_card(), rng)
    true = find_grey_card(small_linear(picture))
    assert true is not None and true.confidence >= SURE
    plain = picture @ np.array([0.3, 0.59, 0.11]) / 255
    # sepia, faded sepia, and two tones: blue shadows under warm lights
    for toned in (
        (plain * 1.02, plain * 0.98, plain * 0.93),
        (0.1 + 0.9 * plain, 0.08 + 0.88 * plain, 0.07 + 0.84 * plain),
        (plain + 0.04 * plain, plain, plain + 0.05 * (1 - plain)),
    ):
        codes = np.clip(np.stack(toned, axis=-1) * 255 + 0.5, 0, 255).astype(np.uint8)
        ok, data = cv2.imencode(".jpg", codes[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, 85])
        assert ok
        back = np.asarray(cv2.imdecode(data, cv2.IMREAD_COLOR), np.uint8)[..., ::-1]
        card = find_grey_card(small_linear(np.ascontiguousarray(back)))
        assert card is None or card.confidence < SURE


@pytest.mark.parametrize("kind", ["glow", "well", "soft edge"])
def test_a_bright_disc_is_no_ball_to_read_the_light_by(kind: str) -> None:
    v, u = np.mgrid[0:500, 0:750].astype(np.float32)
    r = np.hypot(u - 380, v - 240) / 90
    level = {"glow": np.exp(-((r / 1.1) ** 2)), "well": 1 - 0.25 * np.clip((0.75 - r) * 4, 0, 1)}.get(
        kind, r * 0 + 1
    )
    cover = np.clip((1.12 - r) / 0.24, 0, 1) if kind == "soft edge" else np.clip((1 - r) * 90 + 0.5, 0, 1)
    table = np.full((500, 750, 3), 0.08, np.float32)
    disc = np.asarray(0.7 * level[..., None] * np.array([1, 0.97, 0.9]), np.float32)
    frame = frame_of(
        np.asarray(table * (1 - cover[..., None]) + disc * cover[..., None], np.float32),
        np.random.default_rng(2),
    )
    ball = find_ball(small_linear(frame))
    assert ball is None or ball.confidence < BALL_SURE
