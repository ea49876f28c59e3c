"""What is seen through the windows, baked into one map of directions, glass included.

The luminance of sky, ground and what stands opposite is that of the light engine's scene (light/scene.py says it
exactly). The map is made as seen from the dish: a direction that leaves the dish through a window carries what stands
there, times that pane's transmittance at that angle, dirt, frame and fit. A direction that leaves the dish through no
window carries what the middle of the window that looks most that way would see: light that reaches the walls first.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plateside.light.colour import rgb_of_cct
from plateside.light.glass import glass_transmittance
from plateside.light.scene import Scene
from plateside.light.sky import Sky

Array = NDArray[np.float64]

ROWS, COLUMNS = 541, 1080


@dataclass(frozen=True)
class SkyLight:
    """A sky with the sun in it, ready to be asked for luminance; azimuths clockwise from the front wall [rad]."""

    sky: Sky
    sun_direction: Array
    """Unit vector to the sun in the room's coordinates; below the horizon when it has set."""

    @property
    def sky_rgb(self) -> Array:
        """Colour of the sky's light, luminance 1 (linear sRGB)."""
        return np.asarray(rgb_of_cct(self.sky.sky_cct_k), dtype=np.float64).reshape(3)

    @property
    def sun_rgb(self) -> Array:
        return np.asarray(rgb_of_cct(self.sky.sun_cct_k), dtype=np.float64).reshape(3)

    @property
    def sun_up(self) -> bool:
        return bool(self.sun_direction[2] > 0) and self.sky.direct_normal_lx > 0

    def relative(self, directions: Array) -> Array:
        """Luminance before scaling, for unit vectors (..., 3); 0 below the horizon."""
        sin_g = directions[..., 2]
        s = np.maximum(sin_g, 0.0)
        sky = self.sky
        if sky.kind == "overcast":
            value = (1.0 + 2.0 * s) / 3.0
        else:
            x = np.arccos(np.clip(directions @ self.sun_direction, -1.0, 1.0))
            k = 1.0 if sky.kind == "cie" else 0.0
            gradation = 1.0 + sky.a * np.exp(sky.b / np.maximum(s, 0.01))
            indicatrix = (
                1.0 + sky.c * (np.exp(sky.d * x) - k * np.exp(sky.d * np.pi / 2)) + sky.e * np.cos(x) ** 2
            )
            value = np.maximum(gradation * indicatrix, 0.0)
        return np.asarray(np.where(sin_g > 0.0, value, 0.0))

    def scale(self) -> float:
        """cd/m2 for one unit of `relative`, so that the horizontal gets its lux."""
        directions, weight = _hemisphere()
        total = float((self.relative(directions) * directions[..., 2] * weight).sum())
        return self.sky.diffuse_horizontal_lx / total if total > 0 else 0.0

    def vertical_lx(self, azimuth_rad: float) -> float:
        """Light of the open sky on an upright plane that looks this way [lx]."""
        directions, weight = _hemisphere()
        normal = np.array([np.sin(azimuth_rad), np.cos(azimuth_rad), 0.0])
        cosine = np.maximum(directions @ normal, 0.0)
        return self.scale() * float((self.relative(directions) * cosine * weight).sum())


def _hemisphere() -> tuple[Array, Array]:
    """Directions over the sky's half of the sphere and their solid angles."""
    rows, columns = 180, 360
    g = (np.arange(rows) + 0.5) * (np.pi / 2 / rows)
    az = (np.arange(columns) + 0.5) * (2 * np.pi / columns)
    directions = unit(az[None, :], g[:, None])
    weight = np.cos(g)[:, None] * (np.pi / 2 / rows) * (2 * np.pi / columns) * np.ones((1, columns))
    return directions, weight


def unit(azimuth: NDArray[Any], elevation: NDArray[Any]) -> Array:
    """Unit vectors; azimuth clockwise from +y, both [rad]."""
    azimuth, elevation = np.broadcast_arrays(azimuth, elevation)
    c = np.cos(elevation)
    return np.asarray(np.stack([np.sin(azimuth) * c, np.cos(azimuth) * c, np.sin(elevation)], axis=-1))


def thing_luminance(scene: Scene, light: SkyLight) -> Array:
    """Luminance of each outside object by bands [cd/m2], shape (k, 3)."""
    sky_rgb, sun_rgb = light.sky_rgb, light.sun_rgb
    direct = light.sky.direct_normal_lx if light.sun_up else 0.0
    horizontal = light.sky.diffuse_horizontal_lx * sky_rgb + direct * light.sun_direction[2] * sun_rgb
    out = np.zeros((len(scene.object_f), 3))
    for i, row in enumerate(scene.object_f):
        lux = row[6:9] * horizontal
        if row[0] > 0:
            lux = lux + row[0] * light.vertical_lx(float(row[2])) * sky_rgb
        if row[1] > 0 and direct > 0:
            normal = np.array([np.sin(row[2]), np.cos(row[2]), 0.0])
            lux = lux + row[1] * direct * max(0.0, float(normal @ light.sun_direction)) * sun_rgb
        out[i] = row[3:6] / np.pi * lux
    return out


