"""One day's light as a curve in stops: lux on the left, the exposure it asks for on the right.

day_curve  a sheet of its own, with heading and key: what the command writes
day_plot   the plot alone, for a page, which moves its mark along it
"""

from datetime import UTC, datetime, timedelta

import numpy as np

from plateside.drawing.day_plot import (
    LX_OF_ONE_SECOND,
    DayCurve,
    Plot,
    Shutter,
    legend,
    spans,
    two_digits,
)
from plateside.drawing.kit import SERIF, document, element, halo, hatch, line, text
from plateside.drawing.labels import Box, Keeper
from plateside.drawing.palette import INK, PAPER, SOFT
from plateside.words import drawings as said

LEFT, TOP, PLOT_WIDTH, PLOT_HEIGHT = 76.0, 100.0, 900.0, 380.0
WIDTH = LEFT + PLOT_WIDTH + 100

PAGE_STOPS = 8
"""What a page's plot holds from its top down; the deepest dusk may leave it."""


def day_curve(
    day: DayCurve,
    *,
    heading: str,
    subheading: str = "",
    shutter_words: Shutter,
    good_means: str = said.GOOD,
    marked: datetime | None = None,
    note: str = "",
    id_prefix: str = "day",
    description: str = "",
) -> str:
    """The day as SVG.

    shutter_words  names an exposure time [s] as it is marked on a camera
    good_means     what the good minutes satisfy
    marked         a moment to point at, or None
    note           one sentence across the drawing, such as why there is no light

    Errors: InputError when an array does not fit the times.
    """
    day.judged()
    frame = Box(LEFT, TOP, LEFT + PLOT_WIDTH, TOP + PLOT_HEIGHT)
    start, end = _daylight(day)
    high = int(np.ceil(np.log2(day.most_lx / LX_OF_ONE_SECOND) + 0.15))
    # Ten stops hold a working day; the deepest dusk may leave the page.
    low = max(high - 10, int(np.floor(np.log2(min(5.0, day.most_lx / 30) / LX_OF_ONE_SECOND))))
    plot = Plot(day, frame, start, end, low, max(high, low + 5), id_prefix)
    keeper = Keeper(frame)
    plot.block_curves(keeper)
    parts = [
        text(heading, LEFT, 40, size=24, font_family=SERIF),
        text(subheading, LEFT, 62, size=13, fill=SOFT) if subheading else "",
        plot.grid(shutter_words),
        plot.light(),
        plot.good_bar(),
        legend(frame.bottom + 76, LEFT, good_means),
    ]
    if note:
        middle = (frame.left + frame.right) / 2
        parts.append(halo(note, middle, frame.top + 60, size=15, anchor="middle", font_family=SERIF))
    parts.append(plot.sun_times())
    if marked is not None and plot.start <= marked <= plot.end:
        parts.append(_pointed_at(plot, marked, keeper, shutter_words))
    parts.append(plot.names(keeper))
    return document(
        "".join(parts),
        width=WIDTH,
        height=frame.bottom + 92,
        title=heading,
        description=description or describe(day),
        id_prefix=id_prefix,
        definitions=hatch(f"{id_prefix}-sun", gap=6) + plot.clip(),
    )


def day_plot(
    day: DayCurve,
    first: int,
    last: int,
    *,
    shutter_words: Shutter,
    small: bool = False,
    id_prefix: str = "curve",
    description: str = "",
) -> str:
    """The plot alone, from one sample to another, as large as the place it is put in.

    small        for a phone: fewer numbers, narrower
    description  for those who cannot see it; left out, it is made from the figures

    Its root tells the page where a sample stands: data-left and data-wide for the first and the last one, data-top and
    data-high [units of the drawing], data-most-lx at the top and data-stops down to the bottom. The mark (`.mark` and
    `.dot`) is the page's to move.

    Errors: InputError when an array does not fit the times.
    """
    day.judged()
    width, left, right, high_px = (420.0, 46.0, 54.0, 180.0) if small else (1200.0, 58.0, 78.0, 210.0)
    frame = Box(left, 26, width - right, 26 + high_px)
    high = int(np.ceil(np.log2(day.most_lx / LX_OF_ONE_SECOND) + 0.1))
    start, end = (day.times[i].astimezone(UTC) for i in (first, last))
    plot = Plot(day, frame, start, end, high - PAGE_STOPS, high, id_prefix)
    keeper = Keeper(frame)
    plot.block_curves(keeper)
    top = int(np.argmax(day.illuminance_lx))
    parts = [
        plot.grid(shutter_words, every=2 if small else 1, short=small),
        plot.light(),
        plot.good_bar(),
        plot.sun_times(short=small),
        plot.names(keeper),
        plot.mark(day.times[top], float(day.illuminance_lx[top])),
    ]
    return document(
        "".join(parts),
        width=width,
        height=frame.bottom + 54,
        title=said.DAY_TITLE,
        description=description or describe(day),
        id_prefix=id_prefix,
        definitions=hatch(f"{id_prefix}-sun", gap=6) + plot.clip(),
        sized=False,
        ground=None,
        data_left=frame.left,
        data_wide=frame.right - frame.left,
        data_top=frame.top,
        data_high=frame.bottom - frame.top,
        data_most_lx=f"{LX_OF_ONE_SECOND * 2.0**high:g}",
        data_stops=PAGE_STOPS,
    )


def describe(day: DayCurve) -> str:
    """The curve in words."""
    top = int(np.argmax(day.illuminance_lx))
    sunny, good = ([day.clocks(a, b) for a, b in spans(flags)] for flags in (day.sun_on_dish, day.good))
    return said.day_told(day.clock(day.times[top]), sunny, good)


def _daylight(day: DayCurve) -> tuple[datetime, datetime]:
    """From before the first light to after the last."""
    lit = np.nonzero(day.illuminance_lx > 0.5)[0]
    first, last = (int(lit[0]), int(lit[-1])) if len(lit) else (0, -1)
    edges = [day.times[first], day.times[last]] + [t for t in (day.sunrise, day.sunset) if t is not None]
    utc = [t.astimezone(UTC) for t in edges]
    return min(utc) - timedelta(minutes=20), max(utc) + timedelta(minutes=20)


def _pointed_at(plot: Plot, marked: datetime, keeper: Keeper, shutter_words: Shutter) -> str:
    """A moment with its clock, its light and the exposure that this asks for."""
    day, frame = plot.day, plot.frame
    lx = float(np.interp(marked.timestamp(), [t.timestamp() for t in day.times], day.illuminance_lx))
    x, y = plot.x(marked), plot.y(lx)
    drawn = line(x, y, x, frame.bottom, stroke=INK, stroke_width=0.8)
    drawn += element("circle", cx=x, cy=y, r=4.5, fill=PAPER, stroke=INK, stroke_width=1.6)
    keeper.block(Box(x - 3, y, x + 3, frame.bottom))
    words = said.marked(day.clock(marked), two_digits(lx), shutter_words(LX_OF_ONE_SECOND / lx))
    place = keeper.place(words, [(x + 12, y + 26, "start"), (x - 12, y + 26, "end"), (x + 12, y - 16, "start"),
                                 (x, y + 46, "middle"), (x + 12, y + 70, "start")])  # fmt: skip
    return drawn + halo(words, place[0], place[1], anchor=place[2]) if place else drawn
