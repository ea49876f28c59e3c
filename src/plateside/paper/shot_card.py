"""A card for each shot: settings large, lengths for the tape, drawings, what to mind. Pure text; all words escaped."""

from html import escape

from plateside.camera.setup import SetUp
from plateside.drawing.setup_above import top_view
from plateside.drawing.setup_side import side_view
from plateside.light.answers import rounded
from plateside.model.shoot import Shot
from plateside.model.studio import Studio
from plateside.paper.shot_card_style import CSS
from plateside.plan.day_plan import Slot
from plateside.plan.unlit import ASSUMED
from plateside.plan.words import lens_words, metres, sharp_words, support_words


def card_page(studio: Studio, shot: Shot, s: SetUp, slot: Slot | None = None, language: str = "en") -> str:
    """One shot's card as a page of its own, for paper or a phone held on the set."""
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
    """The inside of a card."""
    when = (
        ""
        if slot is None
        else f'<p class="lead num">{slot.starts:%H:%M}, hero in at {slot.hero_in:%H:%M}</p>'
    )
    named = f"<{heading}>{escape(shot.title or shot.name)}</{heading}>"
    tag = f'<p class="soft">{escape(s.shot)}, {escape(s.angle)}</p>' if shot.title else ""
    first = "".join(f'<p class="caution">{escape(_capital(w))}</p>' for w in frame_failure(s))
    parts = [named, tag, when, first, settings_line(s), facts(s)]
    parts.append(
        '<div class="drawings"><figure><figcaption>From the side, to scale</figcaption>'
        f"{side_view(studio, shot, s)}</figure><figure><figcaption>From above, to scale</figcaption>"
        f"{top_view(studio, shot, s)}</figure></div>"
    )
    parts.append(_lists(s, "h3" if heading == "h2" else "h2"))
    return "".join(parts)


def settings_line(s: SetUp) -> str:
    """Focal length, f-number, shutter, ISO, large."""
    words = (lens_words(s), s.f_number_words, s.exposure_words, s.iso_words)
    return '<p class="settings num">' + "<i>/</i>".join(f"<span>{escape(w)}</span>" for w in words) + "</p>"


def facts(s: SetUp) -> str:
    """The lengths and facts, as a list of terms."""
    cells = "".join(f"<div><dt>{escape(k)}</dt><dd>{escape(v)}</dd></div>" for k, v in fact_rows(s))
    return f'<dl class="num">{cells}</dl>'


def fact_rows(s: SetUp) -> list[tuple[str, str]]:
    """The lengths and facts: what, and how much."""
    over = s.elevation_deg >= 85.0
    rows = [
        ("Lens above the board", metres(s.lens_above_surface_m)),
        ("Sensor above the board", metres(s.sensor_above_surface_m)),
        ("Sensor above the floor", metres(s.sensor_m[2])),
        ("Back from the dish", "straight above" if over else metres(s.horizontal_offset_m)),
        ("Tilt", "straight down, level" if over else f"{s.elevation_deg:.0f}° down"),
        ("Frame", _frame(s)),
        ("Focus", s.focus_words.removeprefix("focus ")),
        ("Sharp", sharp_words(s)),
        ("Held by", support_words(s)),
        (
            "Light",
            f"{rounded(s.illuminance_lx)} lx facing the camera, assumed"
            if s.light.source == ASSUMED
            else f"about {rounded(s.illuminance_lx)} lx facing the camera",
        ),
        ("Grain", s.noise.words.split(":")[0]),
        ("Take", s.burst_words.split(":")[0].split(" for a")[0]),
    ]
    if s.background_blur_percent > 0:
        rows.append(("Background", f"blur {s.background_blur_percent:.1f} % of the frame"))
    if s.motion.moves != "nothing":
        rows.append(("Streak", f"{s.motion.streak_px:.0f} px, {s.motion.allowed_px:.0f} allowed"))
    if s.moving is not None:
        rows.append(("Out of focus", f"{s.moving.blur_px:.0f} px, what moves {s.moving.height_mm:.0f} mm up"))
    return rows


def _frame(s: SetUp) -> str:
    """'lying, 600 × 400 mm', and what was asked when that is another."""
    got = f"{s.orientation}, {s.frame_width_mm:.0f} × {s.frame_height_mm:.0f} mm"
    asked = s.framing.asked_mm
    plain = not any(u.code in ("frame", "shape") for u in s.unmet)
    return got if plain else f"{got}, {asked[0]:.0f} × {asked[1]:.0f} asked"


def frame_failure(s: SetUp) -> list[str]:
    """The frame that cannot be had, with its reason and the ways out: told before the settings."""
    return [u.words for u in s.unmet if u.code == "frame"]


def minds(s: SetUp) -> list[str]:
    """The checks that fail, each a sentence."""
    return [_capital(c.words) for c in s.checks if not c.ok]


ON_THE_SET = (
    "shape", "channel", "background", "moving", "height", "arm", "shadow", "gloss", "focus", "hero", "person", "stand",
)  # fmt: skip


def on_the_set(s: SetUp) -> list[str]:
    """What holds and is good to know on the set: height, arm, shadows, mirror images, rig, bracket, stack."""
    known = [c.words for c in s.checks if c.ok and c.kind in ON_THE_SET]
    rig = list(s.rig.words) if s.rig is not None else []
    extra = [x.words for x in (s.bracket, s.stack) if x is not None]
    return [_capital(w) for w in known + rig + extra]


def ways_out(s: SetUp) -> list[str]:
    """What would gain light, and its price."""
    return [f"{r.gains_stops:+.1f} stops: {r.words} ({r.price})" for r in s.remedies]


def _lists(s: SetUp, heading: str) -> str:
    """What to mind, what would help, crops, rig and cautions."""
    told = [_capital(w) for w in frame_failure(s)]
    left = "".join(f'<li class="mind">{escape(w)}</li>' for w in minds(s) if w not in told)
    left += "".join(f"<li>{escape(w)}</li>" for w in on_the_set(s))
    right = "".join(f"<li>{escape(c.words)}</li>" for c in s.coverage)
    ways = "".join(f"<li>{escape(w)}</li>" for w in ways_out(s))

    def head(words: str) -> str:
        return f'<{heading} class="sub">{words}</{heading}>'

    out = f'<div class="two"><div>{head("On the set")}<ul>' + left + "</ul></div><div>"
    if right:
        out += f"{head('Crops')}<ul>{right}</ul>"
    if ways:
        out += f"{head('If the light falls short')}<ul>{ways}</ul>"
    out += "</div></div>"
    return out + "".join(f'<p class="caution">{escape(c)}</p>' for c in s.cautions)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
