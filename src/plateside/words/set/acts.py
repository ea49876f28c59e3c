"""The one thing to change: an act's codes and numbers as a sentence, or as its lead for large letters."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from plateside.ground.exposure import f_number_words, iso_words, shutter_words
from plateside.ground.figures import rounded
from plateside.model.casts import too_warm_by, warmer_by
from plateside.model.frame import Act, Dial
from plateside.words.counting import capital, listed, stops
from plateside.words.set.places import place_phrase, thirds_phrase

LONGEST_LEAD = 64
"""Characters of a lead, which stands large on the page."""


@dataclass(frozen=True)
class Said:
    """An act in words, without its full stop."""

    lead: str
    rest: str = ""
    """What goes on after the lead."""


def act_lead(act: Act) -> str:
    """Short enough for large letters: 'Two thirds of a stop brighter: 1/3 s to 1/2 s'."""
    if act.code == "keep":
        return "Keep it."
    lead = _said(act).lead
    if act.probably:
        return f"Probably: {_lower(lead)}"
    return lead


def act_sentence(act: Act) -> str:
    """The whole: 'Two thirds of a stop brighter: 1/3 s to 1/2 s (the light fell 0.7 stop).'"""
    said = _said(act)
    if act.probably:
        return f"Probably: {_lower(said.lead)}{said.rest}; look at 100 % first."
    return f"{said.lead}{said.rest}."


def dial_phrase(dial: Dial) -> str:
    """'1/3 s to 1/2 s', 'ISO 400 to ISO 200', 'f/8 to f/5.6'."""
    words = {"shutter": shutter_words, "iso": iso_words, "aperture": f_number_words}[dial.name]
    return f"{words(dial.now)} to {words(dial.to)}"


def _said(act: Act) -> Said:
    make = _ACTS.get(act.code)
    return Said("Look at the frame at 100 %") if make is None else make(act)


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


# ---- Exposure and colour --------------------------------------------------------------------------------------


def _expose(act: Act) -> Said:
    change = act.stops or 0.0
    lead = f"{thirds_phrase(change)} {'brighter' if change > 0 else 'darker'}"
    if act.dial is not None:
        lead += f": {dial_phrase(act.dial)}"
    if act.way == "highlights":
        return Said(lead, " (the hero's highlights are gone)")
    if act.by == "grey card":
        return Said(lead, " (by the grey card)")
    if act.light_stops is not None:
        way = "rose" if act.light_stops > 0 else "fell"
        return Said(lead, f" (the light {way} {stops(act.light_stops)})")
    return Said(lead)


def _looks_dark(act: Act) -> Said:
    return Said(
        "Dark: if you meant it, keep it", f". If not, {thirds_phrase(act.stops or 0.0).lower()} brighter"
    )


def _look_at_highlights(act: Act) -> Said:
    return Said(
        f"Look at the highlights {place_phrase(act.at)} at 100 %",
        ": they are white in the JPEG, and the raw may hold them",
    )


def _cast(act: Act) -> Said:
    looks = f"Looks {too_warm_by(act.mired or 0.0)}"
    if act.by == "grey card":
        return Said(looks, ": set the white balance from your grey card")
    return Said(looks, ": lamps off? Shoot your grey card to be sure")


def _colour_changed(act: Act) -> Said:
    return Said(capital(warmer_by(act.mired or 0.0, "the test frame")), ": take the grey card again")


# ---- Lamps ----------------------------------------------------------------------------------------------------


def _lamp_light(act: Act) -> str:
    return f"{100 * (act.share or 0.0):.0f} % of the light there, {warmer_by(act.mired or 0.0)}"


def _lamp_on(act: Act) -> Said:
    return Said(f"Lamp on {place_phrase(act.at)}: switch it off", f". It gives {_lamp_light(act)}")


def _it_was_a_lamp(act: Act) -> Said:
    return Said(f"It was a lamp, {place_phrase(act.at)}", f": {_lamp_light(act)}. Leave it off")


def _no_lamp(_act: Act) -> Said:
    return Said("No lamp: with it off the light has the same colour", " everywhere")


# ---- Blur and focus -------------------------------------------------------------------------------------------


def _shake(act: Act) -> Said:
    return Said(
        f"Camera shake, {act.amount or 0:.0f} px at {act.degrees or 0:.0f} degrees",
        ": tripod, 2 s delay, stand still",
    )


def _moved(act: Act) -> Said:
    lead = f"The subject moved, {act.amount or 0:.0f} px"
    lead += f": {dial_phrase(act.dial)}" if act.dial is not None else ""
    return Said(lead, ", or let it settle" if act.way == "settle" else "")


def _focus_elsewhere(act: Act) -> Said:
    return Said(f"Focus on the hero: it is sharpest {place_phrase(act.at)}")


def _focus_mm(act: Act) -> Said:
    about = "about " if act.rough else ""
    way, now = ("nearer", "behind") if act.way == "nearer" else ("further away", "in front of")
    return Said(f"Focus {about}{act.amount or 0:g} mm {way}", f": it is {now} where you want it")


def _less_depth(act: Act) -> Said:
    if act.amount is None or act.against is None:
        return Said(
            "Less of the hero is in focus than in the test frame",
            ": check the aperture and where you focused",
        )
    return Said(f"Less depth of field: {_now_and_before(act, f_number_words)}", ". Set the aperture back")


def _part_moved(act: Act) -> Said:
    return Said(
        f"Part of the hero moved, {place_phrase(act.at)}", ": look at 100 %, let it settle and take it again"
    )


def _look_at_part(act: Act) -> Said:
    return Said(f"Look at 100 % {place_phrase(act.at)}", ": the hero is softer there than in the test frame")


_WHY_LOOK = {
    "moves": "something moves in this shot, and its streaks look like blur",
    "soft": "its edges are soft, and without a test frame that may be the food itself",
}


def _look_at_hero(act: Act) -> Said:
    if act.way == "no shot":
        return Said(
            f"Look at 100 %, {place_phrase(act.at)}",
            ": the frame is sharpest there. Name its shot to judge the hero",
        )
    why = _WHY_LOOK.get(act.way, "")
    return Said(f"Look at the hero at 100 %, {place_phrase(act.at)}", f": {why}" if why else "")


# ---- The camera -----------------------------------------------------------------------------------------------


def _camera_moved(act: Act) -> Said:
    found = []
    if act.share is not None:
        found.append(f"the frame is off by {act.share * 100:.1f} % of its width")
    if act.degrees is not None:
        found.append(f"it is turned {abs(act.degrees):.1f} degrees")
    if act.scale is not None:
        size = "larger" if act.scale > 1 else "smaller"
        found.append(f"everything is {abs(act.scale - 1) * 100:.0f} % {size}")
    # a lens that breathes draws larger or smaller when it is focused elsewhere, with the camera still
    only_scaled = act.share is None and act.degrees is None
    lead = "The camera moved, or was focused elsewhere" if only_scaled else "The camera moved"
    return Said(lead, f": {', '.join(found)}. Set it back, or take a new test frame")


def _turn_camera(act: Act) -> Said:
    wanted = act.way
    return Said(f"Shoot this one {wanted}", f": {_why_turned(act, wanted)}")


def _why_turned(act: Act, wanted: str) -> str:
    if act.by == "shot":
        return f"the shot asks for a {wanted} frame"
    if act.by == "frame":
        return f"the frame you asked for is {'high' if wanted == 'portrait' else 'wide'}"
    if act.by == "channel":
        return f"the {_shape(act)} picture ({act.name}) needs it"
    return "the dish fits that way"


def _shape(act: Act) -> str:
    """'4:5', '16:9', else 'portrait' or 'landscape': the name of a channel alone says nothing at the dish."""
    if not act.amount or not act.against:
        return act.way
    ratio = Fraction(round(act.amount), round(act.against))
    if max(ratio.numerator, ratio.denominator) <= 21:
        return f"{ratio.numerator}:{ratio.denominator}"
    return act.way


def _by_card(act: Act) -> Said:
    code = act.code.removeprefix("card ")
    move = card_move_phrase(code, act.amount or 0.0, act.way, act.degrees, act.against)
    return Said(f"By the set card: {move}")


def card_move_phrase(
    code: str, amount: float, way: str, now: float | None = None, wanted: float | None = None
) -> str:
    """'level 1.2°: tip the lens towards the frame's left', 'lower by 40 mm'."""
    match code:
        case "level":
            return f"level {amount:.1f}°: tip the lens towards the frame's {way}"
        case "roll":
            return f"level: turn the camera {amount:.1f}° {way}, seen from behind it"
        case "height":
            return f"{amount:.0f}° {way}: {now or 0:.0f}° now, {wanted or 0:.0f}° wanted"
        case "distance":
            by = {"lower": "lower by", "raise": "raise by", "nearer": "nearer by", "back": "back by"}[way]
            return f"{by} {amount:.0f} mm"
        case _:
            return f"the frame is {amount:.0f} mm wide, you asked for {wanted or 0:.0f}"


