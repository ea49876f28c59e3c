"""One day's light as a curve in stops: lux on the left, the exposure it asks for on the right.

Each step up is one stop, so a fall that looks the same is the same to the camera, at noon or at dusk.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from plateside.light.drawing import labels
from plateside.light.drawing.paper import (
    ACCENT,
    HAIRLINE,
    INK,
    PAPER,
    SERIF,
    SOFT_INK,
    Keeper,
    PaperRectangle,
    document,
    element,
    halo,
    hatch,
    line,
    path,
    text,
    text_box,
    text_width,
)
from plateside.model.errors import RefusedError

LEFT, TOP, PLOT_WIDTH, PLOT_HEIGHT = 76.0, 100.0, 900.0, 380.0
WIDTH = LEFT + PLOT_WIDTH + 100

LX_OF_ONE_SECOND = 160.0
"""f/8, ISO 100 and C = 250 lx s (ISO 2720): t = C N2 / (E S), so 160 lx asks for one second."""


@dataclass(frozen=True)
class Line:
    """A curve drawn beside the main one: another spot, a sheer, a board."""

    name: str
    illuminance_lx: NDArray[np.float64]


@dataclass(frozen=True)
class DayCurve:
    """What the drawing shows; arrays run over `times` (aware, rising, evenly spaced)."""

    times: tuple[datetime, ...]
    timezone: str
    illuminance_lx: NDArray[np.float64]
    low_lx: NDArray[np.float64]
    high_lx: NDArray[np.float64]
    sun_on_dish: NDArray[np.bool_]
    good: NDArray[np.bool_]
    sunrise: datetime | None = None
    sunset: datetime | None = None
    others: tuple[Line, ...] = ()


def spans(flags: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last index of every run of true values."""
    edges = np.diff(np.concatenate([[0], flags.astype(np.int8), [0]]))
    return [
        (int(a), int(b) - 1)
        for a, b in zip(np.nonzero(edges == 1)[0], np.nonzero(edges == -1)[0], strict=True)
    ]


