"""Plan and section: a metre of room is the right length of paper, and right stays right."""

import math
import random
import re

import numpy as np
import pytest

from plateside.drawing.labels import Box, Keeper, text_box
from plateside.drawing.marks import (
    BoardMark,
    CameraMark,
    DishMark,
    FeetMark,
    LineMark,
    Measure,
    SunPatch,
)
from plateside.drawing.room import plan_drawing
from plateside.drawing.views import (
    CSS_PX_PER_M,
    SCALES,
    plan_view,
    scale_for,
    section_view,
    sun_direction,
    window_ends_m,
)
from plateside.light.near import distance_m
from plateside.model.room import Room, Spot, Window
from tests.unit.drawing.kitchen import studio
from tests.unit.drawing.reading import SVG, parse, text_at, texts


def test_a_metre_is_a_metre_at_the_drawing_s_scale() -> None:
    """Printed at its own size (mm in the file), 1 m of room takes 1000 / N mm: the scale bar, and the room itself."""
    root = parse(plan_drawing(studio(), heading="x"))
    (words,) = [t for t in texts(root) if t.startswith("1:")]
    n = int(words.split()[0].removeprefix("1:"))
    assert n in SCALES
    mm_per_unit = float(root.attrib["width"].removesuffix("mm")) / float(root.attrib["viewBox"].split()[2])
    bar = text_at(root, "1 m")[0] - text_at(root, "0")[0]
    assert bar * mm_per_unit == pytest.approx(1000 / n, abs=0.01)
    # the chain below the plan: 2.10 m to the dish and 2.10 m on; their middles lie 2.1 m apart
    middles = [float(e.attrib["x"]) for e in root.iter(f"{SVG}text") if e.text == "2.10"]
    assert len(middles) == 2
    assert abs(middles[1] - middles[0]) * mm_per_unit == pytest.approx(2100 / n, abs=0.02)


@pytest.mark.parametrize(("wide", "high"), [(1.0, 1.8), (4.2, 2.6), (7.3, 3.1), (30, 10), (60, 30)])
def test_scale_is_the_largest_that_fits(wide: float, high: float) -> None:
    n = scale_for(wide, high, 700, 400)
    assert wide * CSS_PX_PER_M / n <= 700
    assert high * CSS_PX_PER_M / n <= 400
    larger = [s for s in SCALES if s < n]
    if larger:
        assert wide * CSS_PX_PER_M / larger[-1] > 700 or high * CSS_PX_PER_M / larger[-1] > 400


def test_views_keep_right_hands_right() -> None:
    made = studio()
    plan = plan_view(made, 0, 0, 100)
    assert plan.at((0, 3.1, 0)) == pytest.approx((0, 0))  # front left corner at the paper's top left
    assert plan.at((4.2, 0, 1)) == pytest.approx((420, 310))
    section = section_view(made, 0, 0, 100)
    assert section.at((1, 3.1, 0.78)) == pytest.approx((0, 182))  # the sill, on the window's wall
    assert section.at((1, 0, 0)) == pytest.approx((310, 260))


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_section_puts_the_main_window_on_the_left(turn: float) -> None:
    window = Window(name="w", bearing_deg=(20 + turn) % 360, width_m=1, height_m=1, sill_m=0.8)
    made = studio(windows=(window,), room=Room(width_m=4.2, depth_m=3.1, height_m=2.6, front_bearing_deg=20))
    ends = window_ends_m(made, window)
    view = section_view(made, 0, 0, 100)
    assert all(view.at(e)[0] == pytest.approx(0) for e in ends)
    # a view's directions and the way one looks form a right-handed frame: nothing is mirrored
    looking = np.cross(view.across, view.down)
    assert math.hypot(*looking) == pytest.approx(1)
    beyond = {0: (1, 0, 0), 90: (0, -1, 0), 180: (-1, 0, 0), 270: (0, 1, 0)}[int(turn)]
    assert looking == pytest.approx(beyond)


@pytest.mark.parametrize(
    ("wall", "bearing", "left_end", "right_end"),
    [
        ("front", 0, (0.5, 3.1), (1.5, 3.1)),
        ("right", 90, (4.2, 2.6), (4.2, 1.6)),
        ("back", 180, (3.7, 0.0), (2.7, 0.0)),
        ("left", 270, (0.0, 0.5), (0.0, 1.5)),
    ],
)
def test_from_left_is_seen_from_inside(
    wall: str, bearing: float, left_end: tuple[float, float], right_end: tuple[float, float]
) -> None:
    """Facing a wall from inside, its left end: front x=0, right y=depth, back x=width, left y=0."""
    window = Window(name="w", bearing_deg=bearing, width_m=1, height_m=1, sill_m=0.8, from_left_m=0.5)
    made = studio(windows=(window,), room=Room(width_m=4.2, depth_m=3.1, front_bearing_deg=0))
    assert made.wall_of(window) == wall
    low, high = window_ends_m(made, window)
    assert low == pytest.approx((*left_end, 0.8))
    assert high == pytest.approx((*right_end, 1.8))


