"""The scene of light/scene.py built once more, for the Radiance ray tracer: text of materials and polygons.

Nothing of the engine's own code is used but the nouns (studio, boards, sheets, sky); the meaning follows the words of
light/scene.py's docstring. Units: luminance goes in as cd/m2 in all three channels, so irradiance comes out as lux.

room, table, boards, blocks   `plastic` without gloss; thin things are single polygons (both faces shade)
glass       `BRTDfunc` with Fresnel's equations of our own (index 1.52) times dirt and frame; it mirrors to the room
sheet       `trans`, 2 mm inside the glass
sky         `brightfunc` on a `source` of the upper half, from a .cal written for the case; ground a `source` below
sun         `source` of 0.533 degrees
reveal, overhang    `plastic` without gloss, as the walls are from outside too
opposite    `glow` polygons of the luminance that the docstring gives; a see-through one is a `mixfunc` of that glow
            with nothing

Over 400 lines: one scene in one go, so that it can be read beside the words of light/scene.py.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, pi, radians, sin

import numpy as np

from plateside.light.sky import Sky
from plateside.model.light_answers import Hung, StandingBoard
from plateside.model.room import Reflectance, Spot, Window
from plateside.model.studio import Studio

GLASS_INDEX = 1.52
SUN_WIDTH_DEG = 0.533
FACET_DEG = 2.0
PART_DEG = 20.0
SHEET_GAP_M = 0.002
REVEAL_REFLECTANCE = OVERHANG_REFLECTANCE = 0.5

Point = tuple[float, float, float]


@dataclass(frozen=True)
class RadianceScene:
    """What oconv and rtrace need."""

    scene: str
    cal: str
    """Text of the function file; the scene names it as CAL_FILE."""


CAL_FILE = "@CAL@"

GLASS_CAL = """
g_ci = if(Rdot, Rdot, -Rdot);
g_ct = sqrt(1 - (1 - g_ci*g_ci)/(1.52*1.52));
g_rs = ((g_ci - 1.52*g_ct)/(g_ci + 1.52*g_ct))^2;
g_rp = ((1.52*g_ci - g_ct)/(1.52*g_ci + g_ct))^2;
g_a = arg(10)^(1/g_ct);
g_ts = (1 - g_rs)^2*g_a/(1 - (g_rs*g_a)^2);
g_tp = (1 - g_rp)^2*g_a/(1 - (g_rp*g_a)^2);
g_through = arg(11)*(g_ts + g_tp)/2;
g_mirror = arg(12)*(g_rs*(1 + g_ts*g_a) + g_rp*(1 + g_tp*g_a))/2;
"""


def sun_vector(elevation_deg: float, turn_deg: float) -> Point:
    """Direction to the sun in the room; `turn_deg` is its azimuth less the front wall's bearing."""
    e, t = radians(elevation_deg), radians(turn_deg)
    return sin(t) * cos(e), cos(t) * cos(e), sin(e)


def relative_sky(sky: Sky, sine: np.ndarray, cosine: np.ndarray) -> np.ndarray:
    """Luminance before scaling, of points with this sine of elevation and cosine of the angle from the sun."""
    if sky.kind == "overcast":
        return np.asarray((1 + 2 * sine) / 3)
    chi = np.arccos(np.clip(cosine, -1, 1))
    less = np.exp(sky.d * pi / 2) if sky.kind == "cie" else 0.0
    gradation = 1 + sky.a * np.exp(sky.b / np.maximum(sine, 1e-4))
    return np.asarray(gradation * (1 + sky.c * (np.exp(sky.d * chi) - less) + sky.e * np.cos(chi) ** 2))


@dataclass(frozen=True)
class SkyScale:
    """A sky's factor and the illuminance it gives upright planes."""

    factor: float
    sky: Sky
    sun: Point
    directions: np.ndarray
    light: np.ndarray
    """Luminance times solid angle of each direction."""

    def vertical_lx(self, normal: Point) -> float:
        return float(np.sum(self.light * np.maximum(self.directions @ np.array(normal), 0)))


