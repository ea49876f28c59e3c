"""Layers, changes, lamps, bursts, assignment on scenes whose truth we made."""

from dataclasses import replace
from datetime import datetime, timedelta

import cv2
import numpy as np
import pytest

from plateside.frames.assign import guess_shots
from plateside.frames.bursts import best_of, bursts
from plateside.frames.changes import changes
from plateside.frames.edges import grey
from plateside.frames.exposure import small_linear
from plateside.frames.facts import facts_from_json
from plateside.frames.layers import PaletteColour, harmony_of, layer_facts, layer_facts_from_json
from plateside.frames.register import register
from plateside.frames.second_light import settled
from plateside.model.frame import Frame, Settings
from plateside.model.shoot import Shot
from plateside.tasks.report import as_json
from tests.synthetic.faults import composed, frame_of
from tests.synthetic.scenes import TEST, flat, make_scene
from tests.unit.frames.facts import BOX, facts


def picture_of(linear: np.ndarray, **kwargs: float) -> np.ndarray:
    return frame_of(np.asarray(linear, np.float32), np.random.default_rng(0), noise=0.003, **kwargs)  # type: ignore[arg-type]


def test_what_was_added_is_found() -> None:
    scene = make_scene(TEST, 21, 900, 600)
    added = replace(scene.props[0], x=150.0, y=120.0)
    before = composed(scene, None, None)
    after = composed(replace(scene, props=(*scene.props, added)), None, None)
    truth = np.abs(before - after).max(axis=2) > 0.01
    # a third of a stop darker as well, which is no change of the scene
    a, b = picture_of(before), picture_of(after, stops=-1 / 3)
    found = changes(small_linear(a), small_linear(b), register(grey(a), grey(b)), 900)
    small = cv2.resize(truth.astype(np.float32), found.mask.shape[::-1], interpolation=cv2.INTER_AREA) > 0.5
    iou = (found.mask & small).sum() / (found.mask | small).sum()
    assert iou > 0.6
    assert len(found.boxes) == 1
    (part,) = found.parts
    assert part.kind == "added"
    # the outline fills the truth's place in the later frame as well as the mask does
    filled = np.zeros(small.shape, np.uint8)
    scale = np.array(small.shape[::-1])
    cv2.fillPoly(filled, [np.round(np.array(part.outline) * scale).astype(np.int32)], 1)
    assert ((filled > 0) & small).sum() / ((filled > 0) | small).sum() > 0.6
    back = changes(small_linear(b), small_linear(a), register(grey(b), grey(a)), 900)
    assert [p.kind for p in back.parts] == ["taken away"]


def test_nothing_changed_but_light_and_camera() -> None:
    scene = make_scene(TEST, 22, 900, 600)
    linear = composed(scene, None, None)
    light = (2.0 ** np.linspace(-0.3, 0.3, 900, dtype=np.float32))[None, :, None]
    nudged = cv2.warpAffine(linear * light, np.array([[1, 0, 1.6], [0, 1, -1.2]], np.float32), (900, 600))
    a, b = picture_of(linear), picture_of(nudged, stops=-0.4)
    found = changes(small_linear(a), small_linear(b), register(grey(a), grey(b)), 900)
    assert found.share < 0.01


@pytest.mark.parametrize(("share", "on"), [(0.0, False), (0.3, True), (0.5, True)])
def test_lamp_off_one_frame_settles_it(share: float, on: bool) -> None:
    scene = make_scene(TEST, 23, 900, 600)
    off = flat(scene) * np.float32(0.5)
    v, u = np.mgrid[0:600, 0:900]
    spot = np.exp(-(((u - 600) / 250) ** 2 + ((v - 250) / 200) ** 2)).astype(np.float32)[..., None]
    # 2700 K against D65: linear sRGB of a Planckian radiator, from memory, about 1.7 : 0.9 : 0.25 at equal luminance
    lamp = spot * np.array([1.7, 0.9, 0.25], np.float32) * (share / max(1 - share, 0.1))
    a, b = picture_of(off), picture_of(off * (1 + lamp), stops=-0.15)
    got = settled(small_linear(b), small_linear(a), register(grey(a), grey(b)), 900)
    assert got.lamp is on
    if on:
        assert got.warmer_mired > 60
        assert abs(got.at[0] - 2 / 3) < 0.2


def test_tone_between_hero_and_surface() -> None:
    # CIE 1976: 18 % grey is L* 49.5; 80 % is L* 91.7
    linear = np.full((500, 750, 3), 0.18, np.float32)
    cv2.ellipse(linear, (375, 250), (150, 125), 0, 0, 360, (0.8, 0.8, 0.8), -1)
    shown = picture_of(cv2.resize(linear, (1500, 1000), interpolation=cv2.INTER_NEAREST))
    facts = layer_facts(shown, linear, BOX)
    assert facts.hero_lightness == pytest.approx(91.7, abs=0.3)
    assert facts.surface_lightness == pytest.approx(49.5, abs=0.3)
    assert facts.empty_share > 0.9
    assert facts.loudest_elsewhere < 1
    assert facts.harmony == "nearly grey"


