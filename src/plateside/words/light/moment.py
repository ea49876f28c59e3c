"""One moment in words, what a change of the set would do, and how long the good light lasts."""

import math

from plateside.model.light_answers import Interval, SpotLight, Spread
from plateside.model.light_facts import AS_IT_IS, HourFacts, LeftFacts, MomentFacts, SpotRank, SunNear, WhatIf
from plateside.words import Row
from plateside.words.counting import about, capital, change, clock, day, duration, listed, spans, stops
from plateside.words.light.phrases import (
    FROM,
    LAMP,
    compass_phrase,
    exposure_phrase,
    lux_phrase,
    needs_phrase,
    sky_phrase,
)
from plateside.words.units import IMPERIAL, MM_PER_INCH, Units, length, length_mm, units_of

SEEN_STOPS = 0.05
"""A smaller change is none."""


def moment_lines(m: MomentFacts) -> list[str]:
    """The moment as the command says it, a fact a line; the verdict first."""
    units = units_of(m.units)
    lines = [f"{day(m.at.date())}, {clock(m.at)}, {m.spot} in {m.place}, {sky_phrase(m.sky)}."]
    if m.no_daylight_this_day:
        lines += ["The sun does not rise on this day.", LAMP]
    else:
        lines.append(left_sentence(m.left))
    lines += [row.line for row in moment_rows(m)]
    if not m.dark:
        lines.append(camera_sentence(m))
    if m.other_skies:
        other = "; ".join(f"{o.sky} {about(o.illuminance_lx, 'lx')}" for o in m.other_skies)
        lines.append(f"Light on the table under other skies: {other}.")
    if not m.no_daylight_this_day:
        lines += [f"Sun on the dish this day: {spans(m.sun_on_dish_times)}.", *good_lines(m)]
    lines += rank_lines(m.spots, "Best spot now")
    lines += [what_if_sentence(c, units) for c in m.what_ifs[1:]]
    return [*lines, *picture_lines(m.pictures)]


def moment_rows(m: HourFacts) -> list[Row]:
    """The moment's facts by name, the light first; in the dark only that it is dark, and where the sun is."""
    light, units = m.light, units_of(m.units)
    sun = Row("sun", "Sun", sun_phrase(light, m.sun, units))
    if m.dark:
        return [
            Row(
                "dark",
                "Light on the table",
                "too little to shoot: wait, or block the window and use one lamp",
            ),
            sun,
        ]
    plate, frame = light.evenness_plate_stops.value, light.evenness_frame_stops.value
    return [
        Row("light", "Light on the table", about(light.horizontal_lx, "lx")),
        Row("exposure", "At f/8, ISO 100", exposure_phrase(light.horizontal_lx)),
        Row("key", "Key light", f"{FROM[m.key_from]}, {light.key_direction} light"),
        Row("fill", "Shadow side", f"{about(light.key_fill_stops, 'stops')} darker"),
        Row("colour", "Colour", about(light.cct_k, "K")),
        Row("cast", "Tint from the room", tint_phrase(light.cast.tints)),
        sun,
        Row("modelling", "Modelling", f"{light.modelling} (how firmly the light shapes the dish)"),
        Row("edge", "Shadow edges", f"{_edge_phrase(light, units)} wide"),
        Row(
            "evenness",
            "Evenness",
            f"{stops(plate)} over a {length_mm(light.plate_mm, units, 1)} plate, {stops(frame)} over the frame",
        ),
    ]


def camera_sentence(m: HourFacts) -> str:
    """Where the camera looks, which left and right are meant from."""
    looks = f"Camera turned {m.camera_faces_deg:.0f} degrees clockwise from facing the front wall"
    return f"{looks}." if m.camera_given else f"{looks}: the usual side light, as you named no shot."


