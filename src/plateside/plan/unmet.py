"""Every wish of a shot that its set-up does not meet, each with what was asked, what there is, why, and the ways out.

`unmet_of`   the frame's first, then what stands in the way, then what is only worth knowing
A wish is met within FRAME_TOLERANCE (a side of the frame), DEPTH_TOLERANCE (depth) and MET (the rest).
"""

import math
from collections.abc import Sequence

from plateside.camera.motion import SILK_PX
from plateside.camera.optics import blur_disc_mm, infinity_blur_mm
from plateside.camera.setup import Coverage, Finding, SetUp, Unmet
from plateside.ground.exposure import F_NUMBERS, nearest, shutter_words
from plateside.model.gear import Lens
from plateside.model.shoot import Channel, Shot
from plateside.model.studio import Studio
from plateside.plan.camera_needs import CameraNeeds, close_up
from plateside.plan.framing import able, same, sides, smallest_frame, turned
from plateside.plan.remedies import deeper_ways

MET = 0.95
"""Of a wish for blur or for a stream: a share so small is not seen."""
UNDER_STOPS = 0.1
PLACES = ("ceiling", "room", "height", "arm", "focus", "clearance")
"""Kinds of findings that say why the camera cannot be where the frame asks for it."""


def unmet_of(
    studio: Studio, shot: Shot, needs: CameraNeeds, lens: Lens, s: SetUp, places: Sequence[Finding]
) -> tuple[Unmet, ...]:
    """What is not as asked. `places` are the findings about the camera's place."""
    found = _frame(studio, shot, needs, s)
    found += [_place(c, s) for c in places if c.kind in PLACES and not c.ok]
    rest = _channels(needs, s) + _depth(s, lens) + _background(shot, needs, lens, s) + _motion(s) + _light(s)
    return tuple(sorted(found + rest, key=lambda u: not u.fails))


def _px(s: SetUp, asked: tuple[float, float]) -> tuple[int, int]:
    """Pixels of the frame that what was asked takes."""
    return (
        math.floor(asked[0] / s.frame_width_mm * s.pixels_wide + 1e-6),
        math.floor(asked[1] / s.frame_height_mm * s.pixels_high + 1e-6),
    )


def _crop_way(s: SetUp, needs: CameraNeeds) -> str:
    """Cropping to what was asked, with the pixels that are left, and for which channels they are too few."""
    w, h = _px(s, s.framing.asked_mm)
    few = [c.name for c in needs.channels if min(w / c.width_px, h / c.height_px) < 1.0 and _fits(c, w, h)]
    return f"crop to it, {w} x {h} px are left" + (f", too few for {', '.join(few)}" if few else "")


def _fits(channel: Channel, w: int, h: int) -> bool:
    """Whether a channel's own shape, cut from w x h pixels, has too few of them."""
    return min(w, h * channel.width_px / channel.height_px) < channel.width_px


def _frame(studio: Studio, shot: Shot, needs: CameraNeeds, s: SetUp) -> list[Unmet]:
    """The frame: looser than asked, or only of another shape."""
    f = s.framing
    other, area = turned(needs), f.sensor_mm[0] * f.sensor_mm[1]
    ways: list[str] = []
    if shot.orientation != "auto" and other[0] * other[1] < area / 1.05:
        held = "portrait" if needs.orientation == "landscape" else "landscape"
        ways.append(f"hold the camera {held}: {sides(other)}")
    if f.as_asked:
        if same(f.got_mm, f.asked_mm):
            return []
        words = f"the sensor's shape makes {sides(f.got_mm)} of the {sides(f.asked_mm)} asked"
        ways.append(_crop_way(s, needs))
        return [
            Unmet(
                code="shape", asked=f.asked_mm, got=f.got_mm, unit="mm", reason="sensor shape", ways_out=tuple(ways),
                fails=False, words=f"{words}: {', or '.join(ways)}",
            )
        ]  # fmt: skip
    lens = next(x for x in studio.lenses if x.name == s.lens)
    why = able(needs, lens, needs.magnification)
    others = [x for x in studio.lenses if x.name != s.lens and not able(needs, x, needs.magnification)]
    ways = [*(f"use the lens {x.name}" for x in others[:1]), *ways, _crop_way(s, needs)]
    if not others:
        ways.append(
            f"a lens that draws at {needs.magnification:.2f} times life size (macro, or a close-up lens)"
        )
    if why == "closest focus":
        because = f"the {s.lens} focuses no nearer than {lens.closest_focus_m:.2f} m"
    elif why:
        because = f"nearer, the front of the {s.lens} would be in the food"
    else:
        # no channel could use the frame asked for: a lens is not in the way
        why, because = (
            "channel shape",
            f"for that cuts the dish in {', '.join(c.channel for c in s.coverage)}",
        )
        ways = ["add a channel of the frame's own shape", _crop_way(s, needs)]
    return [
        Unmet(
            code="frame", asked=f.asked_mm, got=f.got_mm, unit="mm", reason=why, ways_out=tuple(ways),
            words=f"not the frame you asked for: {sides(f.got_mm)} instead of {sides(f.asked_mm)}, {because}: "
            + ", or ".join(ways),
        )
    ]  # fmt: skip


