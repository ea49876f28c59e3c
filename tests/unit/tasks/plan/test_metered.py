"""The light that a camera's meter reads off a card: ISO 2720, E = C N^2 / (t S), C = 250 for a flat receptor."""

import pytest

from plateside.model.errors import InputError
from plateside.tasks.plan.metered import metered_lx


@pytest.mark.parametrize(
    ("f_number", "shutter", "iso", "lux"),
    [
        ("8", "1/60", "100", 250 * 64 * 60 / 100),
        ("f/2,8", "1/125 s", "ISO 400", 250 * 7.84 * 125 / 400),
        ("5.6", "0.5", "100", 250 * 31.36 * 2 / 100),
        ("16", "2 s", "200", 250 * 256 / 2 / 200),
    ],
)
def test_off_a_grey_card(f_number: str, shutter: str, iso: str, lux: float) -> None:
    found = metered_lx({"f_number": f_number, "shutter": shutter, "iso": iso, "off": "grey card"})
    assert found == pytest.approx(lux, rel=0.005)  # told to three figures


def test_white_paper_needs_less_light_for_the_same_reading() -> None:
    by = {"f_number": "8", "shutter": "1/60", "iso": "100"}
    card, paper = (metered_lx({**by, "off": off}) for off in ("grey card", "white paper"))
    # plain paper gives back about 0.80 of the light (common practice, no source), the card 0.18
    assert paper / card == pytest.approx(0.18 / 0.80, rel=0.01)


@pytest.mark.parametrize(
    "wrong",
    [
        {"f_number": ""}, {"f_number": "wide"}, {"f_number": "800"}, {"shutter": "60"}, {"shutter": "1/0"},
        {"shutter": "soon"}, {"iso": "0"}, {"iso": "9" * 5000}, {"off": "the wall"}, {"f_number": None},
    ],
)  # fmt: skip
def test_what_is_no_setting_is_asked_again(wrong: dict[str, object]) -> None:
    with pytest.raises(InputError):
        metered_lx({"f_number": "8", "shutter": "1/60", "iso": "100", "off": "grey card", **wrong})


@pytest.mark.parametrize("by", [None, "f/8", [], {}])
def test_what_is_no_reading_at_all(by: object) -> None:
    with pytest.raises(InputError):
        metered_lx(by)
