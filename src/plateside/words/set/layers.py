"""The steps in which a scene was built: what each added or moved, and what it measures."""

from collections.abc import Sequence

from plateside.frames.changes import Part
from plateside.frames.layers import COLOURLESS, OFF_SHARE, SEPARATED, THIRDS, LayerFacts
from plateside.words.counting import capital, plural
from plateside.words.set.places import place_phrase

MOST_PARTS_NAMED = 6
SHARP_PX = 0.25
"""Edges are not measured finer than this."""
NOT_COMPARED = {
    "another shape": "It has another shape than the layer before: the two cannot be compared.",
    "camera moved": "The camera was moved since the layer before: what changed is not known.",
}


def layer_lines(
    number: int,
    name: str,
    parts: Sequence[Part],
    not_compared: str,
    spreads_px: tuple[float | None, float | None],
    facts: LayerFacts,
    text_spaces: Sequence[str] = (),
) -> list[str]:
    """A heading, then a line for each fact.

    not_compared  why nothing is known of the changes, a code; empty when they are known
    spreads_px    of the sharpest edges on the hero, and around it
    text_spaces   thirds that should stay empty for text: top, bottom, left, right
    """
    out = []
    for part in parts[:MOST_PARTS_NAMED]:
        middle = (part.box[0] + part.box[2]) / 2, (part.box[1] + part.box[3]) / 2
        out.append(f"{capital(part.kind)} {place_phrase(middle)}, {part.share * 100:.1f} % of the frame.")
    if len(parts) > MOST_PARTS_NAMED:
        out.append(f"And {plural(len(parts) - MOST_PARTS_NAMED, 'smaller change')}.")
    if number > 1 and not parts and not not_compared:
        out.append("Nothing changed since the layer before but light and exposure.")
    if not_compared:
        out.append(NOT_COMPARED.get(not_compared, not_compared))
    hero, around = spreads_px
    if hero is not None and around is not None:
        out.append(f"Edges on the hero {_edges(hero)}, around it {_edges(around)}.")
    return [f"{number}. {name}", *(f"   {line}" for line in [*out, *measured_lines(facts, text_spaces)])]


def _edges(spread_px: float) -> str:
    return f"{spread_px:.1f} px wide" if spread_px >= SHARP_PX else "as sharp as can be measured"


def measured_lines(facts: LayerFacts, text_spaces: Sequence[str] = ()) -> list[str]:
    """What one layer measures, a sentence each."""
    tone = abs(facts.tone_difference)
    close = f" (close: under {SEPARATED:.0f})" if tone < SEPARATED else ""
    out = [
        f"Hero L* {facts.hero_lightness:.0f} on a surface of L* {facts.surface_lightness:.0f}: "
        f"{tone:.0f} apart{close}; in colour {facts.colour_difference:.0f}.",
        f"Local contrast of the hero {facts.hero_stands_out:.1f} times that of the rest.",
        f"Palette (lightness, chroma, hue): {palette_phrase(facts)}; {facts.harmony}.",
        f"Detail in {facts.busyness * 100:.0f} % of the frame; emptiest third: {facts.empty_third}, "
        f"{facts.empty_share * 100:.0f} % calm.",
        f"Centre of visual weight {_off_phrase(facts)}.",
    ]
    for third in (t for t in THIRDS if t in text_spaces):
        calm = facts.calm[THIRDS.index(third)]
        out.append(f"Where the text goes ({third} third) {calm * 100:.0f} % is calm.")
    if facts.hero_loses:
        out.append(
            f"The hero loses: {place_phrase(facts.loudest_at)} a prop holds {facts.loudest_elsewhere:.1f} times the "
            "hero's contrast."
        )
    return out


def palette_phrase(facts: LayerFacts) -> str:
    """'L 72 C 12 h 85 (41 %), ...', largest share first."""
    return ", ".join(
        f"L {c.lightness:.0f} C {c.chroma:.0f}"
        + (f" h {c.hue_deg:.0f}" if c.chroma > COLOURLESS else "")
        + f" ({c.share * 100:.0f} %)"
        for c in facts.palette
    )


def _off_phrase(facts: LayerFacts) -> str:
    x, y = facts.balance[0] - facts.hero_at[0], facts.balance[1] - facts.hero_at[1]
    sides = [(abs(x), "right of" if x > 0 else "left of"), (abs(y), "below" if y > 0 else "above")]
    off = [f"{size * 100:.0f} % {way}" for size, way in sides if size >= OFF_SHARE]
    return " and ".join(off) + " the hero's middle" if off else "on the hero"


def no_layer_sentence(shot: str) -> str:
    return f"No layer of {shot} is kept yet. Keep a frame as one: plateside judge SHOOT FRAME --layer"


def layer_kept_sentence(name: str, number: int, shot: str) -> str:
    return f"{name} is layer {number} of {shot}."


def layers_gone_sentence(count: int) -> str:
    return f"{count} of its layers' frames {'is' if count == 1 else 'are'} not in the frames folder any more."


def side_by_side_line(picture: str) -> str:
    return f"Side by side: {picture}"