def sun_phrase(light: SpotLight, near: SunNear, units: Units) -> str:
    """'73 degrees high in the south (bearing 170), not on the dish'."""
    towards = compass_phrase(light.sun_bearing_deg)
    if near.code == "down":
        return f"below the horizon ({light.sun_elevation_deg:.0f} degrees, in the {towards})"
    where = (
        f"{light.sun_elevation_deg:.0f} degrees high in the {towards} (bearing {light.sun_bearing_deg:.0f})"
    )
    through = f" through {light.sun_window}" if light.sun_window else ""
    gap = length(near.near_m or 0.0, units)
    falls = {
        "dish": f"on the dish{through}",
        "edge": f"on the table and the edge of the dish, {gap} from its middle",
        "table": f"on the table, {gap} from the middle of the dish",
        "away": "not on the dish",
    }[near.code]
    return f"{where}, {falls}"


def tint_phrase(tints: tuple[str, ...]) -> str:
    """'warm and slightly green', 'none to speak of'."""
    return listed(tints) or "none to speak of"


def _edge_phrase(light: SpotLight, units: Units) -> str:
    edge = light.shadow_edge_mm
    if not math.isfinite(edge.value):
        return "too soft to see"
    unit_mm, unit = (
        (MM_PER_INCH, "in") if units == IMPERIAL else (1.0, "mm") if edge.value < 100 else (10.0, "cm")
    )
    return about(Spread(edge.value / unit_mm, edge.low / unit_mm, edge.high / unit_mm), unit)


def left_sentence(left: LeftFacts) -> str:
    """'Good light for another 5 h 20 min, until 18:50.'"""
    if left.until is not None:
        return f"Good light for another {duration(left.left_min)}, until {clock(left.until)}."
    if left.again is not None:
        return f"Not good now; good again from {clock(left.again)}."
    return "Not good now, and not again on this day."


def good_lines(m: MomentFacts) -> list[str]:
    """When the needs are met on the moment's day, and when a tripod helps."""
    return [f"Good light {spans(m.good)}: {needs_phrase(m.needs)}.", *usable_lines(m.usable)]


def usable_lines(usable: tuple[Interval, ...]) -> list[str]:
    """When there is light enough for a tripod alone."""
    return [f"With a tripod, when nothing moves: {spans(usable)}."] if usable else []


def rank_lines(spots: tuple[SpotRank, ...], what: str) -> list[str]:
    """The table spots, best first."""
    if not spots:
        return []
    rest = "; ".join(f"{r.spot} {change(r.against_best_stops)}" for r in spots[1:])
    return [f"{what}: {spots[0].spot}, {lux_phrase(spots[0].illuminance_lx)}; {rest}."]


def picture_lines(paths: tuple[str, ...]) -> list[str]:
    """Which drawings were written."""
    return [f"Drawing: {path}" for path in paths]


def what_if_phrase(changed: WhatIf, units: Units) -> str:
    """'white board on the right, 40 cm away'."""
    far = length(changed.distance_m, units)
    board = changed.thing if "board" in changed.thing else f"{changed.thing} board"
    side = f"{changed.side} side" if changed.side in ("far", "near") else changed.side
    return {
        AS_IT_IS: "as it is",
        "bare window": "bare window",
        "sheet": f"{changed.thing} over the window",
        "half blocked": "upper half of the window blocked",
        "board": f"{board} on the {side}, {far} away",
        "nearer": f"dish nearer, {far} from the front wall",
    }[changed.kind]


def fill_phrase(changed: WhatIf) -> str:
    """The shadow side with a change, and what the change does: '2.1 stops darker, 0.7 stop softer'."""
    value, by = changed.light.key_fill_stops.value, changed.key_fill_change_stops
    if not math.isfinite(value):
        return "no light"
    darker = f"{stops(value)} darker"
    if changed.kind == AS_IT_IS or not math.isfinite(by) or abs(by) < SEEN_STOPS:
        return darker
    return f"{darker}, {stops(by)} {'softer' if by < 0 else 'deeper'}"


def what_if_sentence(changed: WhatIf, units: Units) -> str:
    """'White board on the right, 40 cm away: +0.4 stop, about 900 lx (600-1400) on the table; shadow side ...'"""
    light = lux_phrase(changed.light.horizontal_lx)
    gain = change(changed.gain_stops)
    return f"{capital(what_if_phrase(changed, units))}: {gain}, {light}; shadow side {fill_phrase(changed)}."
