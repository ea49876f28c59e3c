"""The year calendar: every line where the clock and the light say it must be."""

import base64
import io
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from PIL import Image

from plateside.drawing.palette import ACCENT, INK, SUN
from plateside.drawing.year import HOUR_PX, LEFT, PLOT_WIDTH, TOP, year_calendar, year_plot
from plateside.drawing.year_field import YearField, describe, hours_shown, ink_of_light, year_png
from plateside.model.errors import InputError
from tests.unit.drawing.fields import field
from tests.unit.drawing.reading import SVG, parse, path_points, text_at, texts


def y_of(hour: float, shown: tuple[int, int]) -> float:
    return TOP + (hour - shown[0]) * HOUR_PX


def test_contour_stands_at_the_hour_the_light_crosses_it() -> None:
    """2^(2 (h - 5)) = 256 lx at 09:00 and at 17:00."""
    made = field(thresholds=(256.0,))
    root = parse(year_calendar(made, heading="x", id_prefix="t"))
    contour = [e for e in root.iter(f"{SVG}path") if e.get("stroke") == INK and e.get("stroke-width") == "1"]
    assert len(contour) == 1
    ys = [y for part in path_points(contour[0].attrib["d"]) for _, y in part]
    # +-0.06: coordinates are written to a tenth of a pixel (HOUR_PX px an hour)
    morning = y_of(9, hours_shown(made))
    evening = y_of(17, hours_shown(made))
    assert all(min(abs(y - morning), abs(y - evening)) < 0.06 for y in ys)
    xs = [x for part in path_points(contour[0].attrib["d"]) for x, _ in part]
    assert min(xs) == pytest.approx(LEFT + 0.5 * PLOT_WIDTH / 365, abs=0.1)
    assert max(xs) == pytest.approx(LEFT + 364.5 * PLOT_WIDTH / 365, abs=0.1)


def test_sun_hatch_covers_its_cells() -> None:
    made = field()
    root = parse(year_calendar(made, heading="x", id_prefix="t"))
    (hatch,) = [e for e in root.iter(f"{SVG}path") if e.get("fill") == "url(#t-sun)"]
    (ring,) = path_points(hatch.attrib["d"])
    xs, ys = np.array(ring).T
    day = PLOT_WIDTH / 365
    assert xs.min() == pytest.approx(LEFT + 100 * day, abs=0.15)
    assert xs.max() == pytest.approx(LEFT + 200 * day, abs=0.15)
    assert ys.min() == pytest.approx(y_of(7, hours_shown(made)), abs=0.15)
    assert ys.max() == pytest.approx(y_of(8.5, hours_shown(made)), abs=0.15)


def lines(root: ET.Element, **looks: str) -> list[list[tuple[float, float]]]:
    """The lines of every path that looks so."""
    found = [
        e for e in root.iter(f"{SVG}path") if all(e.get(k.replace("_", "-")) == v for k, v in looks.items())
    ]
    return [part for e in found for part in path_points(e.attrib["d"])]


def test_good_hours_are_outlined_by_their_cells() -> None:
    """Good from 300 lx: 09:15 is the first quarter above (2^8.5 = 362), the last begins at 16:45 and ends at 17:00."""
    made = field()
    outline = lines(parse(year_calendar(made, heading="x")), stroke=ACCENT, stroke_width="2.4")
    hours = [y for part in outline for _, y in part]
    assert min(hours) == pytest.approx(y_of(9.25, hours_shown(made)), abs=0.1)
    assert max(hours) == pytest.approx(y_of(17, hours_shown(made)), abs=0.1)


def test_the_suns_lines_stand_at_its_times_and_break_on_days_without() -> None:
    made = field()
    rises = made.sunrise_h.copy()
    rises[100:200] = np.nan
    shown = hours_shown(made)
    whole = lines(parse(year_calendar(made, heading="x")), stroke=SUN, stroke_dasharray="1 3.5")
    for part, hour in zip(whole, (5.25, 20.75), strict=True):
        assert all(y == pytest.approx(y_of(hour, shown), abs=0.06) for _, y in part)
    broken = YearField(**{**made.__dict__, "sunrise_h": rises})
    parted = lines(parse(year_calendar(broken, heading="x")), stroke=SUN, stroke_dasharray="1 3.5")
    assert (len(whole), len(parted)) == (2, 3)


def test_month_names_stand_under_their_months() -> None:
    root = parse(year_calendar(field(), heading="x"))
    x, _ = text_at(root, "Jul")
    assert x == pytest.approx(LEFT + (181 + 15.5) * PLOT_WIDTH / 365, abs=0.1)  # 1 July is the 182nd day
    assert len([t for t in texts(root) if len(t) == 3 and t.isalpha()]) == 12


