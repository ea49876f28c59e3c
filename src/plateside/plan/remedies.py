"""When the light cannot hold the shutter: what would, each with its price in stops, mm of depth or noise.

`remedies_of`         the ways out, the greatest gain first
`window_factor`       share of a uniform sky that a window gives a level table (closed form)
"""

import math

from plateside.camera.noise import estimate
from plateside.camera.optics import depth_limits_mm
from plateside.camera.setup import LightForShot, Remedy, SetUp
from plateside.ground.exposure import F_NUMBERS, f_number_words, iso_words, shutter_words
from plateside.model.gear import Camera, Lens
from plateside.model.shoot import Shot
from plateside.model.studio import Studio

NOISY_STOPS = 3.0
"""From here on the noise is worth a remedy (ISO 800 on most cameras)."""
BOARD_SHARE = 0.6
"""What a board beside the dish gets of the key (common practice, no source)."""


def window_factor(width_m: float, height_m: float, distance_m: float, sill_above_m: float = 0.0) -> float:
    """Form factor from a level point to a window centred before it, its sill `sill_above_m` above the point.

    F = 1/(2 pi) [atan(b/d) - d/sqrt(d² + h²) atan(b/sqrt(d² + h²))] for a corner rectangle b wide and h high
    (R. Siegel, J. Howell, Thermal Radiation Heat Transfer, appendix C); the
    part below the sill is taken away. A sill below the point is taken as level.
    """

    def corner(b: float, h: float) -> float:
        if h <= 0:
            return 0.0
        reach = math.hypot(distance_m, h)
        return (math.atan(b / distance_m) - distance_m / reach * math.atan(b / reach)) / (2.0 * math.pi)

    sill = max(sill_above_m, 0.0)
    top = max(sill_above_m + height_m, 0.0)
    return 2.0 * (corner(width_m / 2.0, top) - corner(width_m / 2.0, sill))


def remedies_of(
    studio: Studio, shot: Shot, s: SetUp, camera: Camera, lens: Lens, light: LightForShot
) -> tuple[Remedy, ...]:
    """Ways out when the frame is under-exposed, noisy or streaked; empty when all is well."""
    in_need = s.under_stops > 0.1 or s.noise.stops_above_base >= NOISY_STOPS or not s.motion.holds
    if not in_need:
        return ()
    out = [
        _wider(s, lens),
        _higher_iso(s, camera),
        _slower(s),
        _another_hour(light),
        _nearer_window(studio, s),
        _board(studio, shot),
        _on_a_support(studio, s),
    ]
    found = [r for r in out if r is not None]
    return tuple(sorted(found, key=lambda r: -r.gains_stops))


def _depth_mm(s: SetUp, f_number: float) -> float:
    near, far = depth_limits_mm(
        s.focal_length_mm,
        f_number,
        s.depth.circle_mm,
        s.focus_lens_distance_m * 1000.0,
        s.pupil_magnification,
    )
    return far - near


def deeper_ways(s: SetUp, lens: Lens) -> list[str]:
    """What would hold the depth that is lacking: a smaller aperture, a few frames with the focus moved, less wanted."""
    ways = []
    marks = [m.exact for m in F_NUMBERS if s.f_number * 1.05 < m.exact <= lens.smallest_aperture * 1.01]
    smaller = next((n for n in marks if _depth_mm(s, n) >= s.depth.needed_mm), None)
    if smaller is not None:
        stops = round(6.0 * math.log2(smaller / s.f_number)) / 3.0
        ways.append(f"{f_number_words(smaller)} holds it, for {stops:.1f} stops of light")
    if s.stack is not None:
        ways.append(f"{s.stack.frames} frames with the focus moved {s.stack.step_mm:.0f} mm between hold it")
    if s.moving is not None and s.moving.counted:
        ways.append("let what moves go soft (deliberate: blur)")
    ways.append(
        "let the far end go soft" if ways else "let the far end go soft, or take it from farther and crop"
    )
    return ways


def _wider(s: SetUp, lens: Lens) -> Remedy | None:
    room = 2.0 * math.log2(s.f_number / lens.widest_aperture)
    if room < 0.3:
        return None
    stops = min(1.0, round(room * 3) / 3)
    wider = s.f_number / 2.0 ** (stops / 2.0)
    return Remedy(
        words=f"{f_number_words(wider)} instead of {s.f_number_words}",
        gains_stops=stops,
        price=f"depth {_depth_mm(s, s.f_number):.0f} to {_depth_mm(s, wider):.0f} mm, needs {s.depth.needed_mm:.0f}",
    )


