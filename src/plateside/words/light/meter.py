"""Measured light, in words: readings, the grey card, the fit, a window's bearing, a sky file of yours."""

from plateside.light.meter.bearing import BearingFound, MarkBearing
from plateside.light.meter.facts import BearingKept, SavedFit, SavedReading
from plateside.light.meter.fit import FitReport
from plateside.model.light_facts import SkyKept
from plateside.words.counting import clock, day, figures, plural, stops
from plateside.words.light.phrases import CAUTION, lux_phrase

SAME_DEG = 0.05
SOURCES = {"lux": "lux meter", "grey card": "grey card"}


def reading_lines(r: SavedReading) -> list[str]:
    """A reading that was kept, and how near the prediction was."""
    off = "as predicted" if abs(r.off_stops) < 0.05 else (
        f"{stops(r.off_stops)} {'brighter' if r.off_stops > 0 else 'darker'} than predicted"
    )  # fmt: skip
    at = f"{r.at:%Y-%m-%d %H:%M}"
    lines = [
        f"Kept in {r.studio_file}: {figures(r.illuminance_lx)} lx on the table ({SOURCES.get(r.source, r.source)}), "
        f"{r.spot}, {at}, {r.sky} sky.",
        f"Your room is {off}: the prediction was {lux_phrase(r.predicted_lx)}.",
    ]
    if r.instead:
        lines.append("It replaces your earlier reading of the same light, and counts once.")
    missing = r.fit_needs - r.readings
    if missing > 0:
        lines.append(f"Take {plural(missing, 'more reading')} for a fit, best at other hours and skies.")
    else:
        lines.append(
            f"You have {plural(r.readings, 'reading')}; fit the studio to them with: plateside light --fit"
        )
    return lines


def fit_lines(f: SavedFit) -> list[str]:
    """A fit that was written."""
    return [*fit_found_lines(f.found), f"Written to [fit] in {f.studio_file}, {f.found.fit.date}."]


def fit_found_lines(f: FitReport) -> list[str]:
    """What the readings show: how far off predictions were, and what in the studio explains it."""
    fit = f.fit
    times = f"{fit.light_factor:.2f} times what your studio's numbers give"
    lift = fit.skyline_lift_deg
    skyline = (
        "as you wrote it"
        if abs(lift) < 0.5
        else (f"{plural(round(abs(lift)), 'degree')} {'higher' if lift > 0 else 'lower'} than you wrote")
    )
    lines = [
        f"Predictions now miss your {plural(fit.readings, 'reading')} by {f.after_stops:.2f} stop "
        f"({f.before_stops:.2f} stop before). At other times expect give or take "
        f"{stops(fit.light_factor_spread_stops)}, and what the sky itself does.",
        f"The window's light is {times}, give or take {stops(f.light_factor_spread_stops)}.",
        f"The skyline is {skyline}, give or take {plural(round(f.skyline_spread_deg), 'degree')}.",
        f"The room's surfaces reflect {fit.reflectance_factor:.2f} times what you wrote, "
        f"give or take {stops(f.reflectance_spread_stops)}.",
    ]
    if f.card_alone:
        lines.append(
            "All readings are from the grey card, so the fit cannot tell the camera from the glass: it corrects "
            "both at once. One reading with a lux meter tells them apart."
        )
    lines += [
        f"Your reading of {one.reading.at} fits badly ({stops(one.after_stops)} off) and counts little."
        for one in f.odd_ones
    ]
    return lines


def bearing_lines(b: BearingKept) -> list[str]:
    """Which way the window faces, each mark, and where it was kept."""
    lines = [f"{b.window}: {bearing_found_lines(b.found)[0]}", *bearing_found_lines(b.found)[1:]]
    lines += [f"  {mark_sentence(one)}" for one in b.found.marks]
    if b.written_to:
        lines.append(f"Written to {b.written_to}.")
    else:
        value = f"bearing_deg = {b.found.bearing_deg:.1f}"
        lines.append(f"To keep it, write {value} for {b.window!r}, or run again with --keep.")
    return [*lines, CAUTION]


def bearing_found_lines(b: BearingFound) -> list[str]:
    """Which way the window faces, against what the studio says."""
    says = f"{abs(b.change_deg):.1f} degrees {'less' if b.change_deg > 0 else 'more'}"
    if abs(b.change_deg) < SAME_DEG:
        says = "the same"
    found = f"the glass faces {b.bearing_deg:.1f} degrees, give or take {b.spread_deg:.1f}"
    lines = [f"{found}; your studio says {says}."]
    if not b.agree:
        lines.append("Your notes do not agree with each other: check times and places, or note one more.")
    return lines


def mark_sentence(one: MarkBearing) -> str:
    """One noted moment."""
    return (
        f"{one.mark.when:%Y-%m-%d %H:%M}: {one.bearing_deg:.1f} degrees, give or take {one.spread_deg:.1f}."
    )


def sky_kept_sentences(k: SkyKept) -> list[str]:
    """A forecast or weather file that is now kept with the shoot."""
    if k.kind == "typical year":
        sentence = f"The typical year of {k.station} is kept with the shoot."
        if k.far_km is None:
            return [sentence]
        about = f"{float(f'{k.far_km:.2g}'):.0f} km from {k.place or 'your kitchen'}"
        return [
            sentence,
            f"It is about {about}, with other weather and other hours of sun: take one from nearby.",
        ]
    if k.first is None or k.last is None:
        return []
    until = clock(k.last) if k.first.date() == k.last.date() else f"{day(k.last.date())} {clock(k.last)}"
    return [f"The forecast from {day(k.first.date())} {clock(k.first)} to {until} is kept with the shoot."]