def day_curve(
    day: DayCurve,
    *,
    heading: str,
    subheading: str = "",
    shutter_words: Callable[[float], str],
    good_means: str = "good light",
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
    count = len(day.times)
    for name in ("illuminance_lx", "low_lx", "high_lx", "sun_on_dish", "good"):
        shape = getattr(day, name).shape
        if shape != (count,):
            raise RefusedError("array of another shape", name=name, count=count, got=str(shape))
    sheet = _Sheet.of(day)
    frame = PaperRectangle(LEFT, TOP, LEFT + PLOT_WIDTH, TOP + PLOT_HEIGHT)
    keeper = Keeper(PaperRectangle(LEFT, TOP, LEFT + PLOT_WIDTH, TOP + PLOT_HEIGHT))
    clip = element(
        "clipPath",
        element("rect", x=LEFT, y=TOP, width=PLOT_WIDTH, height=PLOT_HEIGHT),
        id=f"{id_prefix}-frame",
    )
    parts = [
        text(heading, LEFT, 40, size=24, font_family=SERIF),
        text(subheading, LEFT, 62, size=13, fill=SOFT_INK) if subheading else "",
        _stops(sheet, frame, shutter_words),
        _hours(day, sheet, frame),
    ]
    curve = _sun_columns(day, sheet, frame, id_prefix) + _band(day, sheet) + _lines(day, sheet)
    parts.append(element("g", curve, clip_path=f"url(#{id_prefix}-frame)", fill="none"))
    parts.append(_good_bar(day, sheet, frame, good_means))
    if note:
        parts.append(
            halo(
                note,
                (frame.left + frame.right) / 2,
                frame.top + 60,
                size=15,
                anchor="middle",
                font_family=SERIF,
            )
        )
    parts.append(_labels(day, sheet, frame, keeper, marked, shutter_words))
    return document(
        "".join(parts),
        width=WIDTH,
        height=frame.bottom + 92,
        title=heading,
        description=description or describe(day),
        id_prefix=id_prefix,
        definitions=hatch(f"{id_prefix}-sun", gap=6) + clip,
    )


def clock(moment: datetime, timezone: str) -> str:
    """A moment on the kitchen clock."""
    return f"{moment.astimezone(ZoneInfo(timezone)):%H:%M}"


def describe(day: DayCurve) -> str:
    """The curve in words."""
    top = int(np.argmax(day.illuminance_lx))
    sun, good = (
        [
            f"{clock(day.times[a], day.timezone)} to {clock(_ends(day, b), day.timezone)}"
            for a, b in spans(flags)
        ]
        for flags in (day.sun_on_dish, day.good)
    )
    return labels.describe_day(clock(day.times[top], day.timezone), sun, good)


@dataclass(frozen=True)
class _Sheet:
    """From moments and lux to the paper. Moments are held in UTC: between two local ones Python counts wall hours,
    and those are not the true ones on the days when clocks change.
    """

    start: datetime
    end: datetime
    low_stop: int
    high_stop: int

    @classmethod
    def of(cls, day: DayCurve) -> "_Sheet":
        lit = np.nonzero(day.illuminance_lx > 0.5)[0]
        first, last = (int(lit[0]), int(lit[-1])) if len(lit) else (0, -1)
        edges = [day.times[first], day.times[last]] + [t for t in (day.sunrise, day.sunset) if t is not None]
        utc = [t.astimezone(UTC) for t in edges]
        start, end = min(utc) - timedelta(minutes=20), max(utc) + timedelta(minutes=20)
        top = max(float(np.max(day.high_lx)), *(float(np.max(o.illuminance_lx)) for o in day.others), 40.0)
        high = int(np.ceil(np.log2(top / LX_OF_ONE_SECOND) + 0.15))
        # Ten stops hold a working day; the deepest dusk may leave the page.
        low = max(high - 10, int(np.floor(np.log2(min(5.0, top / 30) / LX_OF_ONE_SECOND))))
        return cls(start, end, low, max(high, low + 5))

    def x(self, moment: datetime) -> float:
        share = (moment.astimezone(UTC) - self.start).total_seconds() / (
            self.end - self.start
        ).total_seconds()
        return LEFT + share * PLOT_WIDTH

    def y(self, lx: float) -> float:
        stops = float(np.log2(max(lx, 1e-3) / LX_OF_ONE_SECOND))
        return TOP + (self.high_stop - stops) / (self.high_stop - self.low_stop) * PLOT_HEIGHT


def _stops(sheet: _Sheet, frame: PaperRectangle, shutter_words: Callable[[float], str]) -> str:
    parts = []
    for stop in range(sheet.low_stop, sheet.high_stop + 1):
        lx = LX_OF_ONE_SECOND * 2.0**stop
        y = sheet.y(lx)
        parts.append(line(frame.left, y, frame.right, y, stroke=HAIRLINE, stroke_width=0.8))
        parts.append(text(_two_digits(lx), frame.left - 12, y + 4, anchor="end", fill=SOFT_INK))
        parts.append(text(shutter_words(2.0**-stop), frame.right + 12, y + 4, fill=SOFT_INK))
    parts.append(text("lx", frame.left - 12, frame.top - 14, anchor="end", fill=INK))
    parts.append(text("f/8, ISO 100", frame.right + 12, frame.top - 14, fill=INK))
    return "".join(parts)


def _two_digits(lx: float) -> str:
    rounded = round(lx, 1 - int(np.floor(np.log10(lx))))
    return f"{rounded:g}" if rounded < 10000 else f"{rounded:,.0f}".replace(",", " ")


def _hours(day: DayCurve, sheet: _Sheet, frame: PaperRectangle) -> str:
    zone = ZoneInfo(day.timezone)
    parts = []
    # Steps of real time: where clocks change, the hour written jumps, the spacing does not.
    tick = sheet.start.replace(minute=0, second=0, microsecond=0)
    hours = (sheet.end - sheet.start).total_seconds() / 3600
    every = 1 if hours <= 16 else 2
    while tick <= sheet.end:
        local = tick.astimezone(zone)
        if tick >= sheet.start and local.minute == 0 and local.hour % every == 0:
            x = sheet.x(tick)
            parts.append(line(x, frame.top, x, frame.bottom, stroke=HAIRLINE, stroke_width=0.8))
            parts.append(text(f"{local:%H:%M}", x, frame.bottom + 46, anchor="middle", fill=SOFT_INK))
        tick += timedelta(minutes=15)
    return "".join(parts)


def _ends(day: DayCurve, b: int) -> datetime:
    """When a run that ends with sample b ends: a sample stands for the step that begins with it."""
    if len(day.times) < 2:
        return day.times[b]
    step = day.times[1].astimezone(UTC) - day.times[0].astimezone(UTC)
    return day.times[b].astimezone(UTC) + step


def _edges(day: DayCurve, sheet: _Sheet, a: int, b: int) -> tuple[float, float]:
    """A run of samples as an interval on the paper."""
    left, right = sheet.x(day.times[a]), sheet.x(_ends(day, b))
    return max(left, LEFT), min(right, LEFT + PLOT_WIDTH)


def _sun_columns(day: DayCurve, sheet: _Sheet, frame: PaperRectangle, prefix: str) -> str:
    parts = []
    for a, b in spans(day.sun_on_dish):
        x0, x1 = _edges(day, sheet, a, b)
        if x1 > x0:
            parts.append(element("rect", x=x0, y=frame.top, width=x1 - x0, height=frame.bottom - frame.top,
                                 fill=f"url(#{prefix}-sun)", fill_opacity=0.5))  # fmt: skip
    return "".join(parts)


def _curve(day: DayCurve, sheet: _Sheet, lux: NDArray[np.float64]) -> list[tuple[float, float]]:
    return [(sheet.x(t), sheet.y(float(v))) for t, v in zip(day.times, lux, strict=True)]


def _band(day: DayCurve, sheet: _Sheet) -> str:
    edge = _curve(day, sheet, day.high_lx) + _curve(day, sheet, day.low_lx)[::-1]
    return element("path", d=path(edge, closed=True), fill=ACCENT, fill_opacity=0.16)


def _lines(day: DayCurve, sheet: _Sheet) -> str:
    dashes = ("6 4", "2 3", "9 3 2 3", "1 3", "12 4")
    parts = [
        element(
            "path",
            d=path(_curve(day, sheet, other.illuminance_lx)),
            stroke=INK,
            stroke_width=1.2,
            stroke_dasharray=dashes[i % len(dashes)],
        )
        for i, other in enumerate(day.others)
    ]
    main = path(_curve(day, sheet, day.illuminance_lx))
    parts.append(element("path", d=main, stroke=PAPER, stroke_width=4, stroke_linejoin="round"))
    parts.append(element("path", d=main, stroke=ACCENT, stroke_width=2.2, stroke_linejoin="round"))
    return "".join(parts)


def _good_bar(day: DayCurve, sheet: _Sheet, frame: PaperRectangle, good_means: str) -> str:
    """A bar below the plot: filled where the light is good, with its times on it when they fit."""
    top = frame.bottom + 8
    parts = [line(frame.left, top + 8, frame.right, top + 8, stroke=HAIRLINE)]
    longest = max((b - a for a, b in spans(day.good)), default=0)
    for a, b in spans(day.good):
        x0, x1 = _edges(day, sheet, a, b)
        parts.append(element("rect", x=x0, y=top, width=max(x1 - x0, 1.5), height=16, rx=2, fill=ACCENT))
        words = f"{clock(day.times[a], day.timezone)} to {clock(_ends(day, b), day.timezone)}"
        if b - a == longest and x1 - x0 > text_box(words, 0, 0, size=11).right + 10:
            parts.append(text(words, (x0 + x1) / 2, top + 12, size=11, anchor="middle", fill=PAPER))
    y = frame.bottom + 76
    parts.append(element("rect", x=frame.left, y=y - 10, width=26, height=12, rx=2, fill=ACCENT))
    parts.append(text(good_means, frame.left + 34, y))
    x = text_box(good_means, frame.left + 34, y).right + 24
    parts.append(element("rect", x=x, y=y - 10, width=26, height=12, fill=ACCENT, fill_opacity=0.16))
    parts.append(line(x, y - 4, x + 26, y - 4, stroke=ACCENT, stroke_width=2.2))
    parts.append(text(labels.SPREAD, x + 34, y))
    return "".join(parts)


def _labels(
    day: DayCurve,
    sheet: _Sheet,
    frame: PaperRectangle,
    keeper: Keeper,
    marked: datetime | None,
    shutter_words: Callable[[float], str],
) -> str:
    parts = []
    lux_at = np.array([t.timestamp() for t in day.times])
    for moment, name in ((day.sunrise, "sunrise"), (day.sunset, "sunset")):
        if moment is not None:
            x = sheet.x(moment)
            parts.append(line(x, frame.top - 6, x, frame.bottom, stroke=SOFT_INK, stroke_dasharray="1 3"))
            words = f"{name} {clock(moment, day.timezone)}"
            anchor = "start" if name == "sunrise" else "end"
            parts.append(
                text(
                    words,
                    x - 2 if anchor == "start" else x + 2,
                    frame.top - 12,
                    size=11,
                    anchor=anchor,
                    fill=SOFT_INK,
                )
            )
    for lux in (day.illuminance_lx, *(other.illuminance_lx for other in day.others)):
        for x, y in _curve(day, sheet, lux)[::2]:
            keeper.block(PaperRectangle(x - 4, y - 4, x + 4, y + 4))
    if marked is not None and sheet.start <= marked <= sheet.end:
        lx = float(np.interp(marked.timestamp(), lux_at, day.illuminance_lx))
        x, y = sheet.x(marked), sheet.y(lx)
        parts.append(line(x, y, x, frame.bottom, stroke=INK, stroke_width=0.8))
        parts.append(element("circle", cx=x, cy=y, r=4.5, fill=PAPER, stroke=INK, stroke_width=1.6))
        keeper.block(PaperRectangle(x - 3, y, x + 3, frame.bottom))
        words = f"{clock(marked, day.timezone)}  about {_two_digits(lx)} lx, {shutter_words(LX_OF_ONE_SECOND / lx)}"
        place = keeper.place(words, [(x + 12, y + 26, "start"), (x - 12, y + 26, "end"), (x + 12, y - 16, "start"),
                                     (x, y + 46, "middle"), (x + 12, y + 70, "start")])  # fmt: skip
        if place:
            parts.append(halo(words, place[0], place[1], anchor=place[2]))
    for a, b in spans(day.sun_on_dish):
        x0, x1 = _edges(day, sheet, a, b)
        words = labels.sun_from_to(clock(day.times[a], day.timezone), clock(_ends(day, b), day.timezone))
        rows = [frame.top + 20.0 + 19 * i for i in range(12)]
        beside = [(x1 + 8, "start"), (x0 - 8, "end")]
        if text_width(words) < x1 - x0 - 8:
            beside.insert(0, ((x0 + x1) / 2, "middle"))
        place = keeper.place(words, [(x, y, anchor) for x, anchor in beside for y in rows])
        if place:
            parts.append(halo(words, place[0], place[1], anchor=place[2]))
    for i, other in enumerate(day.others):
        curve = _curve(day, sheet, other.illuminance_lx)
        order = sorted(range(len(curve)), key=lambda k: abs(k / len(curve) - 0.55 - 0.08 * (i % 3)))
        spots = [
            (curve[k][0], curve[k][1] + dy, "middle")
            for k in order[:: max(1, len(order) // 40)]
            for dy in (-9.0, 19.0)
        ]
        place = keeper.place(other.name, spots, size=11)
        if place:
            parts.append(halo(other.name, place[0], place[1], size=11, anchor=place[2]))
    return "".join(parts)