def scale_sky(sky: Sky, sun: Point) -> SkyScale:
    """Scale a sky to its diffuse horizontal illuminance: midpoint rule, 600 x 1440 equal solid angles."""
    rows, columns = 600, 1440
    sine = (np.arange(rows) + 0.5) / rows
    turn = (np.arange(columns) + 0.5) * 2 * pi / columns
    flat = np.sqrt(1 - sine**2)[:, None]
    directions = np.stack(
        [flat * np.sin(turn), flat * np.cos(turn), np.broadcast_to(sine[:, None], (rows, columns))], axis=-1
    ).reshape(-1, 3)
    luminance = relative_sky(sky, directions[:, 2], directions @ np.array(sun))
    solid = 2 * pi / (rows * columns)
    factor = sky.diffuse_horizontal_lx / float(np.sum(luminance * directions[:, 2]) * solid)
    return SkyScale(factor, sky, sun, directions, luminance * factor * solid)


def build(
    studio: Studio,
    spot: Spot,
    sky: Sky,
    sun_elevation_deg: float,
    sun_azimuth_deg: float,
    boards: Sequence[StandingBoard] = (),
    hung: Sequence[Hung] = (),
) -> RadianceScene:
    """The whole scene as Radiance text."""
    text: list[str] = []
    room = studio.room
    size = (room.width_m, room.depth_m, room.height_m)
    front = studio.front_bearing_deg
    sun = sun_vector(sun_elevation_deg, sun_azimuth_deg - front)
    scaled = scale_sky(sky, sun)
    up = max(sin(radians(sun_elevation_deg)), 0.0)
    whole_lx = sky.diffuse_horizontal_lx + sky.direct_normal_lx * up
    text += _box(studio, size)
    x0, x1 = (
        max(0.0, spot.from_left_m - spot.table_width_m / 2),
        min(size[0], spot.from_left_m + spot.table_width_m / 2),
    )
    y = size[1] - spot.from_front_m
    y0, y1 = max(0.0, y - spot.table_depth_m / 2), min(size[1], y + spot.table_depth_m / 2)
    z = spot.height_m
    text += _matt("m_table", spot.table_reflectance)
    text.append(_polygon("m_table", "table", [(x0, y0, z), (x1, y0, z), (x1, y1, z), (x0, y1, z)]))
    for number, board in enumerate(boards):
        text += _board(number, board, front)
    for number, block in enumerate(studio.furniture):
        text += _matt(f"m_block{number}", block.reflectance)
        far = size[1] - block.from_front_m
        low = (block.from_left_m, far - block.depth_m, block.bottom_m)
        high = (block.from_left_m + block.width_m, far, block.bottom_m + block.height_m)
        text += _faces_of_box(f"m_block{number}", f"block{number}", low, high)
    for number, window in enumerate(studio.windows):
        sheet = next((h for h in hung if h.window in (window.name, "")), None)
        text += _window(studio, number, window, sheet, size, scaled, whole_lx)
    ground = bands(studio.windows[0].ground_reflectance)
    text.append("void brightfunc sky_fn\n2 skybr " + CAL_FILE + "\n0\n0")
    text.append("sky_fn glow sky_glow\n0\n0\n4 1 1 1 0")
    text.append("sky_glow source sky\n0\n0\n4 0 0 1 180")
    text.append(_glow("ground_glow", ground / pi * whole_lx))
    text.append("ground_glow source ground\n0\n0\n4 0 0 -1 180")
    if sky.direct_normal_lx > 0 and up > 0:
        radiance = sky.direct_normal_lx / (2 * pi * (1 - cos(radians(SUN_WIDTH_DEG / 2))))
        text.append(f"void light sun_light\n0\n0\n3 {radiance:.9g} {radiance:.9g} {radiance:.9g}")
        text.append(f"sun_light source sun\n0\n0\n4 {sun[0]:.9g} {sun[1]:.9g} {sun[2]:.9g} {SUN_WIDTH_DEG}")
    return RadianceScene("\n\n".join(text) + "\n", _sky_cal(scaled) + GLASS_CAL)


