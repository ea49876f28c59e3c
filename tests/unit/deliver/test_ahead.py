"""What a delivery will lack, and what mends it: pixel arithmetic on crops whose food is put where it is known."""

from dataclasses import replace

import numpy as np
import pytest

from plateside.deliver.ahead import Ahead, at_full_size, crops_ahead, lacks_ahead
from plateside.deliver.rectangles import PixelRectangle
from plateside.deliver.subject import Subject
from plateside.model.shoot import Channel, Shot

SHOT = Shot(name="bowl")
CAMERA = (6000, 4000)


def subject(wide: int, high: int, core: tuple[float, float, float, float] = (0.4, 0.4, 0.2, 0.2)) -> Subject:
    x, y, w, h = core
    box = PixelRectangle(round(x * wide), round(y * high), round(w * wide), round(h * high))
    return Subject(box, box, wide, high, np.zeros((40, 60), np.float32))


def lacks(
    size: tuple[int, int], *channels: Channel, core: tuple[float, float, float, float] = (0.4, 0.4, 0.2, 0.2),
    shot: Shot = SHOT, moved: dict | None = None, camera: tuple[int, int] | None = CAMERA,
) -> tuple[Ahead, ...]:  # fmt: skip
    crops = crops_ahead(subject(*size, core), channels, moved or {})
    return lacks_ahead(crops, channels, size, camera, shot)


def channel(wide: int, high: int, **more: str) -> Channel:
    return Channel(name="print", width_px=wide, height_px=high, **more)  # type: ignore[arg-type]


def test_nothing_is_said_of_a_frame_that_has_all() -> None:
    assert lacks((6000, 4000), channel(3000, 2000), channel(1080, 1080)) == ()


@pytest.mark.parametrize(
    ("size", "asked", "mend", "got"),
    [
        # 2:3 of a landscape frame is 2667 x 4000 [px]; of the same frame portrait, 4000 x 6000
        ((6000, 4000), (3000, 4500), "portrait", 4000),
        ((4000, 6000), (4500, 3000), "landscape", 4000),
        # the camera has 6000 x 4000, its files here have half of it
        ((3000, 2000), (4500, 3000), "larger files", 3000),
        ((6000, 4000), (9000, 6000), "other camera", 6000),
    ],
)
def test_too_few_pixels_are_told_with_what_gives_more(
    size: tuple[int, int], asked: tuple[int, int], mend: str, got: int
) -> None:
    (found,) = lacks(size, channel(*asked))
    assert (found.code, found.mend) == ("too few pixels", mend)
    assert found.got == pytest.approx(got, abs=2)
    assert found.asked == max(asked)
    assert lacks(size, channel(*asked), shot=replace(SHOT, deliberate=("fewer pixels",))) == ()


def test_larger_files_are_not_asked_of_a_camera_that_is_not_known() -> None:
    (found,) = lacks((3000, 2000), channel(4500, 3000), camera=None)
    assert found.mend == "other camera"


def test_your_own_small_crop_is_mended_by_going_closer() -> None:
    moved = {"print": (0.3, 0.3, 0.4, 0.4)}
    (found,) = lacks((6000, 4000), channel(3000, 2000), moved=moved)
    assert (found.code, found.mend, found.got, found.asked) == ("too few pixels", "own crop", 2400, 3000)


def test_food_outside_crops_of_one_mend_is_said_once() -> None:
    # a dish along the whole frame does not go into portrait crops
    tall = Channel(name="tall", width_px=1000, height_px=1500)
    vertical = Channel(name="vertical", width_px=1080, height_px=1920)
    found = [f for f in lacks((6000, 4000), tall, vertical, core=(0.02, 0.4, 0.96, 0.2)) if f.code == "cut"]
    assert [(f.channels, f.mend) for f in found] == [(("tall", "vertical"), "portrait")]


def test_food_that_runs_out_comes_first() -> None:
    crops = crops_ahead(replace(subject(6000, 4000), runs_out=("left",)), [channel(9000, 6000)], {})
    found = lacks_ahead(crops, [channel(9000, 6000)], (6000, 4000), CAMERA, SHOT)
    assert [f.code for f in found] == ["runs out", "too few pixels"]
    assert found[0].names == ("left",)


def test_a_subject_found_small_is_told_in_the_frames_own_pixels() -> None:
    found = at_full_size(subject(600, 400), 6000, 4000)
    assert found.core == PixelRectangle(2400, 1600, 1200, 800)
    assert (found.width_px, found.height_px) == (6000, 4000)