def test_sun_direction_in_the_room() -> None:
    """Front wall looks north (0): a sun due east stands to the right, one in the zenith straight up."""
    made = studio(room=Room(width_m=4.2, depth_m=3.1, front_bearing_deg=0))
    assert sun_direction(made, 90, 0) == pytest.approx((1, 0, 0), abs=1e-12)
    assert sun_direction(made, 0, 0) == pytest.approx((0, 1, 0), abs=1e-12)
    assert sun_direction(made, 200, 90) == pytest.approx((0, 0, 1), abs=1e-12)
    assert np.linalg.norm(sun_direction(made, 123, 34)) == pytest.approx(1)


def test_everything_has_its_name_and_measure() -> None:
    words = texts(parse(plan_drawing(studio(), heading="The room", sun=(151.0, 63.0))))
    for expected in ("kitchen window", "door", "by the window", "back table", "cupboard", "Plan", "N",
                     "Section through the main window", "sun at 151°, 63° high"):  # fmt: skip
        assert expected in words, expected
    # a tape's figures: window from the corner, its width, sill, height, what is above; spot from walls; table height
    for figure in ("1.50", "1.20", "0.78", "0.62", "0.75", "2.35", "2.10", "0.40", "0.80", "1.90", "1.85"):
        assert figure in words, figure


def test_sun_below_the_horizon_is_said() -> None:
    assert "sun below the horizon" in texts(parse(plan_drawing(studio(), sun=(330, -5))))


def test_marks_of_every_kind_are_drawn() -> None:
    marks = (
        SunPatch(((1.7, 2.1, 0.75), (2.3, 2.2, 0.75), (2.4, 2.6, 0.75))),
        DishMark((2.1, 2.35, 0.75), label="tart"),
        BoardMark(
            ((2.5, 2.1, 0.75), (2.5, 2.6, 0.75), (2.5, 2.6, 1.25), (2.5, 2.1, 1.25)), label="white board"
        ),
        BoardMark(((1.6, 2.1, 0.75), (1.6, 2.6, 0.75), (1.6, 2.6, 1.25)), label="black", dark=True),
        CameraMark((1.0, 1.6, 1.3), (2.1, 2.35, 0.78), 36, label="camera 1"),
        CameraMark((2.1, 2.35, 1.9), (2.1, 2.35, 0.78), 36, label="overhead"),
        LineMark(((0, 0, 0), (3, 1, 0)), label="cable"),
        FeetMark((3, 1.5, 0), ((2.7, 1.4, 0), (3.2, 1.2, 0), (3.1, 1.9, 0)), label="tripod"),
        Measure((2.1, 2.35, 0.78), (1.0, 1.6, 1.3)),
    )
    svg = plan_drawing(studio(), marks=marks, sun=(60, 20), id_prefix="m")
    words = texts(parse(svg))
    for label in ("tart", "white board", "black", "camera 1", "overhead", "cable", "tripod"):
        assert label in words, label
    assert f"{math.dist((2.1, 2.35, 0.78), (1.0, 1.6, 1.3)):.2f} m" in words
    assert "url(#m-sun)" in svg
    assert "by the window" not in words  # a dish of one's own takes the place of the spot's


def boxes_of(svg: str) -> list[tuple[str, Box]]:
    """Every text with the room it takes, by our own safe guess of its width; turned ones turned."""
    found = []
    for e in parse(svg).iter(f"{SVG}text"):
        words, x, y = e.text or "", float(e.attrib["x"]), float(e.attrib["y"])
        size = float(e.get("font-size", "12"))
        box = text_box(words, x, y, size=size, anchor=e.get("text-anchor", "start"))
        if "transform" in e.attrib:  # -90 degrees about (x, y)
            box = Box(x + (box.top - y), y - (box.right - x), x + (box.bottom - y), y - (box.left - x))
        found.append((words, box))
    return found