def _sky_cal(scaled: SkyScale) -> str:
    """Radiance's own language for the same formula. -Dz of a ray is downwards: below the horizon it is black."""
    sky, (sx, sy, sz) = scaled.sky, scaled.sun
    if sky.kind == "overcast":
        body = "(1 + 2*s_sine)/3"
    else:
        less = float(np.exp(sky.d * pi / 2)) if sky.kind == "cie" else 0.0
        body = (
            f"(1 + ({sky.a:.9g})*exp(({sky.b:.9g})/s_sine))"
            f"*(1 + ({sky.c:.9g})*(exp(({sky.d:.9g})*s_chi) - {less:.12g}) + ({sky.e:.9g})*cos(s_chi)^2)"
        )
    return (
        "s_sine = if(Dz - 1e-4, Dz, 1e-4);\n"
        f"s_cos = Dx*({sx:.12g}) + Dy*({sy:.12g}) + Dz*({sz:.12g});\n"
        "s_chi = acos(if(s_cos - 1, 1, if(-1 - s_cos, -1, s_cos)));\n"
        f"skybr = if(Dz, {scaled.factor:.9g}*{body}, 0);\n"
    )


def _box(studio: Studio, size: Point) -> list[str]:
    """Floor, ceiling and the walls, each wall cut into strips about its windows."""
    w, d, h = size
    room = studio.room
    text = []
    for name in ("floor", "ceiling", "front", "right", "back", "left"):
        text += _matt(f"m_{name}", getattr(room, f"{name}_reflectance"))
    text.append(_polygon("m_floor", "floor", [(0, 0, 0), (w, 0, 0), (w, d, 0), (0, d, 0)]))
    text.append(_polygon("m_ceiling", "ceiling", [(0, 0, h), (0, d, h), (w, d, h), (w, 0, h)]))
    for name in ("front", "right", "back", "left"):
        origin, along, _, length = wall(name, size)
        holes = [hole(studio, one) for one in studio.windows if studio.wall_of(one) == name]
        cuts_u = sorted({0.0, length, *(c for one in holes for c in one[:2])})
        cuts_z = sorted({0.0, h, *(c for one in holes for c in one[2:])})
        for i, (u0, u1) in enumerate(pairwise(cuts_u)):
            for k, (z0, z1) in enumerate(pairwise(cuts_z)):
                mu, mz = (u0 + u1) / 2, (z0 + z1) / 2
                if not any(a < mu < b and c < mz < e for a, b, c, e in holes):
                    text.append(
                        _polygon(f"m_{name}", f"{name}_{i}_{k}", _quad(origin, along, u0, u1, z0, z1))
                    )
    return text


def wall(name: str, size: Point) -> tuple[np.ndarray, np.ndarray, np.ndarray, float]:
    """A wall's lower left corner seen from inside, the way along it, its outward normal, its length."""
    w, d, _ = size
    table = {
        "front": ((0, d, 0), (1, 0, 0), (0, 1, 0), w),
        "right": ((w, d, 0), (0, -1, 0), (1, 0, 0), d),
        "back": ((w, 0, 0), (-1, 0, 0), (0, -1, 0), w),
        "left": ((0, 0, 0), (0, 1, 0), (-1, 0, 0), d),
    }
    origin, along, normal, length = table[name]
    return np.array(origin, float), np.array(along, float), np.array(normal, float), length


def hole(studio: Studio, window: Window) -> tuple[float, float, float, float]:
    """A window's opening in its wall: from and to along the wall, from and to in height."""
    name = studio.wall_of(window)
    length = studio.room.width_m if name in ("front", "back") else studio.room.depth_m
    left = window.from_left_m if window.from_left_m is not None else (length - window.width_m) / 2
    return left, left + window.width_m, window.sill_m, window.sill_m + window.height_m