def _higher_iso(s: SetUp, camera: Camera) -> Remedy | None:
    room = math.log2(camera.highest_iso / s.iso)
    if room < 0.3:
        return None
    stops = min(1.0, round(room * 3) / 3)
    higher = s.iso * 2.0**stops
    here = s.noise.snr
    there = estimate(camera.full_well_electrons, camera.read_noise_electrons, higher, camera.base_iso).snr
    return Remedy(
        words=f"{iso_words(higher)} instead of {s.iso_words}",
        gains_stops=stops,
        price=f"grainier: mid-tones {there:.0f} times stronger than their grain, not {here:.0f}",
    )


def _slower(s: SetUp) -> Remedy | None:
    if s.motion.moves == "nothing":
        return None
    return Remedy(
        words=f"{shutter_words(s.exposure_s * 2)} instead of {s.exposure_words}",
        gains_stops=1.0,
        price=f"streak {s.motion.streak_px:.0f} to {s.motion.streak_px * 2:.0f} px, {s.motion.allowed_px:.0f} allowed",
    )


def _another_hour(light: LightForShot) -> Remedy | None:
    if light.best_when is None or not light.best_horizontal_lx or light.horizontal_lx <= 0:
        return None
    gain = math.log2(light.best_horizontal_lx / light.horizontal_lx)
    if gain < 0.2:
        return None
    return Remedy(
        words=f"at {light.best_when:%H:%M}, when the light is best",
        gains_stops=gain,
        price="the dish must wait for it",
    )


def _nearer_window(studio: Studio, s: SetUp) -> Remedy | None:
    """The dish 0.2 m nearer the front window."""
    spot = next(p for p in studio.spots if p.name == s.spot)
    if not studio.windows or studio.wall_of(studio.windows[0]) != "front" or spot.from_front_m < 0.5:
        return None
    window = studio.windows[0]
    above = window.sill_m - spot.height_m
    d = spot.from_front_m
    here = window_factor(window.width_m, window.height_m, d, above)
    there = window_factor(window.width_m, window.height_m, d - 0.2, above)
    if here <= 0 or there <= here:
        return None

    def steep(at: float) -> float:
        near, far = (window_factor(window.width_m, window.height_m, at + x, above) for x in (-0.1, 0.1))
        return math.log2(near / far) if far > 0 else 0.0

    before, after = steep(d), steep(d - 0.2)
    alike = abs(after - before) < 0.02
    how = "falls off alike" if alike else "falls off faster" if after > before else "falls off less"
    return Remedy(
        words=f"the dish {d - 0.2:.2f} m from the window instead of {d:.2f} m",
        gains_stops=math.log2(there / here),
        price=f"{how}: {before:.2f} to {after:.2f} stops over 0.2 m",
    )


def _board(studio: Studio, shot: Shot) -> Remedy | None:
    """A white board 0.4 m from the dish: what it adds to an upright face towards it."""
    white = [b for b in studio.boards if _mean(b.reflectance) > 0.5]
    if not white or any(p.board == white[0].name for p in shot.boards):
        return None
    board = white[0]
    a, b = board.width_m / 2 / 0.4, board.height_m / 2 / 0.4
    factor = (
        4.0
        / (2.0 * math.pi)
        * (
            a / math.sqrt(1 + a * a) * math.atan(b / math.sqrt(1 + a * a))
            + b / math.sqrt(1 + b * b) * math.atan(a / math.sqrt(1 + b * b))
        )
    )
    fill = _mean(board.reflectance) * factor * BOARD_SHARE
    return Remedy(
        words=f"the {board.name} board 0.4 m from the dish, opposite the main light",
        gains_stops=math.log2(1.0 + fill),
        price=f"softer: shadows {fill:.0%} of the main light, fewer dark edges",
    )


def _mean(reflectance: float | tuple[float, float, float]) -> float:
    return sum(reflectance) / 3.0 if isinstance(reflectance, tuple) else reflectance


def _on_a_support(studio: Studio, s: SetUp) -> Remedy | None:
    limit = s.motion.hand_limit_s
    if limit is None or s.motion.streak_px > s.motion.allowed_px:
        return None
    return Remedy(
        words="a tripod or an arm instead of hands",
        gains_stops=max(0.0, math.log2(s.exposure_s * 8.0 / limit)),
        price="slower to move; buy or borrow one" if not studio.supports else "slower to move",
    )