def test_picture_has_one_pixel_a_cell_and_brightens_with_light() -> None:
    made = field()
    with Image.open(io.BytesIO(year_png(made))) as picture:
        assert picture.size == (365, 96)
        grey = np.asarray(picture.convert("L"))
    assert (np.diff(grey[20:48, 0].astype(int)) >= 0).all()
    assert ink_of_light(np.array([np.nan, 0.0, 5.0, 5000.0, 1e6])).tolist() == [0, 0, 0, 55, 55]


def test_embedded_picture_is_the_part_of_the_day_shown() -> None:
    made = field()
    root = parse(year_calendar(made, heading="x"))
    (image,) = root.iter(f"{SVG}image")
    data = base64.b64decode(image.attrib["href"].split(",")[1])
    first, last = hours_shown(made)
    with Image.open(io.BytesIO(data)) as picture:
        assert picture.size == (365, (last - first) * 4)
    assert float(image.attrib["height"]) == (last - first) * HOUR_PX


def test_a_noisy_year_at_five_minutes_stays_small() -> None:
    """The brief's limit is about 130 kB; a year without noise is a quarter of that."""
    calm = year_calendar(field(step=5), heading="x")
    rough = year_calendar(field(step=5, noise=0.02), heading="x")
    assert len(calm.encode()) < 60_000
    assert len(rough.encode()) < 130_000


def test_clock_changes_are_told() -> None:
    made = field()
    changed = YearField(**{**made.__dict__, "clock_changes": ((86, 60), (303, -60))})
    root = parse(year_calendar(changed, heading="x"))
    x, _ = text_at(root, "clocks forward 1 h")
    assert x == pytest.approx(LEFT + 86 * PLOT_WIDTH / 365, abs=0.01)
    assert "clocks back 1 h" in texts(root)


def test_names_are_drawn_as_written_not_run() -> None:
    hostile = "</text><script>alert(1)</script>&\"'\x00\ud800"
    svg = year_calendar(field(), heading=hostile, subheading=hostile, good_means=hostile)
    root = parse(svg)
    assert not list(root.iter(f"{SVG}script"))
    assert "<script" not in svg
    assert any("<script>alert(1)" in t for t in texts(root))


def test_it_can_be_told_in_words() -> None:
    made = field()
    root = parse(year_calendar(made, heading="A year", id_prefix="q"))
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "q-title q-desc"
    (desc,) = root.iter(f"{SVG}desc")
    assert desc.text == describe(made)
    assert "Good light on 365 of 365 days" in describe(made)
    assert "Direct sun on the dish on 100 days" in describe(made)


def test_a_year_of_night_can_be_drawn() -> None:
    dark = field()
    nothing = np.zeros(dark.illuminance_lx.shape)
    polar = YearField(
        dark.days, 15, nothing, nothing > 1, nothing > 1, np.full(365, np.nan), np.full(365, np.nan)
    )
    root = parse(year_calendar(polar, heading="x"))
    assert "Good light on 0 of 365 days, 0 hours in all." in describe(polar)
    assert texts(root)


def test_hours_that_do_not_exist_do_not_break_a_contour() -> None:
    made = field(thresholds=(256.0,))
    holed = made.illuminance_lx.copy()
    holed[86, 34:38] = np.nan
    with_hole = YearField(**{**made.__dict__, "illuminance_lx": holed})
    root = parse(year_calendar(with_hole, heading="x"))
    contour = [e for e in root.iter(f"{SVG}path") if e.get("stroke") == INK and e.get("stroke-width") == "1"]
    assert len(path_points(contour[0].attrib["d"])) == 2  # one line in the morning, one in the evening


def test_arrays_that_do_not_fit_are_refused() -> None:
    made = field()
    with pytest.raises(InputError, match=r"no calendar: .*days 365, step_min 20"):
        year_calendar(YearField(**{**made.__dict__, "step_min": 20}), heading="x")


@pytest.mark.parametrize("small", [False, True])
def test_a_page_can_point_at_a_moment(small: bool) -> None:
    """What the root tells of the plot leads to the contour: 2^(2 (h - 5)) = 256 lx at 09:00 and 17:00, every day."""
    made = field(thresholds=(256.0,))
    root = parse(year_plot(made, small=small, id_prefix="t"))
    at = {k: float(root.attrib[f"data-{k}"])
          for k in ("left", "wide", "top", "high", "days", "first-hour", "last-hour")}  # fmt: skip
    assert (at["first-hour"], at["last-hour"]) == hours_shown(made)
    contour = [e for e in root.iter(f"{SVG}path") if e.get("stroke") == INK and e.get("stroke-width") == "1"]
    points = [p for part in path_points(contour[0].attrib["d"]) for p in part]
    for hour in (9, 17):
        y = at["top"] + at["high"] * (hour - at["first-hour"]) / (at["last-hour"] - at["first-hour"])
        assert min(abs(py - y) for _, py in points) < 0.1
    assert min(x for x, _ in points) == pytest.approx(at["left"] + 0.5 / at["days"] * at["wide"], abs=0.1)
    names = {e.get("class") for e in root.iter() if e.get("class")}
    assert names == {"today", "across", "down"}