def view_outside(
    scene: Scene, light: SkyLight, aperture: int, points: Array, directions: Array, things: Array
) -> Array:
    """Luminance by bands of what stands outside, from points in an aperture's glass (n, 3) along directions (n, 3).

    Reveal and overhang are left to the geometry.
    """
    sky = light.relative(directions) * light.scale()
    ai = scene.aperture_i[aperture]
    ground = things[ai[5]]
    behind = np.where(directions[:, 2:] > 0.0, sky[:, None] * light.sky_rgb, ground)
    # from the farthest thing to the nearest, each before what lies behind it
    for k in range(int(ai[4]) - 1, int(ai[3]) - 1, -1):
        row = scene.opposite_f[k]
        met, part = _meets(points, directions, row, int(scene.opposite_i[k, 1]))
        own = things[int(scene.opposite_i[k, 0]) + part]
        behind = np.where(met[:, None], own * (1.0 - row[6]) + behind * row[6], behind)
    return behind


def _meets(
    points: Array, directions: Array, row: Array, parts: int
) -> tuple[NDArray[np.bool_], NDArray[np.int64]]:
    """Whether rays meet an upright cylinder part above the ground, and which of its parts."""
    flat = np.maximum(directions[:, 0] ** 2 + directions[:, 1] ** 2, 1e-18)
    ox, oy = points[:, 0] - row[0], points[:, 1] - row[1]
    b = ox * directions[:, 0] + oy * directions[:, 1]
    c = ox * ox + oy * oy - row[2] ** 2
    disc = b * b - flat * c
    t = (-b + np.sqrt(np.maximum(disc, 0.0))) / flat
    z = points[:, 2] + t * directions[:, 2]
    turn = (np.arctan2(ox + t * directions[:, 0], oy + t * directions[:, 1]) - row[3]) % (2 * np.pi)
    met = (c <= 0) & (disc >= 0) & (z < row[5]) & (z >= row[7]) & (turn <= row[4])
    part = np.minimum((turn / max(row[4], 1e-9) * parts).astype(np.int64), parts - 1)
    return met, np.where(met, part, 0)


def pane_share(scene: Scene, aperture: int, directions: Array, normal_transmittance: float) -> Array:
    """Share of light that comes through a pane along directions (n, 3), with dirt, frame and fit."""
    normal = scene.aperture_f[aperture, 6:9]
    cosine = directions @ normal
    table = glass_transmittance(np.linspace(0.0, 1.0, 721), normal_transmittance)
    share = np.interp(np.clip(cosine, 0.0, 1.0), np.linspace(0.0, 1.0, 721), table)
    return np.asarray(share * scene.aperture_f[aperture, 13])


def first_aperture_of_each_window(scene: Scene) -> dict[int, int]:
    """Window number to one of its apertures; all of a window's share its glass and outside."""
    found: dict[int, int] = {}
    for k, aperture in enumerate(scene.apertures):
        found.setdefault(aperture.window, k)
    return found


def baked_outside(
    scene: Scene, light: SkyLight, glass: tuple[float, ...], rows: int = ROWS, columns: int = COLUMNS
) -> NDArray[np.float32]:
    """The map, shape (rows, columns, 3) [cd/m2]: row 0 the zenith and the last the nadir, columns clockwise from +y.

    glass  transmittance straight on of each window's pane
    """
    polar = np.arange(rows) * (np.pi / (rows - 1))
    azimuth = (np.arange(columns) + 0.5) * (2 * np.pi / columns)
    directions = unit(azimuth[None, :], np.pi / 2 - polar[:, None]).reshape(-1, 3)
    things = thing_luminance(scene, light)
    out = np.zeros((len(directions), 3))
    best = np.full(len(directions), 1e-6)
    for window, k in first_aperture_of_each_window(scene).items():
        row = scene.aperture_f[k]
        normal = row[6:9]
        facing = directions @ normal
        forward = np.flatnonzero(facing > 1e-6)
        d = directions[forward]
        # where the ray from the dish crosses the glass's plane
        t = ((row[16:19] - scene.dish) @ normal) / facing[forward]
        crossing = scene.dish + t[:, None] * d
        along = (crossing - row[16:19]) @ row[3:6]
        up = crossing[:, 2] - row[18]
        through = (t > 0) & (along >= 0) & (along <= row[19]) & (up >= 0) & (up <= row[20])
        middle = row[16:19] + row[3:6] * row[19] / 2 + np.array([0.0, 0.0, row[20] / 2])
        points = np.where(through[:, None], crossing, middle)
        # a window that the dish sees along this direction counts before one that merely looks that way
        merit = facing[forward] + np.where(through, 10.0, 0.0)
        take = merit > best[forward]
        chosen = forward[take]
        radiance = view_outside(scene, light, k, points[take], d[take], things)
        out[chosen] = radiance * pane_share(scene, k, d[take], glass[window])[:, None]
        best[chosen] = merit[take]
    return out.reshape(rows, columns, 3).astype(np.float32)


