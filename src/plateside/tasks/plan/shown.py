"""The planned day as words, drawings and minutes after midnight: what the Plan page shows.

`planned_day`  the whole day: light and hour of every shot, its card, the kitchen
"""

from collections.abc import MutableMapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

from plateside.camera.findings import Unmet
from plateside.drawing.setup_above import top_view
from plateside.drawing.setup_side import side_view
from plateside.drawing.shoot_day import Axis, Stretch, curve_lane, key_sign, kitchen_lane, strip_lane
from plateside.ground.exposure import level_share, lux_at_camera
from plateside.ground.figures import rounded
from plateside.model.progress import Progress, silent
from plateside.model.shoot import Shot
from plateside.plan.cautions import cautions_of
from plateside.plan.day_plan import Slot
from plateside.plan.kitchen import DAY_BEFORE
from plateside.tasks.plan.planned import Memory, Worked, picture_key, work_out
from plateside.tasks.plan.setup import ShotDay, moment_of
from plateside.words import Row
from plateside.words import drawings as said
from plateside.words.counting import clock as at_clock
from plateside.words.plan.day import (
    begins_phrase,
    note_sentences,
    plate_phrase,
    range_phrase,
    remark_sentences,
    unlit_sentences,
)
from plateside.words.plan.holding import holding_sentences
from plateside.words.plan.set_up import (
    cautions,
    crops,
    fact_rows,
    frame_failure_phrases,
    lens_phrase,
    minds,
    more_light,
    on_the_set,
    two_metre_lines,
)
from plateside.words.plan.sheet import caution_lines
from plateside.words.units import length, units_of


@dataclass(frozen=True, kw_only=True)
class ClockSpan:
    """From one minute to another, after the local midnight of the day, with both in words."""

    start_min: float
    end_min: float
    words: str


@dataclass(frozen=True, kw_only=True)
class SlotShown(ClockSpan):
    """A shot's time."""

    set_min: float
    """The set stands: from here to the hero the hands are in the kitchen."""
    setting_words: str
    hero_min: float
    hero_words: str
    frames_words: str
    good_light: bool
    remarks: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class TaskShown(ClockSpan):
    """One step of cooking."""

    name: str
    hands: bool
    why: str
    day_before: bool


@dataclass(frozen=True, kw_only=True)
class LightShown:
    """A shot's light over the part of the day that is drawn."""

    minutes: tuple[float, ...]
    lux: tuple[float, ...]
    """As the shot's camera sees the dish [lx]."""
    good: tuple[ClockSpan, ...]
    good_min: float
    """Good minutes within the working day."""
    curve: str
    """SVG, a lane as wide as the day: drawing.shoot_day."""


@dataclass(frozen=True, kw_only=True)
class CardShown:
    """One shot's set-up, in words and drawings."""

    camera: str
    lens: str
    distance: str
    height: str
    aperture: str
    shutter: str
    iso: str
    support: str
    on_set: tuple[str, ...]
    """The same for a screen that is read from beside the dish: a few short lines."""
    facts: tuple[Row, ...]
    side: str
    """SVG."""
    top: str
    """SVG."""
    not_as_asked: tuple[str, ...]
    """The frame that no lens gives, with its reason and the ways out: shown before the settings."""
    unmet: tuple[Unmet, ...]
    """Every wish that is not met, as facts."""
    minds: tuple[str, ...]
    known: tuple[str, ...]
    crops: tuple[str, ...]
    ways_out: tuple[str, ...]
    cautions: tuple[str, ...]
    picture_key: str
    """Names the planned picture: another key as soon as anything that it shows or its exposure is another."""
    wide: float
    high: float
    """The frame's shape: sensor as it is held [mm]."""


@dataclass(frozen=True, kw_only=True)
class ShotShown:
    """One shot of the list."""

    name: str
    slot: SlotShown | None
    light: LightShown | None
    card: CardShown | None
    problem: str
    strip: str
    """SVG, a lane: good light, setting up, the hero."""


@dataclass(frozen=True, kw_only=True)
class KeySign:
    """A block of the lanes and what it means."""

    svg: str
    words: str


@dataclass(frozen=True, kw_only=True)
class PlannedDay:
    """The whole day."""

    version: str
    studio_version: str
    place: str
    begins: str
    from_min: float
    to_min: float
    """The part of the day that is drawn, whole hours."""
    day_from_min: float
    day_to_min: float
    """The working day."""
    hours: tuple[tuple[float, str], ...]
    """Whole hours of the clock: minutes after midnight, and the hour in words."""
    good_for_all: tuple[ClockSpan, ...]
    shots: tuple[ShotShown, ...]
    kitchen: tuple[TaskShown, ...]
    kitchen_lane: str
    """SVG."""
    key: tuple[KeySign, ...]
    plates: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    rule: str
    unlit: str
    """What the studio lacks before any light is known, and what is planned all the same; empty: nothing."""


