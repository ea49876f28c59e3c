"""Random wishes for a set-up, and what the optics allow of them."""

import math
import random
from dataclasses import dataclass, replace

from plateside.camera.framing import framed
from plateside.camera.setup import LightForShot, SetUp
from plateside.model.gear import Camera, Lens
from plateside.model.shoot import Channel, Shot
from plateside.model.studio import Studio
from tests.unit.plan.rooms import CHANNELS, random_shot, random_studio

SIDE = 1.05
"""A side of the frame may be so many times the one asked for: docs/setups.md."""


REST = 0.95
"""Share of a depth, blur or stream that still counts as met."""


@dataclass(frozen=True)
class Case:
    """One shot in its room."""

    studio: Studio
    shot: Shot
    channels: tuple[Channel, ...]
    light: LightForShot


def random_case(rng: random.Random, name: str) -> Case:
    """A shot that may want anything: close crops, squares, named lenses, one lens that focuses badly."""
    studio = random_studio(rng)
    shot, light = random_shot(rng, name)
    if rng.random() < 0.4:
        width = rng.uniform(40, 900)
        shot = replace(
            shot, frame_width_mm=width, frame_height_mm=width * rng.choice((1.0, 0.7, 0.667, 1.5, 0.4))
        )
    if rng.random() < 0.3:
        studio = replace(studio, lenses=(rng.choice(studio.lenses),))
    if rng.random() < 0.2:
        far = Lens(
            name="poor", focal_length_mm=rng.choice((24, 50, 90)), closest_focus_m=rng.uniform(0.3, 1.0)
        )
        studio = replace(studio, lenses=(far,))
    if rng.random() < 0.2:
        shot = replace(shot, lens=rng.choice(studio.lenses).name)
    if rng.random() < 0.2:
        shot = replace(shot, orientation=rng.choice(("landscape", "portrait")))
    if rng.random() < 0.2:
        shot = replace(shot, person=True)
    if rng.random() < 0.2:
        four_thirds = Camera(
            name="four", sensor_width_mm=17.3, sensor_height_mm=13.0, pixels_wide=4608, pixels_high=3456
        )
        studio = replace(studio, cameras=(four_thirds,))
    channels = rng.choice((CHANNELS, CHANNELS[:2], CHANNELS[2:], ()))
    return _more(rng, Case(studio, shot, channels, light))


def _more(rng: random.Random, case: Case) -> Case:
    """What is asked for more rarely: room round the dish, a filter, gear by name, one thing done on purpose."""
    studio, shot = case.studio, case.shot
    if rng.random() < 0.2:
        shot = framed(replace(shot, space_percent=rng.uniform(0, 200)))
    if rng.random() < 0.2:
        shot = replace(shot, polariser_stops=rng.uniform(0.5, 2.0), glossy=True)
    if rng.random() < 0.2:
        shot = replace(shot, support=rng.choice(studio.supports).name)
    if rng.random() < 0.2:
        small = Camera(
            name="small", sensor_width_mm=13.2, sensor_height_mm=8.8, pixels_wide=5472, pixels_high=3648
        )
        limited = replace(small, base_iso=rng.choice((80, 125)), highest_iso=rng.choice((800, 3200)))
        studio = replace(studio, cameras=(limited, *studio.cameras))
    if rng.random() < 0.2:
        shot = replace(shot, camera=rng.choice(studio.cameras).name)
    if rng.random() < 0.2:
        shot = replace(shot, deliberate=(rng.choice(("blur", "dark", "high key", "fewer pixels")),))
    light = case.light
    if rng.random() < 0.2:
        # by a bare window in the sun, and late on a dark day
        lux = 10 ** rng.choice((rng.uniform(3.6, 4.9), rng.uniform(0.5, 1.5)))
        light = replace(light, horizontal_lx=lux, facing_lx=lux * rng.uniform(0.3, 1.2))
    return replace(case, studio=studio, shot=shot, light=light)


def camera_of(case: Case) -> Camera:
    """The one named, else the first."""
    return next(c for c in case.studio.cameras if case.shot.camera in ("", c.name))


def ways_to_hold(case: Case) -> list[tuple[float, float]]:
    """The sensor's sides, across and up, in each way that is left open."""
    camera, way = camera_of(case), case.shot.orientation
    long_mm, short_mm = camera.sensor_width_mm, camera.sensor_height_mm
    lying, upright = (long_mm, short_mm), (short_mm, long_mm)
    return [lying, upright] if way == "auto" else [lying if way == "landscape" else upright]


