"""The day of the shoot as three lanes on one axis of hours: light, kitchen, camera."""

from datetime import datetime, timedelta

from plateside.drawing.kit import document, element, escape, line, text
from plateside.drawing.palette import ACCENT, HAIRLINE, INK, SOFT, SUN
from plateside.plan.day import DayPlan
from plateside.plan.kitchen import DAY_BEFORE

LEFT, PLOT_WIDTH, WIDTH, HEIGHT = 70.0, 930.0, 1022.0, 128.0
LANES = (("light", 34), ("kitchen", 66), ("camera", 102))
WORDS = (
    "The day: good light, kitchen and camera. Pale: no hands needed, or setting up; full: hands, or the hero."
)


def shoot_day(day: DayPlan, id_prefix: str = "shoot-day") -> str:
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

    def block(
        a: datetime, b: datetime, y: float, high: float, fill: str, words: str, opacity: float = 1
    ) -> str:
        told = element("title", escape(words))
        wide = max(x(b) - x(a), 1.0)
        return element(
            "rect", told, x=x(a), y=y, width=wide, height=high, rx=1.5, fill=fill, fill_opacity=opacity
        )

    out = []
    for i in range(hours + 1):
        t = first + timedelta(hours=i)
        out.append(line(x(t), 18, x(t), 118, stroke=HAIRLINE))
        out.append(text(f"{t:%H:%M}", x(t), 12, anchor="middle", fill=SOFT))
    out += [text(name, 0, y, fill=SOFT) for name, y in LANES]
    for a, b in day.good_light:
        if b > first:
            out.append(block(a, b, 24, 14, SUN, f"good light {a:%H:%M} to {b:%H:%M}"))
    for k in day.kitchen:
        if k.why != DAY_BEFORE:
            fill, opacity, words = (INK, 0.85, k.name) if k.hands else (SOFT, 0.3, f"{k.name}, no hands")
            out.append(block(k.starts, k.ends, 54, 16, fill, words, opacity))
    for s in day.slots:
        out.append(block(s.starts, s.set_by, 90, 16, ACCENT, f"{s.shot}: set up with the stand-in", 0.35))
        out.append(block(s.hero_in, s.ends, 90, 16, ACCENT, f"{s.shot}: the hero"))
        out.append(text(f"{s.hero_in:%H:%M}", x(s.hero_in), 122, anchor="middle"))
    return document("".join(out), width=WIDTH, height=HEIGHT, title="The day", description=WORDS,
                    id_prefix=id_prefix, sized=False, ground=None)  # fmt: skip
