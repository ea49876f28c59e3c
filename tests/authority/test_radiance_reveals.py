"""Deep reveals, narrow windows, eaves, and sun on them, against Radiance: they take part in the exchange of light.

References: tests/authority/data/radiance_reveals.json, made by tests/radiance/reveals.py; its noise stands beside
each value (standard error up to 0.9 %). Aims as for the rooms: mean under 1.5 %, worst under 6 %; by a rule of even
luminance, unlit by the sun, the mean was 7 % and the worst 23 %.
"""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from plateside.light.outworks import outworks_of, sun_on
from plateside.light.scene import build_scene
from tests.radiance.reveals import cases
from tests.radiance.rooms import objects
from tests.synthetic.against_radiance import FACES, deviations

STORED: dict[str, Any] = json.loads((Path(__file__).parent / "data" / "radiance_reveals.json").read_text())
MEAN, WORST = 0.015, 0.06


def test_the_table_is_whole() -> None:
    assert json.loads(json.dumps(cases())) == [one["case"] for one in STORED["cases"]]
    assert max(value for one in STORED["cases"] for value in one["reference"]["noise"].values()) < 0.015


def test_reveals_and_overhangs_are_lit() -> None:
    off = np.abs([deviations(one) for one in STORED["cases"]])
    assert off.shape == (8, len(FACES))
    assert off.mean() < MEAN
    assert off.max() < WORST


def test_the_patches_before_the_glass_keep_the_energy() -> None:
    """Under a world of even luminance nothing outside can be brighter than it, and a white surface is as bright as it
    (what the dark pane, the wall and the plate take away apart); the sun lights each patch by no more than itself."""
    made = objects(STORED["cases"][0]["case"])
    window = replace(made.studio.windows[0], overhang_depth_m=0.5, overhang_above_m=0.2)
    scene = build_scene(replace(made.studio, windows=(window,)), made.spot)
    outworks = outworks_of(scene)
    assert outworks is not None
    even = outworks.node_part.sum(axis=1) + outworks.object_part.sum(axis=1)
    assert np.all(even > 0.0)
    assert np.all(even <= scene.surface_reflectance.max())
    suns = np.array([[0.0, -0.6, 0.8], [0.0, 0.6, 0.8], [0.0, -1.0, -0.1]])
    lux = sun_on(scene, outworks, suns)  # the window looks along +y here: its wall is the front
    assert lux[1].max() > 0.5
    assert lux.max() <= 1.0
    assert not lux[0].any()  # from behind the house
    assert not lux[2].any()  # set


def test_without_reveal_and_overhang_nothing_stands_before_the_glass() -> None:
    made = objects(STORED["cases"][0]["case"])
    plain = replace(made.studio.windows[0], reveal_depth_m=0.0)
    assert outworks_of(build_scene(replace(made.studio, windows=(plain,)), made.spot)) is None
    assert outworks_of(build_scene(made.studio, made.spot)) is not None
