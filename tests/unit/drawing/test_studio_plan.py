"""The Studio page's plan: to scale, everything in it a thing with its path, and nothing a person wrote is markup."""

import datetime as dt
import json
from dataclasses import replace

import pytest

from plateside.drawing.first_sketch import WindowWall
from plateside.drawing.studio_plan import studio_plan
from plateside.model.room import Block, Board, Diffuser, Opposite, Window
from plateside.model.shoot import PlacedBoard, Shot
from plateside.model.studio import Studio
from plateside.plan.scene import board_rectangle
from plateside.tasks.studio.first_run import usual_answers
from plateside.tasks.studio.first_sketched import first_sketch
from tests.unit.drawing.kitchen import studio
from tests.unit.drawing.reading import SVG, parse, path_points, texts, things

NASTY = "<img src=x onerror=alert(1)></script>&'\""
USUAL = {**usual_answers(dt.date(2027, 7, 15)), "place": None}


def full(**changes: object) -> Studio:
    windows = studio().windows
    roofs = Opposite(
        name="roofs", bearing_from_deg=340, bearing_to_deg=60, distance_m=14, top_above_ground_m=9
    )
    return studio(
        windows=(replace(windows[0], opposite=(roofs,)), *windows[1:]),
        boards=(Board(name="white", width_m=0.7), Board(name="black", width_m=0.5, reflectance=0.05)),
        diffusers=(Diffuser(name="sheer", window="kitchen window"),),
        **changes,
    )


@pytest.mark.parametrize(("wide", "high"), [(900, 700), (360, 500), (2000, 400)])
def test_it_is_to_scale_and_fits(wide: float, high: float) -> None:
    """The floor is 4.2 m by 3.1 m at the scale that the page is told, and the whole is no larger than its place."""
    root = parse(studio_plan(full(), wide, high))
    floor = next(root.iter(f"{SVG}rect"))
    scale = float(root.attrib["data-scale"])
    assert float(floor.attrib["width"]) == pytest.approx(4.2 * scale, abs=0.02)
    assert float(floor.attrib["height"]) == pytest.approx(3.1 * scale, abs=0.02)
    assert float(floor.attrib["x"]) == float(root.attrib["data-left"])
    assert float(floor.attrib["y"]) == float(root.attrib["data-front"])
    assert float(root.attrib["width"]) <= wide + 1
    assert float(root.attrib["height"]) <= high + 1


def test_everything_can_be_taken_hold_of() -> None:
    made = full()
    told = things(studio_plan(made, 900, 700))
    paths = [["windows", 0, "opposite", 0], ["furniture", 0], ["spots", 0], ["spots", 1], ["room", "width_m"],
             ["room", "depth_m"], ["windows", 0], ["windows", 1]]  # fmt: skip
    assert list(told) == [json.dumps(p, separators=(",", ":")) for p in paths]
    # 4.2 m of wall, 1.2 m of window: given as 1.5 m from the left
    for words in ("kitchen window", "1.5 m", "front wall", "1.2 m", "sheer"):
        assert words in told['["windows",0]']


def test_what_is_chosen_is_measured() -> None:
    """By the window: 2.1 m from the left wall, 0.75 m from the front; the door: 0.4, 0.8 and 3.1 - 1.2 = 1.9 m."""
    plain = texts(parse(studio_plan(full(), 900, 700)))
    spot = texts(parse(studio_plan(full(), 900, 700, ("spots", 0))))
    door = texts(parse(studio_plan(full(), 900, 700, ("windows", 1))))
    assert {"2.1 m", "0.75 m"} <= set(spot) - set(plain)
    assert {"0.4 m", "0.8 m", "1.9 m"} <= set(door) - set(plain)
    on = [e for e in parse(studio_plan(full(), 900, 700, ("spots", 0))).iter(f"{SVG}g")
          if e.attrib.get("aria-pressed") == "true"]  # fmt: skip
    assert [e.attrib["data-path"] for e in on] == ['["spots",0]']


