"""Every wish of a shot that its set-up does not meet, each with what was asked, what there is, why, and the ways out.

`unmet_of`   the frame's first, then what stands in the way, then what is only worth knowing
A wish is met within FRAME_TOLERANCE (a side of the frame), DEPTH_TOLERANCE (depth) and MET (the rest).
"""

import math
from collections.abc import Sequence

from plateside.camera.findings import Finding, Unmet, Way
from plateside.camera.motion import SILK_PX
from plateside.camera.optics import blur_disc_mm, infinity_blur_mm
from plateside.camera.setup import Coverage, SetUp
from plateside.ground.exposure import F_NUMBERS, nearest
from plateside.model.gear import Lens
from plateside.model.shoot import Channel, Shot
from plateside.model.studio import Studio
from plateside.plan.camera_needs import CameraNeeds, close_up
from plateside.plan.framing import able, same, smallest_frame, turned
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


def _crop_way(s: SetUp, needs: CameraNeeds) -> Way:
    """Cropping to what was asked, with the pixels that are left, and for which channels they are too few."""
    w, h = _px(s, s.framing.asked_mm)
    few = [c.name for c in needs.channels if min(w / c.width_px, h / c.height_px) < 1.0 and _fits(c, w, h)]
    return Way(code="crop", size=(w, h), names=tuple(few))


def _fits(channel: Channel, w: int, h: int) -> bool:
    """Whether a channel's own shape, cut from w x h pixels, has too few of them."""
    return min(w, h * channel.width_px / channel.height_px) < channel.width_px


def _frame(studio: Studio, shot: Shot, needs: CameraNeeds, s: SetUp) -> list[Unmet]:
    """The frame: looser than asked, or only of another shape."""
    f = s.framing
    other, area = turned(needs), f.sensor_mm[0] * f.sensor_mm[1]
    ways: list[Way] = []
    if shot.orientation != "auto" and other[0] * other[1] < area / 1.05:
        orientation = "portrait" if needs.orientation == "landscape" else "landscape"
        ways.append(Way(code="hold", name=orientation, size=other))
    if f.as_asked:
        if same(f.got_mm, f.asked_mm):
            return []
        ways.append(_crop_way(s, needs))
        return [
            Unmet(
                code="shape", asked=f.asked_mm, got=f.got_mm, unit="mm", reason="sensor shape", ways_out=tuple(ways),
                fails=False,
            )
        ]  # fmt: skip
    lens = next(x for x in studio.lenses if x.name == s.lens)
    why = able(needs, lens, needs.magnification)
    others = [x for x in studio.lenses if x.name != s.lens and not able(needs, x, needs.magnification)]
    ways = [*(Way(code="lens", name=x.name) for x in others[:1]), *ways, _crop_way(s, needs)]
    if not others:
        ways.append(Way(code="macro", value=needs.magnification))
    if not why:
        # no channel could use the frame asked for: a lens is not in the way
        why, ways = "channel shape", [Way(code="own shape"), _crop_way(s, needs)]
    return [
        Unmet(
            code="frame", about=s.lens, limit_m=lens.closest_focus_m, asked=f.asked_mm, got=f.got_mm, unit="mm",
            reason=why, ways_out=tuple(ways),
        )
    ]  # fmt: skip


def _place(c: Finding, s: SetUp) -> Unmet:
    """A place that the room, the support or the food does not leave free."""
    return Unmet(
        code="place", asked=s.framing.asked_mm, got=(), unit="mm", reason=c.kind, ways_out=c.ways, place=c
    )


def _channels(needs: CameraNeeds, s: SetUp) -> list[Unmet]:
    """Channels whose crop cuts the dish, or has too few pixels."""
    out = []
    by_name = {c.name: c for c in needs.channels}
    for c in s.coverage:
        channel = by_name[c.channel]
        if not c.holds_hero:
            out.append(_cut(needs, s, channel, c))
        if not c.enough_pixels:
            ways = (Way(code="own frame"), Way(code="deliver", value=c.crop_width_px))
            out.append(
                Unmet(
                    code="pixels", about=c.channel, asked=(channel.width_px, channel.height_px),
                    got=(c.crop_width_px, c.crop_height_px), unit="px", reason="channel shape", ways_out=ways,
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
        ways.append(Way(code="second frame", name=way, size=frame))
    ways.append(Way(code="leave out", name=channel.name))
    if s.framing.channels_mm is not None:
        ways.append(Way(code="ask for", size=s.framing.channels_mm))
    want = (needs.shown_width_mm, needs.shown_height_mm)
    return Unmet(
        code="channel", about=c.channel, asked=want, got=(c.crop_width_mm, c.crop_height_mm), unit="mm",
        reason="channel shape", ways_out=tuple(ways), fails=not close,
    )  # fmt: skip


def _depth(s: SetUp, lens: Lens) -> list[Unmet]:
    if s.depth.verdict != "not enough":
        return []
    ways = deeper_ways(s, lens)
    return [
        Unmet(
            code="depth", asked=(s.depth.needed_mm,), got=(s.depth.total_mm,), unit="mm",
            reason="light" if ways[0].code == "aperture" else "lens", ways_out=tuple(ways),
        )
    ]  # fmt: skip


def _background(shot: Shot, needs: CameraNeeds, lens: Lens, s: SetUp) -> list[Unmet]:
    """A background that melts less than asked; a wish of the plan's own is only worth knowing."""
    wish = shot.background_blur_percent or needs.background_percent
    if not wish or s.background_blur_percent >= MET * wish:
        return []
    got, ways = s.background_blur_percent, list[Way]()
    if needs.background_mm is None:
        reason = "place"
    else:
        reason = "lens"
        wider = s.f_number * got / wish
        if wider >= lens.widest_aperture * 0.94:
            mark = nearest(tuple(m for m in F_NUMBERS if m.exact <= wider * 1.03), wider)
            ways.append(Way(code="wider", value=mark.exact))
            reason = "depth"
        gap = _gap_mm(needs, s, wish)
        if gap is not None:
            ways.append(Way(code="background", value=gap / 1000.0))
        ways.append(Way(code="longer lens"))
    return [
        Unmet(
            code="background", asked=(wish,), got=(got,), unit="%", reason=reason, ways_out=tuple(ways),
            fails=bool(shot.background_blur_percent) and needs.background_mm is not None,
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
        ways = [Way(code="support")] if by_hand else []
        too_long = max(too_long, 1.0)
        ways.append(Way(code="shutter", value=s.exposure_s / too_long, stops=math.log2(too_long)))
        out.append(
            Unmet(
                code="motion", asked=(m.allowed_px,), got=(m.streak_px,), unit="px",
                reason="hand" if by_hand else "light", ways_out=tuple(ways),
            )
        )  # fmt: skip
    if m.moves == "silk pour" and m.stream_px < MET * SILK_PX:
        ways = [Way(code="slower shutter"), Way(code="higher fall")]
        out.append(
            Unmet(
                code="stream", asked=(SILK_PX,), got=(m.stream_px,), unit="px", reason="motion", ways_out=tuple(ways),
            )
        )  # fmt: skip
    return out


def _light(s: SetUp) -> list[Unmet]:
    if s.under_stops <= UNDER_STOPS:
        return []
    ways = tuple(Way(code="remedy", name=r.code, stops=r.gains_stops) for r in s.remedies)
    return [
        Unmet(
            code="light", asked=(0.0,), got=(s.under_stops,), unit="stops", reason="light", ways_out=ways,
        )
    ]  # fmt: skip
