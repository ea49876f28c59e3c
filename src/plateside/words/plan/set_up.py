"""A set-up as a photographer says it. Lengths are in the studio's units; focal lengths stay in millimetres."""

import math

from plateside.camera.setup import CircleFrom, SetUp
from plateside.ground.exposure import SHUTTERS as SHUTTER_MARKS
from plateside.ground.exposure import f_number_words, nearest, shutter_words
from plateside.model.shoot import Shot
from plateside.plan.unlit import ASSUMED
from plateside.words import Row
from plateside.words.cautions import FOLLOW
from plateside.words.cautions import SET_UP as CAUTIONS
from plateside.words.counting import capital, clock, figures, listed, plural, stops
from plateside.words.light.phrases import FACING
from plateside.words.plan.findings import coverage_phrase, finding_phrase, frame_phrase, unmet_phrase
from plateside.words.plan.moves import motion_phrase
from plateside.words.plan.remedies import remedy_sentence
from plateside.words.plan.rig import rig_phrases
from plateside.words.plan.ways import held_phrase
from plateside.words.units import Units, length, length_mm, size_mm

STRAIGHT_DOWN_DEG = 85.0
NOT_AS_ASKED = "Not the frame you asked for"
ON_THE_SET = (
    "shape", "channel", "background", "moving", "height", "arm", "shadow", "gloss", "focus", "hero", "person", "stand",
)  # fmt: skip
"""Kinds of findings that hold, and are good to know on the set."""
NOISE = {
    "clean": "very little noise", "slight": "a little noise", "noisy": "noisy", "very noisy": "very noisy",
}  # fmt: skip
EXTRAS = {"clean frame": "a frame of the set without food and hands", "grey card": "a grey card frame"}
OFFERS = {
    "polariser": "a polariser would take much of what the dish mirrors, though nothing off metal: if you use one, say "
    "what it takes (1 to 2 stops, read on the lens), and the exposure counts it",
    "clean frame": "a frame of the set without food and hands lets you mend crumbs and splashes later: ask for it "
    "under Frames besides",
    "grey card": "a grey card frame in this light lets Finish match the series by it: ask for it under Frames besides",
}
"""What would help a set-up, by code: plan/extras.py."""
LOOKS = {
    "texture": "its texture still shows", "soft": "soft but legible", "melted": "melted",
}  # fmt: skip


def lens_phrase(s: SetUp) -> str:
    """'35 mm', with the lens's name when it is a zoom or says more."""
    focal = f"{s.focal_length_mm:.0f} mm"
    return focal if s.lens in (f"{s.focal_length_mm:.0f}", focal) else f"{focal} ({s.lens})"


def place_phrase(s: SetUp, units: Units) -> str:
    """Where the lens goes, as a tape measures it."""
    up, sensor = length(s.lens_above_surface_m, units), length(s.sensor_distance_m, units)
    if s.elevation_deg >= STRAIGHT_DOWN_DEG:
        return f"lens {up} above the surface (sensor {length(s.sensor_above_surface_m, units)})"
    return (
        f"lens {length(s.lens_distance_m, units)} from the dish (sensor {sensor}), {up} above the surface and "
        f"{length(s.horizontal_offset_m, units)} back, {s.elevation_deg:.0f} degrees down"
    )


def settings_phrase(s: SetUp) -> str:
    """'f/8, 1/6 s, ISO 100'."""
    return f"{s.f_number_words}, {s.exposure_words}, {s.iso_words}"


def support_phrase(s: SetUp) -> str:
    """'arm over a leg', 'travel tripod', 'hand-held'."""
    if s.support_kind == "hand":
        return "hand-held"
    if s.support_kind == "arm" and s.rig is not None and s.rig.safety_between_legs < s.rig.wanted_safety:
        return "arm over a leg" if s.support == "arm" else f"{s.support}, arm over a leg"
    return s.support


def frame_held_phrase(s: SetUp) -> str:
    """'landscape frame'."""
    return f"{held_phrase(s.orientation)} frame"


def headline(s: SetUp, units: Units) -> str:
    """The set-up in one line."""
    facts = (
        lens_phrase(s),
        place_phrase(s, units),
        settings_phrase(s),
        support_phrase(s),
        frame_held_phrase(s),
    )
    return f"{s.shot}: {', '.join(facts)}"


def focus_phrase(s: SetUp, units: Units) -> str:
    """'on the surface', '12 mm nearer than the middle of the dish'."""
    by = s.focus_nearer_mm
    near = length_mm(by, units, 1)
    if s.focus_on == "surface":
        return f"{near} above the surface" if by >= 1 else "on the surface"
    if s.focus_on == "front":
        return f"on the front of the dish, {near} nearer than its middle"
    return "on the middle of the dish" if by < 1 else f"{near} nearer than the middle of the dish"