@pytest.mark.parametrize("seed", range(16))
def test_labels_never_overlap_nor_leave_the_paper(seed: int) -> None:
    """Rooms by chance: a window in some walls, spots, furniture, camera and board anywhere."""
    r = random.Random(seed)
    wide, deep, high = r.uniform(2.4, 7), r.uniform(2.2, 6), r.uniform(2.2, 3.2)
    windows = []
    for bearing in r.sample([0, 90, 180, 270], r.randint(1, 4)):
        along = wide if bearing in (0, 180) else deep
        w = r.uniform(0.5, along * 0.5)
        windows.append(
            Window(name=f"window to {bearing}", bearing_deg=bearing, width_m=w, height_m=1.0, sill_m=0.8,
                   from_left_m=r.uniform(0.1, along - w - 0.1), overhang_depth_m=r.choice([0.0, 0.4, 2.0]))
        )  # fmt: skip
    made = studio(
        room=Room(width_m=wide, depth_m=deep, height_m=high, front_bearing_deg=0),
        windows=tuple(windows),
        spots=tuple(
            Spot(
                name=f"spot {k}",
                from_left_m=r.uniform(0.4, wide - 0.4),
                from_front_m=r.uniform(0.4, deep - 0.4),
            )
            for k in range(r.randint(1, 3))
        ),
    )
    x, y = r.uniform(0.5, wide - 0.5), r.uniform(0.5, deep - 0.5)
    marks = (
        CameraMark((x, y, 1.2), (wide / 2, deep / 2, 0.8), 30),
        SunPatch(((x, y, 0.75), (x + 0.3, y, 0.75), (x, y + 0.2, 0.75))),
    )
    svg = plan_drawing(
        made, marks=marks, heading="Room", subheading="by chance", sun=(r.uniform(0, 360), 30.0)
    )
    paper = Box(0, 0, *(float(v) for v in parse(svg).attrib["viewBox"].split()[2:]))
    boxes = boxes_of(svg)
    for k, (words, box) in enumerate(boxes):
        assert box.inside(paper), words
        for others, other in boxes[k + 1 :]:
            assert not box.meets(other), (words, others)
    told = " ".join(words for words, _ in boxes)
    for name in [*(w.name for w in made.windows), *(s.name for s in made.spots)]:
        assert name in told


def test_names_are_drawn_as_written() -> None:
    bad = "<image href='x'/>&\""
    made = studio(spots=(Spot(name=bad, from_left_m=2.1, from_front_m=0.9),))
    root = parse(plan_drawing(made, heading=bad, subheading=bad))
    assert not list(root.iter(f"{SVG}image"))
    assert bad in texts(root)


def test_a_room_without_windows_or_spots_can_be_drawn() -> None:
    made = studio(windows=(), spots=(), furniture=())
    assert "4.20" in texts(parse(plan_drawing(made)))
    assert "Section" not in " ".join(texts(parse(plan_drawing(made, with_section=False))))


def test_ids_carry_the_prefix() -> None:
    one, two = plan_drawing(studio(), id_prefix="a"), plan_drawing(studio(), id_prefix="b")
    ids = re.findall(r' id="([^"]+)"', one + two)
    assert len(ids) == len(set(ids))


def test_keeper_gives_no_place_twice() -> None:
    keeper = Keeper(Box(0, 0, 300, 40))
    places = [
        [(10.0, 20.0, "start")],
        [(12.0, 22.0, "start"), (150.0, 22.0, "start")],
        [(290.0, 22.0, "start")],
    ]
    found = [keeper.place("abc", row) for row in places]
    assert found == [(10, 20, "start"), (150, 22, "start"), None]


def test_how_near_a_patch_comes() -> None:
    """By plane geometry: a square from (1, 1) to (2, 2)."""
    square = ((1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0))
    assert distance_m((1.5, 1.2), square) == 0
    assert distance_m((1.5, 0.4), square) == pytest.approx(0.6)
    assert distance_m((3.0, 3.0), square) == pytest.approx(math.sqrt(2))
    assert distance_m((0.0, 1.5), square[::-1]) == pytest.approx(1.0)


def test_furniture_stands_in_plan_and_in_section() -> None:
    """The cupboard, 0.6 m wide, 1.2 m deep, 2.1 m high: 0.6 x 1.2 from above, 1.2 x 2.1 from the side."""
    root = parse(plan_drawing(studio()))
    boxes = [e for e in root.iter(f"{SVG}rect") if e.get("class") == "edge" and e.get("rx") is None]
    px = text_at(root, "1 m")[0] - text_at(root, "0")[0]
    sizes = [(float(e.attrib["width"]) / px, float(e.attrib["height"]) / px) for e in boxes]
    assert sizes == [pytest.approx((0.6, 1.2), abs=0.001), pytest.approx((1.2, 2.1), abs=0.001)]