def least_area_mm2(case: Case) -> float:
    """Of the frame that the sensor's shape makes of what was asked."""
    return min(
        w * h / min(w / case.shot.frame_width_mm, h / case.shot.frame_height_mm) ** 2
        for w, h in ways_to_hold(case)
    )


def optics_allow(case: Case) -> bool:
    """Whether any lens and way to hold the camera gives the frame within SIDE, its front clear of the food."""
    shot = case.shot
    e = math.radians(shot.elevation)
    # how far the dish comes towards the lens: as the least that any reading of the shot asks
    towards = shot.dish_width_mm * math.cos(e) / 2 + shot.dish_height_mm * math.sin(e) / (1 if e > 1.3 else 2)
    best = least_area_mm2(case)
    for lens in (x for x in case.studio.lenses if not shot.lens or x.name == shot.lens):
        top = lens.focal_length_to_mm or lens.focal_length_mm
        for i in range(200):
            f = lens.focal_length_mm * (top / lens.focal_length_mm) ** (i / 199)
            for w, h in ways_to_hold(case):
                m = min(w / shot.frame_width_mm, h / shot.frame_height_mm)
                area = w * h / m**2
                if area > best * SIDE**2:
                    continue
                m = min(m, math.sqrt(w * h / best) / SIDE * 1.0001)
                if m > 1.0 and lens.closest_focus_m * 1000 <= 4 * f:
                    continue
                sensor_mm = f * (2 + m + 1 / m)
                if sensor_mm >= lens.closest_focus_m * 1000 and sensor_mm - lens.length_mm - towards > 60.0:
                    return True
    return False


def no_channel_holds(case: Case) -> bool:
    """Whether every channel's crop of the frame asked for, held the better way, leaves under a tenth round the dish;
    one that wants room for text is not looked into."""
    shot, e = case.shot, math.radians(case.shot.elevation)
    high = shot.dish_width_mm * math.sin(e) + shot.dish_height_mm * math.cos(e)
    best = least_area_mm2(case)
    for w, h in ways_to_hold(case):
        m = min(w / shot.frame_width_mm, h / shot.frame_height_mm)
        if w * h / m**2 > best * 1.001:
            continue
        for c in (x for x in case.channels if x.text_space == "none"):
            crop = min(w / m, h / m * c.width_px / c.height_px)
            if crop >= 1.1 * shot.dish_width_mm and crop * c.height_px / c.width_px >= 1.1 * high:
                return False
    return bool(case.channels)


def _gear_not_as_asked(case: Case, s: SetUp) -> list[str]:
    """Gear that was named and is not used, and settings that it does not have."""
    shot, camera = case.shot, camera_of(case)
    lens = next(x for x in case.studio.lenses if x.name == s.lens)
    asked = {
        "lens": (shot.lens, s.lens),
        "support": (shot.support, s.support),
        "camera": (camera.name, s.camera),
    }
    out = [f"another {what}" for what, (name, got) in asked.items() if name and name != got]
    if shot.orientation not in ("auto", s.orientation):
        out.append("held the other way")
    if not camera.base_iso * 0.99 <= s.iso <= camera.highest_iso * 1.01:
        out.append("an ISO that the camera has not")
    # marked f-numbers are rounded: f/5.6 is 5.657; a zoom may be slower at its long end
    if not lens.widest_aperture * 0.98 <= s.f_number <= lens.smallest_aperture * 1.03:
        out.append("an aperture that the lens has not")
    if s.polariser_stops != (shot.polariser_stops or 0.0):
        out.append("the polariser's loss is not counted")
    return out


