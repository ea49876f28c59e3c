"""The plot of one day's light, whoever shows it: each step up is one stop, so a fall that looks the same is the same
to the camera, at noon or at dusk.

DayCurve  what is shown             Plot  from moments and lux to the paper, and every part of the plot
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from plateside.drawing.kit import element, halo, line, path, text
from plateside.drawing.labels import Box, Keeper, text_box, text_width
from plateside.drawing.palette import ACCENT, HAIRLINE, INK, PAPER, SOFT, SUN
from plateside.model.errors import RefusedError
from plateside.words import drawings as said

LX_OF_ONE_SECOND = 160.0
"""f/8, ISO 100 and C = 250 lx s (ISO 2720): t = C N2 / (E S), so 160 lx asks for one second."""
DASHES = ("6 4", "2 3", "9 3 2 3", "1 3", "12 4")
LETTERS = 11.0

Shutter = Callable[[float], str]
"""Names an exposure time [s] as it is marked on a camera."""


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

    def judged(self) -> None:
        """Raises InputError when an array does not fit the times."""
        count = len(self.times)
        for name in ("illuminance_lx", "low_lx", "high_lx", "sun_on_dish", "good"):
            shape = getattr(self, name).shape
            if shape != (count,):
                raise RefusedError("array of another shape", name=name, count=count, got=str(shape))

    @property
    def most_lx(self) -> float:
        """The most that is drawn."""
        return max(float(np.max(self.high_lx)), *(float(np.max(o.illuminance_lx)) for o in self.others), 40.0)

    def ends(self, b: int) -> datetime:
        """When a run that ends with sample b ends: a sample stands for the step that begins with it."""
        if len(self.times) < 2:
            return self.times[b]
        step = self.times[1].astimezone(UTC) - self.times[0].astimezone(UTC)
        return self.times[b].astimezone(UTC) + step

    def clock(self, moment: datetime) -> str:
        """A moment on the kitchen clock."""
        return f"{moment.astimezone(ZoneInfo(self.timezone)):%H:%M}"

    def clocks(self, a: int, b: int) -> str:
        """A run of samples: '07:05 to 09:00'."""
        return said.span(self.clock(self.times[a]), self.clock(self.ends(b)))


def spans(flags: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last index of every run of true values."""
    edges = np.diff(np.concatenate([[0], flags.astype(np.int8), [0]]))
    return [
        (int(a), int(b) - 1)
        for a, b in zip(np.nonzero(edges == 1)[0], np.nonzero(edges == -1)[0], strict=True)
    ]


def two_digits(lx: float) -> str:
    """'1300', '12 000'."""
    rounded = round(lx, 1 - int(np.floor(np.log10(lx))))
    return f"{rounded:g}" if rounded < 10000 else f"{rounded:,.0f}".replace(",", " ")


