"""The day of the shoot in lanes on one axis of hours: light, kitchen, camera.

day_sheet      all of it as one drawing, for paper
curve_lane     one shot's light over the day          strip_lane    one shot's good light and its hour
kitchen_lane   every step of cooking                  A page lays them under each other and moves its mark over them.

Lanes are as wide as the day has minutes, and are stretched to their place: so what is drawn has no words in it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from plateside.drawing.kit import document, element, escape, line, number, path, text
from plateside.drawing.palette import ACCENT, ACCENT_PALE, DEEP_SUN, HAIRLINE, INK, SOFT, SOFT_PALE, SUN, WASH
from plateside.plan.day_plan import DayPlan
from plateside.plan.kitchen import DAY_BEFORE
from plateside.words import drawings as said

LEFT, PLOT_WIDTH, WIDTH, HEIGHT = 70.0, 930.0, 1022.0, 128.0
LANES_AT = (34, 66, 102)

_FILLS = {
    "good": SUN, "setting": ACCENT_PALE, "hero": ACCENT, "hands": INK, "no-hands": SOFT_PALE, "sun": DEEP_SUN,
    "off": WASH,
}  # fmt: skip
"""What each block means, and its colour: full where hands are needed or the hero stands, pale where not."""

CURVE_HIGH, STRIP_HIGH, ROW_HIGH = 100.0, 24.0, 14.0
Stretch = tuple[float, float]
"""From one minute to another."""


def _block(
    left: float, right: float, top: float, high: float, kind: str, words: str = "", least: float = 1.0
) -> str:
    title = element("title", escape(words)) if words else ""
    return element("rect", title, class_=kind, x=left, y=top, width=max(right - left, least), height=high,
                   fill=_FILLS[kind])  # fmt: skip


def key_sign(kind: str) -> str:
    """A block as the key beside a drawing shows it."""
    return element("svg", _block(0, 20, 1, 10, kind), xmlns="http://www.w3.org/2000/svg", viewBox="0 0 20 12", width=20,
                   height=12, aria_hidden="true")  # fmt: skip


def day_sheet(day: DayPlan, id_prefix: str = "shoot-day") -> str:
    """The day as SVG; '' when nothing is planned."""
    moments = [t for s in day.slots for t in (s.starts, s.ends)]
    moments += [t for k in day.kitchen if k.why != DAY_BEFORE for t in (k.starts, k.ends)]
    if not moments:
        return ""
    first = min(moments).replace(minute=0, second=0, microsecond=0)
    hours = int((max(moments) - first).total_seconds() // 3600) + 1
    end = first + timedelta(hours=hours)

    def x(t: datetime) -> float:
        return LEFT + PLOT_WIDTH * min(max((t - first) / (end - first), 0.0), 1.0)

    out = []
    for i in range(hours + 1):
        t = first + timedelta(hours=i)
        out.append(line(x(t), 18, x(t), 118, stroke=HAIRLINE))
        out.append(text(f"{t:%H:%M}", x(t), 12, anchor="middle", fill=SOFT))
    out += [text(name, 0, y, fill=SOFT) for name, y in zip(said.LANES, LANES_AT, strict=True)]
    for a, b in day.good_light:
        if b > first:
            out.append(
                _block(x(a), x(b), 24, 14, "good", said.good_block(said.span(f"{a:%H:%M}", f"{b:%H:%M}")))
            )
    for k in day.kitchen:
        if k.why != DAY_BEFORE:
            kind, words = "hands" if k.hands else "no-hands", said.cooking_block(k.name, hands=k.hands)
            out.append(_block(x(k.starts), x(k.ends), 54, 16, kind, words))
    for s in day.slots:
        out.append(_block(x(s.starts), x(s.set_by), 90, 16, "setting", said.setting_block(s.shot)))
        out.append(_block(x(s.hero_in), x(s.ends), 90, 16, "hero", said.hero_block(s.shot)))
        out.append(text(f"{s.hero_in:%H:%M}", x(s.hero_in), 122, anchor="middle"))
    return document("".join(out), width=WIDTH, height=HEIGHT, title=said.SHOOT_DAY, description=said.SHOOT_DAY_TOLD,
                    id_prefix=id_prefix, sized=False, ground=None)  # fmt: skip


@dataclass(frozen=True)
class Axis:
    """The part of the day that lanes show, in minutes after midnight."""

    from_min: float
    to_min: float
    work: Stretch
    """The working day: what is outside of it is pale."""
    hours: tuple[float, ...]
    """Whole hours of the clock."""

    def x(self, minute: float) -> float:
        """Minutes from the left edge, within the lane."""
        return min(max(minute, self.from_min), self.to_min) - self.from_min

    def blocks(self, spans: Sequence[Stretch], top: float, high: float, kind: str) -> str:
        """Stretches of time; what is outside the lane is left out."""
        return "".join(
            _block(self.x(a), self.x(b), top, high, kind) for a, b in spans if self.x(b) > self.x(a)
        )

    def lane(self, high: float, words: str, drawn: str, **more: object) -> str:
        """A lane as SVG, to be stretched sideways; `words` say it to those who cannot see it."""
        off = self.blocks([(self.from_min, self.work[0]), (self.work[1], self.to_min)], 0, high, "off")
        hours = "".join(
            line(self.x(at), 0, self.x(at), high, stroke=HAIRLINE, vector_effect="non-scaling-stroke")
            for at in self.hours
        )
        return element(
            "svg", off + hours + drawn, xmlns="http://www.w3.org/2000/svg", preserveAspectRatio="none",
            viewBox=f"0 0 {number(self.to_min - self.from_min)} {number(high)}", role="img", aria_label=words,
            **more,
        )  # fmt: skip


def curve_lane(
    axis: Axis,
    light: Sequence[tuple[float, float]],
    *,
    low_share: float,
    high_share: float,
    good: Sequence[Stretch],
    sun: Sequence[Stretch],
    words: str,
    id_prefix: str,
) -> str:
    """One shot's light over the day, even in lux: (minute, lux), its spread as shares of it; below it what is good."""
    top = max((lux for _, lux in light), default=0.0) * high_share * 1.04 or 1.0

    def points(share: float) -> list[tuple[float, float]]:
        return [(axis.x(minute), CURVE_HIGH * (1 - lux * share / top)) for minute, lux in light]

    main = points(1.0)
    ends = [(main[-1][0], CURVE_HIGH), (main[0][0], CURVE_HIGH)] if main else []
    clip = element("clipPath", axis.blocks(good, 0, CURVE_HIGH, "good"), id=f"{id_prefix}-good")
    under = element("path", d=path([*main, *ends], closed=True), fill=SUN, fill_opacity=0.55,
                    clip_path=f"url(#{id_prefix}-good)")  # fmt: skip
    spread = element("path", d=path(points(high_share) + points(low_share)[::-1], closed=True), fill=ACCENT,
                     fill_opacity=0.13)  # fmt: skip
    curve = element("path", class_="curve", d=path(main), fill="none", stroke=ACCENT, stroke_width=1.8,
                    vector_effect="non-scaling-stroke")  # fmt: skip
    drawn = element("defs", clip) + under + spread + axis.blocks(sun, CURVE_HIGH - 4, 4, "sun") + curve
    return axis.lane(CURVE_HIGH, words, drawn)


def strip_lane(
    axis: Axis, *, good: Sequence[Stretch], setting: Stretch | None, hero: Stretch | None, words: str
) -> str:
    """One shot: its good light, and when it is set up and taken."""
    drawn = axis.blocks(good, 7, 10, "good")
    drawn += axis.blocks([setting] if setting else [], 3, 18, "setting")
    return axis.lane(STRIP_HIGH, words, drawn + axis.blocks([hero] if hero else [], 3, 18, "hero"))


def kitchen_lane(axis: Axis, tasks: Sequence[tuple[Stretch, bool]], words: str) -> str:
    """Every step of cooking (when, and whether it needs hands); steps at one time below each other.

    Its root's data-high [px] is how high it wants to be.
    """
    ends: list[float] = []
    drawn = ""
    for (a, b), hands in tasks:
        row = next((n for n, end in enumerate(ends) if end <= a + 0.01), len(ends))
        ends[row : row + 1] = [b]
        drawn += axis.blocks([(a, b)], row * ROW_HIGH + 3, 10, "hands" if hands else "no-hands")
    high = max(len(ends), 1) * ROW_HIGH + 4
    return axis.lane(high, words, drawn, data_high=high)
