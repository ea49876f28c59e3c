"""The shot sheet: settings large, lengths for the tape, drawings, what to mind. Pure text; all words escaped."""

from html import escape

from plateside.camera.setup import SetUp
from plateside.drawing.setup_above import top_view
from plateside.drawing.setup_side import side_view
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.paper.shot_card_style import CSS
from plateside.plan.day_plan import Slot
from plateside.words.plan.set_up import (
    cautions,
    crops,
    fact_rows,
    frame_failures,
    lens_phrase,
    minds,
    more_light,
    on_the_set,
)
from plateside.words.plan.sheet import SHORT_OF_LIGHT, SIDE_VIEW, TOP_VIEW, hour_phrase
from plateside.words.units import Units, units_of


def card_page(studio: Studio, shot: Shot, s: SetUp, slot: Slot | None = None, language: str = "en") -> str:
    """One shot sheet as a page of its own, for paper or a phone held on the set."""
    title = shot.title or shot.name
    return page(title, f"<main>{card(studio, shot, s, slot, 'h1')}</main>", language)


def page(title: str, body: str, language: str = "en") -> str:
    """A whole HTML document."""
    return (
        f'<!doctype html>\n<html lang="{escape(language, quote=True)}"><head><meta charset="utf-8">'
        f'<meta name="viewport" content="width=device-width, initial-scale=1"><title>{escape(title)}</title>'
        f"<style>{CSS}</style></head><body>{body}</body></html>\n"
    )


def card(studio: Studio, shot: Shot, s: SetUp, slot: Slot | None, heading: str = "h2") -> str:
    """The inside of a shot sheet."""
    units = units_of(studio.place.units)
    when = "" if slot is None else f'<p class="lead num">{hour_phrase(slot)}</p>'
    named = f"<{heading}>{escape(shot.title or shot.name)}</{heading}>"
    tag = f'<p class="soft">{escape(s.shot)}, {escape(s.angle)}</p>' if shot.title else ""
    first = "".join(f'<p class="caution">{escape(w)}</p>' for w in frame_failures(s, units))
    parts = [named, tag, when, first, settings_line(s), facts(s, units)]
    parts.append(
        '<div class="drawings"><figure><figcaption>' + SIDE_VIEW + "</figcaption>"
        f"{side_view(studio, shot, s)}</figure><figure><figcaption>{TOP_VIEW}</figcaption>"
        f"{top_view(studio, shot, s)}</figure></div>"
    )
    parts.append(_lists(s, units, "h3" if heading == "h2" else "h2"))
    return "".join(parts)


def settings_line(s: SetUp) -> str:
    """Focal length, f-number, shutter, ISO, large."""
    words = (lens_phrase(s), s.f_number_words, s.exposure_words, s.iso_words)
    return '<p class="settings num">' + "<i>/</i>".join(f"<span>{escape(w)}</span>" for w in words) + "</p>"


def facts(s: SetUp, units: Units) -> str:
    """The lengths and facts, as a list of terms."""
    cells = "".join(
        f"<div><dt>{escape(r.name)}</dt><dd>{escape(r.value)}</dd></div>" for r in fact_rows(s, units)
    )
    return f'<dl class="num">{cells}</dl>'


def _lists(s: SetUp, units: Units, heading: str) -> str:
    """What to mind, what would help, crops, rig and cautions."""
    left = "".join(f'<li class="mind">{escape(w)}</li>' for w in minds(s, units))
    left += "".join(f"<li>{escape(w)}</li>" for w in on_the_set(s, units))
    right = "".join(f"<li>{escape(w)}</li>" for w in crops(s, units))
    ways = "".join(f"<li>{escape(w)}</li>" for w in more_light(s, units))

    def head(words: str) -> str:
        return f'<{heading} class="sub">{words}</{heading}>'

    out = f'<div class="two"><div>{head("On the set")}<ul>' + left + "</ul></div><div>"
    if right:
        out += f"{head('Crops')}<ul>{right}</ul>"
    if ways:
        out += f"{head(SHORT_OF_LIGHT)}<ul>{ways}</ul>"
    out += "</div></div>"
    return out + "".join(f'<p class="caution">{escape(c)}</p>' for c in cautions(s))
