"""What a set-up's place, light and crops come to, and every wish it does not meet: parts of sentences.

`finding_phrase`   one finding, with its ways out
`unmet_phrase`     one wish that is not met
`capital` of counting makes a sentence's beginning of each
"""

import math

from plateside.camera.findings import Finding, Lack, Unmet
from plateside.camera.setup import Coverage, SetUp
from plateside.words.counting import figures, listed, stops
from plateside.words.light.phrases import FACING
from plateside.words.plan.moves import MOVES, motion_phrase
from plateside.words.plan.ways import sides_phrase, ways_phrase
from plateside.words.units import Units, length, length_mm, size_mm

ROOM = ("camera", "ceiling", "floor", "left wall", "right wall", "front wall", "back wall", "table")
"""What a dish mirrors besides windows and boards, which have names."""
THINGS = {"camera": "the camera", "arm": "the arm", "tripod": "the tripod", "you": "you"}


def finding_phrase(f: Finding, s: SetUp, units: Units) -> str:
    """'the camera would be 13 cm into the ceiling: frame tighter, or use a shorter lens'."""
    if f.unmet is not None:
        return unmet_phrase(f.unmet, s, units)
    ways = ways_phrase(f.ways, units)
    return _verdict(f, s, units) + (f": {ways}" if ways and f.code not in ("legs in frame", "board") else "")


def _verdict(f: Finding, s: SetUp, units: Units) -> str:
    """What was found, without its ways out."""
    if f.kind in ("shadow", "gloss"):
        return _shadow_phrase(f, units) if f.kind == "shadow" else _gloss_phrase(f, units)
    if f.code == "no room":
        return "; ".join(lack_phrase(x, units) for x in f.lacks)
    if f.code == "moving":
        return moving_phrase(s, units)
    got, asked = f.got or 0.0, f.asked or 0.0
    here, there = length(got, units), length(asked, units)
    table = {
        "ceiling": f"the camera would be {here} into the ceiling",
        "fits": f"it fits the room, {here} under the ceiling",
        "no arm": "shot hand-held, as the studio has no arm that reaches over the table. With one, frames stay level "
        "and alike, and the shutter can be slow",
        "dish to edge": f"the column of {f.about} comes down {here} inside the table's edge: move the dish that much "
        "nearer to the edge",
        "turn legs": f"turn the legs of {f.about} clear of the {f.of}",
        "stand beside": f"no room for you behind the camera ({f.of}): work from the {f.about.removesuffix(' of')} of "
        "it, and tilt the screen or use a remote view",
        "too high hand-held": f"the lens is {here} up, too high to hold",
        "support too low": f"the lens must be {here} up, and {f.about} reaches {there}",
        "support too high": f"the lens must be {here} up, and {f.about} goes no lower than {there}",
        "screen": f"the camera is {here} up, too high to look into: tilt the screen or use a remote view, no chair",
        "column in frame": f"the arm reaches {here}, and it takes {there} to keep the column out of frame",
        "table edge": f"the arm reaches {here}, and the table's edge is {there} from the dish",
        "reaches": f"the arm needs {there} and reaches {here}",
        "legs in frame": "a plain tripod's legs get into an overhead frame: use an arm",
        "focus": f"the camera is {here} away, and the lens focuses no nearer than {there}",
        "clearance": f"only {length_mm(got, units, 1)} between lens and food: steam and splashes",
        "hero": f"{f.about}: only {got:.0f} % of room around the dish",
        "assumed": f"the light is not known yet: shutter and ISO are for an assumed {figures(got)} lx {FACING}",
        "alone": "working alone: use a remote or the timer, and lock focus on a stand-in held where your hand will be",
        "over limit": f"camera and lens weigh {got:.2f} kg, over the maker's limit of {asked:.2f} kg for {f.about}: "
        "use another support",
        "tips": f"safety against tipping {got:.1f} even over a leg, {asked:g} wanted: hang the bag",
    }
    return table[f.code]


def _shadow_phrase(f: Finding, units: Units) -> str:
    got = f.got or 0.0
    if f.code == "clear":
        return "nothing of yours is in the dish's light: camera, support and you are clear of it"
    if f.code == "camera's shadow":
        return f"in the sun the camera's shadow falls {length(got, units)} from the dish"
    lost = stops(-math.log2(max(1.0 - got, 1e-3)))
    blocks = "block" if f.about == "you" else "blocks"
    return f"{THINGS[f.about]} {blocks} {100 * got:.0f} % of the key light on the dish ({lost})"


def _gloss_phrase(f: Finding, units: Units) -> str:
    got = f.got or 0.0
    if f.code == "mirrors":
        parts = listed(
            f"{'the ' if name in ROOM else ''}{name} ({100 * share:.0f} %)" for name, share in f.parts
        )
        return f"the glossy dish mirrors {parts}"
    if f.code == "camera":
        tilt = "" if f.clears_deg is None else f"tilt {f.clears_deg:.0f} degrees to clear it, or "
        return f"the camera is mirrored in {100 * got:.0f} % of the dish: {tilt}use a black board with a lens hole"
    if f.code == "board":
        return f"{f.about} is mirrored in {100 * got:.0f} % of the dish; {ways_phrase(f.ways, units)}"
    ways = []
    if f.clears_deg is not None:
        ways.append(f"{f.clears_deg:.0f} degrees of elevation clears it")
    if f.fills_deg is not None:
        ways.append(f"{f.fills_deg:.0f} degrees fills it")
    return (
        f"{f.about} is mirrored in {100 * got:.0f} % of the dish; {' and '.join(ways) or 'no tilt clears it'}"
    )


