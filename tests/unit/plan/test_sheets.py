"""Drawings to scale, the call sheet and the cards: whole, escaped, and with the lengths they promise."""

import re
from dataclasses import replace
from itertools import combinations

import pytest
from lxml import etree, html

from plateside.drawing.board import Board
from plateside.drawing.labels import touch, turned_box
from plateside.drawing.setup_above import top_view
from plateside.drawing.setup_side import side_view
from plateside.model.shoot import Shot
from plateside.paper.sheet_html import page
from plateside.paper.shot_card import shot_sheet
from plateside.plan.cautions import plant_cautions
from plateside.plan.remedies import window_factor
from plateside.plan.setup import solve
from plateside.words.plan.set_up import setup_lines
from plateside.words.units import METRIC, length
from tests.unit.plan.rooms import CHANNELS, LIGHT, LISBON
from tests.unit.plan.sheets import SHOTS, sheet


@pytest.mark.parametrize("shot", SHOTS, ids=lambda s: s.name)
def test_drawings_are_well_formed_and_to_one_scale(shot: Shot) -> None:
    s = solve(LISBON, shot, CHANNELS, LIGHT)
    for text in (side_view(LISBON, shot, s), top_view(LISBON, shot, s)):
        tree = etree.fromstring(text)
        _, _, w, h = (float(v) for v in tree.attrib["viewBox"].split())
        # nothing but the background may lie outside the picture by more than a label's width
        for circle in tree.iter("{http://www.w3.org/2000/svg}circle"):
            assert -5 <= float(circle.attrib["cx"]) <= w + 5
            assert -5 <= float(circle.attrib["cy"]) <= h + 5
    side = side_view(LISBON, shot, s)
    assert f">{length(s.lens_above_surface_m)}<" in side
    assert f">sensor {length(s.sensor_m[2])}<" in side
    assert f">{length(0.78)}<" in side
    assert f"{length(0.6)}" in top_view(LISBON, shot, s)


def test_a_measure_is_as_long_as_it_says() -> None:
    b = Board(0.0, 0.0, 2.0, 1.0, 440.0, (20.0, 20.0, 20.0, 20.0))
    assert b.scale == pytest.approx(200.0)
    b.measure((0.25, 0.5), (1.25, 0.5), "1 m", 10.0)
    path = re.findall(r'd="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)M', b.parts[0])[-1]
    x1, y1, x2, y2 = (float(v) for v in path)
    assert ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5 == pytest.approx(200.0, abs=0.2)


def test_the_dish_is_drawn_as_wide_as_it_is() -> None:
    s = solve(LISBON, SHOTS[0], CHANNELS, LIGHT)
    tree = etree.fromstring(top_view(LISBON, SHOTS[0], s))
    scale_bar = next(p for p in tree.iter("{http://www.w3.org/2000/svg}path") if "H" in p.attrib["d"])
    x, right = re.findall(r"M([\d.]+) [\d.]+V[\d.]+H([\d.]+)", scale_bar.attrib["d"])[0]
    half_metre = float(right) - float(x)
    radii = [float(c.attrib["r"]) for c in tree.iter("{http://www.w3.org/2000/svg}circle")]
    assert any(2 * r / half_metre * 500 == pytest.approx(SHOTS[0].dish_width_mm, abs=2) for r in radii)


def words_of(svg: str) -> list[tuple[str, tuple[tuple[float, float], ...]]]:
    """Every text of a drawing with its box, turned as it is drawn."""
    found = []
    for text in etree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text"):
        a, turned = text.attrib, re.match(r"rotate\((-?[\d.]+)", text.attrib.get("transform", ""))
        at = float(a["x"]), float(a["y"])
        turn = float(turned[1]) if turned else 0.0
        # what SVG 2 takes where nothing is said (11.5), and the size that the whole drawing has
        anchor, size = a.get("text-anchor", "start"), float(a.get("font-size", "12"))
        found.append((text.text or "", turned_box(at, text.text or "", anchor, size, turn)))
    return found


@pytest.mark.parametrize("faces", [0, 45, 90, 135, 225, 315])
def test_no_two_words_of_a_drawing_touch(faces: int) -> None:
    for angle in ("overhead", "three-quarter", "straight-on"):
        for one in SHOTS[:2]:
            shot = replace(one, camera_faces_deg=faces, angle=angle)
            s = solve(LISBON, shot, CHANNELS, LIGHT)
            for svg in (side_view(LISBON, shot, s), top_view(LISBON, shot, s)):
                for (first, box), (second, other) in combinations(words_of(svg), 2):
                    assert not touch(box, other), (angle, first, second)


def test_boxes_that_touch_and_boxes_that_do_not() -> None:
    flat = turned_box((100, 100), "x" * 10, "middle", 10, 0)
    assert touch(flat, turned_box((110, 103), "x" * 10, "middle", 10, 0))
    assert not touch(flat, turned_box((100, 112), "x" * 10, "middle", 10, 0))
    # at 45 degrees the outer rectangles overlap and the words do not
    assert not touch(flat, turned_box((140, 130), "x" * 10, "middle", 10, -45))


def test_everything_from_outside_is_escaped() -> None:
    text = sheet()
    assert "<script" not in text
    assert "&lt;script&gt;" in text
    alone = shot_sheet(LISBON, SHOTS[1], solve(LISBON, SHOTS[1], CHANNELS, LIGHT), None)
    text = page("</title><script>", alone, 'en" onload="x')
    assert "<script" not in text
    assert 'onload="x' not in text


def test_the_sheet_is_html_that_closes_its_tags() -> None:
    tree = html.document_fromstring(sheet())
    assert len(tree.xpath("//section[@class='card']")) == 3
    assert len(tree.xpath("//tr[@class='shot']")) == 3
    assert tree.xpath("//html/@lang") == ["en"]
    # every drawing has a title for those who cannot see it
    assert all(svg.xpath("./title") for svg in tree.xpath("//svg"))


def test_the_sheet_is_calm_about_a_day_without_shots() -> None:
    assert "nothing planned" in sheet(())


def test_words_of_a_set_up() -> None:
    s = solve(LISBON, replace(SHOTS[0], lens="35"), (), LIGHT)
    first = setup_lines(s, METRIC)[0]
    assert first.startswith("top: 35 mm, lens 93 cm above the surface (sensor 97 cm), f/")
    assert "arm over a leg" in first
    assert any(line.strip().startswith("caution:") for line in setup_lines(s, METRIC))


def test_plants_that_are_not_food() -> None:
    # Colorado State University Extension, Edible Flowers, table 1; Illinois Poison Center; NC Extension
    said = plant_cautions(
        ["holly sprig", "bougainvillea from the florist", "red poinsettia", "tulips, florist"]
    )
    # poinsettia is an irritant of low toxicity: not food, and not called deadly or poisonous
    assert [p.code for p in said] == ["poisonous", "not food", "not food", "florist"]
    assert plant_cautions(["chives", "edible flowers", "olive oil", "mint", "white bowl"]) == []


def test_a_window_gives_more_light_nearer_and_none_below_its_sill_alone() -> None:
    assert window_factor(1.2, 1.2, 0.4) > window_factor(1.2, 1.2, 0.6) > window_factor(1.2, 1.2, 2.0)
    # a sill over the table takes light away; a very wide, very high window gives half the sky
    assert window_factor(1.2, 1.2, 0.6, 0.3) < window_factor(1.2, 1.2, 0.6)
    assert window_factor(1e6, 1e6, 0.5) == pytest.approx(0.5, abs=1e-3)


def test_the_food_rule_stands_once_on_the_sheet() -> None:
    assert sheet().count("national food authority") == 1