def _another_scene(_act: Act) -> Said:
    return Said("Not the test frame's set-up", ": is it another shot, or was the camera turned?")


def _not_compared(_act: Act) -> Said:
    return Said("Not compared: the test frame has another shape", ". Turned, or another crop or camera?")


# ---- Light on the dish ----------------------------------------------------------------------------------------

_BY = {"test frame": " (by the test frame)", "plan": " (by the test frame, taken to be as planned)"}


def _white_board(act: Act) -> Said:
    way = "closer" if act.way == "closer" else "further away"
    down = f"shadow side is {act.amount or 0:.1f} stops down, you asked for {act.against or 0:g}"
    return Said(f"White board {way}", f": {down}{_BY.get(act.by, '')}")


def _key_and_fill(act: Act) -> Said:
    down = f"shadow side is {act.amount or 0:.1f} stops down"
    if act.by == "ball":
        return Said(f"On the ball: {down}", f", key {key_phrase(act.way)}")
    changed = act.against or 0.0
    since = f"{abs(changed):.1f} {'more' if changed > 0 else 'less'} than in" if changed else "as in"
    own = " (taken to be as planned)" if act.by == "plan" else ""
    return Said(f"By the test frame: {down}", f", {since} the test frame{own}")


def key_phrase(way: str) -> str:
    """'from the left and above', of the codes of where the key comes from."""
    names = {"left": "the left", "right": "the right", "camera": "the camera"}
    return "from " + listed([names.get(one, one) for one in way.split()])