def sun_through(scene: Scene, light: SkyLight, glass: tuple[float, ...]) -> Array:
    """The sun's direct normal light behind the glass of the window that most faces it, by bands [lx].

    Sheets, reveal and overhang are left to the geometry.
    """
    if not light.sun_up:
        return np.zeros(3)
    best, out = 1e-6, np.zeros(3)
    for window, k in first_aperture_of_each_window(scene).items():
        row = scene.aperture_f[k]
        facing = float(light.sun_direction @ row[6:9])
        if facing <= best:
            continue
        best = facing
        middle = row[16:19] + row[3:6] * row[19] / 2 + np.array([0.0, 0.0, row[20] / 2])
        share = 1.0
        for o in range(int(scene.aperture_i[k, 3]), int(scene.aperture_i[k, 4])):
            met, _ = _meets(middle[None], light.sun_direction[None], scene.opposite_f[o], 1)
            if met[0]:
                share *= float(scene.opposite_f[o, 6])
        passed = float(pane_share(scene, k, light.sun_direction[None], glass[window])[0])
        out = light.sky.direct_normal_lx * share * passed * light.sun_rgb
    return out


def sheet_exitance(scene: Scene, light: SkyLight, glass: tuple[float, ...], aperture: int) -> Array:
    """What a sheet gives to the room, evenly, by bands [lx]: the light that reaches it, times its share."""
    row = scene.aperture_f[aperture]
    normal = row[6:9]
    rows, columns = 120, 240
    # directions over the half sphere outside, about the window's normal
    g = (np.arange(rows) + 0.5) * (np.pi / rows) - np.pi / 2
    facing = np.arctan2(normal[0], normal[1])
    az = facing + (np.arange(columns) + 0.5) * (np.pi / columns) - np.pi / 2
    directions = unit(az[None, :], g[:, None]).reshape(-1, 3)
    solid = (np.cos(g)[:, None] * (np.pi / rows) * (np.pi / columns) * np.ones((1, columns))).ravel()
    middle = row[:3] + row[3:6] * row[9] / 2 + np.array([0.0, 0.0, row[10] / 2])
    points = np.broadcast_to(middle, directions.shape)
    window = scene.apertures[aperture].window
    things = thing_luminance(scene, light)
    radiance = view_outside(scene, light, aperture, points, directions, things)
    radiance = _past_reveal(scene, aperture, middle, directions, radiance, things)
    passed = pane_share(scene, aperture, directions, glass[window])
    lux = ((passed * np.maximum(directions @ normal, 0.0) * solid)[:, None] * radiance).sum(axis=0)
    sun = sun_through(scene, light, glass) * max(0.0, float(light.sun_direction @ normal))
    if sun.any():
        blocked = _past_reveal(
            scene, aperture, middle, light.sun_direction[None], np.full((1, 3), np.nan), things
        )
        if np.isnan(blocked).all():
            lux = lux + sun
    return np.asarray(lux * scene.apertures[aperture].exitance)


def _past_reveal(
    scene: Scene, aperture: int, point: Array, directions: Array, radiance: Array, things: Array
) -> Array:
    """What is seen once reveal and overhang have had their say."""
    row, first = scene.aperture_f[aperture], int(scene.aperture_i[aperture, 5])
    normal, reveal, depth = row[6:9], row[21], row[22]
    out = np.maximum(directions @ normal, 1e-9)
    if depth > 0:
        rise = np.maximum(directions[:, 2], 1e-9)
        under = (directions[:, 2] > 0) & ((row[23] - point[2]) / rise * out <= reveal + depth)
        radiance = np.where(under[:, None], things[first + 2], radiance)
    if reveal > 0:
        at = point + (reveal / out)[:, None] * directions - row[16:19]
        along, up = at @ row[3:6], at[:, 2]
        side = (along < 0) | (along > row[19]) | (up < 0) | (up > row[20])
        radiance = np.where(side[:, None], things[first + 1], radiance)
    return radiance
