"""Two frames of a shot: what differs between them is told, and that nothing says which is right."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plateside.frames.apart import Apart, apart
from plateside.frames.choose import Candidate, choose
from plateside.frames.odd import small
from plateside.ground.srgb import to_display, to_linear
from tests.photographs import photograph

BOX = (0.25, 0.2, 0.75, 0.8)


def _frame(seed: int) -> NDArray[np.uint8]:
    noise = np.random.default_rng(seed).normal(0, 2, (400, 600, 3))
    return np.clip(photograph("coffee") + noise, 0, 255).astype(np.uint8)


def _apart(second: NDArray[np.uint8]) -> Apart:
    return apart([small(_frame(0)), small(second)], BOX)


def test_two_of_one_scene_are_alike() -> None:
    assert _apart(_frame(1)).kinds == ()
    assert _apart(_frame(0)) == Apart()


def test_each_kind_of_difference_is_told_by_itself() -> None:
    thing = _frame(1)
    thing[150:230, 200:320] = (250, 240, 40)
    assert _apart(thing).kinds == ("things",)
    linear = to_linear(_frame(1) / 255.0)
    darker = _apart(np.asarray(to_display(linear * 2.0**-0.5) * 255, np.uint8))
    assert darker.kinds == ("light",)
    assert abs(darker.stops + 0.5) < 0.08
    warm = np.asarray(to_display(np.minimum(linear * [2.0**0.15, 1, 2.0**-0.15], 1)) * 255, np.uint8)
    assert _apart(warm).kinds == ("colour",)
    assert _apart(warm).cast_mired > 4
    turned = cv2.warpAffine(
        _frame(1), cv2.getRotationMatrix2D((300, 200), 2.0, 1.0), (600, 400), borderMode=cv2.BORDER_REFLECT
    )
    assert "turn" in _apart(np.asarray(turned, np.uint8)).kinds
    assert _apart(np.ascontiguousarray(_frame(1)[:, ::-1])).kinds == ("framing",)


def test_the_choice_between_two_that_differ_is_yours_and_says_in_what() -> None:
    told = Apart(odd_share=0.02, stops=0.4)
    one = Candidate("a", "1.jpg", "good", exposure_stops=0.0, apart=told.reversed())
    two = Candidate("b", "2.jpg", "good", exposure_stops=0.0, apart=told)
    choice = choose("s", [one, two])
    assert choice.differ == ("things", "light")
    assert choice.remark is not None and set(choice.remark.names) == {"1.jpg", "2.jpg"}
    # what you have said is not asked again
    assert choose("s", [one, two], her_select="a").differ == ()
    # and what is plainly worse is no question
    worse = Candidate("b", "2.jpg", "again", exposure_stops=0.0, apart=told)
    assert choose("s", [one, worse]).differ == ()