def lack_phrase(x: Lack, units: Units) -> str:
    """What does not fit: 'the camera would be 12 cm into the back wall'."""
    by = length(x.short_m, units)
    if x.code == "camera":
        return f"the camera would be {by} into the {x.what}"
    if x.code == "feet":
        return f"the feet of {x.about} would be {by} into the {x.what}, however you turn it"
    if x.code == "column":
        return f"the column of {x.about} would come down {by} inside the table's edge"
    return {
        "at the table": f"no room for you at the table: {by} short even on its freest side ({x.what})",
        "behind": f"no room for you behind the camera: {by} short ({x.what})",
        "behind or beside": f"no room for you behind or beside the camera: {by} short at best ({x.what})",
    }[x.about]


def moving_phrase(s: SetUp, units: Units) -> str:
    """'the hand, up to 160 mm above the table: sharp'; empty when nothing moves."""
    m = s.moving
    if m is None:
        return ""
    up = f"{length_mm(m.height_mm, units)} above the table"
    if m.sharp:
        return f"{MOVES[m.what]}, up to {up}: sharp"
    let = "" if m.counted else ", which this shot allows"
    return f"{MOVES[m.what]}, {up}, will blur by {m.blur_px:.0f} px ({length_mm(m.blur_mm, units, 0.1)}){let}"


def coverage_phrase(c: Coverage, units: Units) -> str:
    """One channel's crop: 'feed: 320 x 400 mm, 3200 x 4000 px; room for a dish 12 % larger'."""
    text = "" if c.text_space == "none" else f", with the {c.text_space} third left for text"
    if c.part_of_dish:
        room = "a part of the dish, as you asked"
    elif c.margin_percent < 0:
        room = f"the crop is {-c.margin_percent:.0f} % too small for the dish"
    else:
        room = f"room for a dish {c.margin_percent:.0f} % larger"
    crop = f"{size_mm(c.crop_width_mm, c.crop_height_mm, units)}, {c.crop_width_px} x {c.crop_height_px} px"
    return f"{c.channel}: {crop}{text}; {room}"


def unmet_phrase(u: Unmet, s: SetUp, units: Units) -> str:
    """One wish that is not met, why, and the ways out."""
    if u.place is not None:
        return finding_phrase(u.place, s, units)
    # the ways to more light have their own list, with their prices
    ways = "" if u.code == "light" else ways_phrase(u.ways_out, units)
    return _wish_phrase(u, s, units) + (f": {ways}" if ways else "")


def _wish_phrase(u: Unmet, s: SetUp, units: Units) -> str:
    asked, got = (*u.asked, 0.0, 0.0), (*u.got, 0.0, 0.0)
    if u.code == "frame":
        return f"not the frame you asked for: {_frame_phrase(u, units)}"
    if u.code == "channel":
        return f"{u.about}: {_cut_phrase(u, s)}"
    if u.code == "motion":
        return f"the shutter is too slow: {motion_phrase(s.motion)}"
    if u.code == "background":
        got_words = "the camera looks down and sees no background" if u.reason == "place" else (
            f"{got[0]:.1f} % at {s.f_number_words}"
        )  # fmt: skip
        return f"background blur {asked[0]:.1f} % asked, {got_words}"
    lengths = f"{length_mm(got[0], units, 1)}, and {length_mm(asked[0], units, 1)} needed"
    sizes = f"{got[0]:.0f} x {got[1]:.0f} px of the {asked[0]:.0f} x {asked[1]:.0f} asked"
    return {
        "shape": f"the sensor's shape gives {sides_phrase(got, units)} for the {sides_phrase(asked, units)} asked",
        "pixels": f"{u.about}: only {sizes}",
        "depth": f"depth of field {lengths}",
        "stream": f"the stream still shows drops: it streaks {got[0]:.0f} px, {asked[0]:.0f} looks like silk",
        "light": f"{stops(got[0])} short of light at {s.iso_words}, the highest you find usable",
    }[u.code]


def frame_phrase(u: Unmet, units: Units) -> str:
    """The frame that no lens gives, without the verdict: '600 x 400 mm instead of ...', why, and the ways out."""
    return f"{_frame_phrase(u, units)}: {ways_phrase(u.ways_out, units)}"


def _frame_phrase(u: Unmet, units: Units) -> str:
    why = {
        "closest focus": f"because the {u.about} focuses no nearer than {length(u.limit_m or 0.0, units)}",
        "working distance": f"because nearer, the front of the {u.about} would be in the food",
        "channel shape": "because your frame cuts the dish in every channel",
    }[u.reason]
    (gw, gh), (aw, ah) = u.got, u.asked
    return f"{size_mm(gw, gh, units)} instead of {size_mm(aw, ah, units)}, {why}"


def _cut_phrase(u: Unmet, s: SetUp) -> str:
    crop = next(c for c in s.coverage if c.channel == u.about)
    if crop.part_of_dish:
        return "shows less than the frame you asked for"
    return f"its crop cuts the dish ({crop.margin_percent:+.0f} %)"
