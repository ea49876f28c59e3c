"""The lanes of the shoot's day: every block from its minute to its minute, and nothing outside the day."""

import pytest

from plateside.drawing.shoot_day import Axis, curve_lane, key_sign, kitchen_lane, strip_lane
from tests.unit.drawing.reading import SVG, parse, path_points

NASTY = "<b>&\"'</b>"
AXIS = Axis(480, 1080, (540, 1020), tuple(range(480, 1081, 60)))
"""08:00 to 18:00, work from 09:00 to 17:00."""


def blocks(svg: str, kind: str) -> list[tuple[float, float]]:
    """Minutes from 08:00 of every block of a kind."""
    found = [e for e in parse(svg).iter(f"{SVG}rect") if e.get("class") == kind]
    return [(float(e.attrib["x"]), float(e.attrib["x"]) + float(e.attrib["width"])) for e in found]


def test_blocks_stand_at_their_minutes() -> None:
    svg = strip_lane(
        AXIS, good=[(400, 600), (900, 950), (1100, 1200)], setting=(600, 630), hero=(660, 675), words=NASTY
    )
    assert blocks(svg, "good") == [(0, 120), (420, 470)]
    assert blocks(svg, "setting") == [(120, 150)]
    assert blocks(svg, "hero") == [(180, 195)]
    assert blocks(svg, "off") == [(0, 60), (540, 600)]
    root = parse(svg)
    assert root.attrib["aria-label"] == NASTY
    assert root.attrib["viewBox"] == "0 0 600 24"


def test_the_curve_is_even_in_lux_and_holds_its_spread() -> None:
    """Top of the lane: 1.04 times the highest value's upper bound (1000 lx x 1.5)."""
    light = [(480.0, 0.0), (720.0, 1000.0), (960.0, 500.0)]
    svg = curve_lane(
        AXIS,
        light,
        low_share=0.5,
        high_share=1.5,
        good=[(700, 800)],
        sun=[(600, 620)],
        words="w",
        id_prefix="a",
    )
    root = parse(svg)
    (main,) = [e for e in root.iter(f"{SVG}path") if e.get("class") == "curve"]
    (points,) = path_points(main.attrib["d"])
    wanted = [(m - 480, 100 * (1 - lux / 1560)) for m, lux in light]
    assert sum(points, ()) == pytest.approx(sum(wanted, ()), abs=0.06)
    assert blocks(svg, "sun") == [(120, 140)]
    (clip,) = root.iter(f"{SVG}clipPath")
    assert [float(e.attrib["x"]) for e in clip] == [220]


def test_steps_at_one_time_are_below_each_other() -> None:
    svg = kitchen_lane(AXIS, [((500, 560), True), ((520, 600), False), ((560, 580), True)], NASTY)
    tops = [
        float(e.attrib["y"]) for e in parse(svg).iter(f"{SVG}rect") if e.get("class") in ("hands", "no-hands")
    ]
    assert tops[0] == tops[2] < tops[1]
    assert float(parse(svg).attrib["data-high"]) == 2 * 14 + 4


@pytest.mark.parametrize("kind", ["good", "setting", "hero", "hands", "no-hands"])
def test_every_kind_has_its_sign(kind: str) -> None:
    assert [e.get("class") for e in parse(key_sign(kind)).iter(f"{SVG}rect")] == [kind]


def test_a_day_without_light_is_a_lane_all_the_same() -> None:
    parse(curve_lane(AXIS, [], low_share=1, high_share=1, good=[], sun=[], words="", id_prefix="a"))
    parse(kitchen_lane(AXIS, [], ""))
    parse(strip_lane(AXIS, good=[], setting=None, hero=None, words=""))
