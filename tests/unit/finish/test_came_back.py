"""A retouched file is known again by its name and by its mark; and told from another picture by what it shows."""

import cv2
import numpy as np
import pytest

from plateside.finish.came_back import is_made_from, is_of_frame, mark_of, marks_in, picture_named
from plateside.finish.extra import LONGEST_NAME, extra_name
from plateside.finish.same_picture import LOOKED_AT_PX, same_picture, same_shape
from plateside.ground.srgb import to_display
from tests.photographs import photograph

NAMES = ("cup", "cup-2", "three-bowls", "near")


@pytest.mark.parametrize(
    ("stem", "name"),
    [
        ("cup", "cup"), ("Cup", "cup"), ("CUP-Edit", "cup"), ("cup_edit", "cup"), ("cup copy", "cup"),
        ("cup copy 2", "cup"), ("cup (1)", "cup"), ("Copy of cup", "cup"), ("cup-3", "cup"), ("cup-2", "cup-2"),
        ("cup-2-Edit", "cup-2"), ("cup-2 copy", "cup-2"), ("cup-Edit-2", "cup"), ("cup.v3.final", "cup"),
        ("three bowls retouched", "three-bowls"), ("Three_Bowls-Edit-Edit", "three-bowls"), ("cupola", ""),
        ("teacup", ""), ("", ""), ("edit", ""), ("2", ""), ("IMG_1234", ""), ("near-by", ""),
    ],
)  # fmt: skip
def test_a_name_with_what_programs_add_to_it(stem: str, name: str) -> None:
    assert picture_named(stem, NAMES) == name


def test_a_mark_is_found_in_whatever_form_the_packet_has_it() -> None:
    mark = mark_of("0123456789abcdef" * 2, "fedcba9876543210" * 2)
    as_attribute = f'<rdf:Description xmpMM:OriginalDocumentID="{mark}"/>'.encode()
    as_element = f"<xmpMM:OriginalDocumentID>{mark}</xmpMM:OriginalDocumentID>".encode()
    for packet in (as_attribute, as_element, as_attribute + as_element):
        (found,) = marks_in(packet)
        assert is_of_frame(found, "0123456789abcdef" * 2)
        assert not is_of_frame(found, "1" * 32)
        assert is_made_from(found.made_from, "fedcba9876543210" * 2)
    assert marks_in(b"plateside:picture:short") == ()
    assert not is_made_from("", "")


def _grey(picture: np.ndarray) -> np.ndarray:
    scale = LOOKED_AT_PX / max(picture.shape[:2])
    small = cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    return np.asarray(small.astype(np.float32).mean(axis=2) / 255, np.float32)


@pytest.mark.parametrize("name", ["coffee", "chelsea", "rocket"])
def test_tones_colour_and_a_new_backdrop_are_retouching(name: str) -> None:
    picture = photograph(name)
    height, width = picture.shape[:2]
    other = cv2.resize(photograph("immunohistochemistry"), (width, height))
    grey = np.repeat(picture.mean(axis=2, keepdims=True), 3, axis=2)
    bright = 255 * to_display(np.clip((picture / 255) ** 2.2 * 2, 0, 1))
    behind = picture.copy()
    behind[: height // 2] = other[: height // 2]
    healed = picture.copy()
    healed[height // 3 : height // 2, width // 3 : width // 2] = picture[height // 3, width // 3]
    softer = cv2.GaussianBlur(picture, (0, 0), width / 500)
    for mine in (picture, grey, bright, behind, healed, softer):
        assert same_picture(_grey(picture), _grey(np.asarray(mine, np.float32)))
    # an export of half the size is the same picture
    assert same_picture(_grey(picture), _grey(cv2.resize(picture, (width // 2, height // 2))))


@pytest.mark.parametrize("name", ["coffee", "chelsea", "rocket"])
def test_another_frame_a_part_a_turn_and_a_move_are_none(name: str) -> None:
    picture = photograph(name)
    height, width = picture.shape[:2]
    other = cv2.resize(photograph("coffee" if name != "coffee" else "chelsea"), (width, height))
    part = cv2.resize(picture[height // 6 : -height // 6, width // 6 : -width // 6], (width, height))
    turned, mirrored = picture[::-1, ::-1], picture[:, ::-1]
    moved = np.roll(picture, width // 40, axis=1)
    for mine in (other, part, turned, mirrored, moved):
        assert not same_picture(_grey(picture), _grey(mine))


def test_shapes() -> None:
    assert same_shape((6000, 4000), (3000, 2000))
    assert same_shape((6000, 4000), (1001, 667))
    assert not same_shape((6000, 4000), (4000, 6000))
    assert not same_shape((6000, 4000), (6000, 4200))


def test_the_name_of_an_extra_picture_is_one_that_a_shot_may_have() -> None:
    assert extra_name("cup", "IMG 1 é.jpg", ()) == "cup-img-1-e"
    assert extra_name("", "day 2/DSC_0001.NEF", ("frame-dsc-0001",)) == "frame-dsc-0001-2"
    assert len(extra_name("c" * 60, "x" * 200 + ".jpg", ())) <= LONGEST_NAME
    assert extra_name("cup", "é.jpg", ("cup-e",)) == "cup-e-2"
