"""The call sheet: the day on paper, for one person. Pure text; every word from outside is escaped."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from html import escape

from plateside.camera.setup import SetUp
from plateside.drawing.shoot_day import day_sheet
from plateside.light.answers import rounded
from plateside.model.shoot import Shoot
from plateside.model.studio import Studio
from plateside.paper.shot_card import card, page
from plateside.plan.cautions import plant_cautions
from plateside.plan.day_plan import DayPlan, Slot
from plateside.plan.kitchen import DAY_BEFORE, Task
from plateside.plan.words import lens_words, place_words, settings_words, support_words


def call_sheet(
    studio: Studio, shoot: Shoot, day: DayPlan, set_ups: Mapping[str, SetUp], cards: bool = True
) -> str:
    """The day as an HTML document ready to print; with `cards`, one page for each shot follows."""
    body = f"<main>{sheet_body(studio, shoot, day, set_ups, cards)}</main>"
    return page(f"{shoot.recipe.title}: call sheet", body, shoot.creator.language)


def sheet_body(
    studio: Studio, shoot: Shoot, day: DayPlan, set_ups: Mapping[str, SetUp], cards: bool = True
) -> str:
    """The inside of the call sheet, without the document around it."""
    body = _head(studio, shoot, day) + _timeline(day) + _run_sheet(day, set_ups) + _food(shoot, day)
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
    when = datetime.fromisoformat(shoot.date)
    begins = "" if day.begins is None else f"{day.begins:%H:%M}"
    if day.begins is not None and day.begins.date() != when.date():
        begins += f" on {day.begins:%d %B}"
    good = ", ".join(f"{a:%H:%M} to {b:%H:%M}" for a, b in day.good_light) or "none all day"
    if day.unlit:
        good = f"not known: {day.unlit[:1].lower()}{day.unlit[1:]}"
    lead = ", ".join(
        x for x in (f"{when:%A} {when.day} {when:%B %Y}", studio.place.name, f"{shoot.sky} sky") if x
    )
    return (
        f"<h1>{escape(shoot.recipe.title)}</h1><p class=lead>{escape(lead)}</p>"
        f'<dl class="num"><div><dt>Begin</dt><dd>{escape(begins or "nothing planned")}</dd></div>'
        f"<div><dt>Good light for every shot</dt><dd>{escape(good)}</dd></div>"
        f"<div><dt>Shots</dt><dd>{len(day.slots)}</dd></div>"
        f"<div><dt>Plates of the dish</dt><dd>{len(day.plates)}, "
        f"with stand-in and spare {len(day.plates) + 2}</dd></div>"
        "</dl>"
    )


def _timeline(day: DayPlan) -> str:
    drawn = day_sheet(day)
    return f'<figure class="bar">{drawn}</figure>' if drawn else ""


def _run_sheet(day: DayPlan, set_ups: Mapping[str, SetUp]) -> str:
    rows: list[tuple[datetime, int, str]] = [(t.starts, 1, _cook_row(t)) for t in day.kitchen]
    rows += [(s.starts, 0, _set_row(s, set_ups.get(s.shot))) for s in day.slots]
    rows += [(s.hero_in, 2, _hero_row(s, day.unlit)) for s in day.slots]
    rows.sort(key=lambda r: r[:2])
    return (
        "<h2>Run sheet</h2><table class=run><thead><tr><th>Time</th><th>What</th><th class=wide>How</th></tr></thead>"
        "<tbody>" + "".join(r[2] for r in rows) + "</tbody></table>"
    )


def _cook_row(t: Task) -> str:
    how = t.why if t.why in ("ahead", DAY_BEFORE) else f"for {t.why}"
    if not t.hands:
        how += ", needs no hands"
    if t.looks_until is not None and t.why not in ("ahead", DAY_BEFORE):
        how += f", looks right until {t.looks_until:%H:%M}"
    return (
        f'<tr class="cook"><td class=when>{t.starts:%H:%M}–{t.ends:%H:%M}</td><td>{escape(t.name)}</td>'
        f'<td class="wide soft">{escape(how)}</td></tr>'
    )


def _set_row(slot: Slot, s: SetUp | None) -> str:
    """Setting up with the stand-in: the settings, where everything stands, and what to mind."""
    what, how, minds = f"<h3>{escape(slot.shot)}</h3><p>set up with the stand-in</p>", "", ""
    if s is not None:
        how = f"<p class=num><strong>{escape(lens_words(s))}, {escape(settings_words(s))}</strong></p>"
        how += f"<p>{escape(place_words(s))}; {escape(support_words(s))}; {escape(s.orientation)} frame</p>"
        minds = _minds([c.words for c in s.checks if not c.ok])
    return (
        f'<tr class="shot"><td class=when>{slot.starts:%H:%M}–{slot.set_by:%H:%M}</td><td>{what}</td>'
        f'<td class="wide">{how}</td></tr>{minds}'
    )


def _hero_row(slot: Slot, unlit: str) -> str:
    """The hero on the set."""
    about = f"about {rounded(slot.illuminance_lx)} lx facing the camera" + (
        ", good light" if slot.good_light else ""
    )
    if unlit:
        about = "light not known"
    return (
        f'<tr class="shot hero"><td class=when>{slot.hero_in:%H:%M}–{slot.ends:%H:%M}</td>'
        f"<td><strong>{escape(slot.shot)}</strong>: the hero</td>"
        f'<td class="wide num">{about}</td></tr>{_minds(slot.remarks)}'
    )


def _minds(remarks: Sequence[str]) -> str:
    """What to mind, under its row and over the whole width of it."""
    if not remarks:
        return ""
    items = "".join(f'<li class="mind">{escape(r[:1].upper() + r[1:])}.</li>' for r in remarks)
    return f'<tr class="shot minds"><td></td><td colspan="2"><ul>{items}</ul></td></tr>'


def _food(shoot: Shoot, day: DayPlan) -> str:
    out = "<h2>Food: two clocks</h2>"
    if day.plates:
        out += "<table class=num><thead><tr><th>Plate</th><th>For</th><th>In</th><th>Looks right until</th>"
        out += "<th>Last frame</th><th>Out</th></tr></thead><tbody>"
        for p in day.plates:
            looks = f"{p.looks_until:%H:%M}" if p.looks_until else "keeps"
            over = "" if p.within_rule else " — over the limit: throw away"
            out += (
                f"<tr><td data-is=Plate>{p.number}</td><td>{escape(', '.join(p.shots))}</td>"
                f"<td data-is=In>{p.plated:%H:%M}</td><td data-is='Right until'>{looks}</td>"
                f"<td data-is='Last frame'>{p.last_frame:%H:%M}</td><td data-is=Out>{p.out_min:.0f} min{over}</td></tr>"
            )
        out += "</tbody></table>"
    if shoot.recipe.perishable:
        out += (
            f'<p class="caution">{escape(day.rule.words)} Time out is added up over test, hero and resets. '
            "If unsure, throw it away; never judge by look or smell.</p>"
        )
    allergens = ", ".join(shoot.recipe.allergens) or "none written down: list every ingredient on the set"
    return out + f"<p>Allergens on the set: {escape(allergens)}.</p>"


def _kit(studio: Studio, shoot: Shoot, set_ups: Mapping[str, SetUp]) -> str:
    used = list(set_ups.values())
    items = [*dict.fromkeys(s.camera for s in used), *dict.fromkeys(f"lens {s.lens}" for s in used)]
    items += dict.fromkeys(s.support for s in used if s.support_kind != "hand")
    bags = [s.rig.bag_kg for s in used if s.rig is not None and s.rig.bag_kg > 0.005]
    if bags:
        items.append(f"bag of {max(bags):.1f} kg or more, tether for the camera")
    items += dict.fromkeys(f"{p.board} board" for s in shoot.shots for p in s.boards)
    items += dict.fromkeys(x for s in shoot.shots for x in ((s.surface,) if s.surface else ()) + s.props)
    items += [
        "remote or timer, charged battery, empty card",
        "grey card, set card, tape measure, level, tape for marks",
    ]
    items.append("lamps off; stabiliser off on the tripod if the maker says so")
    return "<h2>Kit</h2><ul class=two>" + "".join(f"<li>{escape(i)}</li>" for i in items) + "</ul>"


def _cautions(shoot: Shoot) -> str:
    lines = [
        "No lamp, charger or lead on a wet worktop, across the floor or under a pour.",
        "A lens or a glass bowl in the sun can set cloth alight: cap it.",
        "Stands, glue, florist's flowers and 'decorative' sparkle are not food: what they touched is not eaten.",
    ]
    lines += plant_cautions(
        [p for s in shoot.shots for p in s.props]
        + [i for i in shoot.recipe.ingredients if "sweet pea" not in i.lower()]
    )
    people = any(s.person for s in shoot.shots)
    if people:
        lines.append("A release from every recognisable helper, signed before the shoot.")
    out = "<h2>Take care</h2>" + "".join(f'<p class="caution">{escape(x)}</p>' for x in lines)
    return out + '<p>Emergency <span class="line"></span> &nbsp; Poison centre <span class="line"></span></p>'


def _notes(day: DayPlan) -> str:
    # the food rule stands under the plates already
    notes = [n for n in day.notes if not n.startswith(day.rule.words)]
    return "<h2>Notes</h2><ul>" + "".join(f"<li>{escape(n)}</li>" for n in notes) + "</ul>" if notes else ""