def _place(c: Finding, s: SetUp) -> Unmet:
    """A place that the room, the support or the food does not leave free."""
    told, _, mend = c.words.partition(": ")
    return Unmet(
        code="place", asked=s.framing.asked_mm, got=(), unit="mm", reason=c.kind,
        ways_out=tuple(mend.split(", or ")) if mend else (), words=c.words if told else "",
    )  # fmt: skip


def _channels(needs: CameraNeeds, s: SetUp) -> list[Unmet]:
    """Channels whose crop cuts the dish, or has too few pixels."""
    out = []
    by_name = {c.name: c for c in needs.channels}
    for c in s.coverage:
        channel = by_name[c.channel]
        if not c.holds_hero:
            out.append(_cut(needs, s, channel, c))
        if not c.enough_pixels:
            ways = ("a frame of its own, tighter", f"deliver it {c.crop_width_px} px wide")
            out.append(
                Unmet(
                    code="pixels", about=c.channel, asked=(channel.width_px, channel.height_px),
                    got=(c.crop_width_px, c.crop_height_px), unit="px", reason="channel shape", ways_out=ways,
                    words=f"{c.channel}: only {c.crop_width_px} x {c.crop_height_px} px of the {channel.width_px} x "
                    f"{channel.height_px} asked: {', or '.join(ways)}",
                )
            )  # fmt: skip
    return out


def _cut(needs: CameraNeeds, s: SetUp, channel: Channel, c: Coverage) -> Unmet:
    """A channel's crop that does not hold the dish, with the frame that would."""
    close = close_up(needs)
    this, other = s.framing.sensor_mm, turned(needs)
    ways = []
    alone = [
        (way, smallest_frame(needs, shape, [channel]))
        for way, shape in (
            (s.orientation, this),
            ("portrait" if s.orientation == "landscape" else "landscape", other),
        )
    ]
    found = [(way, frame) for way, frame in alone if frame is not None]
    if found:
        way, frame = min(found, key=lambda wf: wf[1][0] * wf[1][1])
        ways.append(f"take a second frame for it, {way}, {sides(frame)}")
    ways.append(f"leave {channel.name} out for this shot")
    if s.framing.channels_mm is not None:
        ways.append(f"ask for {sides(s.framing.channels_mm)}, which holds every channel")
    want = (needs.shown_width_mm, needs.shown_height_mm)
    lack = (
        "shows less than the frame you asked for"
        if close
        else f"its crop cuts the dish ({c.margin_percent:+.0f} %)"
    )
    return Unmet(
        code="channel", about=c.channel, asked=want, got=(c.crop_width_mm, c.crop_height_mm), unit="mm",
        reason="channel shape", ways_out=tuple(ways), fails=not close,
        words=f"{c.channel}: {lack}: {', or '.join(ways)}",
    )  # fmt: skip


def _depth(s: SetUp, lens: Lens) -> list[Unmet]:
    if s.depth.verdict != "not enough":
        return []
    ways = deeper_ways(s, lens)
    return [
        Unmet(
            code="depth", asked=(s.depth.needed_mm,), got=(s.depth.total_mm,), unit="mm",
            reason="light" if ways and ways[0].startswith("f/") else "lens", ways_out=tuple(ways),
            words=f"depth of field {s.depth.total_mm:.0f} mm, {s.depth.needed_mm:.0f} needed: {', or '.join(ways)}",
        )
    ]  # fmt: skip