def planned_day(root: Path, memory: Memory, progress: Progress = silent) -> PlannedDay:
    """The day of the shoot in `root` as the page shows it. Raises as work_out."""
    worked = work_out(root, memory, progress)
    opened, day = worked.opened, worked.planned.day
    clock = _Clock(moment_of(opened, "00:00"))
    day_from, day_to = (moment_of(opened, t) for t in (opened.shoot.from_time, opened.shoot.to_time))
    today = [t for t in day.kitchen if t.why != DAY_BEFORE]
    starts = [day_from, *(s.starts for s in day.slots), *(t.starts for t in today)]
    ends = [day_to, *(s.ends for s in day.slots), *(t.ends for t in today)]
    first = max(0.0, 60.0 * (clock.min_of(min(starts)) // 60))
    last = min(clock.length_min, 60.0 * -(-clock.min_of(max(ends)) // 60))
    slots = {s.shot: s for s in day.slots}
    hours = clock.hours(first, last)
    work = clock.min_of(day_from), clock.min_of(day_to)
    axis = Axis(first, last, work, tuple(minute for minute, _ in hours))
    shown = []
    for shot in opened.shoot.shots:
        light = _light(shot, worked.planned.lights[shot.name], clock, axis, (day_from, day_to))
        slot = _slot(slots[shot.name], clock) if shot.name in slots else None
        shown.append(
            ShotShown(
                name=shot.name,
                slot=slot,
                light=light,
                card=_known_card(worked, shot, memory.cards) if shot.name in worked.set_ups else None,
                problem=worked.problems.get(shot.name, ""),
                strip=_strip(shot.name, slot, light, axis),
            )
        )
    kitchen = tuple(
        TaskShown(
            name=t.name, hands=t.hands, why="" if t.why == "ahead" else t.why, day_before=t.why == DAY_BEFORE,
            **vars(clock.span(t.starts, t.ends)),
        )
        for t in day.kitchen
    )  # fmt: skip
    return PlannedDay(
        version=worked.version,
        studio_version=worked.studio_version,
        place=opened.studio.place.name,
        begins=begins_phrase(day, day_from.date()),
        from_min=first,
        to_min=last,
        day_from_min=clock.min_of(day_from),
        day_to_min=clock.min_of(day_to),
        hours=hours,
        good_for_all=tuple(clock.span(a, b) for a, b in day.good_light),
        shots=tuple(shown),
        kitchen=kitchen,
        kitchen_lane=_kitchen(kitchen, axis),
        key=tuple(KeySign(svg=key_sign(kind), words=words) for kind, words in said.KEY[bool(day.unlit) :]),
        plates=tuple(plate_phrase(p) for p in day.plates),
        notes=tuple(note_sentences(day)),
        cautions=tuple(caution_lines(cautions_of(opened.shoot.shots, opened.shoot.recipe.ingredients))),
        rule=holding_sentences(day.rule) if opened.shoot.recipe.perishable else "",
        unlit=unlit_sentences(day),
    )  # fmt: skip


class _Clock:
    """Minutes of true time after the day's local midnight: an hour that clocks skip or repeat is not lost."""

    def __init__(self, midnight: datetime) -> None:
        self._midnight = midnight
        next_day = (midnight + timedelta(days=1)).replace(hour=0, minute=0)
        self.length_min = (next_day.timestamp() - midnight.timestamp()) / 60.0

    def min_of(self, when: datetime) -> float:
        return (when.timestamp() - self._midnight.timestamp()) / 60.0

    def span(self, start: datetime, end: datetime) -> ClockSpan:
        return ClockSpan(
            start_min=self.min_of(start), end_min=self.min_of(end), words=range_phrase(start, end)
        )

    def hours(self, first: float, last: float) -> tuple[tuple[float, str], ...]:
        zone = self._midnight.tzinfo
        out = []
        at = first
        while at <= last + 1e-6:
            when = datetime.fromtimestamp(self._midnight.timestamp() + 60.0 * at, zone)
            out.append((at, f"{when:%H:%M}"))
            at += 60.0
        return tuple(out)


def _slot(slot: Slot, clock: _Clock) -> SlotShown:
    return SlotShown(
        set_min=clock.min_of(slot.set_by),
        setting_words=clock.span(slot.starts, slot.set_by).words,
        frames_words=clock.span(slot.hero_in, slot.ends).words,
        hero_min=clock.min_of(slot.hero_in),
        hero_words=at_clock(slot.hero_in),
        good_light=slot.good_light,
        remarks=remark_sentences(slot),
        **vars(clock.span(slot.starts, slot.ends)),
    )


def _light(
    shot: Shot, light: ShotDay, clock: _Clock, axis: Axis, day: tuple[datetime, datetime]
) -> LightShown | None:
    if light.day is None:
        return None
    found = light.day
    lux = lux_at_camera(found.horizontal_lx, found.camera_lx, level_share(shot.elevation))
    at = [clock.min_of(t) for t in found.times]
    inside = [i for i, minute in enumerate(at) if axis.from_min - 1e-6 <= minute <= axis.to_min + 1e-6]
    best = max(float(np.max(found.horizontal_lx)), 1e-6)
    i = int(np.argmax(found.horizontal_lx))
    minutes = 0.0
    for span in found.good:
        a, b = max(span.start.timestamp(), day[0].timestamp()), min(span.end.timestamp(), day[1].timestamp())
        minutes += max(0.0, (b - a) / 60.0)
    low, high = float(found.horizontal_low_lx[i]) / best, float(found.horizontal_high_lx[i]) / best
    shown = [(at[k], round(float(lux[k]), 1)) for k in inside]
    good = tuple(clock.span(s.start, s.end) for s in found.good)
    most = max((value for _, value in shown), default=0.0)
    return LightShown(
        minutes=tuple(minute for minute, _ in shown),
        lux=tuple(value for _, value in shown),
        good=good,
        good_min=minutes,
        curve=curve_lane(
            axis, shown, low_share=low, high_share=high, good=_stretches(good),
            sun=_stretches([clock.span(s.start, s.end) for s in found.sun_intervals]), id_prefix=f"{shot.name}-day",
            words=said.light_told(shot.name, rounded(most), rounded(most * low), rounded(most * high)),
        ),
    )  # fmt: skip


def _stretches(spans: Sequence[ClockSpan]) -> list[Stretch]:
    return [(s.start_min, s.end_min) for s in spans]


def _strip(name: str, slot: SlotShown | None, light: LightShown | None, axis: Axis) -> str:
    """A shot's lane, with what it says to those who cannot see it."""
    good = None if light is None else [s.words for s in light.good]
    when = (slot.setting_words, slot.frames_words) if slot else None
    return strip_lane(
        axis, good=_stretches(light.good if light else ()), words=said.strip_told(name, good, when),
        setting=(slot.start_min, slot.set_min) if slot else None,
        hero=(slot.hero_min, slot.end_min) if slot else None,
    )  # fmt: skip


def _kitchen(tasks: Sequence[TaskShown], axis: Axis) -> str:
    today = [t for t in tasks if not t.day_before]
    words = said.kitchen_told([(t.words, t.name) for t in today])
    return kitchen_lane(axis, [((t.start_min, t.end_min), t.hands) for t in today], words)


def _known_card(worked: Worked, shot: Shot, known: MutableMapping[object, CardShown]) -> CardShown:
    """A shot's card, drawn anew when anything of it is another."""
    opened = worked.opened
    on = (opened.studio, opened.shoot.sky, shot, worked.set_ups[shot.name])
    if on not in known:
        known[on] = _card(worked, shot)
    return known[on]


def _card(worked: Worked, shot: Shot) -> CardShown:
    s, studio = worked.set_ups[shot.name], worked.opened.studio
    units = units_of(studio.place.units)
    return CardShown(
        camera=s.camera,
        lens=lens_phrase(s),
        distance=length(s.lens_distance_m, units),
        height=length(s.lens_above_surface_m, units),
        aperture=s.f_number_words,
        shutter=s.exposure_words,
        iso=s.iso_words,
        support=s.support,
        on_set=tuple(two_metre_lines(s, units)),
        facts=tuple(fact_rows(s, units)),
        side=side_view(studio, shot, s),
        top=top_view(studio, shot, s),
        not_as_asked=tuple(frame_failure_phrases(s, units)),
        unmet=s.unmet,
        minds=tuple(minds(s, units)),
        known=tuple(on_the_set(s, units)),
        crops=tuple(crops(s, units)),
        ways_out=tuple(more_light(s, units)),
        cautions=tuple(cautions(s)),
        picture_key=picture_key(worked, shot),
        wide=s.sensor_width_mm,
        high=s.sensor_height_mm,
    )
