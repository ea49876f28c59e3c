"""The calendar's layers: every line where the clock and the light say it must be."""

import base64
import io
import re

import numpy as np
from PIL import Image

from plateside.drawing.year import hours_shown
from plateside.drawing.year_layers import year_layers
from tests.unit.drawing.test_year import field


def points(d: str) -> np.ndarray:
    return np.array([[float(x), float(y)] for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", d)])


def test_contours_stand_at_the_minute_the_light_crosses_them() -> None:
    """2^(2 (h - 5)) = 256 lx at 09:00 and at 17:00."""
    (level,) = year_layers(field(thresholds=(256.0,))).levels
    assert level.lx == 256
    minutes = points(level.d)[:, 1]
    assert np.minimum(abs(minutes - 540), abs(minutes - 1020)).max() < 0.2
    assert {540, 1020} <= {round(m) for m in minutes}


def test_good_and_sun_hold_their_cells() -> None:
    """Good from 300 lx (09:15 is the first quarter above: 2^8.5 = 362) without the sun of days 100-199."""
    layers = year_layers(field())
    good, sun = points(layers.good), points(layers.sun)
    # a cell reaches from its moment to the next; the last above 300 lx begins at 16:45
    assert good[:, 1].min() == 555 and good[:, 1].max() == 1020
    assert abs(sun[:, 0].min() - 100) < 0.6 and abs(sun[:, 0].max() - 200) < 0.6
    assert sun[:, 1].min() == 420 and sun[:, 1].max() == 510
    assert layers.good.endswith("Z") and layers.sun.endswith("Z")


def test_sun_times_and_picture() -> None:
    made = field()
    layers = year_layers(made)
    assert set(points(layers.sunrise)[:, 1]) == {5.25 * 60}
    assert set(points(layers.sunset)[:, 1]) == {20.75 * 60}
    first, last = hours_shown(made)
    assert (layers.first_hour, layers.last_hour) == (first, last)
    picture = Image.open(io.BytesIO(base64.b64decode(layers.png)))
    assert picture.size == (365, (last - first) * 4)
    # noon is lighter than night
    shown = np.asarray(picture.convert("L"), float)
    assert shown[(12 - first) * 4].mean() > shown[0].mean() + 80


def test_a_day_without_sunrise_breaks_the_line() -> None:
    made = field()
    rises = made.sunrise_h.copy()
    rises[100:200] = np.nan
    layers = year_layers(field())
    broken = year_layers(type(made)(**{**made.__dict__, "sunrise_h": rises}))
    assert layers.sunrise.count("M") == 1 and broken.sunrise.count("M") == 2
