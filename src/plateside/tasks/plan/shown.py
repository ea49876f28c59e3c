"""The planned day as words, drawings and minutes after midnight: what the Plan page shows.

`planned_day`  the whole day: light and hour of every shot, its card, the kitchen
"""

from collections.abc import MutableMapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
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
from plateside.plan.day_plan import Plate, Slot
from plateside.plan.kitchen import DAY_BEFORE
from plateside.tasks.plan.planned import Memory, Worked, picture_key, work_out
from plateside.tasks.plan.setup import ShotDay, moment_of
from plateside.tasks.plan.shown_clock import Clock, ClockSpan
from plateside.words import Row
from plateside.words import drawings as said
from plateside.words.counting import clock as at_clock
from plateside.words.counting import weekday as day_words
from plateside.words.plan.day import (
    begins_phrase,
    note_sentences,
    plate_clock_phrase,
    plate_phrase,
    remark_sentences,
    unlit_sentences,
)
from plateside.words.plan.holding import holding_sentences
from plateside.words.plan.set_up import (
    FOCUS_ON,
    cautions,
    crops,
    fact_rows,
    frame_failure_phrases,
    lens_phrase,
    minds,
    more_light,
    on_the_set,
    put_phrases,
    sizes_sentence,
    two_metre_lines,
)
from plateside.words.plan.sheet import caution_lines
from plateside.words.units import length, units_of


@dataclass(frozen=True, kw_only=True)
class SlotShown(ClockSpan):
    """A shot's time."""

    set_min: float
    """The set stands: from here to the hero the hands are in the kitchen."""
    setting_words: str
    hero_min: float
    hero_words: str
    hero_at: datetime
    plate: str
    """When its plate comes in, and until when it looks fresh."""
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
    focus: str
    """What to focus on, as short."""
    put: tuple[str, ...]
    """What goes where: boards, surface, props."""
    facts: tuple[Row, ...]
    side: str
    """SVG."""
    top: str
    """SVG."""
    not_as_asked: tuple[str, ...]
    """The frame that no lens gives, with its reason and the ways out: shown before the settings."""
    unmet: tuple[Unmet, ...]
    """Every wish that is not met, as facts."""
    sizes: str
    """The frame asked for beside the frame there is, and why they differ."""
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
    date: str
    """Its day, as 2027-07-15."""
    day_words: str
    """'Thursday 15 July', where the shoot has several days; else empty."""
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
    shoot = opened.shoot
    several = len(shoot.days) > 1
    on = {each: replace(opened, shoot=replace(shoot, date=each)) for each in shoot.days}
    clocks = {each: Clock(moment_of(one, "00:00"), several) for each, one in on.items()}
    bounds = {
        each: (moment_of(one, shoot.from_time), moment_of(one, shoot.to_time)) for each, one in on.items()
    }
    clock, (day_from, day_to) = clocks[shoot.days[0]], bounds[shoot.days[0]]

    def clock_of(when: datetime) -> Clock:
        """Of the day that a moment belongs to: what is done ahead, to the next one."""
        return next((c for c in clocks.values() if when <= c.ends), clock) if several else clock

    today = [t for t in day.kitchen if t.why != DAY_BEFORE]
    starts = [clock.min_of(day_from), *(clock_of(s.starts).min_of(s.starts) for s in day.slots)]
    starts += [clock_of(t.starts).min_of(t.starts) for t in today]
    ends = [clock.min_of(day_to), *(clock_of(s.starts).min_of(s.ends) for s in day.slots)]
    ends += [clock_of(t.starts).min_of(t.ends) for t in today]
    first = max(0.0, 60.0 * (min(starts) // 60))
    last = min(clock.length_min, 60.0 * -(-max(ends) // 60))
    slots = {s.shot: s for s in day.slots}
    plates = {name: plate for plate in day.plates for name in plate.shots}
    hours = clock.hours(first, last)
    work = clock.min_of(day_from), clock.min_of(day_to)
    axis = Axis(first, last, work, tuple(minute for minute, _ in hours))
    shown = []
    for shot in opened.shoot.shots:
        of = shoot.day_of(shot)
        light = _light(shot, worked.planned.lights[shot.name], clocks[of], axis, bounds[of])
        slot = None
        if shot.name in slots:
            slot = _slot(slots[shot.name], plates.get(shot.name), clocks[of])
        shown.append(
            ShotShown(
                name=shot.name,
                date=of,
                day_words=day_words(date.fromisoformat(of)) if several else "",
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
            **vars(clock_of(t.starts).span(t.starts, t.ends)),
        )
        for t in day.kitchen
    )  # fmt: skip
    lane = tuple(k for k, t in zip(kitchen, day.kitchen, strict=True) if clock_of(t.starts) is clock)
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
        kitchen_lane=_kitchen(lane, axis),
        key=tuple(KeySign(svg=key_sign(kind), words=words) for kind, words in said.KEY[bool(day.unlit) :]),
        plates=tuple(plate_phrase(p) for p in day.plates),
        notes=tuple(note_sentences(day)),
        cautions=tuple(caution_lines(cautions_of(opened.shoot.shots, opened.shoot.recipe.ingredients))),
        rule=holding_sentences(day.rule) if opened.shoot.recipe.perishable else "",
        unlit=unlit_sentences(day),
    )  # fmt: skip


def _slot(slot: Slot, plate: Plate | None, clock: Clock) -> SlotShown:
    return SlotShown(
        set_min=clock.min_of(slot.set_by),
        setting_words=clock.span(slot.starts, slot.set_by).words,
        frames_words=clock.span(slot.hero_in, slot.ends).words,
        hero_min=clock.min_of(slot.hero_in),
        hero_words=at_clock(slot.hero_in),
        hero_at=slot.hero_in,
        plate="" if plate is None else plate_clock_phrase(plate),
        good_light=slot.good_light,
        remarks=remark_sentences(slot),
        **vars(clock.span(slot.starts, slot.ends)),
    )


def _light(
    shot: Shot, light: ShotDay, clock: Clock, axis: Axis, day: tuple[datetime, datetime]
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
        focus=FOCUS_ON[s.focus_on],
        put=tuple(put_phrases(shot, studio.surfaces[0].name if studio.surfaces else "", units)),
        facts=tuple(fact_rows(s, units)),
        side=side_view(studio, shot, s),
        top=top_view(studio, shot, s),
        not_as_asked=tuple(frame_failure_phrases(s, units)),
        unmet=s.unmet,
        sizes=sizes_sentence(s, units),
        minds=tuple(minds(s, units)),
        known=tuple(on_the_set(s, units)),
        crops=tuple(crops(s, units)),
        ways_out=tuple(more_light(s, units)),
        cautions=tuple(cautions(s)),
        picture_key=picture_key(worked, shot),
        wide=s.sensor_width_mm,
        high=s.sensor_height_mm,
    )