def test_a_loud_prop_is_named() -> None:
    linear = np.full((500, 750, 3), 0.3, np.float32)
    cv2.ellipse(linear, (375, 250), (150, 125), 0, 0, 360, (0.33, 0.33, 0.33), -1)
    for x in range(600, 740, 8):
        cv2.line(linear, (x, 20), (x, 120), (0.9, 0.05, 0.05), 3)
    shown = picture_of(cv2.resize(linear, (1500, 1000), interpolation=cv2.INTER_LINEAR))
    facts = layer_facts(shown, linear, BOX)
    assert facts.loudest_elsewhere > 1
    assert facts.loudest_at[0] > 0.75 and facts.loudest_at[1] < 0.3
    assert facts.hero_loses
    assert facts.empty_third in ("left", "bottom")


def test_layer_facts_go_through_json_unchanged() -> None:
    linear = np.random.default_rng(3).uniform(0.1, 0.6, (100, 150, 3)).astype(np.float32)
    facts = layer_facts(picture_of(linear), linear, BOX)
    assert layer_facts_from_json(as_json(facts)) == facts


def test_weight_and_text_are_told_against_the_hero() -> None:
    linear = np.full((500, 750, 3), 0.3, np.float32)
    for x in range(20, 160, 8):
        cv2.line(linear, (x, 150), (x, 350), (0.6, 0.6, 0.6), 3)
    facts = layer_facts(picture_of(linear), linear, BOX)
    assert facts.balance[0] < facts.hero_at[0]
    assert facts.calm[2] < facts.calm[3] == 1.0


@pytest.mark.parametrize(
    ("hues", "word"),
    [((20, 50), "neighbouring"), ((30, 210), "opposite"), ((0, 90), "mixed"), ((10,), "of one hue")],
)
def test_harmony_by_the_circle(hues: tuple[float, ...], word: str) -> None:
    assert harmony_of(tuple(PaletteColour(50, 40, h, 0.3) for h in hues)) == word


def frame(name: str, at: datetime, **settings: object) -> Frame:
    return Frame(name, name, 6000, 4000, False, Settings(taken_at=at, **settings))  # type: ignore[arg-type]


NOON = datetime(2027, 7, 15, 12)


def test_bursts_by_time() -> None:
    taken = [
        frame(f"{n}.jpg", NOON + timedelta(seconds=s), exposure_s=0.01)
        for n, s in enumerate((0, 1, 2, 60, 90, 91))
    ]
    assert [b.frames for b in bursts(taken)] == [("0.jpg", "1.jpg", "2.jpg"), ("4.jpg", "5.jpg")]
    changed = [frame("a", NOON, f_number=4.0), frame("b", NOON + timedelta(seconds=1), f_number=8.0)]
    assert bursts(changed) == ()


def test_the_best_of_a_burst() -> None:
    best = best_of([("a", facts(1.4)), ("b", facts(0.8)), ("c", facts(0.7, lost=0.2)), ("d", facts(None))])
    assert best is not None
    assert best.frame == "b"
    assert best.others == ("a", "c")
    # the one that lost its highlights is no ruler; 0.8 px over 1.4 px is 57 %
    assert best.why is not None and (best.why.code, best.why.on) == ("sharpest", "the hero")
    assert best.why.low_share == best.why.high_share == pytest.approx(0.8 / 1.4, abs=0.005)
    assert best_of([("d", facts(None))]) is None


def test_facts_go_through_json_unchanged() -> None:
    one = facts(0.9)
    assert facts_from_json(as_json(one)) == one


SHOTS = (
    Shot(name="flat", angle="overhead", from_time="12:00", to_time="12:30"),
    Shot(name="tall", orientation="portrait", from_time="12:30", to_time="13:00"),
    Shot(name="pour", moves="silk pour", from_time="13:00", to_time="13:30"),
)


def test_shots_are_guessed_by_time_shape_and_shutter() -> None:
    taken = [
        frame("a", NOON + timedelta(minutes=5), exposure_s=0.3),
        frame("b", NOON + timedelta(minutes=9), exposure_s=0.3),
        replace(frame("c", NOON + timedelta(minutes=40), exposure_s=0.3), width_px=4000, height_px=6000),
        frame("d", NOON + timedelta(minutes=70), exposure_s=1 / 60),
    ]
    assert guess_shots(taken, SHOTS) == ["flat", "flat", "tall", "pour"]


def test_a_name_that_says_its_shot_wins() -> None:
    assert guess_shots([frame("pour-0001.jpg", NOON), frame("x.jpg", NOON)], SHOTS)[0] == "pour"
    assert guess_shots([], SHOTS) == []
    assert guess_shots([frame("a", NOON)], ()) == [""]