def _background(shot: Shot, needs: CameraNeeds, lens: Lens, s: SetUp) -> list[Unmet]:
    """A background that melts less than asked; the tool's own wish for it is only worth knowing."""
    wish = shot.background_blur_percent or needs.background_percent
    if not wish or s.background_blur_percent >= MET * wish:
        return []
    got, ways = s.background_blur_percent, []
    if needs.background_mm is None:
        reason, said = "place", "the camera looks down and sees no background"
    else:
        reason, said = "lens", f"{got:.1f} % at {s.f_number_words}"
        wider = s.f_number * got / wish
        if wider >= lens.widest_aperture * 0.94:
            mark = nearest(tuple(m for m in F_NUMBERS if m.exact <= wider * 1.03), wider)
            ways.append(f"{mark.words} gives it, with less depth")
            reason = "depth"
        gap = _gap_mm(needs, s, wish)
        if gap is not None:
            ways.append(f"set the background {gap / 1000:.2f} m behind the dish")
        ways.append("a longer lens")
    words = f"background blur {wish:.1f} % asked, {said}" + (f": {', or '.join(ways)}" if ways else "")
    return [
        Unmet(
            code="background", asked=(wish,), got=(got,), unit="%", reason=reason, ways_out=tuple(ways),
            fails=bool(shot.background_blur_percent) and needs.background_mm is not None, words=words,
        )
    ]  # fmt: skip


def _gap_mm(needs: CameraNeeds, s: SetUp, wish: float) -> float | None:
    """How far behind the dish's edge a background melts as wished; None when none does [mm]."""
    f, focus = s.focal_length_mm, 1000.0 * s.focus_lens_distance_m
    disc = wish / 100.0 * s.sensor_width_mm
    if infinity_blur_mm(f, s.f_number, focus) <= 1.02 * disc:
        return None
    at = focus
    while at < 1e5:
        at *= 1.02
        if blur_disc_mm(f, s.f_number, focus, at, s.pupil_magnification) >= disc:
            along = at - 1000.0 * s.lens_distance_m - needs.hero_depth_mm / 2.0
            gap = along / max(math.cos(math.radians(s.elevation_deg)), 0.1)
            return gap if gap <= 5000.0 else None
    return None


def _motion(s: SetUp) -> list[Unmet]:
    """A shutter too slow for what moves or for hands; a stream too short to be silk."""
    m, out = s.motion, []
    if not m.holds:
        too_long = m.streak_px / m.allowed_px if m.allowed_px > 0 else 1.0
        if m.hand_limit_s:
            too_long = max(too_long, s.exposure_s / m.hand_limit_s)
        by_hand = m.streak_px <= m.allowed_px * 2 ** (1 / 6)
        limit = shutter_words(s.exposure_s / max(too_long, 1.0))
        ways = ["a tripod or an arm"] if by_hand else []
        ways.append(f"{limit}, for {math.log2(max(too_long, 1.0)):.1f} stops of light")
        out.append(
            Unmet(
                code="motion", asked=(m.allowed_px,), got=(m.streak_px,), unit="px",
                reason="hand" if by_hand else "light", ways_out=tuple(ways),
                words=f"the shutter is too slow: {m.words}: {', or '.join(ways)}",
            )
        )  # fmt: skip
    if m.moves == "silk pour" and m.stream_px < MET * SILK_PX:
        ways = ["a slower shutter", "a higher fall"]
        out.append(
            Unmet(
                code="stream", asked=(SILK_PX,), got=(m.stream_px,), unit="px", reason="motion", ways_out=tuple(ways),
                words=f"the stream shows its drops: it streaks {m.stream_px:.0f} px, {SILK_PX:.0f} wanted for silk: "
                + ", or ".join(ways),
            )
        )  # fmt: skip
    return out


def _light(s: SetUp) -> list[Unmet]:
    if s.under_stops <= UNDER_STOPS:
        return []
    ways = tuple(f"{r.words} ({r.price})" for r in s.remedies)
    return [
        Unmet(
            code="light", asked=(0.0,), got=(s.under_stops,), unit="stops", reason="light", ways_out=ways,
            words=f"{s.under_stops:.1f} stops short of light at {s.iso_words}, the highest you find usable",
        )
    ]  # fmt: skip