def sharp_phrase(s: SetUp, units: Units) -> str:
    """'just enough: 131 of 134 mm': whether the depth of field suffices."""
    d = s.depth
    needed = f"{length_mm(d.needed_mm, units, 1)} needed"
    if not math.isfinite(d.total_mm):
        return f"{d.verdict}: no far limit, {needed}"
    total = length_mm(d.total_mm, units, 1)
    if d.verdict == "not enough" and d.total_mm >= d.needed_mm:
        return f"not enough at one end: {total} in all, {needed}"
    return f"{d.verdict}: {total}, {needed}"


def circle_phrase(c: CircleFrom) -> str:
    """What the circle of confusion goes by."""
    cropped = ", cropped" if c.cropped else ""
    what = {
        "format": "1/1500 of the sensor's diagonal",
        "pixels": "two pixels of the sensor",
        "channel": f"1.5 pixels of {c.channel}, {c.width_px} px wide",
    }[c.code]
    return what + cropped


def depth_phrase(s: SetUp, units: Units) -> str:
    """Depth of field against what is needed, and what counts as sharp."""
    d = s.depth
    return (
        f"depth of field {sharp_phrase(s, units)} (sharp: no spot wider than {d.circle_mm * 1000:.0f} µm on the "
        f"sensor, {circle_phrase(d.circle_from)}; diffraction alone makes {d.diffraction_mm * 1000:.0f} µm)"
    )


def light_phrase(s: SetUp) -> str:
    """'about 480 lx facing the camera', 'an assumed 500 lx facing the camera'."""
    lux = figures(s.illuminance_lx)
    return f"an assumed {lux} lx {FACING}" if s.light.source == ASSUMED else f"about {lux} lx {FACING}"


def whole_light_phrase(s: SetUp) -> str:
    """The light that the set-up is for, with its range."""
    light = s.light
    if light.source == ASSUMED:
        return f"light not known yet, {light_phrase(s)}"
    low, high = (figures(s.illuminance_lx * share) for share in (light.low_share, light.high_share))
    at = f" at {clock(light.when)}" if light.when else ""
    loss = ""
    if s.close_loss_stops >= 0.05:
        loss = f"; focusing so close costs {stops(s.close_loss_stops, 2)}, already included"
    if s.polariser_stops:
        loss += f"; the polariser takes {stops(s.polariser_stops)}, already included"
    return f"light {light_phrase(s)}{at} ({low}-{high}, as the sky changes), EV100 {s.ev100:.1f}{loss}"


def noise_phrase(s: SetUp) -> str:
    """'very little noise (signal to noise 71, 71 at ISO 100)'."""
    n = s.noise
    return f"{NOISE[n.verdict]} (signal to noise {n.snr:.0f}, {n.snr_at_base:.0f} at ISO {n.base_iso:g})"


def framing_phrase(s: SetUp, units: Units) -> str:
    """What was asked, and what the sensor's and the channels' shapes make of it."""
    f = s.framing
    out = f"frame {size_mm(*f.got_mm, units)}, {size_mm(*f.asked_mm, units)} asked"
    # 5 % is FRAME_TOLERANCE of plan/camera_needs.py
    if not _alike(f.sensor_mm, f.asked_mm):
        out += f", {size_mm(*f.sensor_mm, units)} in the sensor's shape"
    if f.channels_mm is None:
        return f"{out}, and no frame of this shape fits the dish into every channel"
    if not _alike(f.channels_mm, f.sensor_mm):
        out += f", {size_mm(*f.channels_mm, units)} for every channel's crop"
    return out


def sizes_sentence(s: SetUp, units: Units) -> str:
    """What was asked beside what is in frame, and why they differ."""
    f = s.framing
    got, asked = size_mm(*f.got_mm, units), size_mm(*f.asked_mm, units)
    if _alike(f.got_mm, f.asked_mm):
        return f"In frame: {got}, as asked."
    why = []
    if not _alike(f.sensor_mm, f.asked_mm):
        why.append(f"your sensor's shape makes {size_mm(*f.sensor_mm, units)} of it")
    if f.channels_mm is None:
        why.append("no frame of this shape fits the dish into every channel")
    elif f.channels_by and not _alike(f.channels_mm, f.sensor_mm):
        need = "needs" if len(f.channels_by) == 1 else "need"
        room = f"{size_mm(*f.channels_mm, units)} to hold the whole dish"
        why.append(f"{listed(f.channels_by)} {need} {room}")
    if not why:
        why.append("no nearer place and no lens of yours give less")
    return f"Asked: {asked}. In frame: {got}, because {' and '.join(why)}."