def _window(
    studio: Studio,
    number: int,
    window: Window,
    sheet: Hung | None,
    size: Point,
    scaled: SkyScale,
    whole_lx: float,
) -> list[str]:
    origin, along, normal, _ = wall(studio.wall_of(window), size)
    u0, u1, z0, z1 = hole(studio, window)
    inner = inner_transmission(window.glass_transmittance)
    passes = window.dirt_factor * (1 - window.frame_share)
    text = [
        f"void BRTDfunc glass{number}\n10 g_mirror g_mirror g_mirror g_through g_through g_through 0 0 0 "
        f"{CAL_FILE}\n0\n"
        f"12 0 0 0 0 0 0 0 0 0 {inner:.9g} {passes:.9g} {1 - window.frame_share:.9g}",
        _polygon(f"glass{number}", f"pane{number}", _quad(origin, along, u0, u1, z0, z1)),
    ]
    if sheet is not None and sheet.covers_share > 0:
        cloth = sheet.diffuser
        total = cloth.diffuse_transmittance + cloth.clear_transmittance + cloth.reflectance
        through = cloth.diffuse_transmittance + cloth.clear_transmittance
        text.append(
            f"void trans cloth{number}\n0\n0\n7 {total:.9g} {total:.9g} {total:.9g} 0 0 {through / total:.9g} "
            f"{cloth.clear_transmittance / through if through else 0:.9g}"
        )
        lower = z1 - sheet.covers_share * (z1 - z0)
        hangs = _quad(origin - SHEET_GAP_M * normal, along, u0, u1, lower, z1)
        text.append(_polygon(f"cloth{number}", f"sheet{number}", hangs))
    ground = bands(window.ground_reflectance)
    if window.reveal_depth_m > 0:
        text += _matt(f"reveal{number}", REVEAL_REFLECTANCE)
        depth = window.reveal_depth_m * normal
        a, b, c, e = (
            np.array(p) for p in _quad(origin, along, u0, u1, z0, z1)
        )  # left low, right low, right up, left up
        for side, (p, q) in enumerate(((a, b), (b, c), (c, e), (e, a))):
            # the side is seen from within the tunnel: its front must look inwards
            text.append(
                _polygon(
                    f"reveal{number}",
                    f"reveal{number}_{side}",
                    [p, p + depth, q + depth, q],
                    face=(a + c) / 2 + depth / 2,
                )
            )
    if window.overhang_depth_m > 0:
        text += _matt(f"overhang{number}", OVERHANG_REFLECTANCE)
        z = np.array([0, 0, z1 + window.overhang_above_m])
        left, right = origin + (u0 - 60) * along + z, origin + (u1 + 60) * along + z
        out = normal * (window.reveal_depth_m + window.overhang_depth_m)
        text.append(
            _polygon(
                f"overhang{number}", f"plate{number}", [left, right, right + out, left + out], face=left - z
            )
        )
    text += _opposite(studio, number, window, origin + along * (u0 + u1) / 2, scaled, ground, whole_lx)
    return text


def _opposite(
    studio: Studio,
    number: int,
    window: Window,
    middle: np.ndarray,
    scaled: SkyScale,
    ground: np.ndarray,
    whole_lx: float,
) -> list[str]:
    text = []
    sun_up = scaled.sun[2] > 0
    for index, thing in enumerate(window.opposite):
        extent = (thing.bearing_to_deg - thing.bearing_from_deg) % 360
        parts = max(1, int(np.ceil(extent / PART_DEG)))
        bottom, top = -window.floor_above_ground_m, thing.top_above_ground_m - window.floor_above_ground_m
        for part in range(parts):
            start = thing.bearing_from_deg - studio.front_bearing_deg + extent * part / parts
            centre = radians(start + extent / parts / 2)
            looks = (-sin(centre), -cos(centre), 0.0)
            light = scaled.vertical_lx(looks) + 0.5 * ground * whole_lx
            if sun_up:
                light += scaled.sky.direct_normal_lx * max(0.0, float(np.dot(looks, scaled.sun)))
            name = f"thing{number}_{index}_{part}"
            text.append(_glow(name, bands(thing.reflectance) / pi * light))
            if thing.see_through > 0:
                text.append(f"void mixfunc {name}m\n4 {name} void {1 - thing.see_through:.9g} .\n0\n0")
                name += "m"
            facets = max(1, int(np.ceil(extent / parts / FACET_DEG)))
            angles = np.radians(start + np.linspace(0, extent / parts, facets + 1))
            for k, (a, b) in enumerate(pairwise(angles)):
                # a chord set out so that its middle and ends straddle the circle evenly
                reach = thing.distance_m * (1 + (1 - cos((b - a) / 2)) / 2)
                p = middle[:2] + reach * np.array([sin(a), cos(a)])
                q = middle[:2] + reach * np.array([sin(b), cos(b)])
                text.append(
                    _polygon(
                        name, f"{name}_{k}", [(*p, bottom), (*q, bottom), (*q, top), (*p, top)],
                        face=np.array([*middle[:2], (bottom + top) / 2]),
                    )
                )  # fmt: skip
    return text


