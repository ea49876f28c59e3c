"""The call sheet: the day on paper, for one person. Pure text; every word from outside is escaped."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from html import escape

from plateside.camera.setup import SetUp
from plateside.drawing.shoot_day import day_sheet
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.paper.shot_card import card, page
from plateside.plan.cautions import cautions_of
from plateside.plan.day_plan import DayPlan, Slot
from plateside.plan.kitchen import Task
from plateside.words.counting import capital
from plateside.words.plan.day import (
    SET_UP,
    begins_phrase,
    good_light_phrase,
    hero_light_phrase,
    range_phrase,
    remark_sentences,
)
from plateside.words.plan.findings import finding_phrase
from plateside.words.plan.set_up import (
    frame_held_phrase,
    lens_phrase,
    place_phrase,
    settings_phrase,
    support_phrase,
)
from plateside.words.plan.sheet import (
    ALWAYS_PULLED,
    OVER_THE_LIMIT,
    PLATE_HEAD,
    RUN_HEAD,
    TAKE_CARE,
    allergens_sentence,
    bag_item,
    caution_lines,
    cook_phrase,
    food_sentences,
    head_rows,
    lead_phrase,
    note_lines,
    sheet_title,
)
from plateside.words.units import Units, units_of


def call_sheet(
    studio: Studio, shoot: Shoot, day: DayPlan, set_ups: Mapping[str, SetUp], cards: bool = True
) -> str:
    """The day as an HTML document ready to print; with `cards`, one page for each shot follows."""
    body = f"<main>{sheet_body(studio, shoot, day, set_ups, cards)}</main>"
    return page(sheet_title(shoot.recipe.title), body, shoot.creator.language)


def sheet_body(
    studio: Studio, shoot: Shoot, day: DayPlan, set_ups: Mapping[str, SetUp], cards: bool = True
) -> str:
    """The inside of the call sheet, without the document around it."""
    units = units_of(studio.place.units)
    body = _head(studio, shoot, day) + _timeline(day) + _run_sheet(day, set_ups, units) + _food(shoot, day)
    body += _notes(day) + _kit(studio, shoot, set_ups) + _cautions(shoot)
    if cards:
        shots = {s.name: s for s in shoot.shots}
        for slot in day.slots:
            s = set_ups.get(slot.shot)
            if s is not None:
                body += f'<section class="card" id="{escape(slot.shot, quote=True)}">'
                body += card(studio, shots[slot.shot], s, slot) + "</section>"
    return body


def _head(studio: Studio, shoot: Shoot, day: DayPlan) -> str:
    on = date.fromisoformat(shoot.date)
    rows = head_rows(day, begins_phrase(day, on), good_light_phrase(day))
    cells = "".join(f"<div><dt>{escape(k)}</dt><dd>{escape(v)}</dd></div>" for k, v in rows)
    lead = lead_phrase(on, studio.place.name, shoot.sky)
    return (
        f'<h1>{escape(shoot.recipe.title)}</h1><p class=lead>{escape(lead)}</p><dl class="num">{cells}</dl>'
    )


def _timeline(day: DayPlan) -> str:
    drawn = day_sheet(day)
    return f'<figure class="bar">{drawn}</figure>' if drawn else ""


def _run_sheet(day: DayPlan, set_ups: Mapping[str, SetUp], units: Units) -> str:
    rows: list[tuple[datetime, int, str]] = [(t.starts, 1, _cook_row(t)) for t in day.kitchen]
    rows += [(s.starts, 0, _set_row(s, set_ups.get(s.shot), units)) for s in day.slots]
    rows += [(s.hero_in, 2, _hero_row(s, day)) for s in day.slots]
    rows.sort(key=lambda r: r[:2])
    time, what, how = RUN_HEAD
    return (
        f"<h2>Run sheet</h2><table class=run><thead><tr><th>{time}</th><th>{what}</th>"
        f"<th class=wide>{how}</th></tr></thead><tbody>" + "".join(r[2] for r in rows) + "</tbody></table>"
    )


def _cook_row(t: Task) -> str:
    return (
        f'<tr class="cook"><td class=when>{range_phrase(t.starts, t.ends)}</td><td>{escape(t.name)}</td>'
        f'<td class="wide soft">{escape(cook_phrase(t))}</td></tr>'
    )


def _set_row(slot: Slot, s: SetUp | None, units: Units) -> str:
    """Setting up with the stand-in: the settings, where everything goes, and what to mind."""
    what, how, minds = f"<h3>{escape(slot.shot)}</h3><p>{SET_UP}</p>", "", ""
    if s is not None:
        how = f"<p class=num><strong>{escape(lens_phrase(s))}, {escape(settings_phrase(s))}</strong></p>"
        place = "; ".join((place_phrase(s, units), support_phrase(s), frame_held_phrase(s)))
        how += f"<p>{escape(place)}</p>"
        minds = _minds([capital(finding_phrase(c, s, units)) for c in s.checks if not c.ok])
    return (
        f'<tr class="shot"><td class=when>{range_phrase(slot.starts, slot.set_by)}</td><td>{what}</td>'
        f'<td class="wide">{how}</td></tr>{minds}'
    )


def _hero_row(slot: Slot, day: DayPlan) -> str:
    """The hero on the set."""
    return (
        f'<tr class="shot hero"><td class=when>{range_phrase(slot.hero_in, slot.ends)}</td>'
        f"<td><strong>{escape(slot.shot)}</strong>: the hero</td>"
        f'<td class="wide num">{escape(hero_light_phrase(slot, day))}</td></tr>{_minds(remark_sentences(slot))}'
    )


def _minds(remarks: Sequence[str]) -> str:
    """What to mind, under its row and over the whole width of it."""
    if not remarks:
        return ""
    items = "".join(f'<li class="mind">{escape(r)}.</li>' for r in remarks)
    return f'<tr class="shot minds"><td></td><td colspan="2"><ul>{items}</ul></td></tr>'


def _food(shoot: Shoot, day: DayPlan) -> str:
    out = "<h2>Food: two clocks</h2>"
    if day.plates:
        out += (
            f"<table class=num><thead><tr>{''.join(f'<th>{h}</th>' for h in PLATE_HEAD)}</tr></thead><tbody>"
        )
        for p in day.plates:
            looks = f"{p.looks_until:%H:%M}" if p.looks_until else "keeps"
            over = "" if p.within_rule else f" — {OVER_THE_LIMIT}"
            out += (
                f"<tr><td data-is=Plate>{p.number}</td><td>{escape(', '.join(p.shots))}</td>"
                f"<td data-is=In>{p.plated:%H:%M}</td><td data-is='Fresh until'>{looks}</td>"
                f"<td data-is='Last frame'>{p.last_frame:%H:%M}</td><td data-is=Out>{p.out_min:.0f} min{over}</td></tr>"
            )
        out += "</tbody></table>"
    if shoot.recipe.perishable:
        out += f'<p class="caution">{escape(food_sentences(day))}</p>'
    return out + f"<p>{escape(allergens_sentence(shoot.recipe.allergens))}</p>"


def _kit(studio: Studio, shoot: Shoot, set_ups: Mapping[str, SetUp]) -> str:
    used = list(set_ups.values())
    items = [*dict.fromkeys(s.camera for s in used), *dict.fromkeys(f"lens {s.lens}" for s in used)]
    items += dict.fromkeys(s.support for s in used if s.support_kind != "hand")
    bags = [s.rig.bag_kg for s in used if s.rig is not None and s.rig.bag_kg > 0.005]
    if bags:
        items.append(bag_item(max(bags)))
    items += dict.fromkeys(f"{p.board} board" for s in shoot.shots for p in s.boards)
    items += dict.fromkeys(x for s in shoot.shots for x in ((s.surface,) if s.surface else ()) + s.props)
    items += ALWAYS_PULLED
    return "<h2>Pull list</h2><ul class=two>" + "".join(f"<li>{escape(i)}</li>" for i in items) + "</ul>"


def _cautions(shoot: Shoot) -> str:
    lines = caution_lines(cautions_of(shoot.shots, shoot.recipe.ingredients))
    out = f"<h2>{TAKE_CARE}</h2>" + "".join(f'<p class="caution">{escape(x)}</p>' for x in lines)
    return out + '<p>Emergency <span class="line"></span> &nbsp; Poison centre <span class="line"></span></p>'


def _notes(day: DayPlan) -> str:
    notes = note_lines(day)
    return "<h2>Notes</h2><ul>" + "".join(f"<li>{escape(n)}</li>" for n in notes) + "</ul>" if notes else ""
