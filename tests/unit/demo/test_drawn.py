"""The demo's scenes as they come with it: packed and read back, fit for the planned set-ups, sharp enough."""

import dataclasses
import importlib.resources
from pathlib import Path

import numpy as np
import pytest

from plateside.camera.setup import SetUp
from plateside.demo.data import copy_demo
from plateside.demo.drawn import pack_scene, packed_scene, read_scene
from plateside.picture.scene import LinearScene
from plateside.tasks.plan.day import plan_shoot


@pytest.fixture(scope="module")
def set_ups(tmp_path_factory: pytest.TempPathFactory) -> dict[str, SetUp]:
    root = tmp_path_factory.mktemp("planned")
    copy_demo(root)
    return {s.shot: s for s in plan_shoot(root, out=root / "plan").set_ups}


def test_a_scene_is_read_back_as_it_was_packed(tmp_path: Path, set_ups: dict[str, SetUp]) -> None:
    y, x = np.mgrid[0:64, 0:96].astype(np.float32)
    light = 40.0 + 300.0 * (x / 96)[..., None] * np.array([1.0, 0.8, 0.6]) + 20.0 * (y / 64)[..., None]
    things = ((x - 48) ** 2 + (y - 32) ** 2 < 400).astype(np.int16)
    scene = LinearScene(
        rgb=light.astype(np.float32), depth_mm=(1000.0 / (1.0 + 0.004 * y)).astype(np.float32), identity=things,
        names=("room", "bowl"), white_rgb=(300.0, 310.0, 320.0), mm_per_px=4.7, focus_distance_mm=900.0,
    )  # fmt: skip
    pack_scene(tmp_path, "one", scene, next(iter(set_ups.values())), 4)
    again = read_scene(tmp_path, "one")
    assert (again.identity == things).all()
    assert again.names == scene.names
    # half a step of 12 bits is 0.2 % of a mid grey; what the encoder smooths away is under the noise of any frame
    assert np.abs(again.rgb / scene.rgb - 1.0).mean() < 0.01
    # 11 bits of the inverse distance, which runs over a quarter of itself: half a step is 0.25 / 2047 / 2 of it
    assert np.abs(again.depth_mm / scene.depth_mm - 1.0).max() < 0.25 / 2047 / 2 * 1.01


def test_scenes_that_come_with_the_demo_are_of_its_set_ups_and_of_no_others(
    set_ups: dict[str, SetUp],
) -> None:
    there = {p.stem for p in Path(str(importlib.resources.files("plateside.demo") / "drawn")).glob("*.json")}
    assert there == set(set_ups)
    for name in there:
        set_up = set_ups[name]
        scene = packed_scene(name, set_up, (2400, 1600))
        assert scene is not None, name
        assert scene.size_px == (2400, 1600)
        assert scene.depth_mm.min() > 0
        # the dish is where the camera is focused: a tenth of its distance, or less, from the nearest thing in it
        assert "bowl" in scene.names or "bowl 0" in scene.names
        assert np.abs(scene.depth_mm - scene.focus_distance_mm).min() < 1.0
        nearer = dataclasses.replace(set_up, focus_lens_distance_m=set_up.focus_lens_distance_m * 0.9)
        assert packed_scene(name, nearer, (2400, 1600)) is None
        assert packed_scene(name, set_up, (1600, 2400)) is None