def _alike(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return all(1 / 1.05 - 1e-6 <= a / b <= 1.05 + 1e-6 for a, b in zip(one, other, strict=True))


def background_phrase(s: SetUp) -> str:
    """'background blurred by 2.1 % of the frame's width (soft but legible, 2.0 % asked)'."""
    if s.background_look == "none":
        return "the camera looks down: no background but the surface"
    wish = "" if not s.background_wish_percent else f", {s.background_wish_percent:.1f} % asked"
    percent = f"{s.background_blur_percent:.1f} % of the frame's width"
    return f"background blurred by {percent} ({LOOKS[s.background_look]}{wish})"


def bracket_phrase(s: SetUp) -> str:
    """'the light may be 0.7 stop off either way: start with a bracket ...'; empty without one."""
    if s.bracket is None:
        return ""
    marks = listed(nearest(SHUTTER_MARKS, t).words for t in s.bracket.exposures_s)
    spread = stops(s.bracket.spread_stops / 2.0)
    return f"the light may be {spread} off either way: start with a bracket of {marks}, then keep to one"


def stack_phrase(s: SetUp, units: Units) -> str:
    """A focus stack instead; empty without one."""
    x = s.stack
    if x is None:
        return ""
    return (
        f"or a stack of {x.frames} frames at {f_number_words(x.f_number)}, {shutter_words(x.exposure_s)}: move the "
        f"focus {length_mm(x.step_mm, units, 1)} each time, from {length(x.positions_m[0], units, 1)} (from the "
        "sensor), overlap 30 %; nothing may move"
    )


def frames_phrase(s: SetUp) -> str:
    """'6 frames'; with what is taken besides, '6 frames; before the food, a grey card frame'."""
    besides = f"; before the food, {listed(EXTRAS[e] for e in s.extras)}" if s.extras else ""
    return f"{plural(s.burst.frames, 'frame')}{besides}"


def burst_phrase(s: SetUp) -> str:
    """'take 6 frames for a good one 95 % of the time (the hand right in 50 %: assumed)'."""
    b = s.burst
    because = []
    if b.moves_share is not None:
        because.append(f"{s.motion.moves} right in {100 * b.moves_share:.0f} % of frames")
    if b.eyes_share is not None:
        because.append(f"eyes open in {100 * b.eyes_share:.0f} %")
    if not because:
        return f"take {plural(b.frames, 'frame')}: one is a spare"
    good = f"a good one {100 * b.wanted:.0f} % of the time"
    return f"take {plural(b.frames, 'frame')} for {good} ({', '.join(because)}: assumed)"


def frame_failures(s: SetUp, units: Units) -> list[str]:
    """The frame that no lens gives, why, and the ways out: said before anything else."""
    return [capital(unmet_phrase(u, s, units)) for u in s.unmet if u.code == "frame"]


def frame_failure_phrases(s: SetUp, units: Units) -> list[str]:
    """The same behind NOT_AS_ASKED as a heading."""
    return [frame_phrase(u, units) for u in s.unmet if u.code == "frame"]


def minds(s: SetUp, units: Units) -> list[str]:
    """The checks that fail, but for the frame's: each the beginning of a sentence."""
    return [capital(finding_phrase(c, s, units)) for c in s.checks if not c.ok and c.kind != "frame"]


def on_the_set(s: SetUp, units: Units) -> list[str]:
    """What holds and is good to know on the set: height, arm, shadows, mirror images, rig, bracket, stack."""
    known = [finding_phrase(c, s, units) for c in s.checks if c.ok and c.kind in ON_THE_SET]
    rig = rig_phrases(s.rig, units) if s.rig is not None else []
    offers = [OFFERS[code] for code in s.offers]
    extra = [x for x in (bracket_phrase(s), stack_phrase(s, units)) if x]
    return [capital(w) for w in known + rig + extra + offers]


def crops(s: SetUp, units: Units) -> list[str]:
    """What each channel's crop holds."""
    return [coverage_phrase(c, units) for c in s.coverage]


def more_light(s: SetUp, units: Units) -> list[str]:
    """What would gain light, and its price."""
    return [remedy_sentence(r, units) for r in s.remedies]


def cautions(s: SetUp) -> list[str]:
    """The usual cautions of the set-up, and whom to follow; empty when it has none."""
    return [*(CAUTIONS[code] for code in s.cautions), FOLLOW] if s.cautions else []


def setup_lines(s: SetUp, units: Units) -> list[str]:
    """All of it as the command says it, one fact a line."""
    rows = [*(f"{s.shot}: {NOT_AS_ASKED.lower()}: {w}" for w in frame_failure_phrases(s, units))]
    rows.append(headline(s, units))
    focus = f"focus {focus_phrase(s, units)} ({length(s.focus_distance_m, units, 1)} from the sensor)"
    inside = [f"{focus}; {depth_phrase(s, units)}", f"{whole_light_phrase(s)}; {noise_phrase(s)}"]
    inside.append(f"{framing_phrase(s, units)}; {background_phrase(s)}")
    moving = motion_phrase(s.motion)
    inside += [*([moving] if moving else []), *crops(s, units)]
    if s.rig is not None:
        inside.append("; ".join(rig_phrases(s.rig, units)))
    for c in s.checks:
        if c.kind != "frame":
            inside.append(f"{'' if c.ok else 'MIND: '}{finding_phrase(c, s, units)}")
    inside += more_light(s, units)
    inside += [x for x in (bracket_phrase(s), stack_phrase(s, units), burst_phrase(s)) if x]
    inside += [f"caution: {c}" for c in cautions(s)]
    return rows + [f"  {line}" for line in inside]


def two_metre_lines(s: SetUp, units: Units) -> list[str]:
    """The few settings that are read from beside the dish: at most 18 characters a line."""
    up = length(s.lens_above_surface_m, units)
    over = s.elevation_deg >= STRAIGHT_DOWN_DEG
    return [
        f"{s.f_number_words}, {s.exposure_words}",
        f"{s.iso_words}, {s.focal_length_mm:.0f} mm",
        "straight down" if over else f"{length(s.lens_distance_m, units)} away",
        f"{up} up" if over else f"{up} up, {s.elevation_deg:.0f}\N{DEGREE SIGN} down",
        *(["polariser on"] if s.polariser_stops else []),
        *(f"first: {extra}" for extra in s.extras),
    ]


FOCUS_ON = {"surface": "on surface", "front": "on its front", "middle": "on its middle"}
"""What to focus on, for the same screen."""


def put_phrases(shot: Shot, first_surface: str, units: Units) -> list[str]:
    """'White board on the right, 0.40 m from the dish': what goes where, as the camera sees it.

    first_surface  what a shot without a surface of its own stands on; empty: the table itself
    """
    sides = {"left": "on the left", "right": "on the right", "far": "behind", "near": "on the camera's side"}
    out = [
        f"{capital(b.board)} board {sides[b.side]}, {length(b.distance_m, units)} from the dish"
        for b in shot.boards
    ]
    surface = shot.surface or first_surface
    out += [f"On {surface}"] if surface else []
    return [*out, *([f"Props, back to front: {listed(shot.props)}"] if shot.props else [])]


def fact_rows(s: SetUp, units: Units) -> list[Row]:
    """The lengths and facts by name, as the Plan page and the shot sheet have them."""
    over = s.elevation_deg >= STRAIGHT_DOWN_DEG
    back = "straight above" if over else length(s.horizontal_offset_m, units)
    tilt = "straight down, level" if over else f"{s.elevation_deg:.0f}° down"
    rows = [
        Row("lens_above_surface", "Lens above the surface", length(s.lens_above_surface_m, units)),
        Row("sensor_above_surface", "Sensor above the surface", length(s.sensor_above_surface_m, units)),
        Row("sensor_above_floor", "Sensor above the floor", length(s.sensor_m[2], units)),
        Row("back", "Back from the dish", back),
        Row("tilt", "Tilt", tilt),
        Row("frame", "Frame", _frame(s, units)),
        Row("focus", "Focus", focus_phrase(s, units)),
        Row("sharp", "Depth of field", sharp_phrase(s, units)),
        Row("support", "Support", support_phrase(s)),
        Row("light", "Light", light_phrase(s)),
        Row("noise", "Noise", NOISE[s.noise.verdict]),
        Row("take", "Take", frames_phrase(s)),
    ]
    if s.background_blur_percent > 0:
        rows.append(Row("background", "Background blur", f"{s.background_blur_percent:.1f} % of the frame"))
    if s.motion.moves != "nothing":
        streak = f"{s.motion.streak_px:.0f} px, {s.motion.allowed_px:.0f} allowed"
        rows.append(Row("streak", "Streak", streak))
    if s.moving is not None:
        up = length_mm(s.moving.height_mm, units)
        rows.append(
            Row("moving", "Out of focus", f"{s.moving.blur_px:.0f} px, for what moves {up} above the table")
        )
    return rows


def _frame(s: SetUp, units: Units) -> str:
    """'landscape, 600 x 400 mm', and what was asked when that is another."""
    got = f"{held_phrase(s.orientation)}, {size_mm(s.frame_width_mm, s.frame_height_mm, units)}"
    plain = not any(u.code in ("frame", "shape") for u in s.unmet)
    return got if plain else f"{got}, {size_mm(*s.framing.asked_mm, units)} asked"
