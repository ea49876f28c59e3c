"""Crops and image sizes by arithmetic, against published guidance for recipe pictures, and by their laws."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plateside.deliver.crops import Crop, TooSmallError, delivered_size, plan_crop, text_third
from plateside.deliver.rectangles import PixelRectangle, largest_size, pixels_of
from plateside.deliver.subject import Subject
from plateside.model.shoot import Channel
from plateside.paper.structured import LEAST_PIXELS


@pytest.mark.parametrize(
    ("shape", "size"),
    [((16, 9), (4000, 2250)), ((4, 3), (4000, 3000)), ((1, 1), (4000, 4000)), ((4, 5), (4000, 5000)),
     ((9, 16), (3375, 6000))],
)  # fmt: skip
def test_largest_crop_of_a_portrait_frame(shape: tuple[int, int], size: tuple[int, int]) -> None:
    """Arithmetic: the largest 16:9 of 4000 x 6000 is 4000 x 4000 * 9/16, and so on."""
    assert largest_size(4000, 6000, *shape) == size


@pytest.mark.parametrize(
    ("size", "passes"),
    [((298, 167), False), ((258, 193), False), ((223, 223), False), ((299, 169), True), ((298, 168), True),
     ((259, 195), True), ((258, 194), True), ((224, 224), True)],
)  # fmt: skip
def test_published_minimum_sizes_fail_the_published_minimum_area(size: tuple[int, int], passes: bool) -> None:
    """The 'minimum' sizes in a published table (kanehudson.com.au) are under the 50,000 pixels asked for."""
    assert (size[0] * size[1] >= LEAST_PIXELS) is passes


def subject(width: int, height: int, box: PixelRectangle) -> Subject:
    """A subject with detail only inside its box."""
    busy = np.zeros((60, max(round(60 * width / height), 1)), np.float32)
    rows, columns = busy.shape
    busy[
        box.y * rows // height : box.bottom * rows // height,
        box.x * columns // width : box.right * columns // width,
    ] = 1.0
    return Subject(box, box, width, height, busy)


@settings(max_examples=40, deadline=None)
@given(
    frame=st.sampled_from([(6000, 4000), (4000, 6000), (5000, 5000), (2400, 1600)]),
    shape=st.sampled_from([(1600, 900), (1200, 1200), (1080, 1350), (1080, 1920), (400, 300)]),
    place=st.tuples(st.floats(0, 0.7), st.floats(0, 0.7)),
    share=st.tuples(st.floats(0.05, 0.3), st.floats(0.05, 0.3)),
    text=st.sampled_from(["none", "top", "bottom", "left", "right"]),
)
def test_laws_of_a_crop(
    frame: tuple[int, int],
    shape: tuple[int, int],
    place: tuple[float, float],
    share: tuple[float, float],
    text: str,
) -> None:
    width, height = frame
    food = pixels_of((*place, *share), width, height)
    channel = Channel(name="c", width_px=shape[0], height_px=shape[1], text_space=text)
    crop = plan_crop(subject(width, height, food), channel)
    # inside the picture, of the channel's shape to a pixel, never enlarged
    assert PixelRectangle(0, 0, width, height).holds(crop.box)
    assert (
        abs(crop.box.width - crop.box.height * shape[0] / shape[1])
        <= max(1, shape[0] / shape[1]) * 0.51 + 0.5
    )
    assert crop.width_px <= crop.box.width
    assert crop.height_px <= crop.box.height
    assert (crop.width_px, crop.height_px) == shape or "too few pixels" in {r.code for r in crop.remarks}
    # food that fits into the largest crop of the shape is whole
    wide, high = largest_size(width, height, *shape)
    if food.width <= wide - 2 and food.height <= high - 2:
        assert crop.subject_whole
    assert crop.subject_whole == crop.box.holds(food)


@pytest.mark.parametrize("side", ["top", "bottom", "left", "right"])
def test_text_stands_where_the_food_is_not(side: str) -> None:
    food = PixelRectangle(2500, 1600, 1000, 800)
    channel = Channel(name="c", width_px=1500, height_px=1000, text_space=side)
    crop = plan_crop(subject(6000, 4000, food), channel)
    assert crop.subject_whole
    assert crop.text_space_free is True
    assert text_third(crop.box, side).overlap(food) == 0
    assert crop.remarks == ()


def test_food_that_fills_the_frame_leaves_no_room_for_text_and_that_is_said() -> None:
    crop = plan_crop(
        subject(6000, 4000, PixelRectangle(300, 200, 5400, 3600)),
        Channel(name="c", width_px=1080, height_px=1920, text_space="top"),
    )
    assert not crop.subject_whole
    assert crop.text_space_free is False
    assert {(r.code, r.what) for r in crop.remarks} == {("cut", "portrait"), ("text third taken", "top")}


def test_her_own_crop_wins_and_is_drawn_to_the_channel_s_shape() -> None:
    food = PixelRectangle(2500, 1600, 1000, 800)
    square = Channel(name="c", width_px=800, height_px=800)
    crop = plan_crop(subject(6000, 4000, food), square, moved=(0.0, 0.0, 0.3, 0.4))
    assert crop.moved_by_her
    assert (crop.box.x, crop.box.y, crop.box.width, crop.box.height) == (100, 0, 1600, 1600)
    assert not crop.subject_whole
    assert ("cut", "as placed") in {(r.code, r.what) for r in crop.remarks}


def test_too_few_pixels_are_said_with_both_numbers() -> None:
    crop = plan_crop(subject(600, 400, PixelRectangle(200, 100, 200, 200)), Channel(name="c"))
    assert (crop.width_px, crop.height_px) == (600, 338)
    (remark,) = crop.remarks
    assert (remark.code, remark.asked, remark.got) == ("too few pixels", (1600, 900), (600, 338, 600, 338))


def test_a_stamp_is_no_picture() -> None:
    with pytest.raises(TooSmallError):
        plan_crop(
            Subject(
                PixelRectangle(0, 0, 8, 8), PixelRectangle(0, 0, 8, 8), 8, 8, np.zeros((8, 8), np.float32)
            ),
            Channel(name="c"),
        )


def test_delivered_size_is_the_channel_s_own_when_there_are_pixels_enough() -> None:
    channel = Channel(name="c", width_px=1600, height_px=900)
    assert delivered_size(PixelRectangle(0, 0, 6000, 3375), channel) == (1600, 900)
    assert delivered_size(PixelRectangle(0, 0, 1599, 900), channel) == (1599, 899)


def test_crop_is_a_plain_value() -> None:
    crop = plan_crop(subject(600, 400, PixelRectangle(200, 100, 200, 200)), Channel(name="c"))
    assert isinstance(crop, Crop)
    assert crop == plan_crop(subject(600, 400, PixelRectangle(200, 100, 200, 200)), Channel(name="c"))