@pytest.mark.parametrize("side", ["left", "right", "near", "far"])
def test_a_board_stands_where_the_light_has_it(side: str) -> None:
    """Its ends are those of the rectangle that shadows and reflections are reckoned with."""
    shot = Shot(
        name="one", camera_faces_deg=90, boards=(PlacedBoard(board="white", side=side, distance_m=0.6),)
    )
    made = full()
    root = parse(studio_plan(made, 900, 700, ("spots", 0), shot))
    scale, left, front = (float(root.attrib[f"data-{k}"]) for k in ("scale", "left", "front"))
    (drawn,) = [e for e in root.iter(f"{SVG}g") if e.attrib.get("data-path") == '["placed",0]']
    (edge,) = [e for e in drawn.iter(f"{SVG}path") if e.attrib.get("class") == "edge"]
    spot = made.spots[0]
    r = board_rectangle(
        made, shot, shot.boards[0], (spot.from_left_m, 3.1 - spot.from_front_m, spot.height_m)
    )
    ends = [(r.corner[0], r.corner[1]), (r.corner[0] + r.edge_u[0], r.corner[1] + r.edge_u[1])]
    wanted = [(left + x * scale, front + (3.1 - y) * scale) for x, y in ends]
    assert sum(path_points(edge.attrib["d"])[0], ()) == pytest.approx(sum(wanted, ()), abs=0.1)
    assert (drawn.attrib["data-side"], drawn.attrib["data-distance-m"]) == (side, "0.6")


def test_names_are_text() -> None:
    made = full(
        furniture=(Block(name=NASTY, from_left_m=0, from_front_m=1, width_m=0.6, depth_m=0.6, height_m=1),)
    )
    root = parse(studio_plan(made, 900, 700, ("furniture", 0)))
    assert NASTY in texts(root)
    assert {e.tag.removeprefix(SVG) for e in root.iter()} <= {
        "svg", "g", "rect", "path", "circle", "line", "text", "clipPath"
    }  # fmt: skip


def test_a_room_without_anything_is_drawn() -> None:
    bare = studio(windows=(), spots=(), furniture=())
    assert list(things(studio_plan(bare, 600, 500, ("spots", 3)))) == [
        '["room","width_m"]',
        '["room","depth_m"]',
    ]


@pytest.mark.parametrize(
    "chosen",
    [
        (),
        ("spots",),
        ("spots", "x"),
        ("spots", -1),
        ("spots", 9),
        ("windows", 0, "opposite"),
        ("place",),
        (0, 0),
    ],
)
def test_what_is_not_there_is_not_measured(chosen: tuple[str | int, ...]) -> None:
    shot = Shot(name="one", boards=(PlacedBoard(board="white"), PlacedBoard(board="gone")))
    assert texts(parse(studio_plan(full(), 900, 700, chosen, shot))) == texts(
        parse(studio_plan(full(), 900, 700))
    )


@pytest.mark.parametrize("bearing", [20, 110, 200, 290])
def test_a_window_in_every_wall(bearing: float) -> None:
    """Each is measured along its own wall: 4.2 m of front and back, 3.1 m of the sides."""
    window = Window(name="w", bearing_deg=bearing, width_m=1, height_m=1, sill_m=1, from_left_m=0.5)
    main = studio().windows[0]
    found = texts(parse(studio_plan(studio(windows=(main, window)), 900, 700,
                                    ("windows", 1))))  # fmt: skip
    rest = 2.7 if bearing in (20, 200) else 1.6
    assert {"0.5 m", "1 m", f"{rest:g} m"} <= set(found)


# ---- the first run ------------------------------------------------------------------------------------


def test_the_noon_sun_of_a_place() -> None:
    """90 - (38.7 - 23.4) = 74.7 and 90 - (38.7 + 23.4) = 27.9 degrees in Lisbon; none in winter beyond the circle."""
    lisbon = first_sketch("place", {"place": {"name": NASTY, "latitude_deg": 38.7}})
    assert [t for t in texts(parse(lisbon.svg)) if t] == ["75°", "28°"]
    assert NASTY in lisbon.words
    north = first_sketch("place", {"place": {"name": "north", "latitude_deg": 70.0}})
    assert texts(parse(north.svg)) == ["43°"]


@pytest.mark.parametrize("step", ["facing", "room", "window", "table", "camera", "shoot"])
@pytest.mark.parametrize("wrong", [None, -3, 0, "x", float("nan"), 1e9, [], True])
def test_no_answer_breaks_the_drawing(step: str, wrong: object) -> None:
    for name in (
        "width_m",
        "window_width_m",
        "sill_m",
        "focal_mm",
        "facing_deg",
        "table_from_window_m",
        "sensor",
    ):
        parse(first_sketch(step, {**USUAL, name: wrong}).svg)


def test_the_view_of_a_lens() -> None:
    """2 atan(23.5 / 2 / 35) = 37.1 degrees, and 0.75 m * 23.5 / 35 = 50 cm."""
    told = first_sketch("camera", {**USUAL, "focal_mm": 35, "sensor": "aps-c"})
    assert "37°" in told.words
    assert "50 cm" in told.words


def test_a_window_larger_than_its_wall_does_not_fit() -> None:
    wall = WindowWall(4, 2.5, 1, 1.2, 1.2, 0.85)
    assert wall.fits
    assert not replace(wall, left_m=3).fits
    assert not replace(wall, sill_m=1.5).fits
