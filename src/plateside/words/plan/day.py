"""The planned day: hours, kitchen, plates, and what is to know about it."""

from datetime import date, datetime

from plateside.plan.day_plan import DayPlan, Note, Plate, Remark, Slot
from plateside.plan.kitchen import DAY_BEFORE, Task
from plateside.words.counting import capital, clock, day_of_year, figures, listed
from plateside.words.light.phrases import FACING
from plateside.words.plan.holding import ADDED_UP, body_phrase, holding_sentences

UNLIT = {"no window": "The studio has no window yet", "no spot": "The studio has no table spot yet"}
DRAW_IT = "Draw it on the Studio page (plateside serve), or write it in studio.toml; then plan again."
SET_UP = "set up with the stand-in"
HERO = "the hero"


def range_phrase(start: datetime, end: datetime) -> str:
    """'12:30–12:50'."""
    return f"{clock(start)}–{clock(end)}"


def begins_phrase(day: DayPlan, on: date) -> str:
    """'09:30', with the day where it is not the shoot's own; empty when nothing is planned."""
    if day.begins is None:
        return ""
    at = clock(day.begins)
    return at if day.begins.date() == on else f"{at} on {day_of_year(day.begins.date())}"


def unlit_sentences(day: DayPlan) -> str:
    """Why the light is not known, and what the plan goes by; empty when it is known."""
    if not day.unlit:
        return ""
    out = f"{UNLIT[day.unlit]}, so the light is not known. The hours go by the kitchen and the clock alone"
    if day.assumed_lx is None:
        return f"{out}."
    return f"{out}; shutter and ISO are for an assumed {day.assumed_lx:.0f} lx {FACING}."


def good_light_phrase(day: DayPlan) -> str:
    """'10:00 to 12:30', 'none all day', 'not known: the studio has no window yet'."""
    if day.unlit:
        why = UNLIT[day.unlit]
        return f"not known: {why[:1].lower()}{why[1:]}"
    return ", ".join(f"{clock(a)} to {clock(b)}" for a, b in day.good_light) or "none all day"


def remark_phrase(r: Remark) -> str:
    """'later than the 12:30 you asked for'."""
    if r.code == "light":
        short = ""
        if r.illuminance_lx is not None and r.needed_lx is not None:
            short = f": {figures(r.illuminance_lx)} lx {FACING}, and it needs {figures(r.needed_lx)}"
        return f"the light is not good the whole time{short}"
    limit = "" if r.limit is None else clock(r.limit)
    return {
        "too late": f"later than the {limit} you asked for",
        "after your day": f"ends after your day, {limit}: leave a shot out or shorten one",
        "not whole afterwards": "the dish is not whole after this",
    }[r.code]


def remark_sentences(slot: Slot) -> tuple[str, ...]:
    """The remarks of a shot's hour, each the beginning of a sentence."""
    return tuple(capital(remark_phrase(r)) for r in slot.remarks)


def note_sentence(n: Note, day: DayPlan) -> str:
    """One thing to know about the day."""
    if n.code == "plates":
        return _plates_sentence(n.count)
    if n.code == "holding":
        return f"{holding_sentences(day.rule)} {ADDED_UP}"
    when = "" if n.when is None else clock(n.when)
    on = "" if n.when is None else f" on {day_of_year(n.when.date())}"
    over = f"{n.minutes:.0f} min, over {n.limit_min:.0f} min ({body_phrase(day.rule)})"
    return {
        "day before": f"The day before, from {when}: {listed(n.names)}.",
        "early": f"'{n.name}' must start by {when}{on}, before your day begins: start then, or shoot later.",
        "no good light": "No shot has good light the whole time: choose another day or sky, or block the window and "
        "use one lamp.",
        "no shot": f"'{n.name}' is for the shot '{n.shot}', which is not on the list.",
        "brief": f"{n.shot}: '{n.name}' looks fresh for {n.minutes:.0f} min and the frames take {n.limit_min:.0f}: set "
        "light and focus on the stand-in, and bring the hero in last.",
        "over the limit": f"Plate {n.count} is out {over}: throw it away, nobody eats it.",
    }[n.code]


def _plates_sentence(count: int) -> str:
    if count == 1:
        return "Make 3 plates: one that stays fresh for every shot, a stand-in and a spare."
    return (
        f"Make {count} plates: each stops looking fresh before the last shot. With a stand-in and a spare, make "
        f"{count + 2}."
    )


def note_sentences(day: DayPlan) -> list[str]:
    """Everything to know about the day."""
    return [note_sentence(n, day) for n in day.notes]


def plate_phrase(p: Plate) -> str:
    """'Plate 1 for pour, cup: in at 12:30, last frame 12:50, looks fresh until 13:10, out 20 min'."""
    looks = f", looks fresh until {clock(p.looks_until)}" if p.looks_until else ""
    over = "" if p.within_rule else "; over the limit: throw it away"
    shots = ", ".join(p.shots)
    return (
        f"Plate {p.number} for {shots}: in at {clock(p.plated)}, last frame {clock(p.last_frame)}{looks}, out "
        f"{p.out_min:.0f} min{over}"
    )


def plate_clock_phrase(p: Plate) -> str:
    """'in at 12:30, looks fresh until 13:10'."""
    return f"in at {clock(p.plated)}" + (
        f", looks fresh until {clock(p.looks_until)}" if p.looks_until else ""
    )


def task_phrase(t: Task) -> str:
    """What a step of cooking is for: 'for pour, hands-free'."""
    why = t.why if t.why in ("ahead", DAY_BEFORE) else f"for {t.why}"
    return why if t.hands else f"{why}, hands-free"


def task_line(t: Task) -> str:
    """'10:00–10:20 kitchen: simmer the sauce, for pour'."""
    return f"{range_phrase(t.starts, t.ends)} kitchen: {t.name}, {task_phrase(t)}"


def set_line(slot: Slot) -> str:
    """'12:10–12:30 pour: set up with the stand-in'."""
    return f"{range_phrase(slot.starts, slot.set_by)} {slot.shot}: {SET_UP}"


def hero_light_phrase(slot: Slot, day: DayPlan) -> str:
    """'about 480 lx facing the camera, good light', 'light not known'."""
    if day.unlit:
        return "light not known"
    good = "good light" if slot.good_light else "not in the good light"
    return f"about {figures(slot.illuminance_lx)} lx {FACING}, {good}"


def hero_line(slot: Slot, day: DayPlan) -> str:
    """'12:30–12:50 pour: the hero in, about 480 lx facing the camera, good light'."""
    about = "" if day.unlit else f", {hero_light_phrase(slot, day)}"
    rest = "".join(f"; {remark_phrase(r)}" for r in slot.remarks)
    return f"{range_phrase(slot.hero_in, slot.ends)} {slot.shot}: {HERO} in{about}{rest}"