def _key_and_fill_changed(_act: Act) -> Said:
    return Said("Key against fill changed since the test frame", ", and it is not clear which side gained")


def _lux(act: Act) -> Said:
    how = "grey card, within half a stop" if act.by == "grey card" else "no grey card: within a stop or two"
    return Said(f"About {rounded(act.amount or 0.0)} lx on the dish", f" ({how})")


# ---- Settings -------------------------------------------------------------------------------------------------


def _now_and_before(act: Act, words: Callable[[float], str]) -> str:
    return f"{words(act.amount or 0.0)} now, {words(act.against or 0.0)} in the test frame"


def _millimetres(value: float) -> str:
    return f"{value:g} mm"


def _fixed(lead: str, rest: str = "") -> Callable[[Act], Said]:
    return lambda _act: Said(lead, rest)


def _setting(words: Callable[[float], str], begins: str = "", rest: str = "") -> Callable[[Act], Said]:
    return lambda act: Said(begins + _now_and_before(act, words), rest)


_ACTS: Mapping[str, Callable[[Act], Said]] = {
    "keep": _fixed("Keep it"),
    "expose": _expose, "looks dark": _looks_dark, "look at highlights": _look_at_highlights,
    "cast": _cast, "colour changed": _colour_changed,
    "lamp on": _lamp_on, "it was a lamp": _it_was_a_lamp, "no lamp": _no_lamp,
    "shake": _shake, "moved": _moved, "focus elsewhere": _focus_elsewhere, "focus mm": _focus_mm,
    "out of focus": _fixed("Out of focus: focus again on the hero"),
    "less depth": _less_depth, "part moved": _part_moved, "look at part": _look_at_part,
    "look at hero": _look_at_hero, "camera moved": _camera_moved, "turn camera": _turn_camera,
    "card level": _by_card, "card roll": _by_card, "card height": _by_card, "card distance": _by_card,
    "card width": _by_card, "another scene": _another_scene, "not compared": _not_compared,
    "white board": _white_board, "key and fill": _key_and_fill, "key and fill changed": _key_and_fill_changed,
    "lux": _lux,
    "auto iso": _fixed("Auto ISO is on: set ISO by hand", ", or the next frame differs"),
    "auto white balance": _fixed("Auto white balance is on: set it by hand", ", from your grey card"),
    "stabiliser": _fixed("The stabiliser is on: switch it off on a tripod"),
    "zoom changed": _setting(_millimetres, "Zoom: "),
    "aperture changed": _setting(f_number_words, "", ": the depth of field changed"),
    "iso changed": _setting(iso_words), "shutter changed": _setting(shutter_words),
    "white balance automatic again": _fixed("White balance is automatic again: set it by hand"),
    "another camera": _fixed("Another camera than in the test frame"),
}  # fmt: skip
CODES = tuple(_ACTS)
"""Of every act there is."""