def _board(number: int, board: StandingBoard, front_deg: float) -> list[str]:
    turn, tilt = radians(board.normal_bearing_deg - front_deg), radians(board.tilt_deg)
    across = np.array([cos(turn), -sin(turn), 0]) * board.width_m / 2
    # tipped back: what was the upright edge leans away from the side that the face looks to
    rising = np.array([-sin(turn) * sin(tilt), -cos(turn) * sin(tilt), cos(tilt)]) * board.height_m / 2
    middle = np.array([board.x_m, board.y_m, board.z_m])
    corners = [
        middle - across - rising,
        middle + across - rising,
        middle + across + rising,
        middle - across + rising,
    ]
    return [
        *_matt(f"m_board{number}", board.reflectance),
        _polygon(f"m_board{number}", f"board{number}", corners),
    ]


def _faces_of_box(material: str, name: str, low: Point, high: Point) -> list[str]:
    (a, b, c), (d, e, f) = low, high
    faces = [
        [(a, b, c), (d, b, c), (d, b, f), (a, b, f)],
        [(a, e, c), (d, e, c), (d, e, f), (a, e, f)],
        [(a, b, c), (a, e, c), (a, e, f), (a, b, f)],
        [(d, b, c), (d, e, c), (d, e, f), (d, b, f)],
        [(a, b, f), (d, b, f), (d, e, f), (a, e, f)],
        [(a, b, c), (d, b, c), (d, e, c), (a, e, c)],
    ]
    return [_polygon(material, f"{name}_{k}", face) for k, face in enumerate(faces)]


def inner_transmission(normal_transmittance: float) -> float:
    """Share that one pass through the glass leaves, from the pane's transmittance straight on (bisection)."""
    r = ((GLASS_INDEX - 1) / (GLASS_INDEX + 1)) ** 2
    low, high = 0.0, 1.0
    for _ in range(60):
        s = (low + high) / 2
        if (1 - r) ** 2 * s / (1 - (r * s) ** 2) < normal_transmittance:
            low = s
        else:
            high = s
    return s


def bands(reflectance: Reflectance) -> np.ndarray:
    """A reflectance by red, green and blue."""
    return np.broadcast_to(np.asarray(reflectance, dtype=float), (3,))


def _matt(name: str, reflectance: Reflectance) -> list[str]:
    r, g, b = bands(reflectance)
    return [f"void plastic {name}\n0\n0\n5 {r:.9g} {g:.9g} {b:.9g} 0 0"]


def _glow(name: str, luminance: np.ndarray) -> str:
    r, g, b = luminance
    return f"void glow {name}\n0\n0\n4 {r:.9g} {g:.9g} {b:.9g} 0"


def _quad(origin: np.ndarray, along: np.ndarray, u0: float, u1: float, z0: float, z1: float) -> list[Point]:
    places = [(u0, z0), (u1, z0), (u1, z1), (u0, z1)]
    made = [origin + u * along + np.array([0, 0, z]) for u, z in places]
    return [(float(p[0]), float(p[1]), float(p[2])) for p in made]


def _polygon(material: str, name: str, corners: Sequence[object], face: np.ndarray | None = None) -> str:
    """A polygon; with `face`, its front (the side that a glow shines from) is turned to that point."""
    points = [np.asarray(p, dtype=float) for p in corners]
    if face is not None:
        normal = np.cross(points[1] - points[0], points[2] - points[1])
        if float(np.dot(normal, face - points[0])) < 0:
            points.reverse()
    numbers = " ".join(f"{c:.9g}" for p in points for c in p)
    return f"{material} polygon {name}\n0\n0\n{3 * len(points)} {numbers}"


__all__ = ["CAL_FILE", "RadianceScene", "build", "hole", "scale_sky", "sun_vector", "wall"]
