"""The dish of a made scene is its vessel with all that lies in it."""

import numpy as np
import pytest

from plateside.demo.frames import with_whole_dish
from plateside.picture.scene import LinearScene


@pytest.mark.parametrize("lined", [True, False])
def test_the_whole_dish_is_one_thing_whatever_lies_in_the_middle(lined: bool) -> None:
    names = ("room", "table", "linen", "bowl", "soup", "crumbs", "spoon")
    y, x = np.mgrid[:200, :300]
    identity = np.ones((200, 300), np.int16)
    if lined:
        identity[20:190, 60:250] = 2
    identity[np.hypot(x - 150, y - 100) < 60] = 3
    identity[np.hypot(x - 150, y - 100) < 50] = 4
    identity[np.hypot(x - 150, y - 100) < 4] = 5
    identity[90:96, 215:280] = 6
    scene = LinearScene(
        rgb=np.zeros((200, 300, 3), np.float32), depth_mm=np.ones((200, 300), np.float32), identity=identity,
        names=names, white_rgb=(1.0, 1.0, 1.0), mm_per_px=2.0, focus_distance_mm=800.0,
    )  # fmt: skip
    # a bowl of 240 mm at 2 mm a pixel: a disc 120 px wide
    whole = with_whole_dish(scene, 240.0)
    moved = whole.identity == whole.names.index("dish")
    assert np.array_equal(moved, np.hypot(x - 150, y - 100) < 60)
    assert np.array_equal(whole.identity[~moved], identity[~moved])