@dataclass(frozen=True)
class Plot:
    """From moments and lux to the paper. Moments are held in UTC: between two local ones Python counts wall hours,
    and those are not the true ones on the days when clocks change.
    """

    day: DayCurve
    frame: Box
    start: datetime
    end: datetime
    low_stop: int
    high_stop: int
    id_prefix: str

    def x(self, moment: datetime) -> float:
        whole = max((self.end - self.start).total_seconds(), 1.0)
        share = (moment.astimezone(UTC) - self.start).total_seconds() / whole
        return self.frame.left + share * (self.frame.right - self.frame.left)

    def y(self, lx: float) -> float:
        stops = float(np.log2(max(lx, 1e-3) / LX_OF_ONE_SECOND))
        share = (self.high_stop - stops) / (self.high_stop - self.low_stop)
        return self.frame.top + share * (self.frame.bottom - self.frame.top)

    def clip(self) -> str:
        """The frame, to cut by; a definition."""
        f = self.frame
        rect = element("rect", x=f.left, y=f.top, width=f.right - f.left, height=f.bottom - f.top)
        return element("clipPath", rect, id=f"{self.id_prefix}-frame")

    def grid(self, shutter_words: Shutter, *, every: int = 1, short: bool = False) -> str:
        """Stops with their lux and exposure, hours of the clock. every: how many stops to a number."""
        f, parts = self.frame, []
        for n, stop in enumerate(range(self.high_stop, self.low_stop - 1, -1)):
            y = self.y(LX_OF_ONE_SECOND * 2.0**stop)
            parts.append(line(f.left, y, f.right, y, stroke=HAIRLINE, stroke_width=0.8))
            if n % every == 0:
                lx = two_digits(LX_OF_ONE_SECOND * 2.0**stop)
                parts.append(text(lx, f.left - 12, y + 4, anchor="end", fill=SOFT))
                parts.append(text(shutter_words(2.0**-stop), f.right + 12, y + 4, fill=SOFT))
        parts.append(text("lx", f.left - 12, f.top - 14, anchor="end"))
        parts.append(text("f/8" if short else "f/8, ISO 100", f.right + 12, f.top - 14))
        return "".join(parts) + self._hours()

    def _hours(self) -> str:
        zone, f, parts = ZoneInfo(self.day.timezone), self.frame, []
        # Steps of real time: where clocks change, the hour written jumps, the spacing does not.
        tick = self.start.replace(minute=0, second=0, microsecond=0)
        hours = max((self.end - self.start).total_seconds() / 3600, 0.1)
        px = (f.right - f.left) / hours
        every = next((n for n in (1, 2, 3, 4) if n * px > 48), 6)
        while tick <= self.end:
            local = tick.astimezone(zone)
            if tick >= self.start and local.minute == 0 and local.hour % every == 0:
                x = self.x(tick)
                parts.append(line(x, f.top, x, f.bottom, stroke=HAIRLINE, stroke_width=0.8))
                parts.append(text(f"{local:%H:%M}", x, f.bottom + 46, anchor="middle", fill=SOFT))
            tick += timedelta(minutes=15)
        return "".join(parts)

    def edges(self, a: int, b: int) -> tuple[float, float]:
        """A run of samples as an interval on the paper."""
        left, right = self.x(self.day.times[a]), self.x(self.day.ends(b))
        return max(left, self.frame.left), min(right, self.frame.right)

    def curve(self, lux: NDArray[np.float64]) -> list[tuple[float, float]]:
        """Values as points of the paper; what is before or after the plot is left out but for one step."""
        points = [(self.x(t), self.y(float(v))) for t, v in zip(self.day.times, lux, strict=True)]
        step = points[1][0] - points[0][0] if len(points) > 1 else 0.0
        return [p for p in points if self.frame.left - 1.5 * step <= p[0] <= self.frame.right + 1.5 * step]

    def light(self) -> str:
        """Sun on the dish, the spread, the other curves and the day's own."""
        f, day, parts = self.frame, self.day, []
        for a, b in spans(day.sun_on_dish):
            x0, x1 = self.edges(a, b)
            if x1 > x0:
                parts.append(element("rect", x=x0, y=f.top, width=x1 - x0, height=f.bottom - f.top,
                                     fill=f"url(#{self.id_prefix}-sun)", fill_opacity=0.5))  # fmt: skip
        spread = self.curve(day.high_lx) + self.curve(day.low_lx)[::-1]
        parts.append(element("path", d=path(spread, closed=True), fill=ACCENT, fill_opacity=0.16))
        for i, other in enumerate(day.others):
            parts.append(element("path", d=path(self.curve(other.illuminance_lx)), stroke=INK, stroke_width=1.2,
                                 stroke_dasharray=DASHES[i % len(DASHES)]))  # fmt: skip
        main = path(self.curve(day.illuminance_lx))
        parts.append(element("path", d=main, stroke=PAPER, stroke_width=4, stroke_linejoin="round"))
        parts.append(element("path", d=main, stroke=ACCENT, stroke_width=2.2, stroke_linejoin="round"))
        return element("g", "".join(parts), clip_path=f"url(#{self.id_prefix}-frame)", fill="none")

    def good_bar(self) -> str:
        """A bar below the plot: filled where the light is good, with its times on it where they fit."""
        top = self.frame.bottom + 8
        parts = [line(self.frame.left, top + 8, self.frame.right, top + 8, stroke=HAIRLINE)]
        for a, b in spans(self.day.good):
            x0, x1 = self.edges(a, b)
            parts.append(element("rect", x=x0, y=top, width=max(x1 - x0, 1.5), height=16, rx=2, fill=ACCENT))
            for words in (said.good_when(self.day.clocks(a, b)), self.day.clocks(a, b)):
                if x1 - x0 > text_width(words, LETTERS) + 10:
                    middle = (x0 + x1) / 2
                    parts.append(text(words, middle, top + 12, size=LETTERS, anchor="middle", fill=PAPER))
                    break
        return "".join(parts)

    def sun_times(self, *, short: bool = False) -> str:
        """Sunrise and sunset as lines, above the plot by name."""
        parts = []
        for moment, name in ((self.day.sunrise, said.SUNRISE), (self.day.sunset, said.SUNSET)):
            if moment is None:
                continue
            x, first = min(max(self.x(moment), self.frame.left), self.frame.right), name == said.SUNRISE
            bottom = self.frame.bottom
            parts.append(line(x, self.frame.top - 6, x, bottom, stroke=SOFT, stroke_dasharray="1 3"))
            words, anchor = (
                (name if short else f"{name} {self.day.clock(moment)}"),
                "start" if first else "end",
            )
            at = x - 2 if first else x + 2
            parts.append(text(words, at, self.frame.top - 12, size=LETTERS, anchor=anchor, fill=SOFT))
        return "".join(parts)

    def block_curves(self, keeper: Keeper) -> None:
        """No words on a curve."""
        for lux in (self.day.illuminance_lx, *(other.illuminance_lx for other in self.day.others)):
            for x, y in self.curve(lux)[::2]:
                keeper.block(Box(x - 4, y - 4, x + 4, y + 4))

    def names(self, keeper: Keeper) -> str:
        """When the sun is on the dish, and the other curves' names, where there is room."""
        parts = []
        for a, b in spans(self.day.sun_on_dish):
            x0, x1 = self.edges(a, b)
            words = said.sun_on_dish(self.day.clocks(a, b))
            rows = [self.frame.top + 20.0 + 19 * i for i in range(12)]
            beside = [(x1 + 8, "start"), (x0 - 8, "end")]
            if text_width(words) < x1 - x0 - 8:
                beside.insert(0, ((x0 + x1) / 2, "middle"))
            place = keeper.place(words, [(x, y, anchor) for x, anchor in beside for y in rows])
            if place:
                parts.append(halo(words, place[0], place[1], anchor=place[2]))
        for i, other in enumerate(self.day.others):
            curve = self.curve(other.illuminance_lx)
            order = sorted(range(len(curve)), key=lambda k: abs(k / len(curve) - 0.55 - 0.08 * (i % 3)))
            spots = [
                (curve[k][0], curve[k][1] + dy, "middle")
                for k in order[:: max(1, len(order) // 40)]
                for dy in (-9.0, 19.0)
            ]
            place = keeper.place(other.name, spots, size=LETTERS)
            if place:
                parts.append(halo(other.name, place[0], place[1], size=LETTERS, anchor=place[2]))
        return "".join(parts)

    def mark(self, moment: datetime, lx: float) -> str:
        """A moment pointed at: a line down to the hours, a dot on the curve."""
        x, y = self.x(moment), min(self.y(lx), self.frame.bottom)
        return line(x, self.frame.top, x, self.frame.bottom + 26, class_="mark") + element(
            "circle", class_="dot", cx=x, cy=y, r=6, fill=SUN, stroke=INK, stroke_width=1.6
        )


def legend(y: float, left: float, good_means: str) -> str:
    """What the bar, the line and its spread mean, in a row."""
    x = text_box(good_means, left + 34, y).right + 24
    return (
        element("rect", x=left, y=y - 10, width=26, height=12, rx=2, fill=ACCENT)
        + text(good_means, left + 34, y)
        + element("rect", x=x, y=y - 10, width=26, height=12, fill=ACCENT, fill_opacity=0.16)
        + line(x, y - 4, x + 26, y - 4, stroke=ACCENT, stroke_width=2.2)
        + text(said.SPREAD, x + 34, y)
    )