def broken(case: Case, s: SetUp) -> list[str]:
    """Wishes that are neither met nor told."""
    shot, told = case.shot, {(u.code, u.about) for u in s.unmet}
    codes = {u.code for u in s.unmet}
    out = []
    looser = math.sqrt(s.frame_width_mm * s.frame_height_mm / least_area_mm2(case))
    if looser > SIDE + 1e-3:
        out += [] if "frame" in codes else ["frame loosened in silence"]
        told_why = next((u.reason for u in s.unmet if u.code == "frame"), "")
        if optics_allow(case) and not (told_why == "channel shape" and no_channel_holds(case)):
            out.append("frame loosened although optics allow it")
    sides = (s.frame_width_mm / shot.frame_width_mm, s.frame_height_mm / shot.frame_height_mm)
    if max(sides) > SIDE + 1e-3 and not codes & {"frame", "shape"}:
        out.append("another shape in silence")
    if min(sides) < 1 - 1e-6:
        out.append("frame tighter than asked")
    f, m, t = s.focal_length_mm, s.magnification, s.exposure_s
    focus = 1000 * s.focus_lens_distance_m

    def blur_mm(at_mm: float) -> float:
        # similar triangles from the entrance pupil, f (1/P - 1) behind the front principal plane
        image = f * focus / (focus - f)
        return (
            f
            / s.f_number
            * (image - f)
            / f
            * abs(at_mm - focus)
            / (at_mm + f * (1 / s.pupil_magnification - 1))
        )

    ends = [1000 * s.depth.needed_near_m, 1000 * s.depth.needed_far_m]
    if max(blur_mm(e) for e in ends if e > 1.1 * f) > 1.051 * s.depth.circle_mm and "depth" not in codes:
        out.append("depth")
    if shot.background_blur_percent:
        e = math.radians(shot.elevation)
        behind = shot.dish_width_mm * math.cos(e) / 2 + shot.background_gap_mm * math.cos(e)
        got = (
            0.0
            if shot.elevation >= 75
            else 100 * blur_mm(1000 * s.lens_distance_m + behind) / s.sensor_width_mm
        )
        if got < 0.999 * REST * shot.background_blur_percent and "background" not in codes:
            out.append("background")
    pixel = s.sensor_width_mm / s.pixels_wide
    speed = {"hand": 0.1, "silk pour": 0.05, "steam": 0.3, "nothing": 0.0}.get(
        shot.moves, math.sqrt(2 * 9.80665 * shot.fall_height_mm / 1000)
    )
    circles = {"hand": 2, "silk pour": 2, "steam": 8, "frozen drops": 4, "falling sugar": 12, "nothing": 1}[
        shot.moves
    ]
    if speed * 1000 * m * t > circles * s.depth.circle_mm * 2 ** (1 / 6) * 1.001 and "motion" not in codes:
        out.append("motion")
    if shot.moves == "silk pour":
        stream = math.sqrt(2 * 9.80665 * shot.fall_height_mm / 1000) * 1000 * m * t / pixel
        if stream < 0.999 * REST * 20 and "stream" not in codes:
            out.append("stream")
    n = s.f_number * (1 + m / s.pupil_magnification)
    through = s.illuminance_lx * 2.0 ** -(shot.polariser_stops or 0.0)
    short = math.log2(250 * n * n / (through * s.iso * t))
    if short > 0.1 + 1 / 6 + 1e-6 and "light" not in codes:
        out.append("light")
    if short < -(0.1 + 1 / 6 + 1e-6) and not [c for c in s.checks if c.kind == "exposure" and not c.ok]:
        out.append("too bright")
    out += _gear_not_as_asked(case, s)
    for channel in case.channels:
        # the dish as the camera sees it is whole in the crop, or as much of it as the frame asked for shows
        e = math.radians(shot.elevation)
        wide, high = shot.dish_width_mm, shot.dish_width_mm * math.sin(e) + shot.dish_height_mm * math.cos(e)
        crop = min(s.frame_width_mm, s.frame_height_mm * channel.width_px / channel.height_px)
        crop_high = crop * channel.height_px / channel.width_px
        needed = min(wide, shot.frame_width_mm), min(high, shot.frame_height_mm)
        whole = crop >= needed[0] * 0.994 and crop_high >= needed[1] * 0.994
        if not whole and ("channel", channel.name) not in told:
            out.append(f"channel {channel.name}")
        if (
            crop / s.frame_width_mm * s.pixels_wide < channel.width_px - 1
            and ("pixels", channel.name) not in told
        ):
            out.append(f"pixels {channel.name}")
    room = case.studio.room
    inside = all(0.08 - 1e-3 <= v <= size - 0.08 + 1e-3 for v, size in zip(
        s.sensor_m, (room.width_m, room.depth_m, room.height_m), strict=True
    ))  # fmt: skip
    if not inside and "place" not in codes:
        out.append("place")
    return out
